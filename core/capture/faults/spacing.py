"""Treble that falls along a pass as it does when something comes between tape and head.

A spacing d costs 54.6 d/λ decibels, where the wavelength λ is the tape's speed over the frequency
(R. L. Wallace, Bell System Technical Journal 30, 1951): twice as much an octave higher. The treble of every
track is held against its own middle, moment by moment, and only against moments with the same bass: so a
bridge without cymbals is no spacing. What falls in all tracks, more and more, as the frequency does, is.
"""

from __future__ import annotations

import numpy as np

from core.capture.measures.spectra import EDGES_HZ, NOTHING
from core.values import dataclass

LOSS_DB = 54.6
SHORTEST_SECONDS = 90.0
"""In a shorter stretch nothing can be told from music."""
BLOCK_SECONDS, MOST_BLOCKS = 5.0, 160
KINDS = 12
"""Kinds of moments, by the shape of their bass, that are held against their like."""
_BASS, _MIDDLE, _TREBLE = slice(0, 5), slice(2, 4), slice(5, None)
_CLEAR_HALVES = 20
"""A band is used in moments of a kind that stand so far above the hiss, in half decibels."""
_BAND_HZ = np.diff(EDGES_HZ)[_TREBLE]
_WIDE_HALVES = 20 * np.log10(_BAND_HZ)
"""Half decibels by which hiss of one strength a hertz is stronger in each treble band."""
_LINE_HZ = 48000 / 1024
_HISS_STEPS = 2 * 4.343 * 1.52 * np.sqrt(_LINE_HZ / _BAND_HZ)
"""Half decibels by which the level of steady hiss steps between moments, at the median, and a third
more. Power told by n lines under Hann's window errs by 4.343 sqrt(1.5 / n) dB; a step has the root of two
of that, its median 0.67 of it (Gauss): 1.17 in all, without the third."""
_POWER = 10.0 ** (-np.arange(NOTHING + 1) / 20)
"""By half decibels below full scale."""
_PAUSE_HALVES = 50
_QUIET_HALVES = 170
"""A moment whose middle is weaker tells nothing."""
_FEWEST = 20
"""Moments in all from which a band of a track tells anything."""


@dataclass(frozen=True, slots=True)
class Growth:
    """A spacing that grows along a stretch of the pass."""

    began: float
    """Seconds from the start of the stretch."""
    micrometres: float
    """At its end, over all tracks."""
    error: float
    """Standard error of that."""
    by_track: np.ndarray
    """Micrometres by track; not a number where a track tells nothing."""
    errors: np.ndarray
    agree: float
    """Share of what the tracks tell that speaks for it, 0 to 1."""


def loss_a_micrometre(speed_ips: float) -> np.ndarray:
    """Decibels that a micrometre costs each treble band against the middle."""
    edges = np.sqrt(np.array(EDGES_HZ[:-1], float) * np.array(EDGES_HZ[1:]))
    middle = float(np.sqrt(EDGES_HZ[2] * EDGES_HZ[4]))
    loss: np.ndarray = LOSS_DB * (edges[_TREBLE] - middle) / (speed_ips * 25400.0)
    return loss


def growth(rows: np.ndarray, moment_seconds: float, speed_ips: float) -> Growth | None:
    """The growth of spacing over channels by moments by bands; none where nothing can be told.

    `rows` are half decibels as `Spectra` keeps them.
    """
    moments = rows.shape[1]
    if moments * moment_seconds < SHORTEST_SECONDS:
        return None
    block = max(BLOCK_SECONDS, moments * moment_seconds / MOST_BLOCKS)
    places = (np.arange(moments) * moment_seconds / block).astype(int)
    tracks = [told for row in range(len(rows)) if (told := Track.of(row, rows[row], places)) is not None]
    if not tracks:
        return None
    ramps = _ramps(int(places[-1]) + 1)
    loss = loss_a_micrometre(speed_ips)
    fits = [track.fit(ramps, loss) for track in tracks]
    weight = np.sum([1 / sway**2 for _, sway in fits], axis=0)
    told = np.sum([grown / sway**2 for grown, sway in fits], axis=0) / weight
    best = int(np.argmax(told**2 * weight * (told > 0)))
    by_track, errors = np.full(len(rows), np.nan), np.full(len(rows), np.nan)
    for track, (grown, sway) in zip(tracks, fits, strict=True):
        by_track[track.row], errors[track.row] = grown[best], sway[best]
    heard = np.isfinite(errors)
    trust = 1 / errors[heard] ** 2
    # What the tracks differ by, beyond their own errors, makes the mean less sure.
    apart = float(np.sum(trust * (by_track[heard] - told[best]) ** 2) / max(1, np.count_nonzero(heard) - 1))
    error = float(np.sqrt(max(1.0, apart) / weight[best]))
    agree = float(np.sum(np.sqrt(trust) * (by_track[heard] > 0.3 * told[best])) / np.sum(np.sqrt(trust)))
    return Growth(best * block, float(told[best]), error, by_track, errors, agree)


def _ramps(blocks: int) -> np.ndarray:
    """Courses by blocks that are nothing until a block and then rise to 1 at the end."""
    at = np.arange(blocks)
    begins = np.arange(max(1, blocks - 8))
    ramps: np.ndarray = np.clip((at - begins[:, None]) / (blocks - 1 - begins[:, None]), 0, 1)
    return ramps


@dataclass(frozen=True, slots=True)
class Track:
    """What one track tells, gathered by blocks of time and kinds of moments."""

    row: int
    counts: np.ndarray
    """Bands by blocks by kinds."""
    means: np.ndarray
    """Treble less middle in dB, of the same shape; 0 where there is none."""

    @classmethod
    def of(cls, row: int, halves: np.ndarray, places: np.ndarray) -> Track | None:
        middle = halves[:, _MIDDLE].min(axis=1).astype(int)
        sounds = middle < _QUIET_HALVES
        if np.count_nonzero(sounds) < _FEWEST:
            return None
        pause = _pauses(halves, middle)
        kinds = _kinds(halves[:, _BASS].astype(np.float32), sounds)
        treble = halves[:, _TREBLE].astype(np.int16)
        floor = np.minimum(_floor(treble), pause[_TREBLE])
        clear = _clear(treble, kinds, floor)
        level = _POWER[treble]
        level -= 10.0 ** (-floor / 20)
        np.maximum(level, 0.1 * 10.0 ** (-floor / 20), out=level)
        np.log10(level, out=level)
        level *= 10
        level += 0.5 * _level(halves[:, _MIDDLE])[:, None]
        tells = sounds[:, None] & (treble < NOTHING) & clear
        blocks, bands = int(places[-1]) + 1, treble.shape[1]
        counts, sums = np.zeros((bands, blocks, KINDS)), np.zeros((bands, blocks, KINDS))
        for band in range(bands):
            use = tells[:, band]
            if np.count_nonzero(use) < _FEWEST:
                continue
            cell = places[use] * KINDS + kinds[use]
            counts[band] = np.bincount(cell, minlength=blocks * KINDS).reshape(blocks, KINDS)
            sums[band] = np.bincount(cell, level[use, band], blocks * KINDS).reshape(blocks, KINDS)
        if not counts.any():
            return None
        return cls(row, counts, sums / np.maximum(counts, 1))

    def fit(self, ramps: np.ndarray, loss: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """Micrometres at the end and their standard error, for every course that the growth may take."""
        told, weight = np.zeros(len(ramps)), np.full(len(ramps), 1e-9)
        for counts, means, db in zip(self.counts, self.means, loss, strict=True):
            if not counts.any():
                continue
            every = np.maximum(counts.sum(axis=0), 1e-9)
            steady = np.where(counts > 0, means - (counts * means).sum(axis=0) / every, 0.0)
            middle = ramps @ counts / every
            blocks = counts.sum(axis=1)
            # Sums over blocks and kinds of (ramp - its mean of that kind) times itself and times the sound.
            square = (ramps**2) @ blocks - (middle**2) @ every
            across = ramps @ (counts * steady).sum(axis=1)
            fall = across / np.maximum(square, 1e-9)
            noise = _noise((counts * steady).sum(axis=1), blocks, ramps, fall)
            spread = noise / np.maximum(square, 1e-9)
            trust = db**2 / np.maximum(spread, 1e-9)
            told += -fall / db * trust
            weight += trust
        # Bands of one track rise and fall together: they are hardly more than two witnesses.
        together = max(1.0, int(np.count_nonzero(self.counts.any(axis=(1, 2)))) / 2)
        return told / weight, np.sqrt(together / weight)


def _noise(sums: np.ndarray, counts: np.ndarray, ramps: np.ndarray, fall: np.ndarray) -> np.ndarray:
    """Variance of a moment that stands for how blocks stray from every course, slow strays counting more."""
    use = counts > 0
    strays = sums[use] / counts[use] - fall[:, None] * (
        ramps[:, use] - ramps[:, use].mean(axis=1, keepdims=True)
    )
    strays -= strays.mean(axis=1, keepdims=True)
    usual: float = np.median(counts[use]).item()
    variance = (strays**2).mean(axis=1) * usual
    near = (strays[:, 1:] * strays[:, :-1]).mean(axis=1) / np.maximum((strays**2).mean(axis=1), 1e-9)
    near = np.clip(near, 0, 0.9)
    noise: np.ndarray = variance * (1 + near) / (1 - near)
    return noise


def _floor(treble: np.ndarray) -> np.ndarray:
    """Half decibels below full scale of the hiss in each treble band: as strong a hertz as the weakest is."""
    weakest = np.percentile(treble, 95, axis=0) + _WIDE_HALVES
    floor: np.ndarray = weakest.max() - _WIDE_HALVES
    return floor


def _clear(treble: np.ndarray, kinds: np.ndarray, floor: np.ndarray) -> np.ndarray:
    """Moments by bands: whether moments of that kind stand clear of the hiss there, and are no hiss."""
    alive = np.median(np.abs(np.diff(treble, axis=0)), axis=0) > _HISS_STEPS
    clear = np.zeros(treble.shape, bool)
    for kind in range(KINDS):
        mine = kinds == kind
        if mine.any():
            clear[mine] = alive & (np.median(treble[mine], axis=0) + _CLEAR_HALVES <= floor)
    return clear


def _level(halves: np.ndarray) -> np.ndarray:
    """Half decibels below full scale of some bands together."""
    level: np.ndarray = -20 * np.log10(_POWER[halves].sum(axis=1))
    return level


def _pauses(halves: np.ndarray, middle: np.ndarray) -> np.ndarray:
    """Half decibels below full scale of each band in the track's pauses; 255 where it has none."""
    quiet = np.argsort(middle)[::-1][: max(3, len(middle) // 50)]
    if np.median(middle[quiet]) - np.median(middle) < _PAUSE_HALVES:
        return np.full(halves.shape[1], NOTHING + _CLEAR_HALVES)
    found: np.ndarray = np.median(halves[quiet], axis=0)
    return found


def _kinds(bass: np.ndarray, sounds: np.ndarray) -> np.ndarray:
    """A kind for every moment by the shape of its bass: k-means from fixed starts."""
    shape = bass - bass.mean(axis=1, keepdims=True)
    order = np.flatnonzero(sounds)
    some = shape[order[np.linspace(0, len(order) - 1, min(len(order), 4000)).astype(int)]]
    ranked = some[np.argsort(some[:, 0] - some[:, -1], kind="stable")]
    middles = ranked[np.linspace(0, len(ranked) - 1, KINDS).astype(int)].copy()
    for _ in range(8):
        nearest = _nearest(some, middles)
        for kind in range(KINDS):
            if (mine := nearest == kind).any():
                middles[kind] = some[mine].mean(axis=0)
    return _nearest(shape, middles)


def _nearest(rows: np.ndarray, middles: np.ndarray) -> np.ndarray:
    apart = (middles**2).sum(axis=1) - 2 * rows @ middles.T
    found: np.ndarray = apart.argmin(axis=1)
    return found
