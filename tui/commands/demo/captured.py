"""Songs of the made-up shelf that were captured already: their tapes, captures, checks, mixes and steps."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

if TYPE_CHECKING:
    from core.release.mixes import MixAs
    from core.workbook.workbook import Workbook

AT = datetime(2026, 11, 26, 20, 30, tzinfo=ZoneInfo("Europe/Lisbon"))
"""The evening on which they were checked, some days before the made-up shelf is opened."""
HOME: dict[str, MixAs] = {"S-12": "rough", "S-13": "to-approve", "S-14": "the-one"}
"""How the mixes stand that came home; those of the other songs lie in the folder of mixes."""
BECAUSE = "made up: the places were listened to, and stay as they are"


def lay_captured(workbook: Workbook, folder: Path, files: Path) -> list[Path]:
    """Adds what these files tell, makes the sound into that folder, checks it, and keeps what came home."""
    from core.capture.made_up.tapes import Tapes

    workbook.import_files([*sorted(files.glob("*.csv")), files / "records.json"])
    captures, mixes, tapes = folder / "captures", folder / "mixes", Tapes()
    captures.mkdir(exist_ok=True)
    mixes.mkdir(exist_ok=True)
    written = tapes.write(captures)
    for reel, path in written.items():
        workbook.captures.check(reel, [path])
        workbook.mark(reel, "verified", because=BECAUSE)
    came = tapes.write_mixes(mixes)
    for song, paths in came.items():
        if song in HOME:
            for path in paths:
                mix = workbook.release.measured_mix(song, path, HOME[song], by="Ulla Brandt")
                workbook.release.keep_mix(mix)
    return [*written.values(), *(path for paths in came.values() for path in paths)]
