"""The folder that copies are written into: what is there from before, what is whole, room on the disk."""

from __future__ import annotations

import errno
import hashlib
import json
import os
import shutil
from collections.abc import Mapping, Sequence
from pathlib import Path

from core.errors import NotWritten
from core.words import no_room

_NOTES = ".reelturn-lay.json"
SUMS, SHEET = "SHA256SUMS", "how to lay.txt"
LISTS = ("parts.csv", "markers.csv", "markers.mid")
_SONG = "song"
_NOT_FINISHED = (
    "This folder is not finished: copies are being laid into it, or that was stopped.\r\n"
    "Files of an earlier laying may be among them. Lay the song again; then this page tells the rest.\r\n"
)


class CopyFolder:
    """Remembers which copies in it are whole, by what they were made from."""

    def __init__(self, folder: Path) -> None:
        """Makes the folder where there is none; Unusable where that cannot be."""
        try:
            folder.mkdir(parents=True, exist_ok=True)
        except OSError as error:
            cause = error.strerror or str(error)
            raise NotWritten(folder, f"no folder can be made there: {cause}", cause) from error
        self.folder = folder
        self._notes = self._read()

    def _read(self) -> dict[str, dict[str, object]]:
        try:
            notes = json.loads((self.folder / _NOTES).read_text("utf-8"))
        except (OSError, ValueError):
            return {}
        return notes if isinstance(notes, dict) else {}

    def whole(self, name: str, recipe: str) -> str | None:
        """The SHA-256 of a copy that is there, made by that very recipe and unchanged; None else."""
        note, path = self._notes.get(name), self.folder / name
        if note is None or note.get("recipe") != recipe or not path.is_file():
            return None
        digest = digest_of(path)
        return digest if digest == note.get("sha256") else None

    def mine(self, name: str) -> bool:
        """Whether a file of that name may be written: none is there, or one that was written here."""
        beside = name in (SHEET, SUMS, *LISTS) and bool(self._notes)
        return beside or name in self._notes or not os.path.lexists(self.folder / name)

    def worked_on(self, name: str) -> bool:
        """Whether a copy that was laid here is another file now, and no shorter one: somebody's work."""
        note, path = self._notes.get(name), self.folder / name
        if note is None or "bytes" not in note or not path.is_file():
            return False
        whole = path.stat().st_size >= int(str(note["bytes"]))
        return whole and digest_of(path) != note.get("sha256")

    def leave_only(self, names: Sequence[str]) -> list[str]:
        """Takes copies away that are no part of it any more; names those that stay, being changed."""
        stay = []
        for name in [one for one in self._notes if one.endswith(".wav") and one not in names]:
            path = self.folder / name
            if path.is_file() and digest_of(path) != self._notes[name].get("sha256"):
                stay.append(name)
                continue
            path.unlink(missing_ok=True)
            del self._notes[name]
            self.put(_NOTES, (json.dumps(self._notes, indent=1) + "\n").encode())
        return stay

    def of_another_song(self, song: str) -> str:
        """The key of the other song whose copies lie here; empty where there are none."""
        told = str(self._notes.get(_SONG, {}).get("key", song))
        return told if told != song else ""

    def begin(self, song: str) -> None:
        """What told of copies that are about to change is taken away; a page says that they are not whole."""
        self._notes[_SONG] = {"key": song}
        self.put(_NOTES, (json.dumps(self._notes, indent=1) + "\n").encode())
        self.put(SHEET, _NOT_FINISHED.encode())
        for name in (SUMS, *LISTS):
            (self.folder / name).unlink(missing_ok=True)

    def keep(self, name: str, recipe: str, digest: str) -> None:
        """Notes that a copy is whole."""
        size = (self.folder / name).stat().st_size
        self._notes[name] = {"recipe": recipe, "sha256": digest, "bytes": size}
        self.put(_NOTES, (json.dumps(self._notes, indent=1) + "\n").encode())

    def put(self, name: str, content: bytes) -> None:
        """One small file, whole or not at all."""
        beside = self.folder / f".{name}.part"
        try:
            with open(beside, "wb") as file:
                file.write(content)
                file.flush()
                os.fsync(file.fileno())
            os.replace(beside, self.folder / name)
        except OSError as error:
            beside.unlink(missing_ok=True)
            raise not_written(self.folder / name, error) from error

    def room_for(self, size: int) -> None:
        """Unusable where the disk has less room than that."""
        free = shutil.disk_usage(self.folder).free
        if size > free:
            raise NotWritten(self.folder, no_room(size, free))


def not_written(path: Path, error: OSError) -> NotWritten:
    """Why a copy could not be written, and what to do."""
    cause = error.strerror or str(error)
    if error.errno in (errno.ENOSPC, errno.EDQUOT, errno.EFBIG):
        says = "no room left on the disk; what is done is kept: make room and lay again"
    else:
        says = f"could not be written: {cause}; what is done is kept"
    return NotWritten(path, says, cause)


def digest_of(path: Path) -> str:
    """SHA-256 of a file."""
    with open(path, "rb", buffering=0) as file:
        return hashlib.file_digest(file, "sha256").hexdigest()


def recipe_of(told: Mapping[str, object]) -> str:
    """A short name for all that a copy is made from."""
    return hashlib.sha256(json.dumps(told, sort_keys=True).encode()).hexdigest()[:32]
