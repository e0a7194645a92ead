"""What a cell may hold: one strict reader and one writer a column, for files, records and history alike.

A reader takes the cell's text and gives the value, or raises ValueError with what would be right.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from datetime import datetime, tzinfo
from fractions import Fraction
from typing import Any

from core.clock import YEARS_AHEAD, clock_seconds, clock_text, read_time, write_time
from core.quantities import Kind, Quantity, two_readings
from core.store.rows.trade_words import as_typed, plain_word, reads_as, written
from core.values import dataclass

ReadQuantity = Callable[[str, Kind], Quantity]


@dataclass(frozen=True, slots=True)
class Reading:
    """What reading a cell needs from outside: the studio's zone and a reader of quantities.

    ``seen``, where there is one, holds what each column made of a text, ``refused`` what was wrong with it:
    most cells are like others. ``kept`` is true where a shelf is read that was written before: what it holds
    is taken, also what is refused now. ``this_year``: no tape is from a later one. ``listed``: a whole list
    is brought in, where what only looks mistyped is taken and told later.
    """

    zone: tzinfo
    quantity: ReadQuantity
    seen: dict[tuple[str, str], object] | None = None
    refused: dict[tuple[str, str], WrongCell] | None = None
    kept: bool = False
    this_year: int | None = None
    listed: bool = False


@dataclass(frozen=True, slots=True)
class Column:
    """One column: its name, the attribute it fills, how its cells are read and written."""

    name: str
    attribute: str
    read: Callable[[str, Reading], object]
    write: Callable[[Any], str]
    time: bool = False
    blank: object = None  # the value for which nothing is written


class WrongCell(ValueError):
    """A cell that cannot be read: its column, its text, and what would be right."""

    def __init__(self, column: str, text: str, right: str) -> None:
        super().__init__(f"{column}: {shown(text)} is not {right}")
        self.column = column
        self.text = text
        self.right = right


def shown(text: str) -> str:
    """A person's text as it stands in a one-line message: quoted, short, no line breaks or controls."""
    cut = text if len(text) <= 60 else text[:57] + "..."
    return "'" + "".join(c if c.isprintable() else "\N{REPLACEMENT CHARACTER}" for c in cut) + "'"


def words(name: str, attribute: str = "") -> Column:
    """Free text, kept to the letter."""
    return Column(name, attribute or name, lambda text, _: text, str)


def reason(name: str) -> Column:
    """Free text that says why; a bare no is none."""

    def read(text: str, reading: Reading) -> str:
        if not reading.kept and plain_word(text) in _NO_REASON:
            raise ValueError("a reason, such as a specialist has it: an empty cell where it is not so")
        return text

    return Column(name, name, read, str)


_NO_REASON = ("no", "none", "nein", "non", "false", "0", "")


def word(name: str) -> Column:
    """A short word or name, without outer spaces."""
    return Column(name, name, lambda text, _: text.strip(), str)


def curve(name: str) -> Column:
    """The name of an equalisation; a figure alone is none, and most likely a speed."""

    def read(text: str, _: Reading) -> str:
        if re.fullmatch(r"[\d\s.,/½]+", text.strip()):
            raise ValueError("the name of an equalisation such as NAB, IEC1 or CCIR")
        return text.strip()

    return Column(name, name, read, str)


def key(name: str, attribute: str) -> Column:
    """A key: 1 to 40 printable characters without ``; @ :`` or outer spaces."""
    return Column(name, attribute, lambda text, _: read_key(text), str)


def read_key(text: str) -> str:
    """The key itself; ValueError where it is none."""
    if text != text.strip() or not 1 <= len(text) <= 40 or not text.isprintable() or set(text) & set(";@:"):
        raise ValueError("a key: 1 to 40 printable characters without ; @ : and without outer spaces")
    return text


def reference(name: str) -> Column:
    """The key of something else, or nothing."""
    return Column(name, name, lambda text, _: read_key(text.strip()) if text.strip() else "", str)


def one_of(name: str, choices: tuple[str, ...]) -> Column:
    """One word of a list, in any case, or what the trade also says for it, kept as typed."""
    stands_for = reads_as(name, choices)

    def read(text: str, _: Reading) -> str:
        try:
            return as_typed(stands_for[plain_word(text)], text)
        except KeyError:
            raise ValueError(f"one of {', '.join(choices)}") from None

    return Column(name, name, read, written)


def some_of(name: str, choices: tuple[str, ...], elsewhere: tuple[str, tuple[str, ...]] = ("", ())) -> Column:
    """object words of a list, joined by ``;``, or what the trade also says for them, kept as typed.

    ``elsewhere`` is the column that a word may have been meant for, and its words.
    """
    right = f"any of {', '.join(choices)}, joined by ;"
    other = reads_as(*elsewhere)
    stands_for = reads_as(name, choices)

    def read(text: str, _: Reading) -> tuple[str, ...]:
        found = [one for one in text.split(";") if one.strip()]
        strange = [one.strip() for one in found if plain_word(one) not in stands_for]
        meant = [one for one in strange if plain_word(one) in other]
        if meant:
            raise ValueError(f"{right}; {shown(meant[0])} goes into the column {elsewhere[0]}")
        if not found or strange:
            raise ValueError(right)
        return tuple(dict.fromkeys(as_typed(stands_for[plain_word(one)], one) for one in found))

    return Column(name, name, read, lambda words: ";".join(map(written, words)))


def whole(name: str, lowest: int, highest: int = 10**6, blank: int | None = None) -> Column:
    """A whole number in a range."""
    right = f"a whole number from {lowest}" + (f" to {highest}" if highest < 10**6 else "")

    def read(text: str, _: Reading) -> int:
        trimmed = text.strip()
        if not re.fullmatch(r"-?[0-9]{1,9}", trimmed) or not lowest <= int(trimmed) <= highest:
            raise ValueError(right)
        return int(trimmed)

    return Column(name, name, read, str, blank=blank)


def percent(name: str) -> Column:
    """A percentage, kept as typed."""

    def read(text: str, _: Reading) -> str:
        if not re.fullmatch(r"[+-]?[0-9]{1,3}([.,][0-9]{1,6})? ?%?", text.strip()):
            raise ValueError("a percentage such as -1.5")
        two = two_readings(text.replace("%", "").replace("+", ""))
        if two:
            raise ValueError(f"a percentage that reads one way: {' or '.join(two)}")
        return text.strip()

    return Column(name, name, read, str)


#: The first tape with a coat of oxide is of that year.
TAPE_SINCE = 1928


def moment(name: str) -> Column:
    """A point in time, written with its offset."""

    def read(text: str, reading: Reading) -> datetime:
        at = read_time(text, reading.zone)
        if not reading.kept and reading.this_year and at.year > reading.this_year + YEARS_AHEAD:
            raise ValueError(f"a time within {YEARS_AHEAD} years: look at its year")
        if not reading.kept and at.year < TAPE_SINCE:
            raise ValueError(f"a time since there is tape, {TAPE_SINCE} at the earliest: look at its year")
        return at

    return Column(name, name, read, write_time, time=True)


def play_length(name: str, attribute: str = "") -> Column:
    """A length of time in seconds, to the thousandth."""
    return Column(name, attribute or name, lambda text, _: read_play_length(text), clock_text)


def read_play_length(text: str) -> Fraction:
    """``12:30`` as seconds, to the thousandth, which is as fine as it is written again."""
    return Fraction(round(clock_seconds(text) * 1000), 1000)


def read_cells(
    columns: Mapping[str, Column], cells: Mapping[str, str], reading: Reading
) -> tuple[dict[str, object], list[WrongCell]]:
    """Values by attribute for every cell that is not blank, and every cell that is wrong."""
    values: dict[str, object] = {}
    wrong: list[WrongCell] = []
    seen = reading.seen if reading.seen is not None else {}
    refused = reading.refused if reading.refused is not None else {}
    for name, text in cells.items():
        column = columns[name]
        if (name, text) in seen:
            values[column.attribute] = seen[name, text]
        elif (name, text) in refused:
            wrong.append(refused[name, text])
        else:
            try:
                values[column.attribute] = seen[name, text] = column.read(text, reading)
            except ValueError as error:
                refused[name, text] = WrongCell(name, text, str(error))
                wrong.append(refused[name, text])
    return values, wrong


def write_cells(columns: Mapping[str, Column], value: object) -> dict[str, str]:
    """The cells of a value that say something, in the columns' order."""
    cells = {}
    for name, column in columns.items():
        there = getattr(value, column.attribute)
        if there not in (None, (), "", column.blank):
            cells[name] = column.write(there)
    return cells
