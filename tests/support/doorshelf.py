"""A small studio that is at work all day, and rows of reels put onto its shelf by the command line."""

from __future__ import annotations

import csv
from pathlib import Path
from typing import Any

from onedeck import EVERY_DAY, hours, one_deck

STUDIO = one_deck(
    "Doors",
    "UTC",
    more='assume_length = "1200 ft"\n',
    trays=6,
    rows=hours(EVERY_DAY, "08:00", "24:00", "bench", "home"),
)


def put(run: Any, rows: list[dict[str, str]], *more: str) -> Any:
    with Path("r.csv").open("w", newline="") as file:
        writer = csv.DictWriter(file, list(rows[0]))
        writer.writeheader()
        writer.writerows(rows)
    return run("import", "r.csv", *more)
