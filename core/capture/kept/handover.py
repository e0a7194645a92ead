"""What goes into a bag for handing over: each reel's files pass by pass, its checks, and a few facts."""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path, PurePath

from core.as_json import Record
from core.capture.files.pass_files import shown
from core.capture.kept.fixity import on_disk
from core.findings import AudioFile
from core.shelf import Shelf


@dataclass(slots=True)
class BagContent:
    """Originals with their places in the bag, and the digests that they must still have."""

    files: list[tuple[Path | bytes, str]] = field(default_factory=list)
    digests: dict[str, str] = field(default_factory=dict)

    def add(self, reel: str, name: str, original: Path | bytes, digest: str | None = None) -> str:
        """Puts one more thing into the reel's folder, under a name of its own; its place."""
        return self.put(f"{folder_name(reel)}/{name}", original, digest)

    def put(self, place: str, original: Path | bytes, digest: str | None = None) -> str:
        """Puts one more thing there, or beside what has that place already; its place."""
        taken = {place for _, place in self.files}
        folder, _, name = place.rpartition("/")
        number = 2
        while place in taken:
            place = f"{folder}{'/' if folder else ''}{number}-{name}"
            number += 1
        self.files.append((original, place))
        if digest:
            self.digests[place] = digest
        return place


def bag_of(passes: Iterable[tuple[Record, Sequence[AudioFile]]]) -> BagContent:
    """The files of these checks, each pass in a folder of its own, each check with their places here."""
    content = BagContent()
    for check, files in passes:
        reel, number = str(check["reel"]), int(check.get("pass", 1))
        for file in files:
            path = on_disk(file.path)
            content.add(reel, f"pass-{number}/{shown(Path(path.name))}", path, file.sha256)
        there = [
            {**one, "path": f"pass-{number}/{PurePath(str(one['path'])).name}"} for one in check["files"]
        ]
        told = json.dumps({**check, "files": there}, indent=1, ensure_ascii=False)
        content.add(reel, f"check-pass-{number}.json", f"{told}\n".encode())
    return content


def bag_facts(shelf: Shelf, reels: Sequence[str], at: datetime, program: str) -> dict[str, str]:
    """The lines of bag-info.txt; the names of the fields are those of RFC 8493, 2.2.2."""
    says = [f"{key}: {shelf.reel(key).box_label or shelf.reel(key).contents}".rstrip(": ") for key in reels]
    return {
        "Source-Organization": shelf.studio.name,
        "External-Identifier": ", ".join(reels),
        "External-Description": "Captures of tape reels. " + "; ".join(says),
        "Bagging-Date": f"{at:%Y-%m-%d}",
        "Bag-Software-Agent": f"reelturn {program}".rstrip(),
    }


def folder_name(reel: str) -> str:
    """A reel's key as the name of a folder on any disk."""
    plain = re.sub(r"[^\w .+()-]", "-", reel).strip(" .")
    return plain or "reel"
