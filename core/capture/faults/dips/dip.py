"""One dip as a value: where it lies, how far it fell, and all that tells what it is."""

from __future__ import annotations

import numpy as np

from core.values import dataclass


@dataclass(frozen=True, slots=True)
class Dip:
    """A place where the level of a channel falls fast and is back within half a second."""

    channel: int
    start: int
    """Frame of the pass at which it falls."""
    stop: int
    depth_db: float
    bottom_db: float
    sound_db: float
    """Level of the sound beside it, the weaker side, dB of full scale."""
    features: np.ndarray
    """As named in `LEVELS`, `SPECTRAL` and `SOUND`."""
    bands: np.ndarray
    """Falls and returns band by band, and the colours before and after: what a dip like it would share."""
    treble_db: float
    """By how much more its treble fell than its bass; spacing does that."""
