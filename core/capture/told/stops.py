"""What a stop of the tape changed, as findings: whether cleaning helped, and from where to play again."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from pathlib import Path

import numpy as np

from core.capture.files.excerpt import Excerpts
from core.capture.files.layout import Layout
from core.capture.files.wave.header import Header
from core.capture.pieces.compared import Compared, compare
from core.capture.pieces.joins import Junction
from core.capture.told.dull import USUAL_IPS
from core.capture.weighing.places import PassMaker, clock
from core.findings import Finding

_SHORTEST_SECONDS = 1.0
_SURE, _AGREE = 4.0, 0.7
_LOUDER_DB = 1.0


def stop_findings(
    junctions: Sequence[Junction], paths: Sequence[Path], headers: Sequence[Header | None], layout: Layout,
    make: PassMaker, code: Collection[int], dull: Sequence[Finding],
) -> list[Finding]:  # fmt: skip
    """A finding for every overlap over which treble or level changed; `dull` tell where treble went."""
    found = []
    for junction in junctions:
        if junction.overlap is None or junction.overlap.frames < _SHORTEST_SECONDS * make.sample_rate:
            continue
        before, after = (Excerpts(paths, headers, layout.pieces[junction.piece - back]) for back in (1, 0))
        told = compare(before, after, junction.overlap.frames, make.reel.speed_ips or USUAL_IPS)
        music = [channel for channel in range(len(make.tracks)) if channel not in code]
        says = _treble(told, music, junction, make, dull) or _level(told, music, junction, make)
        if says:
            size = float(np.nanmax(np.abs(told.micrometres[music]), initial=0.0))
            start = junction.at - junction.overlap.frames
            weight = "note" if junction.left_out and "cleaning helped" in says else None
            found.append(make.at("stop", None, start, junction.at, says, weight=weight, size=10 * size))
    return found


def _treble(
    told: Compared, music: Sequence[int], junction: Junction, make: PassMaker, dull: Sequence[Finding]
) -> str:
    """The sentence about treble; empty where most tracks do not agree that it changed."""
    heard = [channel for channel in music if np.isfinite(told.micrometres[channel])]
    least = make.thresholds["dull"]
    for sign in (1, -1):
        moved = [one for one in heard if sign * told.micrometres[one] >= max(least, _SURE * told.errors[one])]
        if not moved or len(moved) < _AGREE * len(heard):
            continue
        away = abs(float(np.median(told.micrometres[moved])))
        names = ", ".join(str(make.tracks[one]) for one in moved)
        tracks = "all tracks" if len(moved) == len(music) > 1 else f"track{'s' * (len(moved) > 1)} {names}"
        where = f"After the stop at {make.clock(junction.at)}"
        if sign < 0:
            return (
                f"{where} treble is less on {tracks}, as by {away:.1f} micrometres of spacing: clean again."
            )
        if junction.left_out:
            since = make.clock(junction.at - junction.skip)
            return (
                f"Played again from {since} on, treble is back on {tracks}, as by {away:.1f} micrometres "
                "less spacing: cleaning helped."
            )
        from_here = _dull_from(junction, make, dull)
        return (f"{where} treble is back on {tracks}, as by {away:.1f} micrometres less spacing: cleaning "
                f"helped. The piece before is duller: play it again from {clock(from_here)}.")  # fmt: skip
    return ""


def _dull_from(junction: Junction, make: PassMaker, dull: Sequence[Finding]) -> float:
    """Where the piece before began to be dull, as far as that is told; else where the pieces overlap."""
    overlap = 0 if junction.overlap is None else junction.overlap.frames
    start = (junction.at - overlap) / make.sample_rate
    began = [one.start for one in dull if one.kind == "dull" and one.start <= start <= one.end + 1.0]
    return min(began, default=start)


def _level(told: Compared, music: Sequence[int], junction: Junction, make: PassMaker) -> str:
    """The sentence about tracks whose level is another after the stop; empty where none is."""
    moved = [one for one in music if abs(np.nan_to_num(told.level_db[one])) >= _LOUDER_DB]
    if not moved:
        return ""
    each = ", ".join(f"track {make.tracks[one]} by {told.level_db[one]:+.1f} dB" for one in moved[:6])
    return f"After the stop at {make.clock(junction.at)} the level is another: {each}."
