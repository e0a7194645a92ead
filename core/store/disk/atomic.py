"""Writing a file so that at every moment either the old one or the new one is whole on the disk."""

from __future__ import annotations

import errno
import os
from collections.abc import Callable
from pathlib import Path

from core.errors import Unusable


def write_whole(path: Path, content: bytes, before_replacing: Callable[[], None] = lambda: None) -> None:
    """Puts ``content`` in the place of ``path``: a file beside it, flush, fsync, rename, fsync of the folder.

    ``before_replacing`` runs when the new file is safe on the disk and the old one still in its place.
    Not promised: that a folder on a network disk, or a drive that lies about fsync, keeps it.
    Unusable where there is no room or no right to write; the old file is untouched then.
    """
    beside = path.with_name(f".{path.name}.{os.getpid()}.new")
    try:
        _write_and_sync(beside, content, _mode_of(path))
        before_replacing()
        os.replace(beside, path)
        sync_folder(path.parent)
    except OSError as error:
        raise Unusable(why_not_written(path, error)) from error
    finally:
        beside.unlink(missing_ok=True)


def _write_and_sync(beside: Path, content: bytes, mode: int) -> None:
    descriptor = os.open(beside, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, mode)
    with os.fdopen(descriptor, "wb") as file:
        file.write(content)
        file.flush()
        os.fsync(file.fileno())
    os.chmod(beside, mode)


def _mode_of(path: Path) -> int:
    try:
        return path.stat().st_mode & 0o777
    except FileNotFoundError:
        return 0o644


def sync_folder(folder: Path) -> None:
    """Makes a rename in that folder last; a system that cannot open folders does without."""
    try:
        descriptor = os.open(folder, os.O_RDONLY)
    except OSError:
        return
    try:
        os.fsync(descriptor)
    except OSError as error:
        if error.errno not in (errno.EINVAL, errno.EBADF, errno.EACCES):
            raise
    finally:
        os.close(descriptor)


def why_not_written(path: Path, error: OSError) -> str:
    """One sentence on why a file could not be written, and what to do."""
    if error.errno in (errno.ENOSPC, errno.EDQUOT, errno.EFBIG):
        return f"{path}: no room left on the disk, nothing was changed: make room and do it again"
    if error.errno in (errno.EACCES, errno.EPERM, errno.EROFS):
        return f"{path}: no right to write there, nothing was changed: {error.strerror}"
    return f"{path}: could not be written, nothing was changed: {error.strerror or error}"
