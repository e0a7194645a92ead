"""Where the tape was held back or jerked: its timecode runs slow or fast there, and soon as before."""

from __future__ import annotations

import numpy as np

from core.values import dataclass

STEP_SECONDS = 0.1
SMOOTH_STEPS = 4
AROUND_STEPS = 301
"""Steps whose middle is the speed about a place: half a minute."""
SHORTEST_SECONDS = 0.3
_SWAYS = 6.0
"""A sag stands out by so many times the usual sway of the speed."""
_APART_SECONDS = 1.0


@dataclass(frozen=True, slots=True)
class Sag:
    """A stretch that plays slow or fast against what is about it."""

    start: float
    """Seconds of the pass."""
    end: float
    percent: float
    """Where it is most; negative plays slow."""


def find_sags(seconds: np.ndarray, clock: np.ndarray, run: np.ndarray, least_percent: float) -> list[Sag]:
    """The sags of a track of timecode: where frames lie, what the clock says there, of which run each is."""
    found: list[Sag] = []
    for number in np.unique(run):
        mine = run == number
        found += _of_run(seconds[mine], np.abs(clock[mine] - clock[mine][0]), least_percent)
    return found


def _of_run(seconds: np.ndarray, clock: np.ndarray, least_percent: float) -> list[Sag]:
    from scipy.ndimage import median_filter, uniform_filter1d

    length = seconds[-1] - seconds[0]
    if length < 20 * SHORTEST_SECONDS:
        return []
    at = np.arange(seconds[0], seconds[-1], STEP_SECONDS)
    speed = np.diff(np.interp(at, seconds, clock)) / STEP_SECONDS
    smooth = uniform_filter1d(speed, SMOOTH_STEPS, mode="nearest")
    usual = median_filter(smooth, min(AROUND_STEPS, len(smooth) // 2 * 2 - 1), mode="nearest")
    off = 100 * (smooth / usual - 1)
    sway = 1.4826 * float(np.median(np.abs(off)))
    beyond = np.flatnonzero(np.abs(off) >= max(least_percent, _SWAYS * sway))
    if not len(beyond):
        return []
    found = []
    for part in np.split(beyond, np.flatnonzero(np.diff(beyond) > _APART_SECONDS / STEP_SECONDS) + 1):
        if len(part) * STEP_SECONDS >= SHORTEST_SECONDS:
            most = float(off[part][np.argmax(np.abs(off[part]))])
            found.append(Sag(float(at[part[0]]), float(at[part[-1]] + STEP_SECONDS), most))
    return found
