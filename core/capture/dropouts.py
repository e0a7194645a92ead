"""Dropouts: the level falls and soon returns in a sound that goes on.

Two steps. The energies of the windows show where a channel falls fast out of steady sound and is back
within half a second at a like level; only there the samples themselves are looked at.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from core.capture.continuity import Gap, examine
from core.capture.history import WINDOWS_A_GROUP, History
from core.capture.windows import Windows

FALL_DB = 12.0
LIKE_DB = 6.0
SHORTEST_SECONDS, LONGEST_SECONDS = 0.005, 0.5
QUIETEST_DBFS = -60.0
"""Below this a sound is not looked at for dropouts."""

_BEFORE, _AFTER = 56, 48
"""Windows of steady sound that are looked at before the fall and after the return."""
_EDGE = 4
_SLACK_DB = 1.5
LONG_SECONDS = 0.03
"""A gap of this length could be a rest between notes, and needs better evidence."""
_RESTS = 4
"""So many long gaps around a place are rests."""
_NEAR_SECONDS = 5.0


@dataclass(frozen=True, slots=True)
class Dropout:
    """A place where a channel drops out."""

    channel: int
    start: int
    stop: int
    depth_db: float


class Dropouts:
    """Finds dropouts while the pass goes by; `skip` are channels that carry timecode or the like."""

    def __init__(self, history: History) -> None:
        self._history = history
        self._window_seconds = history.window / history.sample_rate
        self._long = int(np.ceil(LONGEST_SECONDS / self._window_seconds)) + 2
        size = _BEFORE + WINDOWS_A_GROUP + self._long + _AFTER
        self._levels = np.full((history.channels, size), -200.0, np.float32)
        self._end = 0
        """Windows of the pass so far."""
        self._done = np.zeros(history.channels, np.int64)
        """Per channel the window up to which it was dealt with."""
        self._falls: list[list[float]] = [[] for _ in range(history.channels)]
        """Seconds at which each channel falls fast, whatever comes after: where notes are gated."""
        self._gaps: list[Gap] = []

    def add(self, windows: Windows) -> None:
        """Take one group's energies and look at the falls that lie far enough back."""
        mean = windows.parts.sum(axis=2) ** 2 / self._history.window
        energy = np.maximum(windows.energy - mean, 1e-12)
        scale = 20 * np.log10(self._history.scale.unit) - 10 * np.log10(self._history.window)
        self._push(10 * np.log10(energy) + np.float32(scale))

    def _push(self, levels: np.ndarray) -> None:
        count = levels.shape[1]
        self._levels[:, :-count] = self._levels[:, count:]
        self._levels[:, -count:] = levels
        self._end += count
        self._look()

    def finish(self, silent: float = -200.0) -> None:
        """Let the end of the pass run through."""
        rest = np.full((self._history.channels, WINDOWS_A_GROUP), silent, np.float32)
        for _ in range(-(-(self._long + _AFTER) // WINDOWS_A_GROUP)):
            self._push(rest)

    def _look(self) -> None:
        levels = self._levels
        zone = slice(_BEFORE, _BEFORE + WINDOWS_A_GROUP)
        before = np.max([levels[:, _BEFORE - back : zone.stop - back] for back in (2, 3, 4)], axis=0)
        low = levels[:, zone]
        falls = (low <= before - (FALL_DB - _SLACK_DB)) & (before >= QUIETEST_DBFS)
        if not falls.any():
            return
        channels, at = np.nonzero(falls)
        at += _BEFORE
        context = levels[channels[:, None], at[:, None] - np.arange(5, _BEFORE)]
        # Whether the level before was steady, so that falling as low is not usual for this sound.
        steady = levels[channels, at] <= context.min(axis=1) - 4.0
        steady &= self._end - levels.shape[1] + at >= self._done[channels]
        channels, at = channels[steady], at[steady]
        ahead = levels[channels[:, None], at[:, None] + np.arange(1, self._long + 1)]
        returns = ahead >= (before[channels, at - _BEFORE] - LIKE_DB - _SLACK_DB)[:, None]
        for channel, fall, back in zip(channels.tolist(), at.tolist(), returns, strict=True):
            self._fall(channel, fall, back)

    def _fall(self, channel: int, at: int, returns: np.ndarray) -> None:
        """One window that lies far below the steady sound before it."""
        window = self._end - self._levels.shape[1] + at
        if window < self._done[channel]:
            return
        levels = self._levels[channel]
        back = np.flatnonzero(returns[:-1] & returns[1:])
        length = int(back[0]) + 1 if len(back) else self._long
        self._done[channel] = window + length
        if length * self._window_seconds >= LONG_SECONDS:
            self._falls[channel].append(window * self._window_seconds)
        if not len(back):
            return
        before = levels[at - 40 : at - 2]
        after = levels[at + length + 1 : at + length + 38]
        # The last windows may hold the sound coming back, wave by wave.
        inside = levels[at + 1 : at + length - _EDGE]
        if abs(_power_db(before) - _power_db(after)) > LIKE_DB + 1:
            return
        if np.percentile(after, 20) < levels[at] + 3:
            return
        if len(inside) and inside.max() > _power_db(before) - FALL_DB / 2:
            return
        gap = examine(self._history, channel, window, window + length)
        if gap is not None:
            self._gaps.append(gap)

    def places(self) -> list[Dropout]:
        """All dropouts, in order; gaps between gated notes are left out."""
        found = []
        for gap in self._gaps:
            if not SHORTEST_SECONDS - 0.0015 <= gap.seconds <= LONGEST_SECONDS + 0.01:
                continue
            if not self._goes_on(gap):
                continue
            found.append(Dropout(gap.channel, gap.start, gap.stop, gap.depth_db))
        return found

    def _goes_on(self, gap: Gap) -> bool:
        """Whether the gap hides a sound that went on, and is no rest between notes.

        Notes that are struck again start with a phase of their own; noise has none to tell by. Where a
        channel breaks off again and again, a long gap is taken as one more rest.
        """
        if gap.heard_beneath:
            return True
        if not gap.alike or (gap.tonal and (not gap.in_phase or self._struck_again(gap))):
            return False
        at = gap.start / self._history.sample_rate
        near = [fall for fall in self._falls[gap.channel] if abs(fall - at) < _NEAR_SECONDS]
        return gap.seconds < LONG_SECONDS or len(near) < _RESTS

    def _struck_again(self, gap: Gap) -> bool:
        """Whether notes end and begin with gaps of this length around here."""
        reach = 2 * _NEAR_SECONDS * self._history.sample_rate
        near = [
            one for one in self._gaps
            if one.channel == gap.channel and one is not gap and abs(one.start - gap.start) < reach
            and 0.4 < one.seconds / gap.seconds < 2.5
        ]  # fmt: skip
        return sum(not (one.in_phase or one.heard_beneath) for one in near) >= 2


def _power_db(levels: np.ndarray) -> float:
    return float(10 * np.log10(np.mean(10.0 ** (levels / 10))))
