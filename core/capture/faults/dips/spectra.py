"""What the spectra at the edges of a dip tell: in which bands it fell and returned, and how fast."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from core.capture.files.samples import means_of
from core.capture.measures.history import History
from core.capture.measures.likeness import hann
from core.capture.measures.loud.decibels import decibels, powers
from core.values import dataclass

SPECTRAL = ("fell_middle_db", "fell_least_db", "rose_middle_db", "rose_least_db", "steepest_fall_db",
            "steepest_return_db", "colour_apart_db", "uneven_db", "alike", "treble_struck_db",
            "treble_before_db")  # fmt: skip
BANDS_HZ = (0, 190, 375, 750, 1500, 3000, 6000, 12000, 20000)
RATE = 48000
"""Sample rate at which a dip is looked at, about."""
TOGETHER = 64
"""Dips that are looked at together: many at once cost little more than one."""
WEAK_DB = 40.0
"""Bands so far below the strongest tell nothing."""
_FRAME, _HOP, _LONG = 256, 64, 1024
_REACH = 14
"""Frames on either side of an edge."""
EARLIER, LATER = 8 * _HOP, 12 * _HOP
"""Samples by which an edge may turn out to lie before the window that told it, and after."""
_FAR, _NEAR = 2304, 1152
"""Samples of sound beyond an edge, and within."""
_TREBLE = 4
"""The band from which on is treble."""


@dataclass(frozen=True, slots=True)
class Edge:
    """Both edges of one dip."""

    start: int
    stop: int
    """Frames of the pass between its steepest places."""
    fell_db: float
    rose_db: float
    sound_db: float
    treble_db: float
    features: np.ndarray
    bands: np.ndarray


@dataclass(frozen=True, slots=True)
class Sounds:
    """Stretches about the falls and the returns of some dips, and in their middles."""

    starts: np.ndarray
    stops: np.ndarray
    down: int
    fall: np.ndarray
    back: np.ndarray
    middle: np.ndarray

    @classmethod
    def of(cls, history: History, channels: np.ndarray, falls: np.ndarray, backs: np.ndarray) -> Sounds:
        """Those of dips between windows of the pass, while their sound is at hand."""
        down = max(1, history.sample_rate // RATE)
        starts, stops = falls * history.window, backs * history.window

        def at(first: np.ndarray, length: int) -> np.ndarray:
            rows = history.stretches(channels, first, length * down) * history.scale.unit
            return means_of(rows.astype(np.float32, copy=False), down)

        middles = (starts + stops) // 2 - (_FRAME // 2 + 32) * down
        return cls(starts, stops, down, at(starts - _FAR * down, _FAR + _NEAR),
                   at(stops - _NEAR * down, _FAR + _NEAR), at(middles, _FRAME + 64))  # fmt: skip

    @classmethod
    def together(cls, some: Sequence[Sounds]) -> Sounds:
        """Those of several places of one pass as one."""
        starts, stops, fall, back, middle = (
            np.concatenate([getattr(one, name) for one in some])
            for name in ("starts", "stops", "fall", "back", "middle")
        )
        return cls(starts, stops, some[0].down, fall, back, middle)

    def spectral_features(self, history: History) -> list[Edge]:
        """The edges of the dips, one a dip."""
        window = history.window // self.down
        found: list[Edge] = []
        for first in range(0, len(self.starts), TOGETHER):
            part = slice(first, first + TOGETHER)
            some = Sounds(self.starts[part], self.stops[part], self.down, self.fall[part], self.back[part],
                          self.middle[part])  # fmt: skip
            found += some.edges(window, history.sample_rate / self.down)
        return found

    def edges(self, window: int, rate: float) -> list[Edge]:
        """What the spectra of all of them tell."""
        hops = np.arange(-_REACH, _REACH + 1) * _HOP - _FRAME // 2
        falling = _bands(self.fall, _FAR - window // 2 + hops, rate)
        rising = _bands(self.back, _NEAR + window // 2 + hops, rate)
        middle = _mean(_bands(self.middle, np.array([0, 32, 64]), rate))
        before, after = _mean(falling[:, :9]), _mean(rising[:, 20:])
        first, last = _mean(falling[:, 18:25]), _mean(rising[:, 4:11])
        short = ((self.stops - self.starts) // self.down < 8 * window)[:, None]
        first = np.where(short, np.minimum(first, middle), first)
        last = np.where(short, np.minimum(last, middle), last)
        weaker = np.minimum(before, after)
        tells = weaker - weaker.max(axis=1, keepdims=True) > -WEAK_DB
        return self._told(falling, rising, before, after, first, last, tells, window, rate)

    def _told(self, falling: np.ndarray, rising: np.ndarray, before: np.ndarray, after: np.ndarray,
              first: np.ndarray, last: np.ndarray, tells: np.ndarray, window: int,
              rate: float) -> list[Edge]:  # fmt: skip
        fell, rose = before - first, after - last
        step_down, at_down = _steepest(falling, tells, -1)
        step_up, at_up = _steepest(rising, tells, 1)
        alike = _alike(self.fall[:, _FAR - window - _LONG : _FAR - window],
                       self.back[:, _NEAR + window : _NEAR + window + _LONG])  # fmt: skip
        far = np.arange(12, 28, 2) * _HOP - _FRAME // 2
        struck = _treble(_mean(rising[:, 17:22])) - _treble(_mean(_bands(self.back, _NEAR + far, rate)))
        near = np.arange(16, 32, 2) * -_HOP - _FRAME // 2
        led = _treble(_mean(falling[:, 4:9])) - _treble(_mean(_bands(self.fall, _FAR + near, rate)))
        colour = before - after
        features = np.stack((
            _middle(fell, tells), _least(fell, tells), _middle(rose, tells), _least(rose, tells), step_down,
            step_up, _spread(colour, tells),
            np.maximum(_spread(fell.clip(-5, 40), tells), _spread(rose.clip(-5, 40), tells)), alike,
            struck, led,
        ), axis=1)  # fmt: skip
        bands = np.concatenate((
            fell.clip(-5, 30), rose.clip(-5, 30), before - before.mean(axis=1, keepdims=True),
            after - after.mean(axis=1, keepdims=True),
        ), axis=1).astype(np.float32)  # fmt: skip
        totals = [_total(one) for one in (before, first, after, last)]
        starts = self.starts + (at_down * _HOP - window // 2) * self.down
        stops = self.stops + (at_up * _HOP + window // 2) * self.down
        tilt = 0.5 * (_tilt(fell, tells) + _tilt(rose, tells))
        return [
            Edge(int(starts[row]), max(int(starts[row]) + 1, int(stops[row])),
                 float(totals[0][row] - totals[1][row]), float(totals[2][row] - totals[3][row]),
                 float(min(totals[0][row], totals[2][row])), float(tilt[row]), features[row], bands[row])
            for row in range(len(starts))
        ]  # fmt: skip


def _bands(sounds: np.ndarray, firsts: np.ndarray, rate: float) -> np.ndarray:
    """Dips by frames by bands: power in dB of full scale under a Hann window."""
    from scipy.fft import rfft

    frames = np.lib.stride_tricks.sliding_window_view(sounds, _FRAME, axis=1)[:, firsts]
    taper = hann(_FRAME)
    lines = rfft(frames * taper, axis=2)
    power = lines.real**2 + lines.imag**2
    edges = [round(hertz / rate * _FRAME) for hertz in BANDS_HZ if hertz < 0.47 * rate]
    sums = np.add.reduceat(power[..., : edges[-1]], edges[:-1], axis=2)
    return decibels(sums * (2 / float(taper @ taper) / _FRAME) + 1e-14)


def _mean(frames: np.ndarray) -> np.ndarray:
    """Mean power of the frames, in dB."""
    return decibels(powers(frames).mean(axis=1))


def _total(bands: np.ndarray) -> np.ndarray:
    return decibels(powers(bands).sum(axis=-1))


def _treble(bands: np.ndarray) -> np.ndarray:
    return _total(bands[:, _TREBLE:])


def _middle(values: np.ndarray, tells: np.ndarray) -> np.ndarray:
    """Median over the last axis of what tells; one value at least does."""
    count = tells.sum(axis=-1)
    ordered = np.sort(np.where(tells, values, np.inf), axis=-1)
    pair = np.stack(((count - 1) // 2, count // 2), axis=-1)
    found: np.ndarray = np.take_along_axis(ordered, np.broadcast_to(pair, (*ordered.shape[:-1], 2)), -1).mean(
        -1
    )
    return found


def _least(values: np.ndarray, tells: np.ndarray) -> np.ndarray:
    found: np.ndarray = np.where(tells, values, np.inf).min(axis=1)
    return found


def _spread(values: np.ndarray, tells: np.ndarray) -> np.ndarray:
    """Root mean square about the middle."""
    apart = np.where(tells, values - _middle(values, tells)[:, None], 0.0)
    found: np.ndarray = np.sqrt((apart**2).sum(axis=1) / tells.sum(axis=1))
    return found


def _tilt(fell: np.ndarray, tells: np.ndarray) -> np.ndarray:
    """By how much more the upper half of the telling bands fell than the lower half."""
    order = np.cumsum(tells, axis=1)
    upper = tells & (order > order[:, -1:] / 2)
    lower = tells & ~upper
    return np.where(lower.any(axis=1), _least_mean(fell, upper) - _least_mean(fell, lower), 0.0)


def _least_mean(values: np.ndarray, mask: np.ndarray) -> np.ndarray:
    found: np.ndarray = (values * mask).sum(axis=1) / np.maximum(1, mask.sum(axis=1))
    return found


def _steepest(frames: np.ndarray, tells: np.ndarray, sign: int) -> tuple[np.ndarray, np.ndarray]:
    """The largest step of the bands' median over five frames, and the frame from the middle where it is."""
    middle = _middle(frames, np.broadcast_to(tells[:, None], frames.shape))
    first = _REACH - 8 if sign < 0 else _REACH - 5
    steps = sign * (middle[:, first + 5 : first + 19] - middle[:, first : first + 14])
    best = steps.argmax(axis=1)
    return steps[np.arange(len(steps)), best], best + first + 2.5 - _REACH


def _alike(one: np.ndarray, two: np.ndarray) -> np.ndarray:
    """Likeness of the spectra of two rows of sound, 0 to 1, up to 10 kHz."""
    from scipy.fft import rfft

    spectra = []
    for sound in (one, two):
        lines = np.abs(rfft(sound * hann(_LONG), axis=1))[:, 2:220]
        spectra.append(lines[:, :-2] + lines[:, 1:-1] + lines[:, 2:])
    lengths = [np.sqrt(np.vecdot(side, side)) for side in spectra]
    likeness: np.ndarray = np.vecdot(*spectra) / np.maximum(lengths[0] * lengths[1], 1e-20)
    return likeness
