"""Laying the pieces of a pass end to end: what to skip of each, and what to say about each junction."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

from core.capture.files.excerpt import Excerpts
from core.capture.files.layout import Layout, Piece
from core.capture.files.wave.header import Header
from core.capture.pieces.junction import Overlap, find_overlap
from core.capture.pieces.meeting import meet
from core.capture.pieces.played_again import cut_where_again
from core.capture.weighing.places import PassMaker
from core.findings import Finding
from core.values import dataclass


@dataclass(frozen=True, slots=True)
class Junction:
    """Where a piece goes on from the one before."""

    piece: int
    at: int
    """Frame of the pass at which the piece takes over."""
    skip: int
    """Frames at its start that the piece before holds too."""
    hole: int = 0
    """Frames that are missing by the files' clocks."""
    overlap: Overlap | None = None
    by_clock: int | None = None
    """Overlap by the files' clocks, where they tell one."""
    clocked: bool = False
    """The files' clocks tell how the pieces lie."""
    left_out: int = 0
    """Frames at the end of the piece before that this one plays again: they are not used."""


def join_pieces(paths: Sequence[Path], headers: Sequence[Header | None], layout: Layout,
                hole_seconds: float) -> tuple[Layout, tuple[Junction, ...]]:  # fmt: skip
    """A junction for every piece after the first, and the pieces up to where later ones play them again.

    Only the ends of the files are read, but where two neither overlap there nor meet.
    """
    junctions: list[Junction] = []
    pieces = list(layout.pieces)
    total = pieces[0].frames
    for at, after in enumerate(layout.pieces[1:], start=1):
        before, left_out = pieces[at - 1], 0
        clock = _clock_gap(headers, before, after)
        old, new = (Excerpts(paths, headers, piece) for piece in (before, after))
        overlap = find_overlap(old, new) if clock is None or clock <= 0 else None
        cut = cut_where_again(old, new) if overlap is None and not meet(old, new) else None
        if cut is not None:
            left_out, pieces[at - 1] = before.frames - cut.frames, cut
            overlap, clock, before, total = find_overlap(old.of(cut), new), None, cut, total - left_out
        by_clock = -clock if clock is not None and clock < 0 else None
        skip = overlap.frames if overlap else by_clock or 0
        skip = max(0, min(skip, after.frames, before.frames))
        hole = clock if clock is not None and clock > hole_seconds * layout.sample_rate else 0
        junctions.append(Junction(at, total, skip, hole, overlap, by_clock, clock is not None, left_out))
        total += after.frames - skip
    return replace(layout, pieces=tuple(pieces)), tuple(junctions)


def _clock_gap(headers: Sequence[Header | None], before: Piece, after: Piece) -> int | None:
    """Frames from the end of one piece to the start of the next by `bext`; none if that tells nothing."""
    one, two = (_time_reference(headers, piece) for piece in (before, after))
    if one is None or two is None or two <= one:
        return None
    gap = two - one - before.frames
    first = headers[before.files[0]]
    day = 86400 * (first.sample_rate if first else 1)
    return gap if gap < day and -gap <= before.frames else None


def _time_reference(headers: Sequence[Header | None], piece: Piece) -> int | None:
    header = headers[piece.columns[0].file]
    return None if header is None else header.time_reference


def join_findings(junctions: Sequence[Junction], make: PassMaker) -> list[Finding]:
    """A finding for every overlap and for every hole; pieces that meet exactly need none."""
    found = []
    for junction in junctions:
        if junction.hole:
            seconds = junction.hole / make.sample_rate
            found.append(hole_finding(make, junction.at, seconds, "the files' clocks"))
        elif junction.skip:
            found.append(_overlap_finding(make, junction))
    return found


def hole_finding(make: PassMaker, at: float, seconds: float, source: str) -> Finding:
    """A hole between two pieces, told by their clocks or by timecode."""
    says = (f"{seconds:.2f} s are missing between two pieces at {make.clock(at)}, by {source}: "
            "capture that stretch again.")  # fmt: skip
    return make.at("join", None, at, at + seconds * make.sample_rate, says, weight="fail", size=seconds)


def _overlap_finding(make: PassMaker, junction: Junction) -> Finding:
    seconds = junction.skip / make.sample_rate
    place = (f"Piece {junction.piece + 1} overlaps the one before by {seconds:.3f} s "
             f"at {make.clock(junction.at)}")  # fmt: skip
    start = junction.at - junction.skip
    if junction.left_out:
        again, begins = junction.left_out / make.sample_rate, make.clock(start)
        place = (
            f"Piece {junction.piece + 1} plays again what the one before holds from {begins} on and takes "
            f"over at {make.clock(junction.at)}; {again:.0f} s of that one are left out"
        )
    if junction.overlap is None:
        says = f"{place} by the files' clocks, but the sound does not show it; listen to the join."
        return make.at("join", None, start, junction.at, says, weight="remark", size=1.0)
    fit = junction.overlap
    misfit = "equal to the sample" if fit.misfit_db is None else f"misfit {fit.misfit_db:.0f} dB"
    drift = f", {abs(fit.drift_ms):.1f} ms apart over it" if abs(fit.drift_ms) >= 0.3 else ""
    clean = fit.likeness >= 0.9 and abs(fit.drift_ms) <= make.thresholds["join_drift"]
    says = f"{place}, {misfit}{drift}; {'joined cleanly' if clean else 'listen to the join'}."
    return make.at("join", None, start, junction.at, says, weight="note" if clean else "remark",
                   size=abs(fit.drift_ms) + 100 * (1 - fit.likeness))  # fmt: skip
