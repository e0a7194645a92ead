"""Putting a backup in the shelf's place; what was there stays beside it."""

from __future__ import annotations

import os
from datetime import datetime
from pathlib import Path

from core.errors import Refused, Unusable
from core.store.disk.atomic import why_not_written
from core.store.disk.backups import Backup, backups_of
from core.store.disk.lock import locked
from core.store.disk.schema import Foreign, Newer, shelf_tables
from core.store.disk.shelf_file import is_good, real_path
from core.store.disk.shelf_write import refuse_if_read_only
from core.store.disk.storage import Damaged, write_tables


def restore(path: Path, name: str, now: datetime) -> Path | None:
    """Puts that backup (its name, its number in the list, or a file) in the shelf's place.

    Gives the file under which the shelf that was there stays beside it; None if there was none. Refused where
    there is no such backup or it cannot be read. Works on a damaged shelf too.
    """
    path = real_path(path)
    source = find_backup(path, name)
    if not is_good(source):
        raise Refused(f"{source}: this backup cannot be read, nothing was changed: choose another")
    with locked(path):
        refuse_if_read_only(path)
        try:
            tables = shelf_tables(source.read_bytes())
        except (OSError, Damaged, Foreign, Newer) as error:
            raise Refused(f"{source}: this backup cannot be read, nothing was changed: {error}") from error
        tables["shelf"]["1"]["revision"] = 1 + max(tables["shelf"]["1"]["revision"], _highest(path))
        aside = _beside(path, now) if path.exists() else None
        write_tables(path, tables, before_replacing=lambda: _keep(path, aside))
    return aside


def find_backup(path: Path, name: str) -> Path:
    """The backup of that name or number, or the file itself; Refused where there is none."""
    there = backups_of(path)
    for number, backup in enumerate(there, 1):
        if name in (backup.name, str(number), backup.path.stem):
            return backup.path
    if Path(name).is_file():
        return Path(name)
    known = f": there are {', '.join(backup.name for backup in there[:5])}" if there else ": it has none"
    raise Refused(f"{path}: no backup {name!r}{known}")


def listed(path: Path) -> tuple[tuple[Backup, bool], ...]:
    """The shelf's backups, newest first, each with whether it can be read."""
    return tuple((backup, is_good(backup.path)) for backup in backups_of(real_path(path)))


def _highest(path: Path) -> int:
    names = [backup.path.stem.rpartition("-")[2] for backup in backups_of(path)]
    return max((int(name) for name in names if name.isdigit()), default=0)


def _beside(path: Path, now: datetime) -> Path:
    stem = f"{path.stem}-before-restore-{now:%Y%m%d-%H%M%S}"
    candidates = (
        path.with_name(f"{stem}{tail}{path.suffix}") for tail in ("", *(f"-{n}" for n in range(2, 100)))
    )
    return next(one for one in candidates if not one.exists())


def _keep(path: Path, aside: Path | None) -> None:
    if aside is None:
        return
    try:
        os.link(path, aside)
    except OSError:
        try:
            aside.write_bytes(path.read_bytes())
        except OSError as error:
            raise Unusable(why_not_written(aside, error)) from error
