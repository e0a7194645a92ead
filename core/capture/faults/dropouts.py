"""Dropouts: the level falls and soon returns in a sound that goes on.

Three steps. The energies of the windows show where a channel falls fast out of steady sound and is back
within half a second at a like level; there the samples themselves are looked at; and at the end of the
pass the gaps of a channel are held against one another, since what happens again and again is played.
"""

from __future__ import annotations

import numpy as np

from core.capture.faults.dips.dips import Dips
from core.capture.faults.dips.grade import Graded, graded
from core.capture.faults.falls import (
    FALL_DB,
    LIKE_DB,
    PITCH,
    Fall,
    alike_around,
    lowest,
    lowest_beside,
    offset_of,
    sides,
    steady_around,
)
from core.capture.faults.gaps.continuity import LONGEST_SECONDS, Gap, examine
from core.capture.faults.gaps.rests import goes_on, played
from core.capture.measures.history import WINDOWS_A_GROUP, History
from core.capture.measures.loud.decibels import decibels, powers
from core.capture.measures.windows import PARTS, Windows
from core.values import dataclass

QUIETEST_DBFS = -60.0
"""Below this a sound is not looked at for dropouts."""

_BEFORE, _AFTER = 56, 48
"""Windows that are kept before the fall and after the return."""
_WAVE = 9
"""Windows that hold a wave of the lowest note."""
_LOWER_DB = 1.0
"""A gap is lower by so much than anything beside it, or it is not looked at."""
_SLACK_DB = 1.5
_OFFSET = 0.0003
"""A steady offset from such a part of full scale on is taken off: it would pass for a sound that goes on."""

assert _BEFORE > PITCH and _AFTER > PITCH + 1


@dataclass(frozen=True, slots=True)
class Dropout:
    """A place where a channel drops out."""

    channel: int
    start: int
    stop: int
    depth_db: float


class Dropouts:
    """Finds dropouts while the pass goes by."""

    def __init__(self, history: History) -> None:
        self._history = history
        self._window_seconds = history.window / history.sample_rate
        self._long = int(np.ceil(LONGEST_SECONDS / self._window_seconds)) + 2
        size = _BEFORE + WINDOWS_A_GROUP + self._long + _AFTER
        self._levels = np.full((history.channels, size), -200.0, np.float32)
        self._parts = np.zeros((history.channels, size, PARTS), np.float32)
        self._end = 0
        """Windows of the pass so far."""
        self._done = np.zeros(history.channels, np.int64)
        """Per channel the window up to which it was dealt with."""
        self._sums = np.zeros(history.channels)
        """Per channel the sum of all samples so far, of which its steady offset is told."""
        self._falls: list[list[Fall]] = [[] for _ in range(history.channels)]
        self._gaps: list[Gap] = []
        self.dips = Dips(history)

    def add(self, windows: Windows) -> None:
        """Take one group's energies and look at the falls that lie far enough back."""
        window = self._history.window
        sums = windows.sums
        self._sums += sums.sum(axis=1, dtype=np.float64)
        offset = offset_of(windows.energy, sums, window)
        energy = np.maximum(windows.energy - 2 * offset * sums + window * offset**2, 1e-12)
        scale = 20 * np.log10(self._history.scale.unit) - 10 * np.log10(self._history.window)
        self._push(decibels(energy) + np.float32(scale), windows.parts)

    def _push(self, levels: np.ndarray, parts: np.ndarray) -> None:
        for kept, fresh in ((self._levels, levels), (self._parts, parts)):
            count = fresh.shape[1]
            kept[:, :-count] = kept[:, count:]
            kept[:, -count:] = fresh
        self._end += levels.shape[1]
        self._look()

    def finish(self, silent: float = -200.0) -> None:
        """Let the end of the pass run through."""
        shape = self._history.channels, WINDOWS_A_GROUP
        for _ in range(-(-(self._long + _AFTER) // WINDOWS_A_GROUP)):
            self._push(np.full(shape, silent, np.float32), np.zeros((*shape, PARTS), np.float32))

    def _look(self) -> None:
        """Note the falls of a group, and examine those that can be dropouts."""
        channels, at, backs = self._back_again(*self._fallen())
        if not len(at):
            return
        begin = self._end - self._levels.shape[1]
        self.dips.take(self._levels, channels, at, backs, begin)
        use = np.flatnonzero(steady_around(*sides(self._levels, channels, at, backs)))
        use = use[alike_around(self._parts, channels[use], at[use], backs[use])]
        self._look_closely(channels[use], at[use], backs[use], begin)

    def _look_closely(self, channels: np.ndarray, at: np.ndarray, backs: np.ndarray, begin: int) -> None:
        """Examine falls that are lower than what is beside them."""
        spans = (backs - at + 1) // 2
        beside = lowest_beside(sides(self._levels, channels, at, backs), spans)
        rows = zip(
            channels.tolist(), at.tolist(), backs.tolist(), spans.tolist(), beside.tolist(), strict=True
        )
        for channel, fall, back, span, least in rows:
            bottom = lowest(self._levels[channel, fall:back], span)
            if least - bottom >= _LOWER_DB:
                place = channel, begin + fall, begin + back, self._offset(channel)
                gap = examine(self._history, *place, bottom, least - bottom)
                self._gaps += [gap] if gap is not None else []

    def _offset(self, channel: int) -> float:
        """Offset of a channel by all that was heard of it; none if it is no more than chance."""
        offset = float(self._sums[channel]) / (self._end * self._history.window)
        return offset if abs(offset) * self._history.scale.unit >= _OFFSET else 0.0

    def _fallen(self) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        """Channels and windows of a group far below the sound just before, and that sound's level."""
        levels = self._levels
        zone = slice(_BEFORE, _BEFORE + WINDOWS_A_GROUP)
        near, far, farther = (levels[:, _BEFORE - back : zone.stop - back] for back in (2, 3, 4))
        before = np.maximum(np.maximum(near, far), farther)
        falls = (levels[:, zone] <= before - (FALL_DB - _SLACK_DB)) & (before >= QUIETEST_DBFS)
        channels, at = np.nonzero(falls)
        own = before[channels, at]
        at += _BEFORE
        context = levels[channels[:, None], at[:, None] - np.arange(5, 20)]
        usual = levels[channels, at] > context.min(axis=1, initial=200.0) - 3.0
        fresh = self._end - levels.shape[1] + at >= self._done[channels]
        use = ~usual & fresh
        return channels[use], at[use], own[use]

    def _back_again(self, channels: np.ndarray, at: np.ndarray,
                    before: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:  # fmt: skip
        """Channels, falls and returns of those that are back in time; all are noted."""
        levels = self._levels
        ahead = levels[channels[:, None], at[:, None] + np.arange(1, self._long + _WAVE + 1)]
        wave = levels[channels[:, None], at[:, None] - np.arange(2, 2 + _WAVE)]
        own = np.maximum(before, decibels(powers(wave).mean(axis=1)))
        returns = ahead >= (own - LIKE_DB - _SLACK_DB)[:, None]
        # In a low note the level comes and goes with every wave, so that it must be back twice.
        so_far = np.cumsum(returns, axis=1)
        back = returns[:, : self._long] & (so_far[:, _WAVE:] > so_far[:, : self._long])
        lengths = np.where(back.any(axis=1), back.argmax(axis=1) + 1, 0)
        noted = [
            self._note(*one) for one in zip(channels.tolist(), at.tolist(), lengths.tolist(), strict=True)
        ]
        use = np.array(noted, bool)
        return channels[use], at[use], (at + lengths)[use]

    def _note(self, channel: int, at: int, back: int) -> bool:
        """Note one fall, which is back so many windows later, or never if 0; whether to look at it."""
        window = self._end - self._levels.shape[1] + at
        if window < self._done[channel]:
            return False
        length = back or self._long
        self._done[channel] = window + (back or self._long // 4)
        bottom = lowest(self._levels[channel, at : at + length], (length + 1) // 2)
        seconds = self._window_seconds
        self._falls[channel].append(Fall(window * seconds, length * seconds, bottom))
        return back > 0

    def falls(self, channel: int) -> list[Fall]:
        """All fast falls of a channel so far, in order."""
        return self._falls[channel]

    def graded(self) -> list[Graded]:
        """Every dip of the pass with how surely it is a dropout."""
        rate, window = self._history.sample_rate, self._history.window
        found: list[Graded] = []
        for channel, falls in enumerate(self._falls):
            dips = [dip for dip in self.dips.found if dip.channel == channel]
            found += graded(dips, falls, rate, window)
        return found

    def places(self) -> list[Dropout]:
        """All dropouts, in order; rests between notes, tremolo and gates are left out."""
        found, rate = [], self._history.sample_rate
        for channel, falls in enumerate(self._falls):
            likely = [gap for gap in self._gaps if gap.channel == channel and goes_on(gap, falls, rate)]
            found += [Dropout(channel, gap.start, gap.stop, gap.depth_db) for gap in likely
                      if not played(gap, likely, falls, rate)]  # fmt: skip
        return found
