"""Pieces of a pass of which neither an overlap nor a clock tells whether they meet."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from pathlib import Path

from core.capture.files.excerpt import Excerpts
from core.capture.files.layout import Layout, Piece
from core.capture.files.wave.header import Header
from core.capture.pieces.joins import Junction
from core.capture.pieces.meeting import meet
from core.capture.weighing.places import PassMaker
from core.findings import Finding

_LIMITS_BYTES = (2**31, 2**32, 10**9, 2 * 10**9, 4 * 10**9)
"""At which size a recorder begins a new file by itself (common practice); such pieces meet."""
_NEAR = 0.01


def unmet_findings(
    junctions: Sequence[Junction], paths: Sequence[Path], headers: Sequence[Header | None], layout: Layout,
    make: PassMaker, by_code: Collection[int],
) -> Iterator[Finding]:  # fmt: skip
    """A remark where the sound breaks between two pieces, a note where nothing tells.

    ``by_code`` are the junctions' frames of which the timecode tells.
    """
    for junction in junctions:
        if junction.clocked or junction.skip or junction.at in by_code:
            continue
        before, after = layout.pieces[junction.piece - 1], layout.pieces[junction.piece]
        runs_on = meet(Excerpts(paths, headers, before), Excerpts(paths, headers, after))
        if runs_on is False:
            yield _told(junction, make, _BROKEN, weight="remark", size=1.0)
        elif runs_on is None and not _rolled(headers, layout.pieces, before):
            yield _told(junction, make, _UNTOLD, weight="note", size=0.0)


_BROKEN = (
    "{pieces} do not meet: the sound breaks at {at}, and nothing tells how much is missing. Capture that "
    "stretch again, from some seconds before it."
)
_UNTOLD = (
    "Whether {pieces} meet at {at} cannot be told: they do not overlap, and the sound there is too even. "
    "Some seconds of overlap, a time reference in the files or timecode would tell."
)


def _told(junction: Junction, make: PassMaker, says: str, *, weight: str, size: float) -> Finding:
    named = f"pieces {junction.piece} and {junction.piece + 1}"
    told = says.format(pieces=named, at=make.clock(junction.at))
    told = told[0].upper() + told[1:]
    return make.at("join", None, junction.at, junction.at + 1, told, weight=weight, size=size)


def _rolled(headers: Sequence[Header | None], pieces: Sequence[Piece], before: Piece) -> bool:
    """Whether a recorder began the next file by itself: at a round size or time, all but the last alike."""
    header = headers[before.files[0]]
    if header is None:
        return False
    at_limit = any(abs(header.bytes - limit) <= _NEAR * limit for limit in _LIMITS_BYTES)
    whole_minutes = before.frames % (60 * header.sample_rate) == 0
    alike = len(pieces) > 2 and len({piece.frames for piece in pieces[:-1]}) == 1
    return at_limit or whole_minutes or alike
