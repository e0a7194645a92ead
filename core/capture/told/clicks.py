"""Clicks as findings: each by its length and shape, many of a track together in one line."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence

import numpy as np

from core.capture.measures.impulses import Click
from core.capture.scan import Scan
from core.capture.weighing.places import PassMaker, clock
from core.findings import Finding

MOST = 12
"""More on a track are told together: a crackle, or what is played."""
_BESIDE_SECONDS = 0.02
_OTHERS = ("dropout", "zero run", "repeat", "clipping", "splice", "join", "timecode gap")
"""Kinds that click at their edges."""


def click_findings(
    scan: Scan, make: PassMaker, code: Collection[int], found: Sequence[Finding]
) -> Iterator[Finding]:
    """What clicks, apart from the edges of what is `found` already; `code` are channels with timecode."""
    edges = [one for one in found if one.kind in _OTHERS and not _whole(one, make)]
    for channel in range(len(make.tracks)):
        mine = [one for one in scan.impulses.found if one.channel == channel and channel not in code]
        mine = _apart_from(mine, edges, make)
        if len(mine) > MOST:
            yield _many(mine, make)
        else:
            yield from (_one(click, make) for click in mine)


def _whole(one: Finding, make: PassMaker) -> bool:
    return one.start <= 0 and one.end >= make.seconds - 1e-6


def _apart_from(clicks: Sequence[Click], edges: Sequence[Finding], make: PassMaker) -> list[Click]:
    """Those clicks of one track that lie at none of its edges, nor at one of all tracks."""
    if not clicks:
        return []
    track = make.tracks[clicks[0].channel]
    beside = [(one.start - _BESIDE_SECONDS, one.end + _BESIDE_SECONDS) for one in edges
              if one.track is None or one.track == track]  # fmt: skip
    at = np.array([one.start for one in clicks]) / make.sample_rate
    apart = np.ones(len(at), bool)
    for first, last in beside:
        apart &= (at < first) | (at > last)
    return [one for one, alone in zip(clicks, apart.tolist(), strict=True) if alone]


def _one(click: Click, make: PassMaker) -> Finding:
    says = (
        f"{make.begin(click.channel)} clicks at {make.clock(click.start)}: {_shape(click, make.sample_rate)}."
    )
    return make.at("click", click.channel, click.start, click.stop, says, size=click.above_db)


def _shape(click: Click, rate: int) -> str:
    frames = click.stop - click.start
    if abs(click.jumps) > 0.7 * click.peak:
        return "the waveform jumps and stays, as where it was cut"
    # The bend of a single sample reaches two samples to either side.
    if frames <= 5 * max(1, rate // 48000):
        return "one or two samples, as from the interface or the disk"
    return f"{1000 * frames / rate:.1f} ms, as from static or a cut"


def _many(clicks: Sequence[Click], make: PassMaker) -> Finding:
    first, last = clicks[0], max(clicks, key=lambda one: one.above_db)
    says = (f"{make.begin(first.channel)} clicks {len(clicks)} times, first at {make.clock(first.start)}, "
            f"most at {clock(last.start / make.sample_rate)}: crackle, or what is played.")  # fmt: skip
    return make.at("click", first.channel, first.start, clicks[-1].stop, says, size=last.above_db)
