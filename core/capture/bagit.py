"""A BagIt 1.0 folder (RFC 8493) for handing captures over: copies, manifests and a few facts."""

from __future__ import annotations

import hashlib
import os
import shutil
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

_BYTES = 1 << 20
_DECLARATION = "BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n"


@dataclass(frozen=True, slots=True)
class BagProblem:
    """Something that keeps a bag from being valid."""

    path: str
    says: str


def write_bag(folder: Path, files: Sequence[tuple[Path, str]], facts: Mapping[str, str]) -> Path:
    """Lay out a bag in a new folder; `files` are originals with their paths under `data/`.

    The originals are copied and never touched. Raises FileExistsError if the folder is there already,
    ValueError for a path that leaves `data/` or occurs twice, and OSError if a copy differs from what
    was read.
    """
    places = [_inside(place) for _, place in files]
    if len(set(places)) != len(places):
        raise ValueError("two files of the bag have the same name")
    folder.mkdir(parents=True, exist_ok=False)
    lines, total = [], 0
    for (original, _), place in zip(files, places, strict=True):
        target = folder / "data" / place
        target.parent.mkdir(parents=True, exist_ok=True)
        digest, size = _copy(original, target)
        lines.append(f"{digest}  data/{_encoded(place)}\n")
        total += size
    (folder / "data").mkdir(exist_ok=True)
    _tag(folder, "bagit.txt", _DECLARATION)
    _tag(folder, "manifest-sha256.txt", "".join(lines))
    told = {**facts, "Payload-Oxum": f"{total}.{len(files)}"}
    _tag(folder, "bag-info.txt", "".join(f"{name}: {_one_line(value)}\n" for name, value in told.items()))
    tags = ("bagit.txt", "bag-info.txt", "manifest-sha256.txt")
    listed = "".join(f"{_digest(folder / name)}  {name}\n" for name in tags)
    _tag(folder, "tagmanifest-sha256.txt", listed)
    return folder


def check_bag(folder: Path) -> list[BagProblem]:
    """Everything that keeps a bag from being complete and valid; empty if it is both."""
    try:
        if (folder / "bagit.txt").read_bytes() != _DECLARATION.encode():
            return [BagProblem("bagit.txt", "is not the declaration of BagIt 1.0 in UTF-8")]
        listed = _entries(folder / "manifest-sha256.txt")
        tags = _entries(folder / "tagmanifest-sha256.txt")
    except (OSError, ValueError) as error:
        return [BagProblem(str(folder), f"is no bag: {error}")]
    problems = [problem for place, digest in {**listed, **tags}.items()
                if (problem := _problem(folder, place, digest))]  # fmt: skip
    payload = (folder / "data").rglob("*")
    there = {path.relative_to(folder).as_posix() for path in payload if path.is_file()}
    extra = sorted(there - set(listed))
    problems += [BagProblem(place, "is in the bag but on no manifest") for place in extra]
    return problems


def _problem(folder: Path, place: str, digest: str) -> BagProblem | None:
    path = folder / place
    if not path.resolve().is_relative_to(folder.resolve()):
        return BagProblem(place, "leads out of the bag")
    if not path.is_file():
        return BagProblem(place, "is on the manifest but not there")
    return None if _digest(path) == digest.lower() else BagProblem(place, "is not what the manifest says")


def _entries(path: Path) -> dict[str, str]:
    entries: dict[str, str] = {}
    for line in path.read_text("utf-8").splitlines():
        digest, _, place = line.partition(" ")
        if len(digest) != 64 or not place.strip():
            raise ValueError(f"a line of {path.name} is no digest with a path")
        place = place.strip()
        for code, letter in (("%0A", "\n"), ("%0D", "\r"), ("%25", "%")):
            place = place.replace(code, letter).replace(code.lower(), letter)
        entries[place] = digest
    return entries


def _inside(place: str) -> str:
    parts = place.split("/")
    if place.startswith("/") or any(part in ("", ".", "..") for part in parts) or "\0" in place:
        raise ValueError(f"{place!r} is no path inside a bag")
    return place


def _encoded(place: str) -> str:
    """Percent signs and line breaks are encoded, and nothing else (RFC 8493, 2.1.3)."""
    return place.replace("%", "%25").replace("\n", "%0A").replace("\r", "%0D")


def _one_line(text: str) -> str:
    return " ".join(text.split())


def _tag(folder: Path, name: str, text: str) -> None:
    (folder / name).write_bytes(text.encode("utf-8"))


def _digest(path: Path) -> str:
    with open(path, "rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()


def _copy(original: Path, target: Path) -> tuple[str, int]:
    """Copy a file, and read the copy again to see that it is equal."""
    digest = hashlib.sha256()
    size = 0
    with open(original, "rb") as source, open(target, "xb") as copy:
        while piece := source.read(_BYTES):
            digest.update(piece)
            copy.write(piece)
            size += len(piece)
        copy.flush()
        os.fsync(copy.fileno())
    shutil.copystat(original, target)
    if _digest(target) != digest.hexdigest():
        raise OSError(f"the copy {target} is not equal to {original}; try another disk")
    return digest.hexdigest(), size
