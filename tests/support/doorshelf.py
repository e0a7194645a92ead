"""A small studio that is at work all day, and rows of reels put onto its shelf by the command line."""

from __future__ import annotations

import csv
from pathlib import Path
from typing import Any

STUDIO = """
[studio]
name = "Doors"
timezone = "UTC"
assume_length = "1200 ft"
[[deck]]
id = "D1"
widths = ["1/4 in"]
tracks = 2
speeds = ["15 ips"]
wind_speed = "180 ips"
setup_minutes = 40
touch_up_minutes = 15
[[chamber]]
id = "C1"
trays = 6
trays_taken = { "1/4 in" = 1 }
turn_every = "2 h"
touch_minutes = 10
[[treatment]]
width = "1/4 in"
temperature = "54 degC"
hours = "4 h"
cool = "4 h"
playable_days = 14
[[hours]]
days = ["mon", "tue", "wed", "thu", "fri", "sat", "sun"]
from = "08:00"
to = "24:00"
bench = true
home = true
"""


def put(run: Any, rows: list[dict[str, str]], *more: str) -> Any:
    with Path("r.csv").open("w", newline="") as file:
        writer = csv.DictWriter(file, list(rows[0]))
        writer.writeheader()
        writer.writerows(rows)
    return run("import", "r.csv", *more)
