"""What was found of captured files after their check: looks at them, second copies, places listened to."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import field
from datetime import datetime
from pathlib import PurePath
from typing import ClassVar, Literal

from core.as_json import named
from core.logbook.typed import Entries, entries
from core.shelf import RecordKind, Shelf
from core.values import dataclass

FileIs = Literal["unchanged", "changed", "missing"]
#: What a person says of a place on the listening list: listened, fine; or to be captured again.
Mark = Literal["fine", "again"]


@dataclass(frozen=True, slots=True)
class FileState:
    """What a later look found of one file; ``says`` what changed in one sentence, empty if nothing did.

    ``sha256`` is its digest now: none if it is missing, or its length alone told that it changed.
    """

    path: str
    state: FileIs
    says: str = ""
    sha256: str | None = None


def state_of(files: Iterable[FileState]) -> FileIs:
    """Changed if one file is, else missing if one is, else unchanged."""
    states = {file.state for file in files}
    return "changed" if "changed" in states else "missing" if "missing" in states else "unchanged"


def names(files: Iterable[FileState], state: FileIs) -> str:
    """The names of the files in that state, in a list."""
    return ", ".join(PurePath(file.path).name for file in files if file.state == state)


@dataclass(frozen=True, slots=True)
class FilesLook:
    """A look at the files of pass ``number``, kept as its check is; ``of`` names their content then."""

    kept_as: ClassVar[RecordKind] = "look"

    reel: str
    number: int = field(metadata=named("pass"))
    at: datetime
    of: str
    status: FileIs
    files: tuple[FileState, ...]


@dataclass(frozen=True, slots=True)
class SecondCopy:
    """A folder that was compared with the files of pass ``number``; kept as its check is, and the folder.

    ``same_disk``: it is on the disk that holds an original, so that both would fail as one.
    """

    kept_as: ClassVar[RecordKind] = "copy"

    reel: str
    number: int = field(metadata=named("pass"))
    at: datetime
    of: str
    status: FileIs
    files: tuple[FileState, ...]
    folder: str = ""
    same_disk: bool = False

    @property
    def whole(self) -> bool:
        """True where every file of it was there and equal."""
        return bool(self.files) and self.status == "unchanged"


@dataclass(frozen=True, slots=True)
class Listened:
    """The marks of a check's places by place; ``of`` names the content of the files that were heard."""

    kept_as: ClassVar[RecordKind] = "listened"

    of: str
    at: datetime
    marks: Mapping[str, Mark]


def looks(shelf: Shelf) -> Entries[FilesLook]:
    """The newest look at the files of each pass, by the key of its check."""
    return entries(shelf, FilesLook)


def second_copies(shelf: Shelf) -> Entries[SecondCopy]:
    """Every folder that was compared."""
    return entries(shelf, SecondCopy)


def listened_to(shelf: Shelf) -> Entries[Listened]:
    """What was said of the places of each check, by the key of the check."""
    return entries(shelf, Listened)
