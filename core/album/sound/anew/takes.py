"""Whether two captures are takes of one song: the same harmonies in the same order, played anew.

The longest way along which one goes like the other is sought, each free to run up to twice as fast as the
other for a while, with short lapses (cross recurrence and its longest path: Serra, Serra and Andrzejak, New
Journal of Physics 11, 2009; from memory). The same is sought with one of the two put into other keys: what
comes of that is chance.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from core.album.sound.anew.harmony import CLASSES, ROWS_A_SECOND, Floats
from core.values import dataclass

_AT_ONCE = 4
"""Rows that are compared at once: a moment is known by the two seconds that begin there."""
_NEAREST = 0.1
"""Share of all moments that count as like one, seen from either capture."""
_LAPSE = 0.5
"""What a moment that is not alike costs, in moments that are."""
_TRIED = 9
"""Keys that are tried, and as many for chance."""
SHARE, TIMES = 0.45, 7.0
"""From so much of the shorter capture, and so many times chance: see the figures in docs/clock.md."""
SHORTEST_SECONDS = 40.0
"""Less says nothing: a few chords are like those of many songs."""


@dataclass(frozen=True, slots=True)
class Alike:
    """How far two captures go the same way."""

    share: float
    """Of the shorter one: moments along the way, less its lapses."""
    times: float
    """The same over what other keys give."""
    semitones: float
    """How much higher the first sounds, from -6 to 6: another key, or another speed."""

    @property
    def one_song(self) -> bool:
        """True where both figures tell of one song."""
        return self.share >= SHARE and self.times >= TIMES

    @property
    def says(self) -> str:
        """``0.93 of it goes the same way, 19 times chance``."""
        key = f", {abs(self.semitones):.1f} semitones {'up' if self.semitones > 0 else 'down'}"
        return f"{self.share:.2f} of it goes the same way, {self.times:.0f} times chance" + (
            key if abs(self.semitones) > 0.4 else ""
        )


def alike(one: Floats, two: Floats) -> Alike | None:
    """How far two captures go the same way, by their harmonies; None where one is too short to tell."""
    least = int(SHORTEST_SECONDS * ROWS_A_SECOND)
    if min(len(one), len(two)) < least:
        return None
    moments = _moments(one)
    means = one.mean(axis=0), two.mean(axis=0)
    likely = sorted(range(CLASSES), key=lambda shift: -float(means[0] @ np.roll(means[1], shift)))
    tried, rest = likely[:_TRIED], sorted(likely[_TRIED:])[:: max(1, (CLASSES - _TRIED) // _TRIED)]
    found = {shift: _longest(moments, _moments(np.roll(two, shift, axis=1))) for shift in (*tried, *rest)}
    best = max(tried, key=lambda shift: found[shift])
    chance = float(np.median([found[shift] for shift in rest]))
    up = (best + CLASSES // 2) % CLASSES - CLASSES // 2
    return Alike(found[best] / min(len(one), len(two)), found[best] / max(1.0, chance), up * 12 / CLASSES)


def _moments(rows: Floats) -> Floats:
    count = len(rows) - _AT_ONCE + 1
    joined = np.concatenate([rows[at : at + count] for at in range(_AT_ONCE)], axis=1)
    lengths = np.linalg.norm(joined, axis=1, keepdims=True)
    return np.asarray(joined / np.maximum(lengths, 1e-9), np.float32)


def _longest(one: Floats, two: Floats) -> float:
    """The longest way along moments that are alike, each row of the matrix from the two before it."""
    likeness = one @ two.T
    here = np.quantile(likeness, 1 - _NEAREST, axis=1, keepdims=True)
    there = np.quantile(likeness, 1 - _NEAREST, axis=0, keepdims=True)
    near: NDArray[np.bool_] = (likeness >= here) & (likeness >= there) & (likeness > 0)
    last = before = np.zeros(near.shape[1] + 2, np.float32)
    best = 0.0
    for row in near:
        way = np.maximum(np.maximum(last[1:-1], before[1:-1]), last[:-2])
        now = np.zeros_like(last)
        now[2:] = np.where(row, way + 1, np.maximum(way - _LAPSE, 0))
        best = max(best, float(now.max()))
        last, before = now, last
    return best
