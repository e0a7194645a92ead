"""A look at files before anything is taken: what is understood, what is not, what would come of it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import asdict, field
from typing import TYPE_CHECKING

from core.store.disk.changes.undo import WRITTEN
from core.store.intake.header import nearest
from core.values import dataclass
from core.words import counted

if TYPE_CHECKING:
    from core.store.exchange.imports import Import
    from core.store.rows.csv_text import Sheet


#: Kinds of which many rows make one thing.
ROWS_OF = {"sheets": "track sheets", "history": "history"}


@dataclass(frozen=True, slots=True)
class FileLook:
    """One file of rows: its kind, how many rows, the columns that are understood, and the others.

    ``unknown`` has by column the nearest name that there is, empty where none is near.
    """

    file: str
    kind: str
    rows: int
    columns: tuple[str, ...]
    unknown: dict[str, str]


@dataclass(frozen=True, slots=True)
class Look:
    """What taking files in would do: rows by kind that are new, changed or as they are; what is wrong."""

    files: tuple[FileLook, ...]
    new: dict[str, int] = field(default_factory=dict)
    changed: dict[str, int] = field(default_factory=dict)
    unchanged: dict[str, int] = field(default_factory=dict)
    refused: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()
    bare: int = 0
    """How many of what is refused are numbers without a unit that can have one unit alone."""

    def to_json(self) -> dict[str, object]:
        """The document that other programs read."""
        return asdict(self)

    def lines(self) -> Iterator[str]:
        """The same for a person."""
        for one in self.files:
            yield f"{one.file}: {one.kind}, {counted(one.rows, 'row')}"
            yield f"  columns understood: {', '.join(one.columns)}"
            if one.unknown:
                told = [
                    f"{name} (did you mean {near}?)" if near else name for name, near in one.unknown.items()
                ]
                yield f"  columns not understood, kept as given: {', '.join(told)}"
        for what, counts in (("new", self.new), ("changed", self.changed), ("as it is", self.unchanged)):
            if counts:
                yield f"{what}: " + ", ".join(rows_told(count, kind) for kind, count in counts.items())
        if self.refused:
            yield f"refused: {counted(len(self.refused), 'line')}, told on standard error"
        yield "nothing was taken: this was a look"


def rows_told(count: int, kind: str) -> str:
    """So many rows of a kind: ``1 reel``, ``2 reels``, ``128 rows of track sheets``."""
    if kind in ROWS_OF:
        return f"{counted(count, 'row')} of {ROWS_OF[kind]}"
    return f"{count} {kind.removesuffix('s') if count == 1 else kind}"


def looked(bringing: Import, *, update: bool) -> Look:
    """Lays the files over the shelf in thought, as with ``--update``; without it what is there is refused."""
    bringing.lay()
    there = sum(bringing.counts["updated"].values()) + sum(bringing.counts["unchanged"].values())
    refused = list(bringing.wrong)
    if there and not update:
        are = f"{counted(there, 'row')} {'is' if there == 1 else 'are'} on the shelf already"
        refused.append(f"{are}: taken only with --update")
    return Look(
        tuple(_file(sheet) for sheet in bringing.files.sheets),
        bringing.counts["added"],
        bringing.counts["updated"],
        bringing.counts["unchanged"],
        tuple(refused),
        tuple(bringing.notes()),
        bringing.bare,
    )


def _file(sheet: Sheet) -> FileLook:
    unknown = [name for name in sheet.extra_columns if name not in WRITTEN]
    return FileLook(
        sheet.file,
        sheet.table.name,
        len(sheet.lines) + len(sheet.misshapen),
        sheet.columns,
        {
            name: nearest(name, (one for one in sheet.table.columns if one not in sheet.columns))
            for name in unknown
        },
    )
