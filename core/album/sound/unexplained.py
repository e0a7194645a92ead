"""What an old mix holds that no captured track explains: told second for second, never a verdict.

Over stretches of some seconds every narrow band of the mix is taken for a sum of the tracks, each with a gain
and a phase of its own (least squares); how loud the whole is from moment to moment is left to the mix, as a
compressor has it. What is left over is held against the mix band by band, so that a soft part between loud
ones counts. Reverberation, distortion and hands on the faders leave a floor of their own.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from core.album.sound.spectra import WORK_HZ, Floats
from core.values import dataclass

LOW_HZ, HIGH_HZ = 150.0, 2000.0
"""Above, a curve that is good to a tenth of a millisecond does not hold a phase."""
WINDOW_SECONDS = 12
"""Over so long gains and phases are taken to stand still."""
_FRAME, _HOP = 1024, 500
_A_SECOND = WORK_HZ // _HOP
_POOL = 4
"""Neighbouring bins that share gains and phases."""
_STEADY = 1e-3
"""Share of a track's power that keeps likes of one another apart."""
_SOFTEST = 0.05
"""Share of a band's usual power below which it counts no more."""
_SMOOTH_SECONDS = 5
_LEAST_SECONDS, _JOIN_SECONDS = 4, 4
_EDGE_SECONDS = 2
"""At both ends a curve is carried on rather than held: nothing is told of them."""
_ABOVE, _TIMES = 0.05, 1.6
"""By how much, and by how many times, what is left over must rise above the mix's own floor."""
_FLOOR = 30
"""Percentile of all seconds that is taken for the floor."""
MOST_FLOOR = 0.35
"""With a floor above this the tracks explain too little of the mix for anything to be told."""

Columns = NDArray[np.float64]


def left_over(mix: Floats, tracks: Floats) -> tuple[Columns, Columns]:
    """Power that no track explains and power of the mix: seconds by bands, of whole seconds.

    `mix` is one row at 8 kHz, `tracks` rows of the same length that lie on its clock.
    """
    here, there = _bins(mix[None])[0], _bins(tracks)
    frames, bands = len(here), here.shape[1] // _POOL
    half = WINDOW_SECONDS * _A_SECOND // 2
    shape = np.hanning(2 * half + 2)[1:-1]
    left, weight = np.zeros((frames, bands)), np.zeros(frames)
    for middle in range(0, frames + half, half):
        low, high = max(0, middle - half), min(frames, middle + half)
        if high - low < half:
            continue
        part = shape[low - middle + half : high - middle + half]
        left[low:high] += part[:, None] * _misses(here[low:high], there[:, low:high])
        weight[low:high] += part
    left /= np.maximum(weight, 1e-9)[:, None]
    return _seconds(left), _seconds(_powers(here))


def _bins(rows: Floats) -> NDArray[np.complex64]:
    """Rows by frames by bins of the bands."""
    import scipy.fft

    frames = max(1, (rows.shape[1] - _FRAME) // _HOP + 1)
    rows = np.pad(rows, ((0, 0), (0, max(0, _FRAME - rows.shape[1]))))
    cut = np.lib.stride_tricks.sliding_window_view(rows, _FRAME, axis=1)[:, : frames * _HOP : _HOP]
    low, high = np.searchsorted(np.fft.rfftfreq(_FRAME, 1 / WORK_HZ), (LOW_HZ, HIGH_HZ))
    high = low + (high - low) // _POOL * _POOL
    made = scipy.fft.rfft(cut * np.hanning(_FRAME).astype(np.float32), axis=2)
    return np.asarray(made[:, :, low:high], np.complex64)


def _powers(bins: NDArray[np.complex64]) -> Columns:
    power = bins.real.astype(np.float64) ** 2 + bins.imag.astype(np.float64) ** 2
    return np.asarray(power.reshape(len(bins), -1, _POOL).sum(axis=2))


def _loudness(
    told: NDArray[np.complex64] | NDArray[np.complex128], held: NDArray[np.complex64]
) -> NDArray[np.float32]:
    """By frame, how much louder the mix is than its tracks tell; within reason."""
    both = np.einsum("bfp,bfp->f", told.conj(), held).real
    own = np.einsum("bfp,bfp->f", told.conj(), told).real
    return np.asarray(np.clip(both / np.maximum(own, 1e-12), 0.3, 3), np.float32)


def _misses(mix: NDArray[np.complex64], tracks: NDArray[np.complex64]) -> Columns:
    """Frames by bands: the power of one window's mix that the best sum of its tracks leaves."""
    count, frames, bins = tracks.shape
    bands = bins // _POOL
    parts = tracks.reshape(count, frames, bands, _POOL).transpose(2, 0, 1, 3).reshape(bands, count, -1)
    whole = mix.reshape(frames, bands, _POOL).transpose(1, 0, 2).reshape(bands, -1)
    turned = parts.conj().transpose(0, 2, 1)
    gram = parts @ turned
    power = np.einsum("bkk->b", gram).real / count
    gram = gram + (_STEADY * power + 1e-12)[:, None, None] * np.eye(count, dtype=np.complex64)
    gains = np.linalg.solve(gram.transpose(0, 2, 1), (turned.transpose(0, 2, 1) @ whole[:, :, None]))
    told = (gains.transpose(0, 2, 1) @ parts).reshape(bands, frames, _POOL)
    held = whole.reshape(bands, frames, _POOL)
    off = held - told * _loudness(told, held)[None, :, None]
    free = max(0.2, 1 - count / (frames * _POOL))
    return np.asarray((off.real**2 + off.imag**2).sum(axis=2).T / free, np.float64)


def _seconds(frames: Columns) -> Columns:
    whole = len(frames) // _A_SECOND
    return np.asarray(frames[: whole * _A_SECOND].reshape(whole, _A_SECOND, -1).sum(axis=1))


@dataclass(frozen=True, slots=True)
class Unexplained:
    """What is told of one mix."""

    floor: float
    """Share of a band, on the mean over bands, that is left over where least is."""
    stretches: tuple[tuple[float, float, float], ...]
    """From, to, and the share left over there, in seconds of what was looked at."""

    @property
    def tells(self) -> bool:
        """False where the tracks explain so little that nothing can be told of places."""
        return self.floor <= MOST_FLOOR


def unexplained(left: Columns, whole: Columns) -> Unexplained:
    """The stretches in which clearly more is left over than the mix leaves anyway."""
    from scipy.ndimage import uniform_filter1d

    if not len(whole) or not whole.any():
        return Unexplained(0.0, ())
    loud = whole.sum(axis=1)
    sounds = loud > 1e-3 * np.percentile(loud, 80)
    sounds[:_EDGE_SECONDS] = sounds[len(sounds) - _EDGE_SECONDS :] = False
    if not sounds.any():
        return Unexplained(0.0, ())
    share = (left / np.maximum(whole, _SOFTEST * whole[sounds].mean(axis=0) + 1e-20)).mean(axis=1)
    share = np.where(sounds, np.minimum(share, 1.0), 0.0)
    smooth = uniform_filter1d(share, min(_SMOOTH_SECONDS, len(share)))
    floor = float(np.percentile(smooth[sounds], _FLOOR))
    high = sounds & (smooth > max(floor + _ABOVE, _TIMES * floor))
    if floor > MOST_FLOOR:
        return Unexplained(floor, ())
    return Unexplained(floor, tuple(
        (float(low), float(top), float(smooth[low:top].mean())) for low, top in _joined(high)
    ))  # fmt: skip


def _joined(high: NDArray[np.bool_]) -> list[tuple[int, int]]:
    edges = np.flatnonzero(np.diff(np.concatenate(([False], high, [False])).astype(np.int8)))
    spans: list[tuple[int, int]] = []
    for low, top in edges.reshape(-1, 2).tolist():
        if spans and low - spans[-1][1] <= _JOIN_SECONDS:
            spans[-1] = spans[-1][0], top
        else:
            spans.append((low, top))
    return [(low, top) for low, top in spans if top - low >= _LEAST_SECONDS]
