"""The faint copy of what comes one turn of the pack later, in the quiet before a track begins.

Of the spectra of quiet and sound only the phase is kept (C. Knapp and G. Carter, IEEE Transactions on
Acoustics, Speech and Signal Processing 24, 1976): hiss and chords then count no more than anything else, and
a copy stands out as the one lag at which all phases agree.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from core.capture.prints.pack import THICKEST_METRES
from core.values import dataclass

PLAIN_HZ = 9000
"""The least rate at which is looked."""
WINDOW_SECONDS, GUARD_SECONDS = 0.7, 0.06
"""Quiet is taken in windows of that length; what is left out before the sound begins, since nobody can tell
to a hair where it does."""
_LOW_HZ, _HIGH_HZ, _TOP_HZ = 350.0, 3600.0, 4200.0
"""The band at 15 in/s: around a wavelength of 2 pi times the tape's thickness, where print is strongest."""
_LOUDEST_HZ = 1123.0
"""A wave of 2 pi times 54 micrometres at 15 in/s: print is strongest there."""
_USUAL_DB = -48.0
"""Print that is looked for: a little weaker than what is worth telling."""
_HISS_HZ = 100.0
"""Width over which the hiss of the quiet is told."""
_DRIFTS, _CHANCE = 9, 1.8
"""So many rates at which a turn may change are tried; what a window adds where nothing agrees."""
_STRAYS = 6
"""Lags by which a window may stray from what all tell together, as many again for each farther back."""
_BESIDE_SECONDS = 0.08
"""Lags by which the usual agreement is told: it grows where the sound begins."""


@dataclass(frozen=True, slots=True)
class Copy:
    """What may be a copy of what comes later, in the quiet before a place."""

    lag: float
    before: float
    """Seconds from the middle of the quiet in which it is heard to where the sound begins."""
    likeness: float
    """Power with which phases agree over its usual value at lags beside it: 1 where nothing agrees."""
    channel: int
    """Row of the sound in which it is heard."""
    level_db: float
    """How much weaker than the sound itself, over the band in which print is strongest."""


def copies(
    plain: np.ndarray, hertz: float, begins: int, quiet: np.ndarray, lags: tuple[float, float],
    speed_ips: float,
) -> list[Copy]:  # fmt: skip
    """What may be copies in the quiet before frame `begins` of channels by frames, the likeliest first.

    `plain` has about `PLAIN_HZ` frames a second; `quiet` are seconds of quiet, by channel; lags in seconds.
    """
    size, stop = int(WINDOW_SECONDS * hertz), begins - int(GUARD_SECONDS * hertz)
    found: list[Copy] = []
    for channel, seconds in enumerate(quiet.tolist()):
        count = min(int((seconds - GUARD_SECONDS) // WINDOW_SECONDS), stop // size)
        # What is farther back than a turn is printed by what came before the sound.
        count = min(count, int(np.ceil((lags[1] - GUARD_SECONDS) / WINDOW_SECONDS)))
        starts = [stop - (number + 1) * size for number in range(count)]
        loud: dict[int, np.ndarray] = {}
        looks = [_Look.into(plain[channel], start, size, hertz, lags, speed_ips, loud) for start in starts]
        if looks and len(looks[0].likeness):
            likeness = _together(looks, hertz, lags[0], speed_ips)
            found += _likely(likeness, looks, channel, hertz, lags[0])
    return sorted(found, key=lambda one: -one.likeness)


@dataclass(frozen=True, slots=True)
class _Look:
    """One window of quiet held against what comes later."""

    plain: np.ndarray
    first: int
    size: int
    band: tuple[int, int]
    long: int
    likeness: np.ndarray
    """By lag, a frame apart, the power of agreement over what is usual beside it."""

    @classmethod
    def into(
        cls,
        plain: np.ndarray,
        first: int,
        size: int,
        hertz: float,
        lags: tuple[float, float],
        speed_ips: float,
        loud: dict[int, np.ndarray],
    ) -> _Look:
        """That window; `loud` keeps spectra of what comes, by where they begin, for the others."""
        from scipy.fft import fft, next_fast_len
        from scipy.ndimage import uniform_filter1d

        long, faster = next_fast_len(3 * size), speed_ips / 15
        low, high = (round(min(edge * faster, _TOP_HZ) * long / hertz) for edge in (_LOW_HZ, _HIGH_HZ))
        faint = fft(plain[first : first + size], long)[low:high]
        wave = np.arange(low, high, dtype=np.float32) * np.float32(hertz / long / (_LOUDEST_HZ * faster))
        print_power = (wave * np.exp(1 - wave)) ** 2 * 10 ** (_USUAL_DB / 10)
        hiss = np.maximum(uniform_filter1d(np.abs(faint) ** 2, max(1, round(_HISS_HZ * long / hertz))), 1e-20)
        told = []
        for lag in range(int(lags[0] * hertz), int(lags[1] * hertz), size):
            at = first + lag
            if at + 2 * size > len(plain):
                break
            if at not in loud:
                loud[at] = fft(plain[at : at + 2 * size], long)[low:high]
            strength = np.maximum(np.abs(loud[at]), 1e-20)
            cross = loud[at] * np.conj(faint) / strength
            clear = print_power * strength**2 / hiss
            # Phases alone, and phases by how clear of the hiss print would be there.
            alone = _agreement(cross / np.maximum(np.abs(faint), 1e-20), low, long, size, hertz)
            weighed = _agreement(cross * np.sqrt(clear / hiss) / (1 + clear), low, long, size, hertz)
            told.append((alone + weighed) / 2)
        likeness = np.concatenate(told) if told else np.zeros(0)
        return cls(plain, first, size, (low, high), long, likeness)

    def level_db(self, lag: int) -> float:
        """How much weaker than what comes so much later the copy is that is heard here."""
        from scipy.fft import fft

        (low, high), size = self.band, self.size
        faint = fft(self.plain[self.first : self.first + size], self.long)[low:high]
        loud = fft(self.plain[self.first + lag : self.first + lag + size], self.long)[low:high]
        return _level_db(faint, loud)


def _agreement(cross: np.ndarray, low: int, long: int, size: int, hertz: float) -> np.ndarray:
    """By lag the power of what agrees, over what is usual at lags beside it."""
    from scipy.fft import ifft
    from scipy.ndimage import uniform_filter1d

    shape = np.zeros(long, np.complex64)
    shape[low : low + len(cross)] = cross
    power: np.ndarray = np.abs(ifft(shape)[:size]) ** 2
    power /= np.maximum(uniform_filter1d(power, round(_BESIDE_SECONDS * hertz)), 1e-30)
    return power


def _together(looks: Sequence[_Look], hertz: float, shortest: float, speed_ips: float) -> np.ndarray:
    """Likeness by lag of all windows together, as much as one window alone would have of chance.

    The turn changes from window to window as tape runs off, by 2 pi t / (v T) a second at most.
    """
    from scipy.ndimage import maximum_filter1d

    some = min(len(one.likeness) for one in looks)
    at = np.arange(some)
    seconds = shortest + at / hertz
    rows = [maximum_filter1d(one.likeness[:some], 3) for one in looks]
    holds = [seconds > GUARD_SECONDS + (number + 0.5) * WINDOW_SECONDS for number in range(len(rows))]
    most = 2 * np.pi * THICKEST_METRES / (speed_ips * 0.0254) * WINDOW_SECONDS * hertz / seconds
    best: np.ndarray = rows[0] if len(rows) == 1 else np.zeros(some)
    for share in np.linspace(-1, 1, _DRIFTS) if len(rows) > 1 else ():
        total = rows[0].copy()
        for number, (row, hold) in enumerate(zip(rows[1:], holds[1:], strict=True), 1):
            there = np.clip(at + np.round(number * share * most).astype(int), 0, some - 1)
            total += np.where(hold, row[there] - _CHANCE, 0.0)
        np.maximum(best, total, out=best)
    return best


def _likely(
    likeness: np.ndarray, looks: Sequence[_Look], channel: int, hertz: float, shortest: float
) -> Iterator[Copy]:
    """The likeliest of each stretch of lags; lag and level are told by the window that hears it best."""
    first, size = int(shortest * hertz), looks[0].size
    for start in range(0, len(likeness), size):
        best = start + int(likeness[start : start + size].argmax())
        told = []
        for number, look in enumerate(looks):
            low = max(0, best - _STRAYS * (number + 1))
            row = look.likeness[low : best + _STRAYS * (number + 1) + 1]
            told.append((float(row.max(initial=0.0)), number, low + int(row.argmax()) if len(row) else best))
        _, number, at = max(told)
        before, level = GUARD_SECONDS + (number + 0.5) * WINDOW_SECONDS, looks[number].level_db(first + at)
        yield Copy((first + at) / hertz, before, float(likeness[best]), channel, level)


def _level_db(faint: np.ndarray, loud: np.ndarray) -> float:
    """How much weaker the copy is than that very stretch: what both share, over what the stretch holds."""
    share = abs(np.vdot(loud, faint)) / max(float((np.abs(loud) ** 2).sum()), 1e-20)
    return 20 * float(np.log10(share + 1e-9))
