"""A mix comes home: measured, kept by its digest, and how it stands."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING

from core.errors import Unusable
from tui.commands.command import add_json, opened, print_json, print_lines
from tui.commands.reading_files import told_on_terminal

if TYPE_CHECKING:
    from core.release.mixes import Mix, MixAs

STANDS: tuple[MixAs, ...] = ("rough", "to-approve", "the-one")


def arguments(parser: argparse.ArgumentParser) -> None:
    """What stands after the verb."""
    parser.add_argument("song", metavar="SONG", help="its key or title")
    parser.add_argument("file", nargs="?", metavar="FILE", help="the mix, or the number of one that is there")
    parser.add_argument("--as", dest="stands", choices=STANDS, help="how it stands; a new one is rough")
    parser.add_argument("--note", metavar="TEXT")
    parser.add_argument("--by", metavar="WHO", help="who mixed it")
    add_json(parser)


def run(given: argparse.Namespace) -> int:
    """Without a file the mixes that are there; with one its measures, and what is odd about it."""
    release = opened(given).release
    remarks: list[str] = []
    if given.file is None:
        if given.stands:
            raise Unusable("mix: --as needs a file or a mix's number: reelturn mix SONG FILE --as rough")
    elif given.file.isdigit() and not Path(given.file).exists():
        if not given.stands and given.by is None and given.note is None:
            raise Unusable(
                f"mix: say how mix {given.file} stands: --as {', --as '.join(STANDS)}; or --by, --note"
            )
        if given.by is not None or given.note is not None:
            release.mix_told(given.song, int(given.file), given.by, given.note)
        if given.stands:
            release.mix_stands(given.song, int(given.file), given.stands)
    else:
        file, told = Path(given.file).expanduser(), told_on_terminal("measured")
        stands: MixAs = given.stands or "rough"
        mix = release.measured_mix(
            given.song, file, stands, note=given.note or "", by=given.by or "", progress=told
        )
        _, remarks = release.keep_mix(mix)
    mixes = release.mixes(given.song)
    if given.json:
        print_json({"mixes": [mix.to_json() for mix in mixes], "remarks": remarks})
        return 0
    print_lines([mix_line(mix) for mix in mixes] or [f"{given.song}: no mix has come home"])
    if remarks:
        from tui.said import say

        for remark in remarks:
            say(f"{Path(given.file).name}: {remark}")
    return 0


def mix_line(mix: Mix) -> str:
    """Number, how it stands, length, loudness, true peak, file, date, by whom, note."""
    from core.clock import clock_text
    from core.release.mixes import SAID

    def level(value: float | None, unit: str) -> str:
        return f"-inf {unit}" if value is None else f"{value:.1f} {unit}"

    levels = f"{level(mix.loudness_lufs, 'LUFS')}  true peak {level(mix.true_peak_dbtp, 'dBTP')}"
    who = f", by {mix.by}" if mix.by else ""
    note = f": {mix.note}" if mix.note else ""
    length = clock_text(mix.seconds)
    name = Path(mix.file).name
    return f"mix {mix.number}  {SAID[mix.stands]}  {length}  {levels}  {name}  {mix.at[:10]}{who}{note}"
