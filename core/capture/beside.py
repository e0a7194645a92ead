"""Notes beside the sound itself: its real depth, flat tops, the files' names, and how passes lie together."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from core.capture.files.names import NotARule, misnamed
from core.capture.files.wave.header import Header
from core.capture.measures.loud.levels import decibels
from core.capture.pieces.guides import guide_of, guide_says, lay_together
from core.capture.scan import Scan
from core.capture.weighing.facts import StudioFacts
from core.capture.weighing.places import PassMaker
from core.findings import Finding
from core.words import counted

FEWER_BITS = 8
"""A file whose samples leave so many of its bits empty was captured at a lower depth."""


def grain_findings(make: PassMaker, scan: Scan, headers: Sequence[Header | None]) -> list[Finding]:
    """Samples that use fewer bits than their files have, and peaks that are cut below full scale."""
    found = []
    depth = next((header.depth for header in headers if header is not None and not header.is_float), None)
    used = scan.grain.depth()
    if depth is not None and used is not None and used <= depth - FEWER_BITS:
        says = f"The files have {depth} bits, of which the samples use {used}: set the depth at their source."
        found.append(make.whole("depth", None, says, size=depth - used))
    for flat in scan.grain.flat_tops():
        level = decibels(flat.level)
        where = f"at {level:.1f} dBFS in {counted(flat.places, 'place')}, first at {make.clock(flat.first)}"
        cause = "overloaded before the converter, or on the tape"
        says = f"{make.begin(flat.channel)} is cut flat {where}: {cause}."
        found.append(make.whole("flat tops", flat.channel, says, size=flat.places))
    return found


def name_findings(
    make: PassMaker, paths: Sequence[Path], studio: StudioFacts, pass_number: int
) -> list[Finding]:
    """Files that are not named as the shelf's own rule has it."""
    names = [path.stem for path in paths]
    try:
        wrong = misnamed(names, studio.file_names, make.reel.key, pass_number, make.tracks)
    except NotARule as error:
        return [make.whole("name", None, f"The names cannot be held against their rule: {error}.")]
    says = f"is not named by the rule {studio.file_names}"
    return [make.whole("name", None, f"File {at + 1} {says}.", file=at) for at in wrong]


def guide_findings(make: PassMaker, files: Sequence[str], studio: StudioFacts) -> list[Finding]:
    """How this pass lies against those before it, by the guide tracks that both carry."""
    found = []
    for earlier in make.reel.earlier:
        both = set(earlier.tracks) & set(make.tracks)
        guides = tuple(track for track in range(1, studio.guide_tracks + 1) if track in both)
        if not guides:
            continue
        one = guide_of(earlier.files, earlier.tracks, guides)
        two = guide_of(tuple(files), make.tracks, guides)
        if one is None or two is None or one.excerpts.sample_rate != two.excerpts.sample_rate:
            continue
        laid = lay_together(one, two)
        weight = "remark" if laid is None else "note"
        size = 0.0 if laid is None else abs(laid.offset_seconds)
        found.append(make.whole("guide", None, guide_says(earlier, laid), weight=weight, size=size))
    return found
