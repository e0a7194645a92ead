"""Are the files still what they were? Manifests that `sha256sum -c` reads, and a later look at the disk."""

from __future__ import annotations

import hashlib
import os
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path

from core.findings import AudioFile

_BYTES = 1 << 20


@dataclass(frozen=True, slots=True)
class FileState:
    """What a later look found of one file."""

    path: str
    state: str
    """unchanged, changed or missing."""
    says: str
    """What changed, in one sentence; empty if nothing did."""
    sha256: str | None = None
    """Its digest now; none if it is missing or its length alone told that it changed."""


def sha256_of(path: Path, cancelled: Callable[[], bool] | None = None) -> str:
    """Hex digest of a file, read in blocks; raises OSError, and InterruptedError once cancelled."""
    digest = hashlib.sha256()
    with open(path, "rb", buffering=0) as file:
        while piece := file.read(_BYTES):
            if cancelled and cancelled():
                raise InterruptedError("stopped")
            digest.update(piece)
    return digest.hexdigest()


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


def look_again(files: Sequence[AudioFile], cancelled: Callable[[], bool] | None = None) -> list[FileState]:
    """Whether the files of a check are unchanged, changed or missing.

    A file that cannot be reached, as on a disk that is not plugged in, is missing and nothing worse.
    """
    return [_look(file, cancelled) for file in files]


def _look(file: AudioFile, cancelled: Callable[[], bool] | None) -> FileState:
    path = Path(file.path)
    try:
        size = path.stat().st_size
        if not path.is_file():
            return FileState(file.path, "missing", f"{file.path} is no file any more.")
        if size != file.bytes:
            says = f"{file.path} has {size} bytes, where it had {file.bytes}."
            return FileState(file.path, "changed", says)
        digest = sha256_of(path, cancelled)
    except InterruptedError:
        raise
    except OSError:
        return FileState(file.path, "missing", f"{file.path} cannot be found; is its disk plugged in?")
    if digest != file.sha256:
        return FileState(file.path, "changed", f"{file.path} has the same length but other content.", digest)
    return FileState(file.path, "unchanged", "", digest)


def compare_copy(files: Sequence[AudioFile], folder: Path,
                 cancelled: Callable[[], bool] | None = None) -> list[FileState]:  # fmt: skip
    """Whether a folder holds a second copy of every file, under the same name, equal by SHA-256.

    A copy that is the same file by another path, as by a link, is no second copy and counts as missing.
    """
    states = []
    for file in files:
        name = os.path.basename(file.path)
        copy = folder / name
        try:
            if copy.samefile(file.path):
                says = f"{copy} is the very same file and no second copy."
                states.append(FileState(str(copy), "missing", says))
                continue
        except OSError:
            pass
        twin = AudioFile(str(copy), file.sha256, file.bytes, None, None, 0, 0, 0, 0.0, "whole")
        states.append(_look(twin, cancelled))
    return states
