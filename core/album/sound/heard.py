"""One capture's sound as it is held against another's."""

from __future__ import annotations

import numpy as np

from core.album.levels import Levels, levels_of
from core.album.sound.spectra import WORK_HZ, Floats
from core.values import dataclass


@dataclass(frozen=True, slots=True, eq=False)
class Heard:
    """One capture's sound as it is compared: one row at 8 kHz, and its levels."""

    sound: Floats
    levels: Levels

    @classmethod
    def of(cls, sound: Floats, rate: float, levels: Levels | None = None) -> Heard:
        """From decoded sound, one row of full scale 1 at any rate."""
        return cls(at_rate(sound, rate, WORK_HZ), levels_of(sound, rate) if levels is None else levels)

    @property
    def seconds(self) -> float:
        """How long it is."""
        return len(self.sound) / WORK_HZ

    def part(self, first: float, last: float) -> Heard:
        """Only these seconds of it."""
        sound = self.sound[round(first * WORK_HZ) : round(last * WORK_HZ)]
        rows = slice(round(first * self.levels.hertz), round(last * self.levels.hertz))
        return Heard(sound, Levels(self.levels.hertz, self.levels.halves[:, rows]))


def at_rate(sound: Floats, rate: float, wanted: float) -> Floats:
    """One row at another rate."""
    import soxr

    if rate == wanted:
        return sound
    return np.asarray(soxr.resample(sound, rate, wanted, quality="MQ"), np.float32)
