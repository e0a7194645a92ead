"""Programme loudness by ITU-R BS.1770-4: K-weighting, overlapping blocks of 400 ms, two gates."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from core.capture.measures.history import Fresh
from core.capture.measures.loud.k_weighted import BlockFilter

STEP_SECONDS = 0.1
"""A block of 400 ms is four of these; the next begins one later (BS.1770-4, annex 1)."""
STEPS_A_BLOCK = 4
OFFSET = -0.691
"""So that a 997 Hz sine at full scale in one channel is at -3.01 LUFS (BS.1770-4, annex 1)."""
ABSOLUTE_LUFS = -70.0
RELATIVE_LU = -10.0
# The analogue filters whose bilinear transforms at 48 kHz are the tables of annex 1.
_SHELF = (1681.974450955533, 3.999843853973347, 0.7071752369554196)
_HIGH_PASS = (38.13547087602444, 0.5003270373238773)


def k_weighting(sample_rate: int) -> np.ndarray:
    """The two sections of the K-weighting filter at that rate, as rows of ``scipy.signal`` sections."""
    f0, gain_db, q = _SHELF
    k = np.tan(np.pi * f0 / sample_rate)
    high = 10 ** (gain_db / 20)
    band = high**0.4996667741545416
    a0 = 1 + k / q + k * k
    shelf = [
        (high + band * k / q + k * k) / a0,
        2 * (k * k - high) / a0,
        (high - band * k / q + k * k) / a0,
        1.0,
        2 * (k * k - 1) / a0,
        (1 - k / q + k * k) / a0,
    ]
    f0, q = _HIGH_PASS
    k = np.tan(np.pi * f0 / sample_rate)
    a0 = 1 + k / q + k * k
    high_pass = [1.0, -2.0, 1.0, 1.0, 2 * (k * k - 1) / a0, (1 - k / q + k * k) / a0]
    return np.array([shelf, high_pass])


class Programme:
    """Follows the loudness of a mix of one or two channels (more are taken as front channels)."""

    def __init__(self, channels: int, sample_rate: int, unit: float) -> None:
        self._weighted = BlockFilter(k_weighting(sample_rate), channels)
        self._rate, self._unit = sample_rate, unit
        self._frames = 0
        self._steps: list[float] = [0.0]

    def take(self, chunk: Fresh) -> None:
        """Weigh one chunk; the frames after the end of the mix are left out."""
        heard, at = self._weighted(chunk.samples), 0
        while at < chunk.frames:
            end = round(len(self._steps) * STEP_SECONDS * self._rate)
            some = heard[:, at : min(chunk.frames, at + end - self._frames)]
            self._steps[-1] += float(np.vecdot(some, some).sum(dtype=np.float64))
            self._frames += some.shape[1]
            at += some.shape[1]
            if self._frames == end:
                self._steps.append(0.0)

    def integrated(self) -> float | None:
        """Loudness of the whole in LUFS; None for what is shorter than a block or below the gates."""
        steps = np.array(self._steps[:-1]) * self._unit**2 / (STEP_SECONDS * self._rate)
        if len(steps) < STEPS_A_BLOCK:
            return None
        blocks = np.convolve(steps, np.full(STEPS_A_BLOCK, 1 / STEPS_A_BLOCK), "valid")
        loud = blocks[blocks > _power(ABSOLUTE_LUFS)]
        if not len(loud):
            return None
        loud = loud[loud > _power(_lufs(loud) + RELATIVE_LU)]
        return _lufs(loud)


def _lufs(blocks: NDArray[np.float64]) -> float:
    return OFFSET + 10 * float(np.log10(np.mean(blocks)))


def _power(lufs: float) -> float:
    return float(10 ** ((lufs - OFFSET) / 10))
