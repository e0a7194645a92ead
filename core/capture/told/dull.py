"""Treble that goes along the pass, as findings: heads that got dirty, and one side of the tape that sinks."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from itertools import pairwise

import numpy as np

from core.capture.faults.spacing import Growth, growth
from core.capture.scan import Scan
from core.capture.weighing.places import PassMaker, clock
from core.findings import Finding

USUAL_IPS = 15.0
"""The speed by which a spacing is told where the reel's is not known."""
_SURE = 4.0
"""Standard errors by which a spacing must stand out."""
_AGREE = 0.7
"""Share of the tracks that must speak for it."""
_BACK_SECONDS = 10.0
"""Play again from so much before it began."""
_FEWEST_TRACKS = 2


def dull_findings(
    scan: Scan, make: PassMaker, joins: Sequence[float], code: Collection[int]
) -> list[Finding]:
    """Where the treble goes, between joins (seconds of the pass); `code` are channels that carry timecode."""
    rows, step = scan.spectra.found(), scan.spectra.spacing_seconds
    sound = [channel for channel in range(len(rows)) if channel not in code]
    if len(sound) < _FEWEST_TRACKS:
        return []
    found: list[Finding] = []
    edges = [0.0, *sorted(joins), make.seconds]
    for first, last in pairwise(edges):
        part = rows[sound, round(first / step) : round(last / step)]
        grown = growth(part, step, make.reel.speed_ips or USUAL_IPS)
        if grown is None:
            continue
        if _is_dull(grown, make.thresholds["dull"]):
            found.append(_dull(grown, sound, first, last, make))
        elif (side := _sinking(grown, sound, make)) is not None:
            found.append(_sunk(*side, grown, first, last, make))
    return found


def _is_dull(grown: Growth, least: float) -> bool:
    sure = grown.micrometres > _SURE * grown.error and grown.agree >= _AGREE
    many = int(np.count_nonzero(np.isfinite(grown.by_track)))
    return sure and many >= _FEWEST_TRACKS and grown.micrometres >= least


def _dull(grown: Growth, sound: Sequence[int], first: float, last: float, make: PassMaker) -> Finding:
    began = first + grown.began
    order = np.argsort(-np.nan_to_num(grown.by_track, nan=-9.0))
    worst = [make.tracks[sound[at]] for at in order if _clearly_worse(grown, at)][:4]
    most = f", track{'s' * (len(worst) > 1)} {', '.join(map(str, sorted(worst)))} most" if worst else ""
    speed = "" if make.reel.speed_ips else f" if it ran at {USUAL_IPS:g} in/s"
    says = (f"From {clock(began)} on the treble goes as from dirty heads: "
            f"{grown.micrometres:.1f} micrometres of spacing at {clock(last)}{speed}{most}. Clean, and play "
            f"again from {clock(max(first, began - _BACK_SECONDS))}.")  # fmt: skip
    return make.at("dull", None, began * make.sample_rate, last * make.sample_rate, says,
                   size=10 * grown.micrometres)  # fmt: skip


def _clearly_worse(grown: Growth, at: int) -> bool:
    """Whether a track lost so much more than the others that it is named."""
    lost = float(grown.by_track[at])
    return lost > 1.3 * grown.micrometres and float(grown.errors[at]) < 0.5 * lost


def _sinking(grown: Growth, sound: Sequence[int], make: PassMaker) -> tuple[list[int], float] | None:
    """The tracks of the edge that loses treble against the middle, and micrometres; none if neither does."""
    every = len(sound)
    if every < 6:
        return None
    edge = max(2, every // 8)
    middle = slice(every // 3, -(-2 * every // 3))
    for side in (slice(0, edge), slice(every - edge, every)):
        told = [_mean(grown, part) for part in (side, middle)]
        if any(np.isnan(value) for value, _ in told):
            continue
        apart = told[0][0] - told[1][0]
        error = float(np.hypot(told[0][1], told[1][1]))
        if apart >= make.thresholds["dull"] and apart > _SURE * error:
            return [make.tracks[channel] for channel in sound[side]], apart
    return None


def _mean(grown: Growth, part: slice) -> tuple[float, float]:
    told, errors = grown.by_track[part], grown.errors[part]
    heard = np.isfinite(told)
    if not heard.any():
        return float("nan"), float("nan")
    spread = float(told[heard].std()) if np.count_nonzero(heard) > 1 else 0.0
    weight = 1 / errors[heard] ** 2
    mean = float((told[heard] * weight).sum() / weight.sum())
    return mean, max(float(weight.sum() ** -0.5), spread / float(np.sqrt(np.count_nonzero(heard))))


def _sunk(
    tracks: list[int], apart: float, grown: Growth, first: float, last: float, make: PassMaker
) -> Finding:
    began = first + grown.began
    says = (f"From {clock(began)} on tracks {tracks[0]} to {tracks[-1]} at the edge lose treble against the "
            f"middle, as from {apart:.1f} micrometres of spacing: look at the edge of the tape, the "
            "guides and the pack.")  # fmt: skip
    return make.at("one side", tracks[0], began * make.sample_rate, last * make.sample_rate, says,
                   size=10 * apart)  # fmt: skip
