"""From what was measured to what it weighs: the table of thresholds, and the shelf's own values in it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from functools import lru_cache
from importlib.resources import files

import tomli

from core.findings import WEIGHTS
from core.values import dataclass


@dataclass(frozen=True, slots=True)
class Threshold:
    """One row of the table."""

    name: str
    value: float
    unit: str
    reason: str
    source: str


@dataclass(frozen=True, slots=True)
class Thresholds:
    """The table as it holds for one shelf."""

    rows: tuple[Threshold, ...]
    weights: Mapping[str, str]

    def __getitem__(self, name: str) -> float:
        for row in self.rows:
            if row.name == name:
                return row.value
        raise KeyError(name)

    def plain(self) -> dict[str, float | str]:
        """Every value and weight by its name, as a check keeps it and a shelf may set it."""
        values: dict[str, float | str] = {row.name: row.value for row in self.rows}
        return values | {f"weight {kind}": weight for kind, weight in self.weights.items()}

    def weight(self, kind: str, usual: str = "remark") -> str:
        """What a kind of finding weighs; `usual` where the table says nothing of it."""
        return self.weights.get(kind, usual)


@lru_cache(maxsize=1)
def standard_thresholds() -> Thresholds:
    """The table that comes with the program."""
    table = tomli.loads(files("core.capture.weighing").joinpath("thresholds.toml").read_text("utf-8"))
    rows = tuple(
        Threshold(row["name"], float(row["value"]), row["unit"], row["reason"], row["source"])
        for row in table["threshold"]
    )
    return Thresholds(rows, dict(table["weights"]))


def thresholds_with(own: Mapping[str, float | str] | None) -> Thresholds:
    """The table with a shelf's own values; raises ValueError for a name or value that does not fit."""
    table = standard_thresholds()
    if not own:
        return table
    values = {row.name: row.value for row in table.rows}
    weights = dict(table.weights)
    for name, value in own.items():
        if name.startswith("weight "):
            if value not in WEIGHTS:
                raise ValueError(f"{name} must be one of {', '.join(WEIGHTS)}, not {value!r}")
            weights[name.removeprefix("weight ")] = str(value)
        elif name not in values:
            raise ValueError(f"there is no threshold {name!r}; there are {', '.join(values)}")
        else:
            values[name] = _number(name, value)
    return Thresholds(tuple(replace(row, value=values[row.name]) for row in table.rows), weights)


def _number(name: str, value: float | str) -> float:
    try:
        number = float(value)
    except (TypeError, ValueError):
        raise ValueError(f"the threshold {name} must be a number, not {value!r}") from None
    if not -1000 < number < 1000:
        raise ValueError(f"the threshold {name} must lie within 1000 of zero, not {value!r}")
    return number
