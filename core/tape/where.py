"""Where a figure comes from: every figure that the program uses, by its key, with its source."""

from dataclasses import dataclass
from typing import Any

from core.tape.tables import Row, names, table


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
        return f"{shown}: {self.says or self.key}{note} Source: {self.row.cited}"


def source_of(key: str) -> Sourced:
    """The figure of that key; KeyError where there is none.

    Keys are `heat.hard_stop_c` for a single figure, `TABLE.ROW` for a whole row and `TABLE.ROW.FIELD` for
    one value of it, as `equalisations.nab-15.t_high_us`.
    """
    figures = table("figures")
    if key in figures:
        values = figures[key].values
        return Sourced(key, values["value"], values["unit"], values["says"], figures[key])
    name, _, rest = key.partition(".")
    if name == "figures" and rest in figures:
        return source_of(rest)
    row_key, _, field = rest.partition(".")
    if name not in names() or row_key not in table(name):
        raise KeyError(f"no figure is called {key!r}")
    row = table(name)[row_key]
    if not field:
        return Sourced(key, dict(row.values), "", "", row)
    return Sourced(key, row.values[field], "", "", row)


def figure(key: str) -> Any:
    """The bare value of a single figure, as `figure("heat.hard_stop_c")`."""
    return table("figures")[key].values["value"]


def all_keys() -> tuple[str, ...]:
    """Keys of every single figure and every row of the other tables, in order."""
    rows = [f"{name}.{key}" for name in names() if name != "figures" for key in table(name)]
    return (*table("figures"), *rows)
