"""One kind of row of the shelf: its columns, the value that a row makes, how both are read and written."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Generic, Protocol, TypeVar

from core.reels.reel import (
    Segment,
)
from core.songs.song import SheetRow
from core.store.rows.columns import (
    Column,
    Reading,
    WrongCell,
    read_cells,
    write_cells,
)
from core.studio.setup import Setup
from core.values import dataclass

SETUP = ("speed", "eq", "level", "noise_reduction")


class _Flat:
    """A segment with the words of its set-up beside its own."""

    def __init__(self, segment: Segment) -> None:
        for name in ("reel", "start", "end", "title"):
            setattr(self, name, getattr(segment, name))
        for name in SETUP:
            setattr(self, name, getattr(segment.setup, name))


def _flat(value: object) -> object:
    return _Flat(value) if isinstance(value, Segment) else value


class Rowed(Protocol):
    """What a row of any table makes."""

    @property
    def extra(self) -> tuple[tuple[str, str], ...]:
        """Cells of columns that the table does not know, by name."""


V_co = TypeVar("V_co", bound=Rowed, covariant=True)


@dataclass(frozen=True, slots=True)
class Table(Generic[V_co]):
    """One kind of file: its name, the columns that tell it, all its columns, what its rows are."""

    name: str
    told_by: tuple[str, ...]
    columns: Mapping[str, Column]
    makes: type[V_co]
    needed: tuple[str, ...]

    def value(self, cells: Mapping[str, str], extra: Mapping[str, str], reading: Reading) -> V_co:
        """The row as a value; raises the first WrongCell."""
        found, wrong = self.read(cells, extra, reading)
        if found is None:
            raise wrong[0]
        return found

    def read(
        self, cells: Mapping[str, str], extra: Mapping[str, str], reading: Reading
    ) -> tuple[V_co | None, list[WrongCell]]:
        """The row as a value and no wrong cells, or none and every cell that is wrong."""
        values, wrong = read_cells(self.columns, cells, reading)
        wrong += [
            WrongCell(name, "", f"given, and a {self.name.rstrip('s')} needs it")
            for name in self.needed
            if name not in cells
        ]
        if wrong:
            return None, wrong
        if extra:
            values["extra"] = tuple(extra.items())
        return _made(self.makes, values), []

    def cells(self, value: Rowed) -> dict[str, str]:
        """The cells of a value that say something, in the columns' order."""
        return write_cells(self.columns, _flat(value))


def document(table: Table[Rowed], value: Rowed) -> dict[str, object]:
    """A value as the shelf keeps it: its cells, and under ``+`` the cells of columns that we do not know."""
    cells: dict[str, object] = dict(table.cells(value))
    return cells | {"+": dict(value.extra)} if value.extra else cells


def from_document(table: Table[V_co], kept: Mapping[str, Any], reading: Reading) -> V_co:
    """The inverse of ``document``."""
    extra = kept.get("+")
    if not extra:
        return table.value(kept, {}, reading)
    cells = {name: text for name, text in kept.items() if name != "+"}
    told, extra = _columns_since(table, cells, extra, reading)
    return table.value(cells | told, extra, reading)


def _columns_since(
    table: Table[Rowed], cells: Mapping[str, str], extra: Mapping[str, str], reading: Reading
) -> tuple[dict[str, str], dict[str, str]]:
    """Cells of the owner's own columns that have become the table's, where they can be read; and the rest."""
    told: dict[str, str] = {}
    rest: dict[str, str] = {}
    for name, text in extra.items():
        known = name.casefold().strip()
        new = known in table.columns and known not in cells and bool(text.strip())
        if new and not read_cells(table.columns, {known: text}, reading)[1]:
            told[known] = text
        else:
            rest[name] = text
    return told, rest


def _made(makes: type[V_co], values: dict[str, Any]) -> V_co:
    if issubclass(makes, Segment):
        setup = Setup(*(values.pop(name, None if name in ("speed", "level") else "") for name in SETUP))
        values["setup"] = setup
    if issubclass(makes, SheetRow):
        values.setdefault("track", None)
    return makes(**values)
