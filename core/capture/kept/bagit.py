"""A BagIt 1.0 folder (RFC 8493) for handing captures over: copies, manifests and a few facts."""

from __future__ import annotations

import hashlib
import os
import shutil
import stat
import tempfile
from collections.abc import Collection, Iterator, Mapping, Sequence
from pathlib import Path
from types import MappingProxyType

from core.capture.files.pass_files import one_line
from core.capture.files.progress import Cancelled
from core.capture.kept.fixity import NOBODY, Watch, sha256_of
from core.values import dataclass

_BYTES = 1 << 20
NOTHING: Mapping[str, str] = MappingProxyType({})
_DECLARATION = "BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n"


@dataclass(frozen=True, slots=True)
class BagProblem:
    """Something that keeps a bag from being valid."""

    path: str
    says: str


def write_bag(folder: Path, files: Sequence[tuple[Path | bytes, str]], facts: Mapping[str, str], *,
              expected: Mapping[str, str] = NOTHING, moved: Collection[str] = (),
              watch: Watch = NOBODY) -> Path:  # fmt: skip
    """Lay out a bag in a new folder, whole or not at all; `files` are originals with places under `data/`.

    An original is a file, which is copied and never touched, or the content itself. `expected` tells, by
    place, the SHA-256 that an original must still have. Files at places that are `moved` were written for the
    bag, on its disk, and are moved, not copied; where `expected` has the digest with which one was read again
    after it was written, that stands, and it is not read once more. Raises FileExistsError if the folder is
    there, ValueError for a place that leaves `data/` or occurs twice, OSError if a copy differs from what was
    read or an original from what was expected, and Cancelled once it is stopped.
    """
    places = [_inside(place) for _, place in files]
    if len(set(places)) != len(places):
        raise ValueError("two files of the bag have the same name")
    if folder.exists():
        raise FileExistsError(f"{folder} is there already")
    folder.parent.mkdir(parents=True, exist_ok=True)
    beside = Path(tempfile.mkdtemp(prefix=".bag-", dir=folder.parent))
    try:
        _lay_out(beside, files, facts, expected, moved, watch)
        beside.chmod(0o755)
        os.rename(beside, folder)
    except BaseException:
        shutil.rmtree(beside, ignore_errors=True)
        raise
    return folder


def _lay_out(folder: Path, files: Sequence[tuple[Path | bytes, str]], facts: Mapping[str, str],
             expected: Mapping[str, str], moved: Collection[str], watch: Watch) -> None:  # fmt: skip
    lines, total = [], 0
    for original, place in files:
        target = folder / "data" / place
        target.parent.mkdir(parents=True, exist_ok=True)
        if place in moved:
            digest, size = _move(original, target, expected.get(place), watch)
        else:
            digest, size = _copy(original, target, watch)
        if place in expected and digest != expected[place]:
            raise OSError(
                f"{one_line(target)} is not what was checked: look at it again before it is handed over"
            )
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


def _move(original: Path | bytes, target: Path, known: str | None, watch: Watch) -> tuple[str, int]:
    """Move a file that is the bag's own; it is read where nobody did since it was written."""
    if isinstance(original, bytes):
        raise ValueError("only a file can be moved into a bag")
    if watch.stopped():
        raise Cancelled
    os.rename(original, target)
    size = target.stat().st_size
    if known is None:
        return sha256_of(target, watch), size
    watch.read(size)
    return known, size


def _copy(original: Path | bytes, target: Path, watch: Watch) -> tuple[str, int]:
    """Copy a file, and read the copy again to see that it is equal."""
    digest = hashlib.sha256()
    size = 0
    with open(target, "xb") as copy:
        for piece in _pieces(original):
            if watch.stopped():
                raise Cancelled
            digest.update(piece)
            copy.write(piece)
            size += len(piece)
            watch.read(len(piece))
        copy.flush()
        os.fsync(copy.fileno())
    if isinstance(original, Path):
        shutil.copystat(original, target)
        target.chmod(target.stat().st_mode | stat.S_IWUSR)
    if sha256_of(target, watch) != digest.hexdigest():
        raise OSError(f"the copy of {one_line(target)} is not equal to it; try another disk")
    return digest.hexdigest(), size


def _pieces(original: Path | bytes) -> Iterator[bytes]:
    if isinstance(original, bytes):
        yield original
        return
    with open(original, "rb") as source:
        while piece := source.read(_BYTES):
            yield piece
