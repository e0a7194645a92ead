"""What a pass is drawn by: levels, treble against the middle, and speed and spacing in equal parts."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import replace
from itertools import pairwise

import numpy as np

from core.album.course import Course
from core.capture.faults.spacing import Track, loss_a_micrometre
from core.capture.measures.loud.decibels import decibels, powers
from core.capture.scan import Scan
from core.capture.told.dull import USUAL_IPS
from core.capture.weighing.places import PassMaker
from core.findings import Strip

MOST_PARTS, PART_SECONDS = 12, 30.0
"""Parts of a pass are equal, and no shorter."""
_MIDDLE, _TREBLE = slice(2, 4), slice(7, 10)
"""Bands of 360 to 1440 Hz, and of 5 to 12.5 kHz."""
_QUIET_HALVES = 120
"""A moment whose middle is weaker than -60 dBFS tells nothing."""


def strip_of(scan: Scan, make: PassMaker, course: Course, code: Collection[int]) -> Strip:
    """The strip of a pass, with treble and what speed and spacing were along it."""
    strip = scan.loudness.strip(make.tracks, make.seconds)
    rows = scan.spectra.found()
    treble = [
        _treble(row) if channel not in code else np.full(row.shape[0], np.nan)
        for channel, row in enumerate(rows)
    ]
    at = (np.arange(strip.columns) + 0.5) / strip.columns * make.seconds / scan.spectra.spacing_seconds
    lanes = tuple(_lane(track, at.astype(int)) for track in treble)
    music = [channel for channel in range(len(rows)) if channel not in code]
    along = _along(rows, music, make, course, scan.spectra.spacing_seconds)
    return replace(strip, treble=lanes, along=along)


def _treble(row: np.ndarray) -> np.ndarray:
    """Treble less middle in dB for every moment of one track, less what is usual; no number in pauses."""
    halves = row.astype(np.float32)
    level = [decibels(powers(-0.5 * halves[:, bands]).sum(axis=1)) for bands in (_TREBLE, _MIDDLE)]
    sounds = row[:, _MIDDLE].min(axis=1, initial=255) < _QUIET_HALVES
    told = np.where(sounds & (row[:, _TREBLE].min(axis=1, initial=255) < 255), level[0] - level[1], np.nan)
    heard = told[np.isfinite(told)]
    less: np.ndarray = told - (np.median(heard) if len(heard) else 0.0)
    return less


def _lane(track: np.ndarray, at: np.ndarray) -> bytes:
    if not len(track):
        return bytes([255]) * len(at)
    told = track[np.minimum(at, len(track) - 1)]
    steps = np.where(np.isfinite(told), np.clip(np.round(2 * np.nan_to_num(told)) + 128, 0, 254), 255)
    return steps.astype(np.uint8).tobytes()


def _along(
    rows: np.ndarray, music: Sequence[int], make: PassMaker, course: Course, step: float
) -> tuple[tuple[float, float | None, float | None], ...]:
    """Middle, percent of speed, and micrometres of spacing of equal parts; nothing for a short pass."""
    parts = min(MOST_PARTS, int(make.seconds / PART_SECONDS))
    if parts < 2 or not rows.shape[1]:
        return ()
    edges = np.linspace(0, make.seconds, parts + 1)
    places = (np.arange(rows.shape[1]) / rows.shape[1] * parts).astype(int)
    tracks = [one for row in music if (one := Track.of(row, rows[row], places)) is not None]
    loss = loss_a_micrometre(make.reel.speed_ips or USUAL_IPS)
    lost = _middles([_spacings(one, loss) for one in tracks], parts)
    speed = [_percent(course, first, last) for first, last in pairwise(edges)]
    middles = [round(float(first + last) / 2, 1) for first, last in pairwise(edges)]
    return tuple(zip(middles, speed, lost, strict=True))


def _spacings(track: Track, loss: np.ndarray) -> np.ndarray:
    """Micrometres by part against the first that tells anything, moments held against their like alone."""
    usual = (track.counts * track.means).sum(axis=1) / np.maximum(track.counts.sum(axis=1), 1)
    strays = (track.counts * (track.means - usual[:, None])).sum(axis=2)
    heard = track.counts.sum(axis=2)
    square = (heard * loss[:, None] ** 2).sum(axis=0)
    told = np.where(square > 0, -(strays * loss[:, None]).sum(axis=0) / np.maximum(square, 1e-9), np.nan)
    first = np.flatnonzero(np.isfinite(told))[:1]
    less: np.ndarray = told - told[first] if len(first) else told
    return less


def _middles(spacings: list[np.ndarray], count: int) -> list[float | None]:
    """The middle of all tracks by part, to the hundredth."""
    parts = (np.array([one[part] for one in spacings]) for part in range(count))
    heard = (part[np.isfinite(part)] for part in parts)
    return [round(float(np.median(part)), 2) if len(part) else None for part in heard]


def _percent(course: Course, first: float, last: float) -> float | None:
    """Percent by which the pass played fast between two seconds; none where nothing tells."""
    if not course.speed:
        return None
    told = course.speed[0]
    here = told.ratio[(told.seconds >= first) & (told.seconds < last)]
    return round(100 * (float(np.mean(here)) - 1), 3) if len(here) else None
