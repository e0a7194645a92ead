"""Which captures of many may share sound: a coarse look at all, a finer one at what is likely.

Coarsely four rows of rises are taken for one and speeds lie twice as far apart, an eighth of the work. What
stands out there is looked at again in full, at the speeds around the line that was found.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from core.album.levels import Levels
from core.album.sound.needle_lines import NEEDLE_SECONDS, SPEED_STEP, Line, lines_of
from core.album.sound.needles import NEEDLES, Haystack, Needles, speeds

_SECONDS_A_NEEDLE = 60
_COARSE, _COARSE_STEP = 4, 2 * SPEED_STEP
_COARSE_LEAST = 4.4
"""Of every needle that counts; unrelated captures reach it in 3 of 100 pairs, see docs/clock.md."""
_AROUND = 0.012
"""Share of speed on either side of the coarse line that is looked at in full."""
_FEWEST_NEEDLES, _LEAST, _LEAST_OF_FEW = 3, 45.0, 10.0
"""What lies on one line before waveforms are asked: see docs/clock.md. Of a short capture, with one needle or
two, each must stand out so far: few such are asked about in vain."""


class Sieve:
    """One capture as it is held against many others; of two the shorter gives the needles."""

    def __init__(self, levels: Levels) -> None:
        self.levels = levels
        seconds = levels.seconds
        room = max(1, int(seconds / (NEEDLE_SECONDS / 2)))
        self.count = max(min(NEEDLES, room), int(seconds / _SECONDS_A_NEEDLE))
        """Needles a minute apart, five at the least but never closer than half their length."""
        self._coarse_hay = Haystack(levels, _COARSE)
        self._hay: Haystack | None = None
        self._needles: Needles | None = None

    def score(self, other: Sieve) -> float:
        """How far the best line stands out that this one's needles lie on; 0 where it is not worth proof."""
        near = self.likely(other)
        if near is None:
            return 0.0
        needles = Needles(self.levels, near, self.count)
        if other._hay is None:
            other._hay = Haystack(other.levels)
        lines = lines_of(needles.find(other._hay), len(needles.places))
        fewest = min(_FEWEST_NEEDLES, len(needles.places))
        if not lines or lines[0].needles < fewest:
            return 0.0
        least = _LEAST if fewest == _FEWEST_NEEDLES else fewest * _LEAST_OF_FEW
        return lines[0].score if lines[0].score > least else 0.0

    def likely(self, other: Sieve) -> NDArray[np.float64] | None:
        """The speeds at which a coarse look makes it worth to look in full; none where it does not."""
        coarse = self._coarse(other)
        fewest = min(_FEWEST_NEEDLES, self.count)
        if coarse is None or coarse.score < _COARSE_LEAST * max(fewest, min(NEEDLES, self.count)):
            return None
        # A few needles lie too near to one another to tell the speed.
        return speeds() if self.count < NEEDLES else speeds(_AROUND, around=1 / coarse.rate)

    def _coarse(self, other: Sieve) -> Line | None:
        if self._needles is None:
            self._needles = Needles(self.levels, speeds(step=_COARSE_STEP), self.count, _COARSE)
        needles = self._needles
        lines = lines_of(needles.find(other._coarse_hay), len(needles.places), step=_COARSE_STEP)
        return lines[0] if lines else None

    def done(self) -> None:
        """Lets go of what only its own needles need."""
        self._needles = None


def likely_speeds(here: Levels, there: Levels) -> NDArray[np.float64] | None:
    """Speeds around the one at which a coarse look finds one capture in the other, if it does."""
    one = Sieve(here)
    return one.likely(Sieve(there)) if one.count >= NEEDLES else None
