"""Captures in a folder, found by their names: those that carry the reel's key, in the order of tracks."""

from __future__ import annotations

import os
import re
from collections.abc import Iterator
from pathlib import Path

SOUND = (".wav", ".bwf", ".rf64", ".bw64", ".w64", ".flac", ".aif", ".aiff", ".aifc")
DEEP, MOST = 3, 20_000
"""How many folders deep is looked, and at how many names at most: a full disk must not keep one waiting."""


def captures_of(folder: Path, reel: str, pass_number: int | None = None) -> list[Path]:
    """Sound files whose name or folder is the reel's key, or holds it as a word of its own.

    With a pass number, only those that name that pass, as `pass 2` or `p2`; where none names any pass, the
    first pass has them all. `2` comes before `10`. A folder that is not there holds nothing.
    """
    key = re.compile(rf"(?<![0-9A-Za-z]){re.escape(reel)}(?![0-9A-Za-z])", re.IGNORECASE)
    mine = [path for path in _sounds(folder) if key.search(str(path.relative_to(folder)))]
    mine.sort(key=lambda path: _natural(str(path.relative_to(folder))))
    if pass_number is None:
        return mine
    told = {path: _pass_of(key.sub(" ", str(path.relative_to(folder)))) for path in mine}
    return [path for path in mine if (told[path] or 1) == pass_number]


def sounds_in(folder: Path) -> list[Path]:
    """The sound files straight in that folder, `2` before `10`; nothing where it cannot be read."""
    try:
        names = [one.name for one in os.scandir(folder) if one.is_file()]
    except OSError:
        return []
    return [folder / name for name in sorted(names, key=_natural) if _is_sound(name)]


def _is_sound(name: str) -> bool:
    return name.lower().endswith(SOUND) and not name.startswith(".")


def _sounds(folder: Path) -> Iterator[Path]:
    seen = 0
    top = len(folder.parts)
    for place, folders, names in os.walk(folder):
        here = Path(place)
        folders[:] = sorted(one for one in folders if not one.startswith("."))
        if len(here.parts) - top >= DEEP:
            folders.clear()
        for name in names:
            seen += 1
            if seen > MOST:
                return
            if _is_sound(name):
                yield here / name


def _pass_of(text: str) -> int | None:
    found = re.search(r"(?<![0-9A-Za-z])p(?:ass)?[ _.-]?([0-9]{1,2})(?![0-9A-Za-z])", text, re.IGNORECASE)
    return int(found[1]) if found else None


def _natural(text: str) -> list[tuple[int, str]]:
    return [(int(piece), "") if piece.isdigit() else (-1, piece.casefold())
            for piece in re.split(r"([0-9]+)", text)]  # fmt: skip
