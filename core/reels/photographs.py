"""Photographs of box and label: their paths are kept with the reel, the files stay where they are."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path, PurePath, PureWindowsPath

from core.reels.reel import Reel
from core.words import listed


def photograph_paths(reel: Reel) -> tuple[str, ...]:
    """The paths as they were typed, each once; ``;`` stands between them."""
    typed = (part.strip().strip("'\"") for part in reel.photographs.split(";"))
    return tuple(dict.fromkeys(one for one in typed if one))


def photograph_names(reel: Reel) -> tuple[str, ...]:
    """The files' names, without their folders."""
    return tuple(_name(path) for path in photograph_paths(reel))


def photographs_gone(reel: Reel, folder: Path) -> tuple[str, ...]:
    """The names of those that are not there; a path without a root counts from that folder, the shelf's."""
    return tuple(_name(path) for path in photograph_paths(reel) if not _is_there(path, folder))


def looked_for(reel: Reel, folder: Path) -> tuple[str, ...]:
    """The whole paths of those that are not there, as they were looked for."""
    return tuple(
        str(folder.absolute() / path) for path in photograph_paths(reel) if not _is_there(path, folder)
    )


def gone_words(reels: Iterable[Reel], folder: Path) -> str:
    """One sentence on the photographs of those reels that are not there; empty where none is missing."""
    told = [f"{name} ({reel.key})" for reel in reels for name in photographs_gone(reel, folder)]
    if not told:
        return ""
    first = listed(told[:3]) if len(told) <= 3 else f"{', '.join(told[:3])} and {len(told) - 3} more"
    verb = "is" if len(told) == 1 else "are"
    return f"{first} {verb} not there: a path counts from the shelf's folder, {folder}"


def _name(path: str) -> str:
    return (PureWindowsPath if "\\" in path else PurePath)(path).name or path


def _is_there(path: str, folder: Path) -> bool:
    try:
        return (folder / Path(path).expanduser()).is_file()
    except (OSError, RuntimeError, ValueError):
        return False
