"""A tape that ran askew for a while, as findings."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from itertools import pairwise
from math import ceil

import numpy as np

from core.capture.faults.askew import Askew, askew
from core.capture.measures.neighbours import BLOCKS
from core.capture.scan import Scan
from core.capture.weighing.places import PassMaker, clock
from core.findings import Finding

_USUAL_IPS = 15.0
_MOST = 12


def askew_findings(
    scan: Scan, make: PassMaker, joins: Sequence[float], code: Collection[int]
) -> list[Finding]:
    """Where neighbouring tracks come apart in time; none where the reel's width is not known."""
    width, tracks = make.reel.width_inches, make.reel.tracks or len(make.tracks)
    if width is None or len(make.tracks) < 2:
        return []
    sums = scan.neighbours.found().copy()
    for channel in range(len(sums)):
        if channel in code or channel + 1 in code or make.tracks[channel + 1] - make.tracks[channel] != 1:
            sums[channel] = 0.0
    apart, block = width * 0.0254 / tracks, scan.neighbours.block_seconds
    speed, least = make.reel.speed_ips or _USUAL_IPS, make.thresholds["askew"]
    found: list[Askew] = []
    edges = [0.0, *sorted(joins), make.seconds]
    for first, last in pairwise(edges):
        begin = ceil(first / block)
        part = sums[:, begin : max(begin, int(last / block) - BLOCKS + 1)]
        found += [
            Askew(one.start + begin * block, one.stop + begin * block, one.minutes, one.pairs)
            for one in askew(part, block, apart, speed, least)
        ]
    if len(found) > _MOST:
        return [_many(found, make)]
    return [_one(one, make) for one in found]


def _one(one: Askew, make: PassMaker) -> Finding:
    between = sorted({make.tracks[pair + by] for pair in one.pairs for by in (0, 1)})
    says = (f"From {clock(one.start)} to {clock(one.stop)} the tape runs askew by up to "
            f"{abs(one.minutes):.1f} minutes of arc against the rest (by tracks {between[0]} to "
            f"{between[-1]}): look at guides, tension and the edge of the tape there.")  # fmt: skip
    return make.at("askew", None, one.start * make.sample_rate, one.stop * make.sample_rate, says,
                   size=10 * abs(one.minutes))  # fmt: skip


def _many(found: Sequence[Askew], make: PassMaker) -> Finding:
    worst = max(found, key=lambda one: abs(one.minutes))
    says = (f"The tape runs askew {len(found)} times, first from {clock(found[0].start)}, most from "
            f"{clock(worst.start)} on ({abs(worst.minutes):.1f} minutes of arc): look at the guides and the "
            "tension.")  # fmt: skip
    end = float(np.max([one.stop for one in found]))
    return make.at("askew", None, found[0].start * make.sample_rate, end * make.sample_rate, says,
                   size=10 * abs(worst.minutes))  # fmt: skip
