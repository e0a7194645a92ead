"""Recursive filters by products of matrices, block by block: the same sound as sample by sample, far sooner.

A block's output is its own samples through the filter at rest, and the state in which the block before left
the filter. The states are one short recursion over blocks, done in the filter's own modes.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from core.capture.files.samples import Planar

_BLOCK = 64
"""Frames filtered by one product."""
_ROWS = 64
"""Blocks in one product: few enough that the library does not spread it over threads."""


class BlockFilter:
    """Second-order sections whose poles are complex pairs, over several channels; it goes on where it was."""

    def __init__(self, sections: NDArray[np.float64], channels: int) -> None:
        a, b, c, d = _states(sections)
        powers = [np.eye(len(a))]
        for _ in range(_BLOCK):
            powers.append(a @ powers[-1])
        ahead = [d, *(float((c @ powers[k] @ b).item()) for k in range(_BLOCK - 1))]
        at = np.arange(_BLOCK)
        rest = np.where(at[:, None] <= at, np.array(ahead)[at - at[:, None]], 0.0)
        values, modes = np.linalg.eig(a)
        pairs = np.flatnonzero(values.imag > 0)
        if 2 * len(pairs) != len(values):
            raise ValueError("a pole of the filter is real")
        driven = np.stack([powers[_BLOCK - 1 - k] @ b[:, 0] for k in at])
        self._poles = values[pairs] ** _BLOCK
        drive = (driven @ np.linalg.inv(modes).T)[:, pairs]
        self._drive = np.concatenate([drive.real, drive.imag], axis=1)
        seen = np.stack([(c @ powers[k] @ modes)[0, pairs] for k in at], axis=1) * 2
        self._product = np.concatenate([rest, seen.real, -seen.imag])
        self._last = np.zeros((channels, len(pairs)), np.complex128)
        self._kept: tuple[Planar, Planar] | None = None

    def __call__(self, sound: Planar) -> Planar:
        """Channels by frames filtered; the frames are whole blocks. What is given is good until the next."""
        from scipy.signal import lfilter

        pairs, blocks = len(self._poles), sound.reshape(len(sound), -1, _BLOCK)
        drive = _in_rows(blocks, self._drive.astype(sound.dtype)).astype(np.float64)
        driven = drive[..., :pairs] + 1j * drive[..., pairs:]
        whole, out = self._room(blocks)
        whole[..., :_BLOCK] = blocks
        for mode, pole in enumerate(self._poles):
            start = (pole * self._last[:, mode])[:, None]
            after, _ = lfilter([1.0], [1.0, -pole], driven[..., mode], axis=1, zi=start)
            before = np.concatenate([self._last[:, mode, None], after[:, :-1]], axis=1)
            whole[..., _BLOCK + mode], whole[..., _BLOCK + pairs + mode] = before.real, before.imag
            self._last[:, mode] = after[:, -1]
        return _in_rows(whole, self._product.astype(sound.dtype), out).reshape(sound.shape)

    def _room(self, blocks: Planar) -> tuple[Planar, Planar]:
        """Arrays for blocks with their states and for what comes out, made anew only for another size."""
        if self._kept is None or self._kept[1].shape != blocks.shape or self._kept[1].dtype != blocks.dtype:
            wide = (*blocks.shape[:2], _BLOCK + 2 * len(self._poles))
            self._kept = np.empty(wide, blocks.dtype), np.empty(blocks.shape, blocks.dtype)
        return self._kept


def _in_rows(blocks: Planar, product: Planar, out: Planar | None = None) -> Planar:
    """Each block times the matrix, some rows at a time."""
    channels, count, wide = blocks.shape
    rows = next(rows for rows in (_ROWS, 8, 1) if count % rows == 0)
    apart = None if out is None else out.reshape(channels, -1, rows, product.shape[1])
    made = np.matmul(blocks.reshape(channels, -1, rows, wide), product, out=apart)
    return np.asarray(made.reshape(channels, count, product.shape[1]))


def _states(sections: NDArray[np.float64]) -> tuple[Planar, Planar, Planar, float]:
    """The sections one after another as one system of states: x' = A x + B in, out = C x + D in."""
    a, b, c, d = np.zeros((0, 0)), np.zeros((0, 1)), np.zeros((1, 0)), 1.0
    for b0, b1, b2, _, a1, a2 in sections:
        own = np.array([[-a1, 1.0], [-a2, 0.0]])
        enters = np.array([[b1 - a1 * b0], [b2 - a2 * b0]])
        leaves = np.array([[1.0, 0.0]])
        a = np.block([[a, np.zeros((len(a), 2))], [enters @ c, own]])
        b = np.concatenate([b, enters * d])
        c, d = np.concatenate([c * b0, leaves], axis=1), b0 * d
    return a, b, c, d
