"""A part that goes on from one tape to the next: the tape ran out, and another was put on."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from core.album.place import SongClock
from core.clock import clock_text
from core.songs.parts import Source
from core.words import listed

_SHARED = 0.1
"""Two stretches of which more is the same, as a share of the shorter, are no two halves."""
_GAP_SECONDS = 0.5
"""What is on neither tape is told from so much."""

Stretch = tuple[float, float]


def halves(first: Stretch, second: Stretch) -> bool:
    """Whether two stretches of a song hardly share anything."""
    shared = min(first[1], second[1]) - max(first[0], second[0])
    return shared < _SHARED * min(first[1] - first[0], second[1] - second[0])


def goes_on(clock: SongClock, used: Sequence[Source], others: Iterable[Source]) -> tuple[Source, ...]:
    """Of the other captured sources, copied as often as those in use, those that hold other stretches.

    As many of one capture as there are in use: both sides of a pair go on.
    """
    held = [stretch for one in used if (stretch := _stretch(clock, one)) is not None]
    out: list[Source] = []
    taken: dict[tuple[str, int | None], int] = {}
    if len(held) < len(used) or not used:
        return ()
    for one in others:
        stretch = _stretch(clock, one)
        if stretch is None or one.generation != used[0].generation or one.verdict in (None, "fail"):
            continue
        capture = one.reel, one.pass_number
        if capture not in taken and all(halves(stretch, other) for other in held):
            held.append(stretch)
            taken[capture] = 0
        if taken.get(capture, len(used)) < len(used):
            out.append(one)
            taken[capture] += 1
    return tuple(out)


def goes_on_words(clock: SongClock, used: Sequence[Source], on: Sequence[Source]) -> str:
    """``goes on on R-009:1 at 0:47, 0.8 s before it are on neither``, in seconds of the song's clock."""
    stretches = sorted(stretch for one in (*used, *on) if (stretch := _stretch(clock, one)) is not None)
    words = []
    for one in on:
        start = (_stretch(clock, one) or (0.0, 0.0))[0]
        before = [end for begin, end in stretches if begin < start]
        gap = start - max(before, default=start)
        missing = f", {gap:.1f} s before it are on no tape" if gap >= _GAP_SECONDS else ""
        where = clock_text(abs(round(start))) + (" before the song's zero" if start <= -0.5 else "")
        words.append(f"on {one.label} from {where}{missing}")
    return f"goes on {listed(words)}" if words else ""


def _stretch(clock: SongClock, one: Source) -> Stretch | None:
    return clock.stretches.get((one.reel, one.pass_number or 0))
