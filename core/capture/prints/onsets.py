"""Where a track begins to sound after quiet: there, and hardly anywhere else, print-through is heard."""

from __future__ import annotations

import numpy as np

from core.album.levels import Levels
from core.capture.measures.loud.decibels import decibels
from core.values import dataclass

RISES_DB = 22.0
_QUIET_SECONDS, _SOUND_SECONDS = 0.7, 0.5
_LOUD_DBFS = -45.0
_BACK_SECONDS = 60.0
"""Quiet is followed so far back: longer than any turn of a pack lasts."""
_STRETCH_ROWS = 1 << 17
"""Rows that are looked at together, some 47 minutes."""
_BANDS = slice(3, None)
"""Above 560 Hz, where print-through is strongest at the usual speeds."""
_POWER = np.append(10 ** (np.arange(255, dtype=np.float32) / np.float32(-20)), np.float32(0))
"""By half decibels below full scale; 255 stands for nothing."""
_TOGETHER_SECONDS = 0.5
"""Tracks that begin so close to one another begin together."""


@dataclass(frozen=True, slots=True)
class Begins:
    """A track that begins to sound after so many seconds of quiet."""

    seconds: float
    channel: int
    rise_db: float
    quiet: float


@dataclass(frozen=True, slots=True)
class Onset:
    """A place at which tracks begin to sound."""

    seconds: float
    begins: tuple[Begins, ...]

    @property
    def worth(self) -> float:
        """How much there is to be heard before it."""
        return sum(one.rise_db for one in self.begins)


def onsets(levels: Levels) -> list[Onset]:
    """All of them, in order of time."""
    found = [one for channel in range(len(levels.halves)) for one in _of(levels, channel)]
    found.sort(key=lambda one: (one.seconds, one.channel))
    out: list[Onset] = []
    while found:
        first = found[0].seconds
        here = [one for one in found if one.seconds - first <= _TOGETHER_SECONDS]
        found = found[len(here) :]
        out.append(Onset(first, tuple({one.channel: one for one in reversed(here)}.values())))
    return out


def _of(levels: Levels, channel: int) -> list[Begins]:
    """Every onset of one channel, a stretch after another: of a day no more is held than of an hour."""
    quiet, sound = (round(seconds * levels.hertz) for seconds in (_QUIET_SECONDS, _SOUND_SECONDS))
    rows = levels.halves[channel, :, _BANDS]
    if len(rows) < quiet + sound:
        return []
    back = round(_BACK_SECONDS * levels.hertz)
    found: list[Begins] = []
    for first in range(0, len(rows), _STRETCH_ROWS):
        stop, start = min(first + _STRETCH_ROWS, len(rows)), max(0, first - back)
        # One row more tells whether a rise goes on, and as many more as its sound is measured over.
        level, lasts, rises = _rises(rows[start : stop + 1 + sound], quiet, sound, whole=not start)
        for last, rise in zip(lasts.tolist(), rises.tolist(), strict=True):
            if first <= start + last < stop:
                found.append(_begins(level, last, start, channel, rise, levels.hertz))
    return found


def _rises(
    rows: np.ndarray, quiet: int, sound: int, *, whole: bool
) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Levels of some rows, those up to which it is quiet, and the rises; `whole` from the start."""
    from scipy.ndimage import maximum_filter1d, uniform_filter1d

    power = np.zeros(len(rows), np.float32)
    for band in rows.T:
        power += _POWER[band]
    level = decibels(power + 1e-14)
    # The loudest of the time before each row, and the mean of the time after it.
    before = maximum_filter1d(level, quiet, origin=(quiet - 1) // 2, mode="nearest")
    after = decibels(uniform_filter1d(power, sound, origin=-(sound // 2), mode="nearest") + 1e-14)
    rise = np.where(after > _LOUD_DBFS, after - before, 0.0)
    if whole:
        rise[:quiet] = 0.0
    begins = np.concatenate(([False], rise > RISES_DB, [False]))
    lasts = np.flatnonzero(begins[1:-1] & ~begins[2:])
    return level, lasts, rise[lasts]


def _begins(level: np.ndarray, last: int, start: int, channel: int, rise: float, hertz: float) -> Begins:
    """The onset after row `last` of levels that begin at row `start`."""
    loud = np.flatnonzero(level[:last] > level[last] + RISES_DB / 2)
    quiet = last - (int(loud[-1]) + 1 if len(loud) else 0)
    return Begins((start + last) / hertz, channel, rise, quiet / hertz)
