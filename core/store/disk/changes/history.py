"""The history, kept in pages of text that are read into events only when someone looks at them."""

from __future__ import annotations

import base64
import zlib
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Required, TypedDict, overload

import orjson

from core.shelf import Event
from core.store.rows.columns import Reading
from core.store.rows.tables import HISTORY

PAGE_ROWS = 500
Cell = str | Mapping[str, str]
"""A cell of a row, or behind them the table of extra cells."""


class Page(TypedDict, total=False):
    """Rows as one JSON list a line, deflated in base 64 once there are enough; the highest change in them."""

    rows: Required[int]
    text: str
    packed: str
    change: int


_NAMES = tuple(HISTORY.columns)
_NOTED = _NAMES.index("note")


class History(Sequence[Event]):
    """Rows of history: pages from the disk, and a tail of events that were added since.

    A page is ``{"rows": how many, "text": one JSON list a line}``; a full one has ``packed`` in place of
    ``text``: the same, deflated, in base 64. ``history + (event, ...)`` is cheap.
    """

    __slots__ = ("_paged", "_parsed", "pages", "reading", "tail")

    def __init__(self, pages: tuple[Page, ...], reading: Reading, tail: tuple[Event, ...] = ()) -> None:
        self.pages = pages
        self.reading = reading
        self.tail = tail
        self._paged: int = sum(page["rows"] for page in pages)
        self._parsed: dict[int, tuple[Event, ...]] = {}

    def __len__(self) -> int:
        return self._paged + len(self.tail)

    def __add__(self, events: Sequence[Event]) -> History:
        return History(self.pages, self.reading, (*self.tail, *events))

    def __iter__(self) -> Iterator[Event]:
        for number in range(len(self.pages)):
            yield from self.page(number)
        yield from self.tail

    def __reversed__(self) -> Iterator[Event]:
        yield from reversed(self.tail)
        for number in reversed(range(len(self.pages))):
            yield from reversed(self.page(number))

    @overload
    def __getitem__(self, index: int) -> Event: ...
    @overload
    def __getitem__(self, index: slice) -> Sequence[Event]: ...

    def __getitem__(self, index: int | slice) -> Event | Sequence[Event]:
        if isinstance(index, slice):
            start, stop, step = index.indices(len(self))
            if start >= self._paged and step == 1:
                return self.tail[start - self._paged : stop - self._paged]
            return tuple(self)[index]
        at = index if index >= 0 else len(self) + index
        if not 0 <= at < len(self):
            raise IndexError("no such row of history")
        for number, page in enumerate(self.pages):
            if at < page["rows"]:
                return self.page(number)[at]
            at -= page["rows"]
        return self.tail[at]

    def __eq__(self, other: object) -> bool:
        if not isinstance(other, Sequence) or len(self) != len(other):
            return False
        return all(mine == theirs for mine, theirs in zip(self, other, strict=True))

    __hash__ = None  # type: ignore[assignment]

    def page(self, number: int) -> tuple[Event, ...]:
        """The events of one page."""
        if number not in self._parsed:
            self._parsed[number] = tuple(event_of(row, self.reading) for row in raw_rows(self.pages[number]))
        return self._parsed[number]

    def picked(self, kind: str, fields: tuple[str, ...]) -> Iterator[Event]:
        """The events of that kind about one of those fields, without building the others."""
        for page in self.pages:
            for row in raw_rows(page):
                if row[1] == kind and len(row) > 3 and row[3] in fields:
                    yield event_of(row, self.reading)
        yield from (event for event in self.tail if event.kind == kind and event.field in fields)

    def beside(self, kind: str, but: str, with_reason: str) -> Iterator[Event]:
        """The events of that kind with a note, those of the field ``but`` left out; of one also a reason."""
        for page in self.pages:
            for row in raw_rows(page):
                mine = row[1] == kind and len(row) > _NOTED and row[3] != but
                if mine and (row[_NOTED] or (row[3] == with_reason and len(row) > _NOTED + 1)):
                    yield event_of(row, self.reading)
        told = (one for one in self.tail if one.kind == kind and one.field != but)
        yield from (one for one in told if one.note or one.field == with_reason)

    def last_change(self) -> int:
        """The highest number of a change so far."""
        highest = max((event.change for event in self.tail), default=0)
        for page in self.pages:
            highest = max(highest, page.get("change", 0))
        return highest


def raw_rows(page: Page) -> list[list[Cell]]:
    """A page's rows as lists of cells."""
    text = page["text"] if "text" in page else zlib.decompress(base64.b64decode(page["packed"])).decode()
    rows: list[list[Cell]] = orjson.loads("[" + text.replace("\n", ",") + "]")
    return rows


def event_of(row: list[Cell], reading: Reading) -> Event:
    """The event that a row tells of: its cells in the columns' order, then a table of extra cells."""
    cells = {name: str(cell) for name, cell in zip(_NAMES, row, strict=False) if cell}
    extra = row[-1] if len(row) > len(_NAMES) else {}
    event = HISTORY.value({"key": "?", **cells}, extra if isinstance(extra, Mapping) else {}, reading)
    return event if "key" in cells else replace(event, key="")


def row_of(event: Event) -> str:
    """The event as one line of a page."""
    cells = HISTORY.cells(event)
    row: list[Cell] = [cells.get(name, "") for name in _NAMES]
    if event.extra:
        row.append(dict(event.extra))
    while row and not row[-1]:
        row.pop()
    return orjson.dumps(row).decode()


def with_events(pages: Sequence[Page], events: Sequence[Event]) -> list[Page]:
    """The pages with those events after them; full pages are left as they are."""
    out = list(pages)
    left = list(events)
    while left:
        if not out or out[-1]["rows"] >= PAGE_ROWS:
            out.append({"rows": 0, "text": "", "change": 0})
        room = PAGE_ROWS - out[-1]["rows"]
        taken, left = left[:room], left[room:]
        last = out[-1]
        lines = [row_of(event) for event in taken]
        rows = last["rows"] + len(taken)
        text = "\n".join([last["text"], *lines] if last["text"] else lines)
        change = max(last["change"], *(event.change for event in taken))
        if rows < PAGE_ROWS:
            out[-1] = {"rows": rows, "text": text, "change": change}
        else:
            out[-1] = {"rows": rows, "packed": _packed(text), "change": change}
    return out


def _packed(text: str) -> str:
    return base64.b64encode(zlib.compress(text.encode(), 6)).decode("ascii")
