"""Are the files still what they were? Manifests that `sha256sum -c` reads, and a later look at the disk."""

from __future__ import annotations

import hashlib
import os
import re
from collections.abc import Callable, Iterable, Sequence
from pathlib import Path

from core.capture.files.pass_files import one_line, shown
from core.capture.files.progress import Cancelled
from core.findings import AudioFile
from core.logbook.files import FileIs, FileState, state_of
from core.values import dataclass

_BYTES = 1 << 20


@dataclass(frozen=True, slots=True)
class Looked:
    """What was found of all files of one pass: where they lie, or as a second copy in a folder."""

    reel: str
    pass_number: int
    of: str
    """Which content they were compared with, by its short name."""
    files: tuple[FileState, ...]
    folder: str = ""
    same_disk: bool = False
    """True where the folder is on the disk of the originals."""

    @property
    def state(self) -> FileIs:
        """Changed if one file is, else missing if one is, else unchanged."""
        return state_of(self.files)


@dataclass(frozen=True, slots=True)
class Watch:
    """Who is told of every byte that is read, and who may stop it."""

    read: Callable[[int], None] = lambda count: None
    stopped: Callable[[], bool] = lambda: False


NOBODY = Watch()


def sha256_of(path: Path, watch: Watch = NOBODY) -> str:
    """Hex digest of a file, read in blocks; raises OSError, and Cancelled once it is stopped."""
    digest = hashlib.sha256()
    with open(path, "rb", buffering=0) as file:
        while piece := file.read(_BYTES):
            if watch.stopped():
                raise Cancelled
            digest.update(piece)
            watch.read(len(piece))
    return digest.hexdigest()


def on_disk(text: str) -> Path:
    """The file that a kept path means; bytes that are no UTF-8 stand in it as ``\\xff``."""
    path = Path(text)
    if "\\x" not in text or path.exists():
        return path
    raw = re.sub(rb"\\x([0-9a-f]{2})", lambda found: bytes.fromhex(found[1].decode()), text.encode())
    meant = Path(os.fsdecode(raw))
    return meant if meant.exists() else path


def manifest(entries: Iterable[tuple[str, str]]) -> str:
    """A manifest of (digest, name) pairs as `sha256sum` writes it.

    A name with a backslash or a line break has its line begun with a backslash and these escaped.
    """
    lines = []
    for digest, name in entries:
        escaped = name.replace("\\", "\\\\").replace("\n", "\\n").replace("\r", "\\r")
        lines.append(f"{'' if escaped == name else chr(92)}{digest}  {escaped}\n")
    return "".join(lines)


def read_manifest(text: str) -> list[tuple[str, str]]:
    """The (digest, name) pairs of a manifest; raises ValueError, naming the line, for anything else."""
    entries = []
    for number, line in enumerate(text.split("\n"), start=1):
        if not line.strip():
            continue
        escaped = line.startswith("\\")
        digest, name = line.lstrip("\\")[:64], line.lstrip("\\")[64:]
        if len(name) < 3 or name[:2] not in ("  ", " *") or not _is_digest(digest):
            raise ValueError(f"line {number} of the manifest is no SHA-256 digest with a file name")
        name = name[2:]
        entries.append((digest.lower(), _unescaped(name) if escaped else name))
    return entries


def _is_digest(text: str) -> bool:
    return len(text) == 64 and all(letter in "0123456789abcdefABCDEF" for letter in text)


def _unescaped(name: str) -> str:
    out, letters = [], iter(name)
    for letter in letters:
        if letter == "\\":
            after = next(letters, "")
            letter = {"n": "\n", "r": "\r"}.get(after, after)
        out.append(letter)
    return "".join(out)


def look_again(files: Sequence[AudioFile], watch: Watch = NOBODY) -> list[FileState]:
    """Whether the files of a check are unchanged, changed or missing.

    A file that cannot be reached, as on a disk that is not plugged in, is missing and nothing worse.
    """
    return [_look(file, on_disk(file.path), watch) for file in files if file.sha256]


def _look(file: AudioFile, path: Path, watch: Watch) -> FileState:
    name, place = one_line(path), shown(path)
    try:
        size = path.stat().st_size
        if not path.is_file():
            return FileState(place, "missing", f"{name} is no file any more.")
        if size != file.bytes:
            says = f"{name} has {size} bytes, where it had {file.bytes}."
            return FileState(place, "changed", says)
        digest = sha256_of(path, watch)
    except OSError:
        return FileState(place, "missing", f"{name} cannot be found; is its disk plugged in?")
    if digest != file.sha256:
        return FileState(place, "changed", f"{name} has the same length but other content.", digest)
    return FileState(place, "unchanged", "", digest)


def compare_copy(files: Sequence[AudioFile], folder: Path, watch: Watch = NOBODY) -> list[FileState]:
    """Whether a folder holds a second copy of every file, equal by SHA-256.

    A copy lies as the originals do below their common folder, or straight in the folder. One that is the same
    file by another path, as by a link, is no second copy and counts as missing.
    """
    files = [file for file in files if file.sha256]
    originals = [on_disk(file.path) for file in files]
    return [_compare(*one, folder, _common(originals), watch) for one in zip(files, originals, strict=True)]


def _common(paths: Sequence[Path]) -> Path:
    parents = [path.absolute().parent for path in paths]
    try:
        return Path(os.path.commonpath(parents))
    except ValueError:
        return Path()


def _compare(file: AudioFile, original: Path, folder: Path, common: Path, watch: Watch) -> FileState:
    whole = original.absolute()
    below = whole.relative_to(common) if whole.is_relative_to(common) else Path(original.name)
    copy = next(
        (folder / one for one in (below, Path(original.name)) if (folder / one).exists()), folder / below
    )
    try:
        if copy.samefile(original):
            return FileState(
                shown(copy), "missing", f"{one_line(copy)} is the very same file there, no second copy."
            )
    except OSError:
        pass
    return _look(file, copy, watch)


def same_disk(files: Sequence[AudioFile], folder: Path) -> bool:
    """True where the folder is on the disk that holds an original: both would fail as one."""
    try:
        place = folder.stat().st_dev
        return any(on_disk(file.path).stat().st_dev == place for file in files)
    except OSError:
        return False
