"""A tape that was cut between two captures: what lies before and after the cut is laid piece by piece.

One of the two was made before a verse was taken out or something was spliced in. Beyond either
end of a proved match it is looked for how both go on; every piece needs its own proof.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from core.album.sound.follow import Pairs
from core.album.sound.heard import Heard
from core.album.sound.match import Column, Match
from core.album.sound.sieve import Sieve
from core.album.sound.spectra import WORK_HZ, Floats, Never

SHORTEST_SECONDS = 16.0
"""Less than this beyond a match is not looked through."""
_LONG_SECONDS = 300.0
_NEAR_SECONDS = 8.0
"""Pieces between which both captures have more than this are two stretches, not one that was cut."""
_HOP, _WINDOW = WORK_HZ // 100, WORK_HZ // 25
_CUT_ACROSS = 0.75
"""A node so near to a cut heard both sides of it, and is not sure."""
_BENT_SECONDS = 0.003
"""So far off the straight line of its piece a node there heard the wrong side."""
_SLOW = 8
"""Samples over which waveforms are smoothed there: a piece gone on straight is off by a millisecond soon."""
_SLACK_SECONDS = 1.5
_FEWEST_NODES = 4
"""A row of fewer sure nodes tells no speed."""
_JUMP_SECONDS = 0.001
"""How long a curve takes over a cut."""

_LEAP_SECONDS = 0.02
"""Two sides of a stretch without nodes that miss one another by more were cut there."""

Finder = Callable[[Heard, Heard], Match | None]
Layer = Callable[[Heard, Heard, Pairs], Match | None]
"""Lays two captures along a curve that is nearly known."""


def with_pieces(
    here: Heard, there: Heard, match: Match, find: Finder, lay: Layer, ask: Never = lambda: None
) -> Match:
    """The match with what goes on beyond its ends along another line, as far as that is proved too."""
    match = _leaping(here, there, match, lay)
    pieces = [*_beyond(here, there, match, find, ask, later=False), match]
    pieces += _beyond(here, there, match, find, ask, later=True)
    whole, *rest = pieces
    for piece in rest:
        whole = _joined(here, there, *_gone_on(here, there, whole, piece, lay))
    return whole


def _leaping(here: Heard, there: Heard, match: Match, lay: Layer) -> Match:
    """The match with its sides laid anew where one of its stretches without nodes hides a small cut."""
    at = np.flatnonzero(match.sure)
    runs = [run for run in np.split(at, np.flatnonzero(np.diff(at) > 2) + 1) if len(run) >= _FEWEST_NODES]
    for low, high in ((int(one[-1]), int(two[0])) for one, two in pairwise(runs)):
        if min(low + 1, len(match.here) - high) < SHORTEST_SECONDS / 2:
            continue
        sides = _only(match, slice(0, low + 1)), _only(match, slice(high, None))
        middle = (match.here[low] + match.here[high]) / 2
        ends = (
            float(_along(side, end, np.array([middle]))[0]) for side, end in zip(sides, (-1, 0), strict=True)
        )
        if abs(next(ends) - next(ends)) < _LEAP_SECONDS:
            continue
        one, two = (lay(here, there, (side.here, side.there)) for side in sides)
        if one is not None and two is not None and one.proved and two.proved and one.here[0] < two.here[0]:
            return _joined(here, there, one, _leaping(here, there, two, lay))
    return match


def _only(match: Match, part: slice) -> Match:
    return replace(match, here=match.here[part], there=match.there[part], sure=match.sure[part])


def _gone_on(here: Heard, there: Heard, one: Match, two: Match, lay: Layer) -> tuple[Match, Match]:
    """Two pieces with some seconds between them, each gone on along its own line as far as it is proved."""
    if one.cuts:
        return one, two
    longer = [lay(here, there, (piece.here, piece.there)) for piece in (one, two)]
    first, second = (
        new if new is not None and new.proved and new.sounding >= old.sounding else old
        for new, old in zip(longer, (one, two), strict=True)
    )
    return first, second


def _beyond(
    here: Heard, there: Heard, match: Match, find: Finder, ask: Never, *, later: bool
) -> list[Match]:  # fmt: skip
    """The pieces that both hold after a match (or before it), in their order."""
    ask()
    end = -1 if later else 0
    at, to = float(match.here[end]), float(match.there[end])
    spans = ((at, here.seconds), (to, there.seconds)) if later else ((0.0, at), (0.0, to))
    if min(last - first for first, last in spans) < SHORTEST_SECONDS:
        return []
    one, two = (whole.part(*span) for whole, span in zip((here, there), spans, strict=True))
    found = find(one, two) if _likely(one, two) else None
    if found is None or not found.proved or found.polarity != match.polarity:
        return []
    moved = replace(found, here=found.here + spans[0][0], there=found.there + spans[1][0])
    further = _beyond(here, there, moved, find, ask, later=later)
    return [moved, *further] if later else [*further, moved]


def _likely(one: Heard, two: Heard) -> bool:
    """What is long must look alike before waveforms are asked; of what is short they are asked at once."""
    short, long = sorted((one, two), key=lambda whole: whole.seconds)
    return short.seconds < _LONG_SECONDS or bool(Sieve(short.levels).score(Sieve(long.levels)))


def _joined(here: Heard, there: Heard, one: Match, two: Match) -> Match:
    """Two pieces as one match, with the nodes of the cut between them; no node lies beyond it."""
    cut = _cut(here, there, one, two)
    (x, x_after), (y, y_after) = cut or ((one.here[-1], one.here[-1]), (one.there[-1], one.there[-1]))
    one, two = (
        replace(piece, sure=piece.sure & (np.abs(piece.here - end) > _CUT_ACROSS)) if cut else piece
        for piece, end in ((one, x), (two, x_after))
    )
    before = (one.here < x) & (one.there < y) & _straight(one, -1, x) if cut else np.ones(len(one.here), bool)
    after = (two.here > x_after + _JUMP_SECONDS) & (two.there > y_after + _JUMP_SECONDS)
    after &= _straight(two, 0, x_after) if cut else True
    own = np.array([x, x_after]), np.array([y, y_after])
    nodes = [
        np.concatenate((a[before], c if cut else c[:0], b[after]))
        for a, b, c in ((one.here, two.here, own[0]), (one.there, two.there, own[1]),
                        (one.sure, two.sure, np.zeros(2, bool)))
    ]  # fmt: skip
    counts = [round(piece.sounding * float(used.mean())) for piece, used in ((one, before), (two, after))]
    share = counts[0] / max(1, sum(counts))

    def mean(a: float, b: float) -> float:
        return share * a + (1 - share) * b

    leap = ((float(x), float(x_after - x - y_after + y)),) if cut else ()
    return Match(
        nodes[0], nodes[1], nodes[2].astype(bool), one.polarity, mean(one.quality, two.quality),
        mean(one.agree, two.agree), max(one.misfit_ms, two.misfit_ms), mean(one.likeness, two.likeness),
        mean(one.held, two.held), sum(counts), (*one.cuts, *leap, *two.cuts),
    )  # fmt: skip


def _straight(match: Match, end: int, cut: float) -> NDArray[np.bool_]:
    """True for the nodes of a piece that are not bent by a cut so near that they heard across it."""
    off = np.abs(match.there - _along(match, end, match.here))
    return np.asarray((np.abs(match.here - cut) > _CUT_ACROSS) | (off < _BENT_SECONDS))


_Ends = tuple[tuple[float, float], tuple[float, float]]


def _cut(here: Heard, there: Heard, one: Match, two: Match) -> _Ends | None:
    """The two nodes between which a capture leaps: seconds of both before and after; none if it is no cut."""
    apart = float(two.here[0] - one.here[-1]), float(two.there[0] - one.there[-1])
    if min(apart) > _NEAR_SECONDS:
        return None
    low, high = sorted((float(one.here[-1]), float(two.here[0])))
    at = np.arange(low - _SLACK_SECONDS, high + _SLACK_SECONDS, _HOP / WORK_HZ)
    first, second = _along(one, -1, at), _along(two, 0, at)
    left_out = float(np.median(first - second) * (at[-1] - at[0]) / (second[-1] - second[0]))
    skip = max(0, round(left_out * WORK_HZ / _HOP))
    if len(at) <= skip + 2:
        return None
    before, after = (_alike(here.sound, there.sound, at, to, one.polarity) for to in (first, second))
    until = np.concatenate(([0.0], np.cumsum(before)))[: len(at) - skip]
    since = after.sum() - np.concatenate(([0.0], np.cumsum(after)))[skip:-1]
    best = int(np.argmax(until + since))
    x, y = float(at[best]), float(first[best])
    speed = float((second[-1] - second[0]) / (at[-1] - at[0]))
    x_after = x + max((y - float(_along(two, 0, np.array([x]))[0])) / speed, _JUMP_SECONDS)
    y_after = max(float(_along(two, 0, np.array([x_after]))[0]), y + _JUMP_SECONDS)
    return (x, x_after), (y, y_after)


def _along(match: Match, end: int, at: Column) -> Column:
    """A piece gone on straight beyond its end, by the speed of its last four sure nodes there."""
    held = match.sure if np.count_nonzero(match.sure) >= 4 else np.ones(len(match.here), bool)
    part = slice(-4, None) if end else slice(0, 4)
    x, y = match.here[held][part], match.there[held][part]
    slope, start = np.polyfit(x - x[end], y, 1)
    return np.asarray(start + slope * (at - x[end]))


def _alike(here: Floats, there: Floats, at: Column, to: Column, polarity: int) -> NDArray[np.float64]:
    """How alike the slow steps of both waveforms are around these places: from -1 to 1."""
    from scipy.ndimage import uniform_filter1d

    here, there = (uniform_filter1d(row, _SLOW) for row in (here, there))
    t = np.arange(-_WINDOW // 2, _WINDOW // 2)
    one, two = (
        np.diff(np.interp(places[:, None] * WORK_HZ + t, np.arange(len(row)), row, 0, 0), axis=1)
        for row, places in ((here, at), (there, to))
    )
    energy = np.sqrt((one**2).sum(axis=1) * (two**2).sum(axis=1))
    return np.asarray(polarity * (one * two).sum(axis=1) / np.maximum(energy, 1e-12))
