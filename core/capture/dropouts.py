"""Dropouts: the level falls and soon returns in a sound that goes on.

Three steps. The energies of the windows show where a channel falls fast out of steady sound and is back
within half a second at a like level; there the samples themselves are looked at; and at the end of the
pass the gaps of a channel are held against one another, since what happens again and again is played.
"""

from __future__ import annotations

from collections.abc import Sequence
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
"""Windows that are kept before the fall and after the return."""
_SIDE, _PART, _NEAREST = 35, 7, 15
"""Windows of sound on either side that must be steady, in parts of so many."""
_EDGE = 3
"""Windows at the edges of a gap that belong to neither."""
_WAVE = 9
"""Windows that hold a wave of the lowest note."""
_UNSTEADY_DB = 7.25
_LOWER_DB, _CLEAR_DB = 1.0, 6.0
_CLEARLY_DB, _CLEAR_NOISE_DB = 14.0, 8.5
"""A gap is lower by so much than anything beside it: in a low note that goes on in phase, in any other
sound that goes on, and where nothing but the level tells: in tonal sound, and in noise."""
_ALIKE, _ALIKE_NOISE = 0.8, 0.6
"""Likeness of the spectra on both sides where little else tells that the sound goes on."""
_STEADY, _PREDICTABLE = 0.03, 0.12
"""Turns by which partials may wander over a gap for their phase to be proof, and to tell anything."""
_IN_PHASE, _CLOSELY_IN_PHASE, _SURELY_IN_PHASE = 0.88, 0.95, 0.998
_SAME = 0.65
"""Likeness of the spectra on both sides without which nothing goes on beneath, whatever the filter leaves."""
_SLACK_DB = 1.5
_RESTS, _NEAR_SECONDS = 4, 5.0
"""So many falls to a like level so near are rests, where nothing tells that the sound went on."""
_HABIT, _HABIT_SECONDS = 8, 120.0
"""So many falls as low, and so many as long, within so long are how the channel is played."""
_SHORT_REST = 0.02
"""Rests between notes are hardly ever shorter."""
_OFTEN, _OFTEN_SECONDS = 6, 2.5
"""So many like gaps so near are a tremolo or a gate, whatever goes on beneath."""


@dataclass(frozen=True, slots=True)
class Dropout:
    """A place where a channel drops out."""

    channel: int
    start: int
    stop: int
    depth_db: float


@dataclass(frozen=True, slots=True)
class Fall:
    """A fast fall of a channel, whatever comes after it."""

    seconds: float
    """When."""
    length: float
    """Seconds until the level is back; half a second if it is not."""
    bottom_db: float


class Dropouts:
    """Finds dropouts while the pass goes by."""

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
        self._falls: list[list[Fall]] = [[] for _ in range(history.channels)]
        self._gaps: list[Gap] = []

    def add(self, windows: Windows) -> None:
        """Take one group's energies and look at the falls that lie far enough back."""
        window = self._history.window
        sums = windows.parts.sum(axis=2)
        # The offset is that of the whole group: that of a window would take the lowest notes off too.
        offset = sums.mean(axis=1, keepdims=True) / window
        energy = np.maximum(windows.energy - 2 * offset * sums + window * offset**2, 1e-12)
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
        falls = (levels[:, zone] <= before - (FALL_DB - _SLACK_DB)) & (before >= QUIETEST_DBFS)
        if not falls.any():
            return
        channels, at = np.nonzero(falls)
        at += _BEFORE
        context = levels[channels[:, None], at[:, None] - np.arange(5, 20)]
        usual = levels[channels, at] > context.min(axis=1) - 3.0
        fresh = self._end - levels.shape[1] + at >= self._done[channels]
        channels, at = channels[~usual & fresh], at[~usual & fresh]
        ahead = levels[channels[:, None], at[:, None] + np.arange(1, self._long + _WAVE + 1)]
        returns = ahead >= (before[channels, at - _BEFORE] - LIKE_DB - _SLACK_DB)[:, None]
        # In a low note the level comes and goes with every wave, so that it must be back twice.
        so_far = np.cumsum(returns, axis=1)
        back = returns[:, : self._long] & (so_far[:, _WAVE:] > so_far[:, : self._long])
        lengths = np.where(back.any(axis=1), back.argmax(axis=1) + 1, 0)
        for channel, fall, length in zip(channels.tolist(), at.tolist(), lengths.tolist(), strict=True):
            self._fall(channel, fall, length)

    def _fall(self, channel: int, at: int, back: int) -> None:
        """One window far below the sound before it, which is back so many windows later, or never if 0."""
        window = self._end - self._levels.shape[1] + at
        if window < self._done[channel]:
            return
        levels = self._levels[channel]
        length = back or self._long
        self._done[channel] = window + (back or self._long // 4)
        bottom = lowest(levels[at : at + length], (length + 1) // 2)
        seconds = self._window_seconds
        self._falls[channel].append(Fall(window * seconds, length * seconds, bottom))
        if not back or not steady_around(levels, at, at + length):
            return
        clear = clear_of(levels, at, at + length) - bottom
        if clear < _LOWER_DB:
            return
        gap = examine(self._history, channel, window, window + length, bottom, clear)
        if gap is not None:
            self._gaps.append(gap)

    def places(self) -> list[Dropout]:
        """All dropouts, in order; rests between notes, tremolo and gates are left out."""
        found = []
        for channel in range(self._history.channels):
            likely = [gap for gap in self._gaps if gap.channel == channel and _fits(gap)
                      and goes_on(gap, self._falls[channel], self._history.sample_rate)]  # fmt: skip
            found += [Dropout(channel, gap.start, gap.stop, gap.depth_db) for gap in likely
                      if not played(gap, likely, self._history.sample_rate)]  # fmt: skip
        return found


def lowest(levels: np.ndarray, span: int) -> float:
    """Level of the quietest stretch of so many windows."""
    sums = np.cumsum(np.concatenate(([0.0], 10.0 ** (levels.astype(np.float64) / 10))))
    span = min(span, len(levels))
    return float(10 * np.log10(max(1e-20, (sums[span:] - sums[:-span]).min() / span)))


def _sides(levels: np.ndarray, fall: int, back: int, size: int) -> tuple[np.ndarray, np.ndarray]:
    """So many windows before a fall and after a return, without those at its edges."""
    first, last = fall - _EDGE, back + _EDGE - 1
    return levels[first - size : first], levels[last : last + size]


def steady_around(levels: np.ndarray, fall: int, back: int) -> bool:
    """Whether the sound on either side of a gap is steady, and of like level on both."""
    before, after = (10.0 ** (side / 10) for side in _sides(levels, fall, back, _SIDE))
    for power in (before, after):
        steps = _decibels(power.reshape(-1, _PART).mean(axis=1))
        if steps.max() - steps.min() > _UNSTEADY_DB:
            return False
    near = [float(_decibels(power.mean())) for power in (before[-_NEAREST:], after[:_NEAREST])]
    return abs(near[0] - near[1]) <= LIKE_DB + 2.5


def clear_of(levels: np.ndarray, fall: int, back: int) -> float:
    """Level of the quietest stretch beside a gap that is half as long as the gap."""
    span = (back - fall + 1) // 2
    return min(lowest(side, span) for side in _sides(levels, fall, back, _SIDE))


def _decibels(power: np.ndarray) -> np.ndarray:
    levels: np.ndarray = 10 * np.log10(power)
    return levels


def _fits(gap: Gap) -> bool:
    long_enough = SHORTEST_SECONDS - 0.0007 <= gap.seconds <= LONGEST_SECONDS + 0.01
    return long_enough and gap.depth_db >= FALL_DB - 2.0 and max(gap.depth_db, gap.clear_db) >= FALL_DB - 0.2


def goes_on(gap: Gap, falls: Sequence[Fall], rate: int) -> bool:
    """Whether a gap hides a sound that went on, and is no rest between notes.

    The same sound beneath it tells that at once. A note that is struck again starts with a phase of its
    own. Where phase tells nothing, as in noise and with vibrato, a channel that falls as low or as long
    again and again has rests.
    """
    told = gap.wander < _PREDICTABLE and gap.phase > _IN_PHASE and gap.alike > _ALIKE
    if gap.clear_db < _CLEAR_DB and not told:
        return False
    if gap.beneath and gap.alike >= _SAME:
        return True
    if told and gap.phase > _CLOSELY_IN_PHASE and gap.seconds < _SHORT_REST:
        return True
    if gap.wander < _STEADY and gap.phase > _SURELY_IN_PHASE:
        return True
    alike, clear = (_ALIKE, _CLEARLY_DB) if gap.tonal else (_ALIKE_NOISE, _CLEAR_NOISE_DB)
    if gap.alike < alike or gap.clear_db < clear or (gap.wander < _PREDICTABLE and not told):
        return False
    if gap.seconds >= _SHORT_REST and not gap.even:
        return False
    return not rests_around(gap, falls, gap.start / rate)


def rests_around(gap: Gap, falls: Sequence[Fall], at: float) -> bool:
    """Whether the channel falls so often about a gap that this is its way: as low, as long, or just often.

    A rest ends at the channel's own noise: what lies far below that is none.
    """
    others = [one for one in falls if abs(one.seconds - at) < _HABIT_SECONDS
              and not one.seconds - 0.02 < at < one.seconds + one.length]  # fmt: skip
    as_low = sum(abs(one.bottom_db - gap.bottom_db) < 6 for one in others)
    if min(as_low, sum(0.5 < one.length / gap.seconds < 2 for one in others)) >= _HABIT:
        return True
    near = [one for one in others if abs(one.seconds - at) < _NEAR_SECONDS]
    if len(near) < _RESTS:
        return False
    floor = float(np.percentile([one.bottom_db for one in near], 25))
    if gap.bottom_db < floor - 10:
        return False
    shortest = min(0.4 * gap.seconds, 0.04)
    longest = 3 * gap.seconds if gap.seconds < _SHORT_REST else 1.0
    low = [
        one for one in near if shortest < one.length < longest
        and (abs(one.bottom_db - gap.bottom_db) < 6 or max(one.bottom_db, gap.bottom_db) < floor + 10)
    ]  # fmt: skip
    if len(low) >= _RESTS:
        return True
    if not gap.tonal and gap.even and (gap.seconds < _SHORT_REST or gap.bottom_db > floor + 12):
        return False
    as_long = [one for one in near if 0.5 < one.length / gap.seconds < 2]
    return len(as_long) >= 2 * _RESTS or len(near) >= 4 * _RESTS


def played(gap: Gap, gaps: Sequence[Gap], rate: int) -> bool:
    """Whether a gap is one of many that are alike in length and depth: a tremolo, or a gate on a clock."""
    reach = _OFTEN_SECONDS * rate
    like = [
        one for one in gaps
        if one is not gap and abs(one.start - gap.start) < reach and abs(one.depth_db - gap.depth_db) < 4
        and 0.6 < one.seconds / gap.seconds < 1.6
    ]  # fmt: skip
    return len(like) >= _OFTEN
