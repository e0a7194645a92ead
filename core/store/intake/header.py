"""What a header row tells: the kind of file, its columns, and the nearest name of one that we do not know."""

from __future__ import annotations

import shlex
from collections.abc import Iterable, Sequence
from difflib import get_close_matches
from pathlib import Path

from core.errors import UntoldKind, Unusable
from core.store.rows.columns import shown
from core.store.rows.table import Rowed, Table
from core.store.rows.tables import REELS, TABLES

#: What a list's own head mostly means by a word, likeliest first; only ever proposed.
#: Common practice, from memory.
ALSO_HEADED = {
    "title": ("box_label", "title"),
    "label": ("box_label",),
    "says": ("box_label",),  # "box says", as the chart heads it
    "name": ("box_label", "title"),
    "place": ("location",),
    "shelf": ("location",),
    "remark": ("notes",),
    "remarks": ("notes",),
    "comment": ("notes",),
    "comments": ("notes",),
    "state": ("condition",),
    "equalization": ("eq",),
    "equalisation": ("eq",),
    "nr": ("noise_reduction",),
    "flux": ("level",),
    "size": ("reel_size",),
    "manufacturer": ("stock",),
    "tape": ("stock",),
    "joints": ("splices",),
    "composer": ("artist",),
    "instrument": ("part",),
    "musician": ("player",),
}

#: What the form of the boxes calls two columns, in a list that has them so.
AS_ON_THE_FORM = {"words": "box_label", "place": "location"}

#: What heads the keys of a list that is of one's reels alone.
KEY = "key"


def known_name(cell: str) -> str:
    """A column's name as it is compared: caseless, spaces and hyphens as underlines."""
    return "_".join(cell.strip().casefold().replace("-", " ").replace("_", " ").split())


def known_names(header: Sequence[str]) -> int:
    """How many of a header's cells are columns of the kind of file that it tells, or of any."""
    named = [known_name(cell) for cell in header]
    return max(sum(name in table.columns for name in named) for table in TABLES)


def told_table(path: Path, named: Sequence[str], head: Sequence[str]) -> Table[Rowed]:
    """The kind of file that a header tells; UntoldKind where it tells none. ``head``: as written."""
    found = next((table for table in TABLES if all(name in named for name in table.told_by)), None)
    found = found or _by_its_key(named)
    if found is None:
        kinds = "; ".join(f"{table.name}: {', '.join(table.told_by)}" for table in reversed(TABLES))
        own = next((cell for cell in head if cell), "")
        hint = f"; `--column {shlex.quote(f'{own}=reel')}` says that yours is one of them"
        raise UntoldKind(
            f"{path} row 1: the header tells no kind of file; needed columns: {kinds}{hint}", path.name, head
        )
    there = {*named, *as_on_the_form(named, found).values()}
    missing = [name for name in found.needed if name not in there]
    if missing:
        raise Unusable(f"{path} row 1: a {found.name} file needs the column {', '.join(missing)}")
    return found


def _by_its_key(named: Sequence[str]) -> Table[Rowed] | None:
    """Reels, where a list heads their keys ``key`` and more of its columns are a reel's than any other's."""
    if KEY not in named:
        return None
    known = {
        table.name: sum(name in table.columns or AS_ON_THE_FORM.get(name) in table.columns for name in named)
        for table in TABLES
        if KEY not in table.columns
    }
    own = known.pop(REELS.name)
    return REELS if own > max(known.values()) else None


def as_on_the_form(named: Sequence[str], table: Table[Rowed]) -> dict[str, str]:
    """By a header's own word the column that the forms call so, where the header has not that one too."""
    called = AS_ON_THE_FORM | ({KEY: REELS.told_by[0]} if table is REELS else {})
    return {
        own: ours for own, ours in called.items()
        if own in named and ours not in named and ours in table.columns and own not in table.columns
    }  # fmt: skip


def nearest(name: str, names: Iterable[str]) -> str:
    """The name most like this one, cut short (``Cond.``) or in other words (``Shelf place``); else empty."""
    typed, there = known_name(name), list(names)
    near = get_close_matches(typed, there, 1, 0.65)
    if near:
        return near[0]
    short = typed.rstrip(".")
    begun = [one for one in there if short and len(short) > 2 and one.startswith(short)]
    meant = [*begun, *(one for word in reversed(typed.split("_")) for one in ALSO_HEADED.get(word, ()))]
    return next((one for one in meant if one in there), "")


def unknown_columns_told(file: str, unknown: Sequence[str], there: Sequence[str], table: Table[Rowed]) -> str:
    """One line on the columns of a file that no kind has: they are kept; ``there`` are those that it has."""

    def one(name: str) -> str:
        near = nearest(name, (column for column in table.columns if column not in there))
        return f"{shown(name)} (did you mean {near}?)" if near else shown(name)

    what = "column that we do not know" if len(unknown) == 1 else "columns that we do not know"
    return f"{file} row 1: {what}, kept as given: {', '.join(map(one, unknown))}"
