"""How strong the quiet before a sound is, band by band, held against how strong the sound is a turn later.

Phases tell nothing of a sound of few steady tones: it is like itself at many lags. But its copy begins where
the sound begins, less one turn, and is as strong in every band as the sound lets expect; what was printed by
the sound before the quiet ends a turn after that. What is likelier, copies or hiss alone, is added up over
bands and moments: power of noise in a band is exponentially distributed (J. W. Goodman, Statistical Optics).
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from core.values import dataclass

_FRAME_SECONDS, _HOP_SECONDS, _GUARD_SECONDS = 0.064, 0.008, 0.06
_LOW_HZ, _TOP_HZ, _LOUDEST_HZ = 60.0, 4200.0, 1123.0
_HISS_HZ = 200.0
"""Width over which the hiss of the quiet is told."""
_BANDS = 64
"""So many bands tell most; the rest costs more than it tells."""
_LEVELS_DB = (-30.0, -36.0, -42.0, -48.0, -54.0)
_MIXES = tuple((level, share) for level in _LEVELS_DB for share in (0.0, 1.0))
"""Levels of the copy ahead, and how much stronger that of the sound before is: it may have died away."""
_FINER_MIXES = tuple((-54.0 + 2 * step, share) for step in range(13) for share in (0.0, 0.3, 1.0, 3.0))
_LONGEST_SECONDS = 6.0
"""Quiet that is looked at, at most."""
_TRIED = 8
"""Lags that are looked at with what was printed by the sound before."""
LEAST = 200.0
"""What the quiet must hold beyond hiss, as `Step.gain`, for a copy to be looked for."""
_MOST_EXPLAINED = 1.3
_OF_HISS = 0.149
"""What hiss alone has of it, a band and moment: the integral of (x - 1 - ln x) exp(-x) from 1 on."""
_FAR = 0.03
"""Part of a lag beyond which another lag is another."""


EXPLAINED, OVER_STEADY, OVER_OTHER = 0.7, 300.0, 150.0
"""A step from which a copy is told, see `Step`; set on recordings."""
LEAST_OVER_OTHER = 30.0
"""From which it may be one, where other places tell the same pack."""


@dataclass(frozen=True, slots=True)
class Step:
    """The lag at which the strength of the quiet is told best by that of what comes."""

    lag: float
    level_db: float
    gain: float
    """Natural logarithm of how much likelier a copy is than hiss alone, a band and moment counted as one."""
    explained: float
    """Part of what is more than hiss that a copy explains."""
    over_steady: float
    """By how much more likely it is than tones that stay through the quiet."""
    over_other: float
    """By how much more likely it is than a copy at any other lag."""

    @property
    def tells(self) -> bool:
        """Whether it is a copy, however loud."""
        return self.may_tell and self.over_other >= OVER_OTHER

    @property
    def may_tell(self) -> bool:
        """Whether it may be one."""
        beats = self.over_steady >= OVER_STEADY and self.over_other >= LEAST_OVER_OTHER
        return beats and self.explained >= EXPLAINED


class _Quiet(NamedTuple):
    """Moments by bands of the quiet, its hiss 1, and of what comes and came, as print would be at 0 dB."""

    power: np.ndarray
    sound: np.ndarray
    ahead: int
    """Moments from the first of `sound` to that of the quiet."""


def worth_a_look(plain: np.ndarray, hertz: float, begins: int, quiet: float, speed_ips: float) -> bool:
    """Whether the quiet holds enough beyond hiss, and beyond tones that stay, for a copy to be told."""
    span = _span(hertz, begins, quiet)
    if span is None:
        return False
    power = _powers(plain[span], *_sizes(hertz))
    power = (power / _hiss(power, hertz))[:, _used(hertz, speed_ips)]
    excess = float(_beyond(power).sum()) - _OF_HISS * power.size
    stays = len(power) * float(_beyond(power.mean(axis=0)).sum())
    return bool(excess >= LEAST and _MOST_EXPLAINED * excess - stays >= OVER_STEADY)


def _sizes(hertz: float) -> tuple[int, int]:
    """Samples of a moment, and from one to the next."""
    return int(_FRAME_SECONDS * hertz) // 2 * 2, int(_HOP_SECONDS * hertz)


def _span(hertz: float, begins: int, quiet: float) -> slice | None:
    """The quiet that is looked at; none where it is too short."""
    stop = begins - int(_GUARD_SECONDS * hertz)
    start = max(0, stop - int(min(quiet - 0.1, _LONGEST_SECONDS) * hertz))
    return None if stop - start < 4 * _sizes(hertz)[0] else slice(start, stop)


def _used(hertz: float, speed_ips: float) -> slice:
    """The lines of a moment that are looked at."""
    width = hertz / _sizes(hertz)[0]
    return slice(int(_LOW_HZ / width) + 1, int(min(_TOP_HZ * speed_ips / 15, _TOP_HZ) / width))


def step(
    plain: np.ndarray, hertz: float, begins: int, quiet: float, lags: tuple[float, float], speed_ips: float
) -> Step | None:
    """That of one channel; `plain` holds the longest lag before the quiet as well, where there is so much."""
    hop = int(_HOP_SECONDS * hertz)
    known = _quiet(plain, hertz, begins, quiet, lags, speed_ips)
    if known is None:
        return None
    power, sound, ahead = known
    first, last = int(lags[0] * hertz) // hop, int(lags[1] * hertz) // hop
    last = min(last, len(sound) - ahead - len(power)) - 1
    excess = _beyond(power).sum() - _OF_HISS * power.size
    if last - first < 3 or excess < LEAST:
        return None
    stays = len(power) * float(_beyond(power.mean(axis=0)).sum())
    # What was printed by the sound before reaches the later half less.
    tried = np.concatenate([
        _highest(_by_lag(power[at:], sound[ahead + first + at : ahead + last + len(power)])) + first
        for at in (0, len(power) // 2)
    ])  # fmt: skip
    tried = np.array(list(dict.fromkeys(tried.tolist())))  # both halves often tell the same
    found = np.array([_both(known, lag, _MIXES)[0] for lag in tried.tolist()])
    best = int(found.argmax())
    gain, mix = _both(known, int(tried[best]), _FINER_MIXES)
    beside = [_both(known, int(tried[best]) + by, (mix,))[0] for by in (-1, 1)]
    lag = float(tried[best]) + _between(beside[0], gain, beside[1])
    other = found[np.abs(tried / tried[best] - 1) > _FAR].max(initial=0.0)
    return Step(lag * hop / hertz, mix[0], gain, gain / float(excess), gain - stays,
                float(found[best] - other))  # fmt: skip


def _between(left: float, middle: float, right: float) -> float:
    """Where a parabola through three values is highest, within half a step of the middle one."""
    bend = left - 2 * middle + right
    return 0.0 if bend >= 0 else max(-0.5, min(0.5, 0.5 * (left - right) / bend))


def _beyond(power: np.ndarray) -> np.ndarray:
    """How much likelier any strength of its own is than hiss, where there is more than hiss."""
    more = np.maximum(power, 1)
    likelier: np.ndarray = more - 1 - np.log(more)
    return likelier


def _quiet(
    plain: np.ndarray, hertz: float, begins: int, quiet: float, lags: tuple[float, float], speed_ips: float
) -> _Quiet | None:
    span = _span(hertz, begins, quiet)
    if span is None:
        return None
    size, hop = _sizes(hertz)
    ahead = min(span.start, int(lags[1] * hertz)) // hop
    power = _powers(plain[span], size, hop)
    every = _powers(plain[span.start - ahead * hop : span.stop + int(lags[1] * hertz)], size, hop)
    wave = np.arange(size // 2 + 1) * hertz / size / (_LOUDEST_HZ * speed_ips / 15)
    use, hiss = _used(hertz, speed_ips), _hiss(power, hertz)
    shape = ((wave * np.exp(1 - wave)) ** 2 / hiss).astype(np.float32)
    sound = every[:, use] * shape[use]
    told = np.log(sound[ahead + 1 :] * np.float32(10**-4.6) + 1).sum(axis=0)
    bands = np.sort(np.argsort(told)[-_BANDS:])
    return _Quiet((power / hiss)[:, use][:, bands], np.ascontiguousarray(sound[:, bands]), ahead)


def _powers(sound: np.ndarray, size: int, hop: int) -> np.ndarray:
    from scipy.fft import rfft

    shape = np.hanning(size + 1)[:-1].astype(np.float32)
    rows = np.lib.stride_tricks.sliding_window_view(sound.astype(np.float32, copy=False), size)[::hop]
    lines = rfft(rows * shape, axis=1)
    power: np.ndarray = lines.real**2 + lines.imag**2
    return power


def _hiss(power: np.ndarray, hertz: float) -> np.ndarray:
    """Mean power of the hiss by band: the middle over moments and over bands beside."""
    from scipy.ndimage import median_filter

    wide = max(1, round(_HISS_HZ * _sizes(hertz)[0] / hertz))
    hiss: np.ndarray = median_filter(np.median(power, axis=0), wide | 1, mode="nearest") / np.log(2)
    np.maximum(hiss, 1e-20, out=hiss)
    return hiss


def _by_lag(power: np.ndarray, sound: np.ndarray) -> np.ndarray:
    """By lag, at the level that fits: how much likelier a copy of what comes is than hiss alone."""
    from scipy.fft import irfft, next_fast_len, rfft

    count, lags = len(power), len(sound) - len(power) + 1
    size = next_fast_len(len(sound) + count, real=True)
    turned, rows = np.conj(rfft(power, size, axis=0)), []
    for level in _LEVELS_DB:
        both = sound * np.float32(10 ** (level / 10)) + 1
        costs = np.concatenate(([0.0], np.cumsum(_logs(both), dtype=np.float64)))
        tells = irfft((rfft(1 - 1 / both, size, axis=0) * turned).sum(axis=1), size)[:lags]
        rows.append(tells - (costs[count : count + lags] - costs[:lags]))
    best: np.ndarray = np.max(rows, axis=0)
    return best


def _highest(curve: np.ndarray) -> np.ndarray:
    """The highest peaks, apart from one another, and the values beside the highest."""
    left = curve.copy()
    found = []
    for _ in range(_TRIED):
        at = int(left.argmax())
        found.append(at)
        left[max(0, at - 2) : at + 3] = -np.inf
    return np.array(found)


def _both(known: _Quiet, lag: int, mixes: Sequence[tuple[float, float]]) -> tuple[float, tuple[float, float]]:
    """How much likelier copies of what comes and of what came are than hiss, at a lag; the mix that fits."""
    power, sound, ahead = known
    copies = sound[ahead + lag : ahead + lag + len(power)]
    came = np.zeros_like(copies)
    before = sound[max(0, ahead - lag) : max(0, ahead - lag + len(power))]
    came[len(came) - len(before) :] = before
    best, whole = (-np.inf, mixes[0]), float(power.sum())
    together = {share: copies + np.float32(share) * came for _, share in mixes}
    both = np.empty_like(copies)
    for level, share in mixes:
        np.multiply(together[share], np.float32(10 ** (level / 10)), out=both)
        both += 1
        told = -float(_logs(both).sum())
        told += whole - float(np.divide(power, both, out=both).sum())
        best = max(best, (told, (level, share)))
    return best


def _logs(rows: np.ndarray) -> np.ndarray:
    """Sums of the logarithms of rows of `_BANDS` values, 1 and more: of four the product's, if that is no
    more than a number holds."""
    a_fourth = rows.shape[1] // 4
    parts = [rows[:, part * a_fourth : (part + 1) * a_fourth] for part in range(4)]
    rest = rows[:, 4 * a_fourth :]
    with np.errstate(over="ignore"):
        product = parts[0] * parts[1] * (parts[2] * parts[3])
    if not np.isfinite(product).all():
        found: np.ndarray = np.log(rows).sum(axis=1)
        return found
    return np.asarray(np.log(product).sum(axis=1) + np.log(rest).sum(axis=1))
