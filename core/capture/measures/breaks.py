"""Moments at which the sound of a track breaks: what came before does not tell what comes, for a millisecond.

The low sounds of a track, up to 1.5 kHz, are told ahead from what they were (linear prediction, J. Makhoul,
Proceedings of the IEEE 63, 1975); where that fails for a moment and holds again, the waveform was cut.
"""

from __future__ import annotations

import numpy as np

from core.capture.files.samples import means_of
from core.capture.measures.history import History
from core.capture.measures.loud.decibels import decibels
from core.capture.measures.sliding import highest_along, sums_along
from core.capture.measures.windows import PARTS, Windows

ORDER = 20
PARTS_A_STEP = 4
_SIDE, _CLEAR = 12, 3
"""Steps on either side that one is held against, and how many next to it are left out."""
_REACH = _SIDE + _CLEAR
BREAKS_DB = 3.0
SOUNDS_DBFS = -55.0
FIRST_SECONDS = 0.3
_FAINT = 1e-11
_BLOCK = 16
"""Samples that are told ahead by one product."""


class Breaks:
    """Takes group after group; the result does not depend on how the pass was cut into blocks."""

    def __init__(self, history: History) -> None:
        self._part = history.window // PARTS
        self._step_seconds = PARTS_A_STEP * self._part / history.sample_rate
        self._unit = np.float32(history.scale.unit / self._part)
        self._power = history.scale.unit**2 / history.window
        channels = history.channels
        self._tail = np.zeros((channels, ORDER), np.float32)
        self._kept = np.full((2, channels, 2 * _REACH), 10 * np.log10(_FAINT), np.float32)
        self._done = 0
        self._found: list[tuple[np.ndarray, np.ndarray, np.ndarray]] = []
        self._channels = channels

    def add(self, windows: Windows) -> None:
        """Take one group in."""
        steps = -(-windows.chunk.frames // (self._part * PARTS_A_STEP))
        parts = windows.parts.reshape(len(windows.parts), -1).astype(np.float32) * self._unit
        left = _unforeseen(np.concatenate((self._tail, parts), axis=1))
        self._tail = parts[:, -ORDER:]
        energy = np.repeat(windows.energy.astype(np.float32) * np.float32(self._power), 2, axis=1)
        fresh = np.stack((means_of(left, PARTS_A_STEP), energy))
        fresh = decibels(np.maximum(fresh[:, :, :steps], _FAINT))
        level = np.concatenate((self._kept, fresh), axis=2)
        if level.shape[2] > 2 * _REACH:
            self._look(level[0], level[1])
        self._kept = level[:, :, -2 * _REACH :]
        self._done += steps

    def _look(self, left: np.ndarray, level: np.ndarray) -> None:
        """Breaks in what was left over, by steps of which the first is `_done` less what was kept."""
        count = left.shape[1] - 2 * _REACH
        highest, mean = highest_along(left, _SIDE), sums_along(level, _SIDE) / _SIDE
        ahead = slice(_REACH + _CLEAR, _REACH + _CLEAR + count)
        beside = np.maximum(highest[:, :count], highest[:, ahead])
        sounds = np.maximum(mean[:, :count], mean[:, ahead]) > SOUNDS_DBFS
        breaks = (left[:, _REACH : _REACH + count] - beside > BREAKS_DB) & sounds
        first = self._done - _REACH
        at = np.flatnonzero(breaks.any(axis=0))
        at = at[first + at > FIRST_SECONDS / self._step_seconds]  # before it, sound begins
        self._found.append((first + at, breaks[:, at].T, sounds[:, at].T))

    def moments(self) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        """Seconds of moments at which tracks break; which do within 4 ms, which sound: moments by tracks."""
        if not self._found:
            none = np.zeros((0, self._channels), bool)
            return np.zeros(0), none, none
        steps, breaks, sounds = (np.concatenate(column) for column in zip(*self._found, strict=True))
        if not len(steps):
            return steps.astype(float), breaks, sounds
        firsts = np.flatnonzero(np.diff(steps, prepend=-9) > 2)
        middle = np.add.reduceat(steps, firsts) / np.diff(firsts, append=len(steps))
        return ((middle + 0.5) * self._step_seconds, np.logical_or.reduceat(breaks, firsts, axis=0),
                np.logical_or.reduceat(sounds, firsts, axis=0))  # fmt: skip


def _unforeseen(sound: np.ndarray) -> np.ndarray:
    """Square of what linear prediction over the stretch does not tell; the first `ORDER` samples lead in."""
    size = sound.shape[1]
    alike = np.stack(
        [np.vecdot(sound[:, lag:], sound[:, : size - lag]) for lag in range(ORDER + 1)], axis=1
    ).astype(np.float64)
    alike[:, 0] = alike[:, 0] * 1.0001 + 1e-9
    order = np.arange(ORDER)
    square = alike[:, np.abs(order[:, None] - order)]
    ahead = np.linalg.solve(square, alike[:, 1:, None])[:, :, 0].astype(np.float32)
    taps = np.concatenate((-ahead[:, ::-1], np.ones((len(ahead), 1), np.float32)), axis=1)
    blocks = np.lib.stride_tricks.sliding_window_view(sound, _BLOCK + ORDER, axis=1)[:, ::_BLOCK]
    left: np.ndarray = np.matmul(blocks, _slanting(taps)).reshape(len(sound), -1)
    left *= left
    return left


def _slanting(taps: np.ndarray) -> np.ndarray:
    """By row of taps the matrix that takes them along a block, from the first sample on."""
    rows, count = taps.shape
    matrix = np.zeros((rows, _BLOCK, _BLOCK + count), np.float32)
    matrix[:, :, :count] = taps[:, None]
    # Rows that are one too long slant when they are cut anew.
    flat = matrix.reshape(rows, -1)[:, : _BLOCK * (_BLOCK + count - 1)]
    return flat.reshape(rows, _BLOCK, -1).swapaxes(1, 2)
