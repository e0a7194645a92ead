"""What the sound tells of a dip: whether the same goes on beneath it, whether partials keep their phase."""

from __future__ import annotations

import numpy as np

from core.capture.faults.gaps.beneath import left_over_db
from core.capture.faults.gaps.continuity import RATE, SIDE_SECONDS
from core.capture.faults.gaps.partials import phase_across
from core.capture.measures.history import History
from core.capture.measures.likeness import is_tonal, means
from core.values import dataclass

SOUND = ("left_beneath_db", "left_beside_db", "phase", "wander")
"""What a filter that cancels the sound beside leaves in the dip and beside it; phase over it, its wander."""
UNTOLD = (30.0, 0.0, 0.0, 2.0)
"""Stands for a dip in noise, which has neither pitch nor phase."""
UNHEARD = (30.0, 0.0, 0.0, 3.0)
"""Stands for a dip that was not looked at so closely."""


@dataclass(frozen=True, slots=True)
class Around:
    """The sound of a dip with what lies on either side, at about 24 kHz."""

    sound: np.ndarray
    origin: int
    """Frame of the pass at which it begins."""
    down: int
    """Frames of the pass in one of its samples."""
    rate: int
    noise: float
    """Power that rounding to whole samples has left in it."""

    @classmethod
    def of(cls, history: History, channel: int, start: int, stop: int, earlier: int, later: int) -> Around:
        """That of a dip between two frames of the pass whose edges may lie so much earlier, or later."""
        down = max(1, history.sample_rate // RATE)
        rate, unit = history.sample_rate // down, history.scale.unit
        side = int(SIDE_SECONDS * rate) * down
        first, last = start - earlier - side, stop + later + side + down
        sound = means(history.stretch(channel, first, last), down) * unit
        return cls(sound, first, down, rate, unit**2 / 12 / down if unit < 1 else 0.0)

    def features(self, start: int, stop: int) -> np.ndarray:
        """A row of `SOUND` for the dip between its very edges, frames of the pass."""
        side = int(SIDE_SECONDS * self.rate)
        first = (start - self.origin) // self.down - side
        length = 2 * side + max(1, (stop - start) // self.down)
        sound = self.sound[first : first + length]
        before, after = sound[:side], sound[len(sound) - side :]
        if not is_tonal(before):
            return np.array(UNTOLD)
        left, beside = left_over_db(sound, side, len(sound) - side, self.rate, self.noise)
        phase, wander = phase_across(before, after, len(sound) - 2 * side)
        return np.array((left - beside, beside, phase, min(wander, 1.0)))
