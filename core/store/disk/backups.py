"""The shelf's backups: what was there before each write, the newest ten and one a day for a month."""

from __future__ import annotations

import os
import shutil
from collections.abc import Callable, Iterator
from datetime import UTC, datetime
from pathlib import Path

from core.values import dataclass

NEWEST = 10
DAYS = 30


@dataclass(frozen=True, slots=True)
class Backup:
    """A backup: its file, and when it was written."""

    path: Path
    written: datetime

    @property
    def name(self) -> str:
        """What a person calls it by."""
        return self.path.name


def folder_of(shelf: Path) -> Path:
    """The folder beside the shelf that holds its backups."""
    return shelf.with_name(f"{shelf.name}.backups")


def backups_of(shelf: Path) -> tuple[Backup, ...]:
    """The shelf's backups, newest first."""
    try:
        entries = [entry for entry in os.scandir(folder_of(shelf)) if entry.name.startswith(f"{shelf.stem}-")]
    except FileNotFoundError:
        return ()
    found = sorted(entries, key=lambda entry: (_number(entry.name), entry.name), reverse=True)
    return tuple(
        Backup(Path(entry.path), datetime.fromtimestamp(entry.stat().st_mtime, UTC)) for entry in found
    )


def _number(name: str) -> int:
    digits = Path(name).stem.rpartition("-")[2]
    return int(digits) if digits.isdigit() else -1


def keep_backup(shelf: Path, revision: int) -> None:
    """Keeps the shelf as it is now under its revision: a second name for the same file, or else a copy."""
    folder = folder_of(shelf)
    folder.mkdir(exist_ok=True)
    kept = folder / f"{shelf.stem}-{revision:06d}{shelf.suffix}"
    kept.unlink(missing_ok=True)
    try:
        os.link(shelf, kept)
    except OSError:
        shutil.copy2(shelf, kept)
    _thin_out(shelf)


def _thin_out(shelf: Path) -> None:
    there = backups_of(shelf)
    wanted = {backup.path for backup in there[:NEWEST]}
    days: dict[str, Path] = {}
    for backup in there:
        days.setdefault(backup.written.date().isoformat(), backup.path)
    wanted |= {days[day] for day in sorted(days, reverse=True)[:DAYS]}
    for backup in there:
        if backup.path not in wanted:
            backup.path.unlink(missing_ok=True)


def good_ones(shelf: Path, is_good: Callable[[Path], bool]) -> Iterator[Backup]:
    """The backups that can be read, newest first."""
    return (backup for backup in backups_of(shelf) if is_good(backup.path))
