"""Which figures each place of the screen and each printed sheet shows, and the rows they rest on."""

from __future__ import annotations

import os
from functools import cache

from core.tape.where import source_of
from core.values import dataclass

PAGE = os.path.join(os.path.dirname(__file__), "shown.toml")


@dataclass(frozen=True, slots=True)
class Shown:
    """One figure as it is called where it stands, how it is got, and the keys that `source_of` takes."""

    figure: str
    how: str
    keys: tuple[str, ...]


@cache
def shown() -> dict[str, tuple[Shown, ...]]:
    """Every place and sheet with its figures, in the order in which they stand there."""
    import tomli

    with open(PAGE, "rb") as file:
        told = tomli.load(file)
    return {
        where: tuple(Shown(one["figure"], one["how"], tuple(one["keys"])) for one in rows)
        for where, rows in told.items()
    }


def figures_from(where: str, also: tuple[str, ...] = ()) -> str:
    """The rows behind a sheet's figures in one run of text, each with its source: for the foot of the sheet.

    `also` are keys of this one sheet besides, as its equalisation. KeyError for a sheet that is not listed.
    """
    parts = [f"{one.figure}: {', '.join(map(_cited, one.keys))}" for one in shown()[where] if one.keys]
    if also:
        parts.append(f"here: {', '.join(map(_cited, also))}")
    rows = "; ".join(parts)
    return (
        f"Figures from these rows of the tables. {rows}. studio.toml and your own figures stand before them."
    )


def _cited(key: str) -> str:
    row = source_of(key).row
    standing = "" if row.cites == ("practice",) else f", {row.standing}"
    return f"{key} ({' + '.join(row.cites)}{standing})"
