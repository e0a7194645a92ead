"""The columns of reels, songs, track sheets, segments and history, and how a row becomes a value and back."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Generic, Protocol, TypeVar

from core.clock import clock_text
from core.reels.reel import (
    BACK_COATS,
    BASES,
    CONDITIONS,
    ROLES,
    SIGNS,
    STAGES,
    TIMECODE_RATES,
    TRIED,
    Reel,
    Segment,
)
from core.shelf import Event
from core.songs.clock_speed import read_clock_speed
from core.songs.song import Need, SheetRow, Song
from core.store.rows.columns import (
    Column,
    Reading,
    WrongCell,
    key,
    moment,
    one_of,
    percent,
    play_length,
    read_cells,
    read_key,
    read_play_length,
    reference,
    some_of,
    whole,
    word,
    words,
    write_cells,
)
from core.store.rows.figures import quantity
from core.studio.setup import Setup

SETUP = ("speed", "eq", "level", "noise_reduction")


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


class _Flat:
    """A segment with the words of its set-up beside its own."""

    def __init__(self, segment: Segment) -> None:
        for name in ("reel", "start", "end", "title"):
            setattr(self, name, getattr(segment, name))
        for name in SETUP:
            setattr(self, name, getattr(segment.setup, name))


def _flat(value: object) -> object:
    return _Flat(value) if isinstance(value, Segment) else value


def _needs(text: str, _: Reading) -> tuple[Need, ...]:
    right = "reels joined by ;, each with or without a span, such as R-001@12:30-16:45; R-004"
    out = []
    for part in text.split(";"):
        match = re.fullmatch(r"([^@;:]+?)\s*(?:@\s*([0-9:.]+)\s*[-\u2013]\s*([0-9:.]+))?", part.strip())
        if match is None:
            raise ValueError(right)
        reel = read_key(match[1])
        if match[2] is None:
            out.append(Need(reel))
            continue
        start, end = read_play_length(match[2]), read_play_length(match[3])
        if start >= end:
            raise ValueError(f"{right}; a span ends after it starts")
        out.append(Need(reel, start, end))
    return tuple(dict.fromkeys(out))


def _needs_text(needs: tuple[Need, ...]) -> str:
    def one(need: Need) -> str:
        if need.start is None or need.end is None:
            return need.reel
        return f"{need.reel}@{clock_text(need.start)}-{clock_text(need.end)}"

    return "; ".join(one(need) for need in needs)


def _copied_from(text: str, _: Reading) -> str:
    return "; ".join(dict.fromkeys(_one_source(part.strip()) for part in text.split(";")))


def _one_source(text: str) -> str:
    match = re.fullmatch(r"([^@;:]+?):\s*([0-9]{1,4})(?:\s*-\s*([0-9]{1,4}))?", text)
    if text == "?":
        return text
    if match is None or int(match[2]) < 1 or (match[3] and int(match[3]) < int(match[2])):
        raise ValueError("a reel and its tracks, such as R-001:3 or R-001:3-8, several joined by ;, or ?")
    first, last = int(match[2]), match[3]
    return f"{read_key(match[1])}:{first}" + (f"-{int(last)}" if last else "")


def _by_name(*columns: Column) -> dict[str, Column]:
    return {column.name: column for column in columns}


REELS = Table("reels", ("reel",), _by_name(
    key("reel", "key"), words("box_label"), words("contents"), one_of("role", ROLES),
    quantity("width", "length"), whole("tracks", 1, 1000), quantity("speed", "speed"), word("eq"),
    quantity("level", "flux"), word("noise_reduction"), word("stock"), one_of("base", BASES),
    quantity("thickness", "length"), quantity("reel_size", "length"), quantity("length", "length"),
    quantity("pack_diameter", "length"), quantity("hub_diameter", "length"),
    one_of("wind", ("tails", "heads")), whole("splices", 0, 10_000),
    some_of("condition", CONDITIONS, ("signs", SIGNS)),
    one_of("stage", STAGES), moment("conditioned_at"), moment("playable_until"), word("chamber"),
    moment("loaded_at"), quantity("treatment_hours", "time"), moment("heard"), words("tones"),
    words("decoded"), percent("varispeed"), whole("timecode_track", 1, 1000),
    one_of("timecode_rate", TIMECODE_RATES), words("location"), words("notes"), words("set_aside"),
    some_of("signs", SIGNS, ("condition", CONDITIONS)),
    one_of("back_coat", BACK_COATS), word("year"), words("storage"),
    one_of("base_seen", (*BASES, "yes", "no")), one_of("tried", TRIED),
    words("photographs"),
), Reel, ("reel",))  # fmt: skip

SONGS = Table("songs", ("song",), _by_name(
    key("song", "key"), words("title"), words("artist"), word("album"), whole("order", -10**6),
    whole("priority", 1, 9), play_length("target_length"), Column("needs", "needs", _needs, _needs_text),
    words("todo"), words("notes"), reference("clock_reel"),
    Column("clock_speed", "clock_speed", lambda text, _: read_clock_speed(text), str),
    words("writers"), words("isrc"), words("iswc"),
), Song, ("song",))  # fmt: skip

SHEETS = Table("sheets", ("sheet",), _by_name(
    key("sheet", "sheet"), reference("reel"), reference("song"), words("date"), whole("track", 1, 1000),
    words("part"), words("player"), words("take"), Column("copied_from", "copied_from", _copied_from, str),
    words("notes"), words("found_in"), words("wiped"),
), SheetRow, ("sheet",))  # fmt: skip

SEGMENTS = Table("segments", ("reel", "from", "to"), _by_name(
    key("reel", "reel"), play_length("from", "start"), play_length("to", "end"), quantity("speed", "speed"),
    word("eq"), quantity("level", "flux"), word("noise_reduction"), words("title"),
), Segment, ("reel", "from", "to"))  # fmt: skip

HISTORY = Table("history", ("at", "kind", "key"), _by_name(
    moment("at"), word("kind"), words("key"), words("field"), words("old"), words("new"), words("note"),
    words("because"), whole("change", 0, 10**9, blank=0),
), Event, ("at", "kind"))  # fmt: skip

#: The kind of file is told by the header, the most telling first.
TABLES: tuple[Table[Rowed], ...] = (HISTORY, SHEETS, SEGMENTS, SONGS, REELS)
