"""Where a track begins to sound after quiet: there, and hardly anywhere else, print-through is heard."""

from __future__ import annotations

import numpy as np

from core.album.levels import Levels
from core.capture.measures.loud.decibels import decibels, powers
from core.values import dataclass

RISES_DB, LEAVES_DB, ALL_RISE_DB = 22.0, 8.0, 12.0
"""How far above the loudest of the quiet some band rises at last, one is at once, and all are together."""
_QUIET_SECONDS, _SOUND_SECONDS = 0.7, 0.25
_LATER_SECONDS = 1.5
"""So long after its begin what a track plays is printed upon the quiet before, by the turns of most packs."""
_LOUD_DBFS = -45.0
_LISTENED_SECONDS = 3.0
"""More quiet than most turns last tells no more."""
_BACK_SECONDS = 60.0
"""Quiet is followed so far back: longer than any turn of a pack lasts."""
_STRETCH_ROWS = 1 << 17
"""Rows that are looked at together, some 47 minutes."""
_BANDS = slice(1, None)
_LESS_DB = np.array([-7.8, -3.4, -0.6, 0.0, -3.5], np.float32)
"""Above 140 Hz, and how much weaker each band is printed than the strongest, at 15 in/s."""
_CLEAR_DB, _HISS = 20.0, 0.2
"""A band that rises by less tells nothing of print; the part of the quiet that is no louder than hiss."""
_TOGETHER_SECONDS = 0.5
"""Tracks that begin so close to one another begin together."""


@dataclass(frozen=True, slots=True)
class Begins:
    """A track that begins to sound after so many seconds of quiet."""

    seconds: float
    channel: int
    worth: float
    """Decibels by which what is printed may stand out of the quiet, over all bands."""
    quiet: float

    @property
    def heard(self) -> float:
        """For how long, times by how much."""
        return self.worth * min(self.quiet, _LISTENED_SECONDS)


@dataclass(frozen=True, slots=True)
class Onset:
    """A place at which tracks begin to sound."""

    seconds: float
    begins: tuple[Begins, ...]

    @property
    def worth(self) -> float:
        """How much there is to be heard before it."""
        return sum(one.heard for one in self.begins)


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
    back, later = round(_BACK_SECONDS * levels.hertz), round(_LATER_SECONDS * levels.hertz)
    found: list[Begins] = []
    for first in range(0, len(rows), _STRETCH_ROWS):
        stop, start = min(first + _STRETCH_ROWS, len(rows)), max(0, first - back)
        # Some rows more tell whether a rise goes on, and what comes after it.
        level = rows[start : stop + later + sound].astype(np.float32) / -2
        lasts, after = _rises(level, quiet, sound, later, whole=not start)
        for last, loudest in zip(lasts.tolist(), after, strict=True):
            if first <= start + last < stop:
                near = level[max(0, last - back) : last + 1]
                count = _quiet_rows(near, quiet)
                worth = _worth(near[-1 - min(count, round(_LISTENED_SECONDS * levels.hertz)) :], loudest)
                found.append(Begins((start + last) / levels.hertz, channel, worth, count / levels.hertz))
    return found


def _rises(
    level: np.ndarray, quiet: int, sound: int, later: int, *, whole: bool
) -> tuple[np.ndarray, np.ndarray]:
    """Rows up to which it is quiet, of levels by bands, and the loudest after; `whole` from the start."""
    from scipy.ndimage import maximum_filter1d, uniform_filter1d

    # All bands together as another: in a pause of one alone it is not quiet.
    every = decibels(powers(level).sum(axis=1, keepdims=True))
    level = np.concatenate((level, every), axis=1)
    # The loudest of the time before each row, what follows at once, and the loudest for a while after.
    before = maximum_filter1d(level, quiet, axis=0, origin=(quiet - 1) // 2, mode="nearest")
    at_once = np.full_like(level, -200.0)
    np.minimum(level[1:-1], level[2:], out=at_once[:-2])
    means = decibels(uniform_filter1d(powers(level), sound, axis=0, origin=-(sound // 2), mode="nearest"))
    after = maximum_filter1d(means, later, axis=0, origin=-(later // 2), mode="nearest")
    rise = np.where(after > _LOUD_DBFS, after - before, 0.0)
    begins = (rise > RISES_DB).any(axis=1) & (at_once - before > LEAVES_DB).any(axis=1)
    begins &= after[:, -1] - before[:, -1] > ALL_RISE_DB
    if whole:
        begins[:quiet] = False
    lasts = np.flatnonzero(begins[:-1] & ~begins[1:])
    return lasts, after[lasts, :-1]


def _quiet_rows(level: np.ndarray, quiet: int) -> int:
    """How many of the last rows are as quiet as the very last."""
    usual = level[-quiet:].max(axis=0)
    loud = np.flatnonzero((level > usual + RISES_DB / 2).any(axis=1))
    return len(level) - 1 - (int(loud[-1]) + 1 if len(loud) else 0)


def _worth(level: np.ndarray, loudest: np.ndarray) -> float:
    """How clear of the hiss of that quiet the print of what comes may be, whether it is there or not."""
    at = int(_HISS * len(level))
    hiss = np.partition(level, at, axis=0)[at]
    return float(np.maximum(loudest - hiss + _LESS_DB - _CLEAR_DB, 0).sum())
