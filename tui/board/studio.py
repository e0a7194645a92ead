"""The studio as lines to go through: each table with its keys, then the hours day by day."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import date

from core.errors import Unusable
from core.store.studio.bare_units import with_units
from core.store.studio.fields import ARRAYS, TABLES, Field
from core.store.studio.hours_words import row_words
from core.store.studio.text import studio_tables
from core.store.studio.words import typed, written
from core.studio.studio import WEEKDAYS, HoursRow, Studio
from core.values import dataclass

TITLES = {
    "studio": "The studio, and what is assumed where nothing tells",
    "deck": "Deck",
    "capture": "Capture",
    "chamber": "Chamber",
    "treatment": "Warmth for",
    "minutes": "Minutes that handling takes",
    "comfort": "How you want to live with a plan",
}
HOURS = "hours"


@dataclass(frozen=True, slots=True)
class StudioLine:
    """One key of one table, or one day of hours; a heading has no key."""

    title: str = ""
    table: str = ""
    number: int = 0
    key: str = ""
    text: str = ""
    says: str = ""
    default: str = ""

    @property
    def name(self) -> str:
        """By what the line is found again; empty for a heading."""
        return f"{self.table} {self.number} {self.key}" if self.key else ""

    @property
    def label(self) -> str:
        """What it is called."""
        return self.key.replace("_", " ")


def without_links(says: str) -> str:
    """What a page says of a key, for the screen: its links as their words, nothing set apart by stars."""
    return re.sub(r"\[([^\]]+)\]\([^)]+\)", r"\1", says).replace("*", "")


def studio_lines(studio: Studio, today: date) -> list[StudioLine]:
    """All lines in the order of the file; a date's own hours from today on."""
    tables = studio_tables(studio)
    lines: list[StudioLine] = []
    for table, fields in TABLES.items():
        if table == HOURS:
            lines += _hours(studio, today)
            continue
        rows = tables.get(table, []) if table in ARRAYS else [tables.get(table, {})]
        for number, row in enumerate(rows):
            lines.append(StudioLine(title=_title(table, row)))
            lines += [_line(table, number, field, row) for field in fields]
    return lines


def _title(table: str, row: dict[str, object]) -> str:
    return f"{TITLES[table]} {row.get('id') or row.get('width') or ''}".rstrip()


def _line(table: str, number: int, field: Field, row: dict[str, object]) -> StudioLine:
    text = written(row.get(field.key))
    default = {"true": "yes", "false": "no"}.get(field.default, field.default.replace("`", ""))
    return StudioLine("", table, number, field.key, text, _as_typed(without_links(field.says)), default)


def _hours(studio: Studio, today: date) -> Iterator[StudioLine]:
    yield StudioLine(title="Hours, by weekday")
    for day in WEEKDAYS:
        yield _day(day, [row for row in studio.hours if day in row.days])
    dates = sorted({day for row in studio.hours for day in row.dates if day >= today})
    if dates:
        yield StudioLine(title="Hours of single dates, in place of the weekday's")
    for one in dates:
        yield _day(one.isoformat(), [row for row in studio.hours if one in row.dates])


def _day(day: str, rows: list[HoursRow]) -> StudioLine:
    shown = sorted((row for row in rows if not row.off), key=lambda row: row.from_minutes)
    text = " ".join(row_words(row) for row in shown) or "off"
    says = "hours such as `19:00-22:30 bench home loud 22:00`, several one after the other; off: nobody"
    return StudioLine("", HOURS, 0, day, text, says)


def meant_on(line: StudioLine, text: str) -> str:
    """The text as it is taken on that line, bare numbers with their unit."""
    return text if line.table == HOURS else with_units(line.key, text, line.text)


def words_reading(studio: Studio, line: StudioLine, text: str, today: date) -> tuple[str, bool]:
    """How a text reads on that line: what is wrong, or what an empty one means."""
    try:
        changed(studio, line, text, today)
    except Unusable as error:
        return _wanted(str(error).splitlines()[0]), True
    except ValueError as error:
        return str(error), True
    if text.strip():
        meant = meant_on(line, text)
        return (f"{meant}? Enter takes it so", False) if meant != text else ("", False)
    return f"as it is where nothing is said: {line.default}" if line.default else "", False


def _as_typed(right: str) -> str:
    """An example of a list, or of widths with figures, as it is typed here: without a file's signs."""
    plain = re.sub(r'\[("[^\]]*")\]', lambda found: found[1].replace('"', ""), right)
    return re.sub(r"\{ (.*?) \}", lambda found: found[1].replace('"', "").replace(" =", ":"), plain)


def _wanted(trouble: str) -> str:
    """The trouble without its place and the text, both of which stand beside it."""
    for sign in (" is not ", " is missing: give "):
        if sign in trouble:
            right = (
                trouble.partition(sign)[2].replace(" in quotes,", "").replace("true or false", "yes or no")
            )
            return f"wants {_as_typed(right)}"
    return trouble.rpartition(": ")[2] if trouble.startswith("hours: ") else trouble


def changed(studio: Studio, line: StudioLine, text: str, today: date) -> Studio:
    """The studio with that text on that line; Unusable says what would be right."""
    if line.table == HOURS:
        from core.store.studio.hours_words import hours_set

        usual = "usual" if "-" in line.key else "off"
        return hours_set(studio, [line.key, *(text.split() or [usual])], today)[0]
    from core.store.studio.edits import edited

    value = typed(line.table, line.key, meant_on(line, text))
    return edited(studio, line.table, line.number, {line.key: value})
