"""What the sound tells of a dip: whether the same goes on beneath it, whether partials keep their phase."""

from __future__ import annotations

import numpy as np

from core.capture.faults.gaps.beneath import left_over_db
from core.capture.faults.gaps.continuity import RATE, SIDE_SECONDS
from core.capture.faults.gaps.partials import phase_across
from core.capture.measures.history import History
from core.capture.measures.likeness import is_tonal, means

SOUND = ("left_beneath_db", "left_beside_db", "phase", "wander")
"""What a filter that cancels the sound beside leaves in the dip and beside it; phase over it, its wander."""
UNTOLD = (30.0, 0.0, 0.0, 2.0)
"""Stands for a dip that was not looked at so closely, or is noise."""


def sound_features(history: History, channel: int, start: int, stop: int) -> np.ndarray:
    """A row of `SOUND` for a dip between two frames of the pass."""
    down = max(1, history.sample_rate // RATE)
    rate, unit = history.sample_rate // down, history.scale.unit
    side = int(SIDE_SECONDS * rate)
    origin = start - side * down
    length = 2 * side + max(1, (stop - start) // down)
    sound = means(history.stretch(channel, origin, origin + length * down), down) * unit
    first, last = side, len(sound) - side
    before, after = sound[:first], sound[last:]
    if not is_tonal(before):
        return np.array(UNTOLD)
    noise = unit**2 / 12 / down if unit < 1 else 0.0
    left, beside = left_over_db(sound, first, last, rate, noise)
    phase, wander = phase_across(before, after, last - first)
    return np.array((left - beside, beside, phase, min(wander, 1.0)))
