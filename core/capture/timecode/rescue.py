"""Reads code that the fast pass could not: frames are laid out between sync words, then read by their area.

Each half bit is the sum of the sound under it; the likeliest bits are those whose level changes fit all sums
together (two states, so both halves of every bit and the change between bits count: Viterbi's method).
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from core.capture.timecode.frames import NO_FRAMES, Frames, joined, read_words
from core.capture.timecode.syncs import Syncs, find_syncs
from core.capture.timecode.word import BITS, SYNC

HALVES = 2 * BITS
QUARTERS = 2 * HALVES

FAINT = 0.15
"""A bit with less than this share of the frame's usual area was not heard."""

Doubles = NDArray[np.float64]

_U = np.linspace(-1, 1, QUARTERS + 1)
_BEND = np.stack([np.ones_like(_U), _U, 1.5 * _U**2 - 0.5, 2.5 * _U**3 - 1.5 * _U], axis=1)
"""Cubic bend of the grid over a frame, at every quarter bit: what wow and flutter do to it."""
_AT_HALVES = _BEND[2:-2:2]
_PRODUCTS = (_AT_HALVES[:, :, None] * _AT_HALVES[:, None, :]).reshape(HALVES - 1, 16)


def rescue(sound: NDArray[np.float32], bits: Doubles, directions: tuple[int, ...] = (1, -1)) -> Frames:
    """Frames in a stretch of sound, with each of these bit lengths (in samples) thought possible.

    The labels are only likely: they count when neighbours agree. Places are in samples of the stretch.
    """
    syncs = find_syncs(sound, bits, directions)
    parts = []
    for direction in directions:
        grid = _grids(syncs, direction)
        if len(grid):
            parts.append(_read(sound, grid, direction))
    return joined(parts) if parts else NO_FRAMES


def _grids(syncs: Syncs, direction: int) -> Doubles:
    """Places of all quarter bits of every frame whose sync word has another at a frame's distance.

    Bit lengths come from the distance between sync words, up to four frames apart.
    """
    mine = syncs.direction == direction
    place, bit = syncs.place[mine], syncs.bit[mine]
    if len(place) < 2:
        return np.empty((0, QUARTERS + 1))
    apart = np.diff(place)
    rough = (bit[1:] + bit[:-1]) / 2 * BITS
    frames = np.clip(np.round(apart / rough), 1, 4)
    linked = np.abs(apart / (frames * rough) - 1) < 0.035
    exact = np.where(linked, apart / (frames * BITS), np.nan)
    left, right = np.append(np.nan, exact), np.append(exact, np.nan)
    left, right = np.where(np.isnan(left), right, left), np.where(np.isnan(right), left, right)
    known = ~np.isnan(left)
    place, left, right = place[known, None], left[known, None], right[known, None]
    of_sync = np.arange(QUARTERS + 1) / 4 - (BITS - len(SYNC) if direction > 0 else 0)
    return np.asarray(place + of_sync * np.where(of_sync < 0, left, right))


def _read(sound: NDArray[np.float32], grid: Doubles, direction: int) -> Frames:
    """What stands on these grids, after bending them to the level changes that were heard."""
    total = np.concatenate([[0], np.cumsum(sound, dtype=np.float64)])
    for _ in range(2):
        area = _areas(total, grid)
        _, levels = _likeliest(_halves(total, _with_neighbour(grid, direction)), direction)
        grid = _bent(grid, area, levels)
    grid = _bent(grid, _areas(total, grid), levels)
    halves = _halves(total, _with_neighbour(grid, direction))
    bits, _ = _likeliest(halves, direction)
    size = np.abs(halves[:, 0::2]) + np.abs(halves[:, 1::2])
    data = slice(1, 65) if direction > 0 else slice(len(SYNC), BITS)
    faint = (size[:, data] < FAINT * np.median(size, axis=1)[:, None]).any(axis=1)
    start, end = grid[:, 0], grid[:, -1]
    slack = (end - start) / HALVES / 2
    whole = (start > -0.5 - slack) & (end < len(sound) - 0.5 + slack) & ~faint
    words = bits[whole, :64] if direction > 0 else bits[whole, : len(SYNC) - 1 : -1]
    return read_words(
        words, start[whole], end[whole], direction, exact=False, clean=np.zeros(int(whole.sum()), np.bool_)
    )


def _with_neighbour(grid: Doubles, direction: int) -> Doubles:
    """The grid and, beside bit 0, the last bit of the neighbour's sync word: a 1 that holds bit 0 fast."""
    if direction > 0:
        step = grid[:, 1:2] - grid[:, :1]
        return np.concatenate([grid[:, :1] + step * np.arange(-4, 0), grid], axis=1)
    step = grid[:, -1:] - grid[:, -2:-1]
    return np.concatenate([grid, grid[:, -1:] + step * np.arange(1, 5)], axis=1)


def _running(total: Doubles, places: Doubles) -> Doubles:
    """Area of the sound up to places between samples; sample n lies from n - 1/2 to n + 1/2."""
    at = np.clip(places + 0.5, 0, len(total) - 1.0)
    whole = np.minimum(at.astype(np.int64), len(total) - 2)
    below = total[whole]
    return np.asarray(below + (at - whole) * (total[whole + 1] - below))


def _areas(total: Doubles, grid: Doubles) -> Doubles:
    """Area of the sound under each quarter bit."""
    return np.asarray(np.diff(_running(total, grid)))


def _halves(total: Doubles, grid: Doubles) -> Doubles:
    """Area of the sound under each half bit, without offset and hum."""
    return np.diff(_running(total, grid[:, ::2])) - _slow_parts(total, grid)


def _slow_parts(total: Doubles, grid: Doubles) -> Doubles:
    """What offset and hum add to the area of each half bit: the mean over the four bits to either side."""
    middle, width = grid[:, 1::2], grid[:, 2::2] - grid[:, :-2:2]
    low, high = np.maximum(middle - 8 * width, -0.5), np.minimum(middle + 8 * width, len(total) - 1.5)
    mean = (_running(total, high) - _running(total, low)) / np.maximum(high - low, 1e-9)
    return np.asarray(mean * width)


def _likeliest(halves: Doubles, direction: int) -> tuple[NDArray[np.uint8], Doubles]:
    """The bits that fit the areas of all half bits best, in playing order, and the level of each half bit.

    Rows are frames with the neighbour's bit, whose values and those of the sync word are given. Every bit
    starts with a change of level; a 0 then keeps its level, a 1 changes once more.
    """
    frames, cells = len(halves), BITS + 1
    first_known, given = (65, SYNC) if direction > 0 else (0, SYNC[::-1])
    known = {first_known + place: bit for place, bit in enumerate(given)} | {0 if direction > 0 else BITS: 1}
    one, zero = np.empty((cells, 2, frames)), np.empty((cells, 2, frames))
    one[:, 0], zero[:, 1] = (halves[:, 0::2] - halves[:, 1::2]).T, (halves[:, 0::2] + halves[:, 1::2]).T
    one[:, 1], zero[:, 0] = -one[:, 0], -zero[:, 1]
    for bit, value in known.items():
        (zero if value else one)[bit] = -np.inf
    best = np.zeros((2, frames))
    came = np.empty((cells, 2, frames), np.bool_)
    for bit in range(cells):
        stays, turns = best + one[bit], best[::-1] + zero[bit]
        np.greater(stays, turns, out=came[bit])
        np.maximum(stays, turns, out=best)
    ones, state = np.empty((cells, frames), np.bool_), np.empty((cells, frames), np.bool_)
    low = best[1] > best[0]
    for bit in range(cells - 1, -1, -1):
        ones[bit] = np.where(low, came[bit, 1], came[bit, 0])
        low = np.equal(low, ones[bit], out=state[bit])
    first = 1.0 - 2 * state.T
    levels = np.stack([first, np.where(ones.T, -first, first)], axis=2).reshape(frames, 2 * cells)
    own = slice(1, None) if direction > 0 else slice(None, -1)
    own_levels = slice(2, None) if direction > 0 else slice(None, -2)
    return ones.T[:, own].astype(np.uint8), levels[:, own_levels]


def _bent(grid: Doubles, area: Doubles, levels: Doubles) -> Doubles:
    """The grid moved along a cubic to where the level changes were heard.

    Around each change the area of a quarter bit to either side cancels if the grid is right. What is left
    of each half bit when the code is taken out, smoothed, is offset and hum.
    """
    halves = area[:, 0::2] + area[:, 1::2]
    usual = np.maximum((halves * levels).mean(axis=1), 1e-30)[:, None]
    slow = _smooth(halves - usual * levels) / 2
    change = levels[:, 1:] != levels[:, :-1]
    around = (area[:, 1:-1:2] + area[:, 2::2] - slow[:, 1:] - slow[:, :-1]) * levels[:, 1:]
    half = (grid[:, -1] - grid[:, 0])[:, None] / HALVES
    late = np.where(change, np.clip(-around / (2 * usual), -0.4, 0.4) * half, 0)
    normal = (change @ _PRODUCTS).reshape(-1, 4, 4) + 1e-6 * np.eye(4)
    bend = np.linalg.solve(normal, (late @ _AT_HALVES)[:, :, None])[:, :, 0]
    return np.asarray(grid + bend @ _BEND.T)


def _smooth(rows: Doubles) -> Doubles:
    """Mean over the eight half bits to either side, over fewer at the ends."""
    total = np.concatenate([np.zeros((len(rows), 1)), np.cumsum(rows, axis=1)], axis=1)
    at = np.arange(HALVES)
    low, high = np.maximum(at - 8, 0), np.minimum(at + 9, HALVES)
    return np.asarray((total[:, high] - total[:, low]) / (high - low))
