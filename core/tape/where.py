"""Where a figure comes from: every figure that the program uses, by its key, with its source."""

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from core.tape.tables import Row, Values, names, table
from core.values import dataclass


@dataclass(frozen=True, slots=True)
class Sourced:
    """A figure with its unit, what it is, and the row that holds it."""

    key: str
    value: Any
    unit: str
    says: str
    row: Row

    def __str__(self) -> str:
        shown = f"{self.value} {self.unit}".strip()
        note = f" {self.row.note}" if self.row.note else ""
        instead = "In place of: " if self.row.standing == "the owner's own" else "Source: "
        return f"{shown}: {self.says or self.key}{note} {instead}{self.row.cited}"


#: The figures in whose place the owner's own are followed. Minutes, hours, degrees and days of the work are
#: the owner's in studio.toml; the hard stop is nobody's to lift.
FOLLOWED = (
    *(f"heat.{name}" for name in (
        "reading_band_c", "settle_hours", "turn_late_minutes", "resume_minutes", "trial_spread_c",
        "weight_settled_share",
    )),
    *(f"lineup.{name}" for name in (
        "level_db", "balance_db", "middle_db", "treble_up_db", "treble_down_db", "phase_degrees", "drift_db",
    )),
)  # fmt: skip
#: The owner's figures by their keys, each with a `value` and perhaps a `note`.
OwnFigures = Mapping[str, Values]
NONE: OwnFigures = {}


def source_of(key: str, own: OwnFigures = NONE) -> Sourced:
    """The figure of that key; KeyError where there is none.

    Keys are `heat.hard_stop_c` for a single figure, `TABLE.ROW` for a whole row and `TABLE.ROW.FIELD` for
    one value of it, as `equalisations.nab-15.t_high_us`. The owner's figures stand in place of the
    table's.
    """
    found = _published(key)
    if key not in own:
        return found
    told = own[key]
    row = replace(found.row, standing="the owner's own", note=told.get("note", ""))
    return replace(found, value=told["value"], row=row)


def _published(key: str) -> Sourced:
    figures = table("figures")
    if key in figures:
        values = figures[key].values
        return Sourced(key, values["value"], values["unit"], values["says"], figures[key])
    name, _, rest = key.partition(".")
    if name == "figures" and rest in figures:
        return _published(rest)
    row_key, _, field = rest.partition(".")
    if name not in names() or row_key not in table(name):
        raise KeyError(f"no figure is called {key!r}")
    row = table(name)[row_key]
    if not field:
        return Sourced(key, dict(row.values), "", "", row)
    return Sourced(key, row.values[field], "", "", row)


def figure(key: str, own: OwnFigures = NONE) -> Any:
    """The bare value of a single figure, as `figure("heat.hard_stop_c")`; the owner's where there is one."""
    return own[key]["value"] if key in own else table("figures")[key].values["value"]


def own_figure_trouble(key: str, told: object) -> str | None:
    """Why the owner's figure of that key cannot be followed; None where it can.

    One is a number, not below nothing and at most ten times the table's: more would flag nothing any more.
    """
    if key not in FOLLOWED:
        return f"{key}: no figure of yours is followed there; those are {', '.join(FOLLOWED)}"
    value = told.get("value") if isinstance(told, Mapping) else None
    if isinstance(value, bool) or not isinstance(value, int | float):
        return f'{key}: write {{"value": number}}'
    most = 10 * abs(figure(key))
    return None if 0 <= value <= most else f"{key}: a number from 0 to {most:g}, not {value:g}"


def all_keys() -> tuple[str, ...]:
    """Keys of every single figure and every row of the other tables, in order."""
    rows = [f"{name}.{key}" for name in names() if name != "figures" for key in table(name)]
    return (*table("figures"), *rows)
