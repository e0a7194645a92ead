"""A song in time as lines: every capture with its place, the rings, what is open."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from core.album.place import CaptureKey, Place, SongClock
from core.album.ties import capture_name
from core.values import dataclass
from core.words import counted
from tui.text.songs.ties import clock_words

_CLOSES_MS = 5.0


@dataclass(frozen=True, slots=True)
class ClockLine:
    """One line: a capture where it has a key, else words."""

    words: str
    role: str
    key: CaptureKey | None = None
    says: str = ""
    """The whole of what is known, for the line that says."""


def clock_lines(
    clock: SongClock, captures: Mapping[CaptureKey, str], heard: Sequence[str] = ()
) -> Iterator[ClockLine]:
    """The clock's zero, the captures, the rings and what is open.

    ``captures`` tells what each is, ``heard`` what sound says against the sheets.
    """
    if not clock.zero_reel:
        yield ClockLine("this song needs no tape yet: its clock has no zero", "bad")
        return
    yield ClockLine(f"zero is {clock_words(clock.zero_seconds)} of {clock.zero_reel}", "head")
    for key, what in captures.items():
        place = clock.place(*key)
        words = f"{capture_name(key):<12} {how(place):<26} {what}"
        own = key == clock.own
        role = "good" if own or place.by in ("timecode", "sound") else "next" if place.curve else "bad"
        yield ClockLine(words, role, key, says_of(key, place))
    if clock.loops:
        yield ClockLine("", "head")
    for loop in clock.loops:
        closes = loop.misfit_ms <= _CLOSES_MS
        words = f"round {', '.join(loop.reels)} it misses by {loop.misfit_ms:.2f} ms"
        blamed = f": {loop.says}" if loop.says else ""
        yield ClockLine(f"{words}{blamed}", "good" if closes else "bad", None, f"{words}{blamed}")
    for line in (*clock.open, *heard):
        yield ClockLine(f"open: {line}", "next", None, line)


def how(place: Place) -> str:
    """``by sound, within 0.05 ms``, ``nothing ties it``."""
    if place.curve is None:
        return "nothing ties it"
    near = f", within {place.error_ms:g} ms" if place.error_ms else ""
    return {"timecode": "by timecode", "sound": "by sound", "said": "as told"}[place.by] + near


def says_of(key: CaptureKey, place: Place) -> str:
    """All that is known of one capture's place."""
    if place.curve is None:
        return f"{capture_name(key)}: nothing ties it to the clock yet"
    at = place.curve.capture(0.0)
    percent = 100 * (place.curve.rate(at) - 1)
    speed = f", {abs(percent):.3f} % {'fast' if percent > 0 else 'slow'}" if abs(percent) >= 0.0005 else ""
    gaps = (
        f"; {counted(len(place.unsure), 'stretch', 'stretches')} with nothing to hold on to"
        if place.unsure
        else ""
    )
    return f"the song begins at {clock_words(at)} of {capture_name(key)}{speed}; {place.says}{gaps}"
