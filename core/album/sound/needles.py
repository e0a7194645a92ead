"""Which stretches of one capture occur in another, at which speed: needles, and the line on which most lie.

A needle is 24 s of one capture's rises of level in all bands. It is looked for at every place of the other
capture and at every speed; single needles err, so what counts is that several lie on one line.
"""

from __future__ import annotations

from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from core.album.levels import Levels
from core.album.sound.needle_lines import NEEDLE_SECONDS, SPEED_STEP, Found

NEEDLES = 5
"""Share of speed between two tries: a needle's end is then at most a row off."""
WIDEST = 0.06
"""Share of speed by which a capture may run faster or slower than another."""
"""How far beside a line a needle may lie: what tape sways, and what a needle's own speed leaves open."""
_FEWEST_STEPS = 6
"""Rows of a band that must rise or fall by 2 dB for it to tell anything."""
_PEAKS = 10
"""Best places that are kept of a needle."""
_KEPT_BYTES = 2**27
"""Spectra of needles up to this size are kept for the next haystack."""

Floats = NDArray[np.float32]


def rises(levels: Levels) -> Floats:
    """Bands by rows of one track: how steeply the level rises, of like weight in every band."""
    decibels = levels.halves[0].T.astype(np.float32) * -0.5
    high = np.percentile(decibels, 95, axis=1, keepdims=True)
    floor = np.maximum(high - 45, high.max() - 50)
    decibels = np.maximum(decibels, floor)
    step = np.zeros_like(decibels)
    step[:, 1:-1] = decibels[:, 2:] - decibels[:, :-2]
    rise = np.clip(step, -4, 24)
    rise[:, 1:-1] = 0.25 * rise[:, :-2] + 0.5 * rise[:, 1:-1] + 0.25 * rise[:, 2:]
    rise -= rise.mean(axis=1, keepdims=True)
    spread = rise.std(axis=1, keepdims=True)
    lives = (spread > 0.3) & (np.count_nonzero(np.abs(step) > 2, axis=1, keepdims=True) >= _FEWEST_STEPS)
    return np.asarray(rise / np.where(lives, spread, np.inf), np.float32)


def coarser(rows: Floats, by: int) -> Floats:
    """Rises summed over `by` rows, of like weight in every band again."""
    if by == 1:
        return rows
    count = rows.shape[1] // by
    sums = rows[:, : count * by].reshape(len(rows), count, by).sum(axis=2)
    sums -= sums.mean(axis=1, keepdims=True) if count else 0
    spread = sums.std(axis=1, keepdims=True) if count else np.ones((len(rows), 1), np.float32)
    return np.asarray(sums / np.where(spread > 0, spread, np.inf), np.float32)


def _room(rows: int) -> int:
    """The next power of two, or three quarters of it: haystacks of like length share spectra of needles."""
    whole = 1 << max(4, (rows - 1).bit_length())
    return whole * 3 // 4 if whole * 3 // 4 >= rows else whole


class Haystack:
    """One capture in which needles are looked for; coarsely where rows are taken `by` so many together."""

    def __init__(self, levels: Levels, by: int = 1) -> None:
        import scipy.fft

        self.hertz = levels.hertz / by
        self.rises = coarser(rises(levels), by)
        self.rows = self.rises.shape[1]
        self.needle_rows = min(round(NEEDLE_SECONDS * self.hertz), max(8, self.rows // 2))
        self.size = _room(self.rows + self.needle_rows)
        self.bins = scipy.fft.rfft(self.rises, self.size, axis=1)
        energy = np.concatenate(([0.0], np.cumsum((self.rises.astype(np.float64) ** 2).sum(axis=0))))
        ends = np.minimum(np.arange(self.rows) + self.needle_rows, self.rows)
        held = energy[ends] - energy[: self.rows]
        self.scale = (1 / np.sqrt(np.maximum(held, 0.2 * held.mean() + 1e-9))).astype(np.float32)


def needle_places(feature: Floats, hertz: float, count: int = NEEDLES) -> list[float]:
    """Seconds at which needles begin: spread over the capture, each where most happens."""
    length = round(NEEDLE_SECONDS * hertz)
    rows = feature.shape[1]
    if rows <= length:
        return [0.0]
    happens = np.concatenate(([0.0], np.cumsum((feature.astype(np.float64) ** 2).sum(axis=0))))
    held = happens[length:] - happens[:-length]
    bounds = np.linspace(0, len(held), count + 1).astype(int)
    starts = [low + int(np.argmax(held[low:high])) for low, high in pairwise(bounds.tolist()) if high > low]
    good = [start for start in starts if held[start] > 0.15 * held.max()]
    return [start / hertz for start in good]


def speeds(widest: float = WIDEST, step: float = SPEED_STEP, around: float = 1.0) -> NDArray[np.float64]:
    """Seconds of the needle's capture to a second of the other, all that are tried."""
    steps = int(np.ceil(np.log1p(widest) / step))
    return np.asarray(around * np.exp(np.arange(-steps, steps + 1) * step), np.float64)


class Needles:
    """The needles of one capture, at all speeds, ready for any haystack of one rate of rows."""

    def __init__(
        self, levels: Levels, rates: NDArray[np.float64] | None = None, count: int = NEEDLES, by: int = 1
    ) -> None:
        self.feature, self.hertz = coarser(rises(levels), by), levels.hertz / by
        self.places = needle_places(self.feature, self.hertz, count)
        self.rates = speeds() if rates is None else rates
        self._bins: dict[tuple[float, int, int, int], NDArray[np.complex64]] = {}

    def bins(self, number: int, hay: Haystack) -> NDArray[np.complex64]:
        """One needle's speeds by bands by bins, conjugated; kept for haystacks of like size."""
        import scipy.fft

        size = hay.hertz, hay.needle_rows, hay.size
        if (*size, number) not in self._bins:
            made: NDArray[np.complex64] = scipy.fft.rfft(self._rows(number, hay), hay.size, axis=2)
            np.conj(made, out=made)
            if made.nbytes * len(self.places) > _KEPT_BYTES:
                return made
            if next(iter(self._bins), size)[:3] != size:
                self._bins.clear()
            self._bins[*size, number] = made
        kept: NDArray[np.complex64] = self._bins[*size, number]
        return kept

    def _rows(self, number: int, hay: Haystack) -> Floats:
        """One needle's speeds by bands by rows at the haystack's rate, each of unit length."""
        rows, bands = self.feature.shape[1], len(self.feature)
        out = np.empty((len(self.rates), bands, hay.needle_rows), np.float32)
        t = np.arange(hay.needle_rows) / hay.hertz
        for r, rate in enumerate(self.rates):
            at = (self.places[number] + t * rate) * self.hertz
            low = np.clip(at.astype(int), 0, rows - 2)
            share = (at - low).astype(np.float32)
            out[r] = self.feature[:, low] * (1 - share) + self.feature[:, low + 1] * share
            out[r][:, at > rows - 1] = 0
        out /= np.sqrt(np.maximum((out * out).sum(axis=(1, 2), keepdims=True), 1e-9))
        return out

    def find(self, hay: Haystack) -> list[Found]:
        """The best places of every needle, over all speeds."""
        import scipy.fft

        found: list[Found] = []
        if hay.rows < 16 or not self.places:
            return found
        for number, place in enumerate(self.places):
            product = np.einsum("rbf,bf->rf", self.bins(number, hay), hay.bins)
            like = scipy.fft.irfft(product, hay.size, axis=1)
            like = np.concatenate((like[:, hay.size - hay.needle_rows :], like[:, : hay.rows]), axis=1)
            like[:, hay.needle_rows :] *= hay.scale
            like[:, : hay.needle_rows] *= hay.scale[0]
            found += self._best(place, like, hay)
        return found

    def _best(self, place: float, like: Floats, hay: Haystack) -> list[Found]:
        """The highest places that are at least a second apart."""
        spread = float(like.std()) or 1.0
        best, which = like.max(axis=0), like.argmax(axis=0)
        out = []
        apart = max(1, round(hay.hertz))
        for _ in range(_PEAKS):
            at = int(best.argmax())
            stands = float(best[at]) / spread
            if stands < 4:
                break
            rate = 1 / float(self.rates[which[at]])
            out.append(Found(place, (at - hay.needle_rows) / hay.hertz, rate, stands))
            best[max(0, at - apart) : at + apart + 1] = -np.inf
        return out
