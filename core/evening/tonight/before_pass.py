"""What is said before a pass starts: of the tape itself, of the next touch, of the room on the disk."""

from __future__ import annotations

from datetime import datetime
from fractions import Fraction

from core.clock import clock_text, later, minutes_between
from core.conditioning.advisor import advice_of
from core.conditioning.spreading.shared_air import to_be_looked_at
from core.conditioning.warmth_in_doubt import warmth_in_doubt
from core.evening.playing.open_joint import unmended
from core.evening.tonight.sheet import RunSheet
from core.reels.estimate import capture_bytes
from core.reels.length import play_seconds
from core.reels.needs import playable_until, sticky
from core.reels.reel import Reel
from core.shelf import Shelf
from core.tape.where import figure
from core.values import dataclass


@dataclass(frozen=True, slots=True)
class PassAdvice:
    """When the tape ends, the touch it may meet, the latest start that ends before it, room on disk.

    ``doubt``: warmth that it lacked or had against its base, splices that nobody has remade.
    """

    ends: datetime | None
    touch: datetime | None
    latest_start: datetime | None
    collides: bool
    says: tuple[str, ...]
    doubt: str = ""
    no_room: bool = False
    """True where the disk has less room than the capture takes."""


def before_pass(
    shelf: Shelf,
    sheet: RunSheet,
    reel_key: str,
    now: datetime,
    free_bytes: int | None = None,
    run: Fraction | None = None,
) -> PassAdvice:
    """Advice for starting a pass of that reel now. ``free_bytes`` is the room where captures go.

    ``run`` (seconds) is how long the tape will run, where that is not its whole length.

    Where pass and touch collide the pass is finished and the touch comes late; only a take-out that would be
    overdue beyond the tolerance comes first. A reel that sheds is never left alone.
    """
    reel = shelf.reel(reel_key)
    seconds = play_seconds(reel, shelf.studio) if run is None else run
    test, doubt = advice_of(shelf, reel, now).word == "test first", _doubt(shelf, reel)
    says = ["test it by hand first"] if test else []
    says += [doubt] if doubt else []
    unseen = to_be_looked_at(shelf, reel)
    says += [unseen] if unseen else []
    if seconds is None:
        says.append("how long it plays is not known: stay with it")
        return PassAdvice(None, None, None, False, tuple(says), doubt)
    ends = later(now, minutes=Fraction(seconds) / 60)
    lapses = lapses_before(shelf, reel, ends)
    if lapses:
        says.append(lapses)
        doubt = "; ".join(filter(None, (doubt, lapses)))
    says.append(f"ends {ends:%H:%M}")
    touch = sheet.next_touch
    latest = None
    collides = False
    if touch is not None:
        latest = later(touch.planned.start, minutes=-Fraction(seconds) / 60)
        spare = round(minutes_between(ends, touch.planned.start))
        collides = spare < 0
        if not collides:
            says.append(f"{spare} min before the {touch.kind}; latest start {latest:%H:%M}")
        else:
            says += _collision(touch.kind, -spare, touch.planned.start, latest, now)
    room, no_room = _room(shelf, reel_key, Fraction(seconds), free_bytes)
    says += room
    due = touch.planned.start if touch else None
    return PassAdvice(ends, due, latest, collides, tuple(says), doubt, no_room)


def lapses_before(shelf: Shelf, reel: Reel, ends: datetime) -> str:
    """That a treated tape may be played for less long than its pass runs; empty for any other."""
    until = playable_until(reel, shelf.studio) if sticky(reel, shelf.own_stocks()) else None
    if until is None or until >= ends:
        return ""
    until = until.astimezone(shelf.studio.zone)
    return f"it may be played until {until:%a %H:%M} only, its pass ends {ends:%H:%M}: the rest would wait"


def _doubt(shelf: Shelf, reel: Reel) -> str:
    """What its time in the heat, or a repair that was left out, leaves in doubt; empty where nothing does."""
    return "; ".join(filter(None, (warmth_in_doubt(shelf, reel), unmended(shelf, reel))))


def _collision(kind: str, late: int, touch: datetime, latest: datetime, now: datetime) -> list[str]:
    out = [f"the {kind} at {touch:%H:%M} would come {late} min late"]
    if latest < now:
        out.append(f"to end before it, it should have started by {latest:%H:%M}")
    most = figure("heat.touch_late_minutes")
    if kind == "take out" and late > most:
        out.append(f"take the load out first: more than {most} min late is too long in the heat")
    else:
        out.append(f"finish the pass, then {kind}: the minutes are logged")
    return out


def _room(shelf: Shelf, key: str, seconds: Fraction, free: int | None) -> tuple[list[str], bool]:
    """The room on the disk in words, and whether it is too little."""
    size = capture_bytes(shelf.reel(key), shelf.studio, seconds)
    if free is None or size is None:
        return [], False
    if size > free:
        length = clock_text(Fraction(int(seconds)))
        return [f"no room: {length} takes {size / 1e9:.1f} GB, {free / 1e9:.1f} GB are free"], True
    return [f"takes {size / 1e9:.1f} GB of {free / 1e9:.1f} GB free"], False
