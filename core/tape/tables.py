"""The tables as data: read once, when first asked for, from the TOML files beside this module."""

import os
from collections.abc import Mapping
from functools import cache
from typing import Any, cast

from core.tape.sources import STANDINGS, Source, Standing, source
from core.tape.table_files import FOLDER, read_toml
from core.values import dataclass

Values = Mapping[str, Any]
"""A row as its file tells it: plain TOML values by name."""


@dataclass(frozen=True, slots=True)
class Row:
    """One row of a table: its values as written there, keys of its sources, and how well it stands."""

    table: str
    key: str
    values: Values
    cites: tuple[str, ...]
    standing: Standing
    note: str = ""

    @property
    def source(self) -> tuple[Source, ...]:
        """Its sources; KeyError where one is not in the list."""
        return tuple(source(key) for key in self.cites)

    @property
    def cited(self) -> str:
        """Sources and standing in one line, for a screen or a sheet."""
        return source_words(self.source, self.standing)


def source_words(cited: tuple[Source, ...], standing: str) -> str:
    """``Source: TITLE (WHERE); reported``; the standing is not said twice."""
    told = "; ".join(str(one) for one in cited)
    same = told.casefold().startswith(standing.casefold())
    return told if same else f"{told}; {standing}" if told else standing


def names() -> tuple[str, ...]:
    """Names of all tables that hold rows, in order."""
    found = sorted(file.removesuffix(".toml") for file in os.listdir(FOLDER) if file.endswith(".toml"))
    return tuple(name for name in found if name != "sources")


@cache
def table(name: str) -> dict[str, Row]:
    """All rows of one table by key, in the file's order; KeyError where a row cites or stands on nothing."""
    return {key: _row(name, key, values) for key, values in read_toml(name).items()}


def _row(name: str, key: str, told: Values) -> Row:
    values = dict(told)
    standing = values.pop("standing")
    if standing not in STANDINGS:
        raise ValueError(f"tables/{name}.toml, {key}: no such standing as {standing!r}")
    cites = tuple(values.pop("source"))
    return Row(name, key, values, cites, cast(Standing, standing), values.pop("note", ""))
