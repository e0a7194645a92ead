"""Two songs on one stretch of a tape: told, since one stretch is one song."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from fractions import Fraction

from core.clock import clock_text
from core.songs.song import Need, Song

_SAME = Fraction(9, 10)
"""Two spans of which so much of the longer is shared are one; a choice of ours."""


_A_BREATH = 5
"""Seconds that two spans may share: the one song rings out as the next begins; a choice of ours."""


def shared_span(one: Need, other: Need) -> Need | None:
    """What two spans on one tape have in common, more than a breath; None for nothing."""
    if (
        one.reel != other.reel
        or one.start is None
        or one.end is None
        or other.start is None
        or other.end is None
    ):
        return None
    start, end = max(one.start, other.start), min(one.end, other.end)
    return Need(one.reel, start, end) if end - start > _A_BREATH else None


def same_span(one: Need, other: Need) -> bool:
    """True where both are one span but for a breath."""
    shared = shared_span(one, other)
    if shared is None:
        return False
    return _length(shared) >= _SAME * max(_length(one), _length(other))


def _length(need: Need) -> Fraction:
    return (need.end or Fraction(0)) - (need.start or Fraction(0))


def others_there(song: Song, songs: Iterable[Song]) -> Iterator[str]:
    """A line for each other song that has a span of this one, or some of it, as its own."""
    spans = [need for need in song.needs if need.start is not None]
    for other in songs if spans else ():
        for need in other.needs if other is not song else ():
            shared = next((s for one in spans if (s := shared_span(one, need)) is not None), None)
            if shared is not None:
                yield (
                    f"{song.key} and {other.key} both have {span_words(shared)}: "
                    "one stretch is one song, mend the needs of one"
                )


def span_words(need: Need) -> str:
    """``R-001 0:40-5:10``."""
    if need.start is None or need.end is None:
        return need.reel
    return f"{need.reel} {clock_text(need.start)}-{clock_text(need.end)}"
