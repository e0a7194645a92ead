"""Moments, widths, speeds and hours in the few letters that a chart has room for."""

from __future__ import annotations

from datetime import datetime
from fractions import Fraction

from core.clock import clock_text, later
from core.evening.playing.passes import running_pass
from core.logbook.running import stands_tonight
from core.quantities import Quantity, plain
from core.reels.reel import Reel
from core.shelf import Shelf
from core.studio.opening import opening
from core.studio.studio import Studio
from core.tape.nominal import nominal_width_in
from core.words import date_text, day_text


def clock(moment: datetime) -> str:
    """The time on the clock, as ``19:05``."""
    return f"{moment:%H:%M}"


def moment_words(moment: datetime, now: datetime) -> str:
    """A moment the short way: only the clock today, the weekday within six days, else the date."""
    days = (moment.date() - now.date()).days
    if days == 0:
        return clock(moment)
    if 0 < days < 7:
        return f"{moment:%a} {clock(moment)}"
    return f"{date_text(moment.date(), now.date())} {clock(moment)}"


def day_short(moment: datetime, now: datetime) -> str:
    """A day the short way: nothing today, the weekday within six days, else the date."""
    days = (moment.date() - now.date()).days
    if days == 0:
        return ""
    return f"{moment:%a}" if 0 < days < 7 else date_text(moment.date(), now.date())


#: The usual widths, by inches.
_NAMED = {
    Fraction(1, 4): '1/4"', Fraction(1, 2): '1/2"', Fraction(1): '1"', Fraction(2): '2"',
}  # fmt: skip


def width_words(width: Quantity | None) -> str:
    """A width by its name in the trade, ``1"`` or ``1/4"``, however it was typed; another one as typed."""
    if width is None:
        return "?"
    named = _NAMED.get(nominal_width_in(width.number))
    if named is not None:
        return named
    text = str(width)
    for unit in (" in", " inch", " inches", '"'):
        if text.endswith(unit):
            return text.removesuffix(unit) + '"'
    return text.replace(" ", "")


def format_words(reel: Reel) -> str:
    """Width, tracks, speed and equalisation in at most a dozen columns: ``1/4"  2 15 N``."""
    tracks = str(reel.tracks) if reel.tracks is not None else "?"
    speed = _speed(reel.speed)
    eq = reel.eq.strip()[:1].upper() or "?"
    return f"{width_words(reel.width):<4} {tracks:>2} {speed:>3} {eq}"


def _speed(speed: Quantity | None) -> str:
    if speed is None:
        return "?"
    shown = plain(Fraction(round(speed.number * 100), 100))
    return shown if len(shown) <= 3 else str(round(float(speed.number), 1)).removesuffix(".0")[:3].rstrip(".")


def tape_words(shelf: Shelf, now: datetime) -> str:
    """The tape that plays, and when it ends: ``R-008 ends 19:11``; or where one stands; else empty."""
    tape = running_pass(shelf, now)
    if tape is None:
        stands = stands_tonight(shelf, now)
        return "" if stands is None else f"{stands.reel} stands at {clock_text(int(stands.last.to or 0))}"
    if not tape.total:
        return f"{tape.reel} plays"
    return f"{tape.reel} ends {clock(tape.ends(now))}" if tape.left else f"{tape.reel} is at its end"


def bench_words(studio: Studio, now: datetime, *, days: int = 21) -> str:
    """The bench window that is open, or the next one: ``bench 19:00-22:30``, ``bench Wed 2 Dec 19:00``."""
    window = next(iter(opening(studio, "bench", now, later(now, hours=24 * days))), None)
    if window is None:
        return "no bench hours in sight"
    shown = f"{clock(window.start)}-{clock(window.end)}"
    if window.start.date() == now.date() or window.start <= now:
        return f"bench {shown}"
    return f"bench {day_text(window.start.date())} {clock(window.start)}"  # when it begins is enough by then
