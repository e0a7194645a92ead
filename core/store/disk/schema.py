"""Which files are shelves, of which version, and how an older one is brought up to date step by step."""

from __future__ import annotations

from collections.abc import Callable

from core.store.disk.storage import Damaged, Tables, decoded, intact

FORMAT = "reelturn shelf"
VERSION = 1


class Foreign(ValueError):
    """A file that is no shelf."""


class Newer(ValueError):
    """A shelf that a later version of this program wrote."""


#: From version n to n + 1: one function a step, each working on the tables as that version knew them.
UPGRADES: dict[int, Callable[[Tables], Tables]] = {}


def shelf_tables(content: bytes) -> Tables:
    """The tables of a shelf, brought up to date; Damaged, Foreign or Newer where that cannot be.

    The version is looked at first, so that a newer file is called newer, whatever else is new in it.
    """
    tables = decoded(content)
    version = _version(tables)
    if version > VERSION:
        raise Newer(f"it has format {version}, and this version knows {VERSION} and older")
    if not intact(content):
        raise Damaged("its checksum does not fit: it was damaged, or changed by another program")
    for step in range(version, VERSION):
        tables = UPGRADES[step](tables)
    tables["shelf"]["1"]["version"] = VERSION
    return tables


def _version(tables: Tables) -> int:
    head: object = tables.get("shelf", {}).get("1")
    if not isinstance(head, dict) or head.get("format") != FORMAT:
        raise Foreign("it holds no shelf")
    version = head.get("version")
    if not isinstance(version, int) or isinstance(version, bool) or version < 1:
        raise Damaged("it does not say which format it has")
    return version
