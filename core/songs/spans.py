"""Two songs on one stretch of a tape: told, since one stretch is one song."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from fractions import Fraction

from core.clock import clock_text
from core.songs.song import Need, Song

_SAME = Fraction(9, 10)
"""Two spans of which so much of the longer is shared are one; a choice of ours."""


def same_span(one: Need, other: Need) -> bool:
    """True where both tell their span on one tape, and it is the same but for a breath."""
    if one.reel != other.reel or None in (one.start, one.end, other.start, other.end):
        return False
    assert one.start is not None and one.end is not None
    assert other.start is not None and other.end is not None
    shared = min(one.end, other.end) - max(one.start, other.start)
    return shared >= _SAME * max(one.end - one.start, other.end - other.start)


def others_there(song: Song, songs: Iterable[Song]) -> Iterator[str]:
    """A line for each other song that has a span of this one as its own."""
    spans = [need for need in song.needs if need.start is not None]
    for other in songs if spans else ():
        for need in other.needs if other is not song else ():
            if need.start is not None and any(same_span(one, need) for one in spans):
                yield (
                    f"{song.key} and {other.key} both have {span_words(need)}: "
                    "one stretch is one song, mend the needs of one"
                )


def span_words(need: Need) -> str:
    """``R-001 0:40-5:10``."""
    if need.start is None or need.end is None:
        return need.reel
    return f"{need.reel} {clock_text(need.start)}-{clock_text(need.end)}"
