"""The page on files names every key and column that is read, and no other."""

import re
import runpy
from collections import defaultdict
from pathlib import Path

import pytest

from core.quantities import read_quantity
from core.store.disk.changes.undo import WRITTEN
from core.store.rows.tables import HISTORY, TABLES
from core.store.studio.studio_toml import read_studio, text_tables
from core.store.studio.text import studio_tables

PAGE = (Path(__file__).resolve().parents[2] / "docs" / "files.md").read_text(encoding="utf-8")
ALL = """
[studio]
name = "N"
timezone = "Europe/Lisbon"
assume_length = "2500 ft"
assume_eq = "NAB"
assume_level = "250 nWb/m"
assume_condition = "sticky"
[[deck]]
id = "D1"
widths = ["1 in"]
tracks = 16
speeds = ["15 ips"]
wind_speed = "180 ips"
gentle_wind_speed = "30 ips"
reverse_play = true
setup_minutes = 40
touch_up_minutes = 15
lined_up = { speed = "15 ips" }
[capture]
inputs = 16
sample_rate = "96 kHz"
bit_depth = 24
folder = "f"
second_copy = true
file_names = "{reel} pass {pass}"
[[chamber]]
id = "C1"
trays = 6
trays_taken = { "1 in" = 2 }
turn_every = "2 h"
touch_minutes = 10
motor_below = false
[[treatment]]
width = "1 in"
temperature = "54 degC"
hours = "8 h"
cool = "8 h"
playable_days = 14
[[hours]]
days = ["mon"]
dates = ["2026-12-24"]
from = "19:00"
to = "22:30"
loud_until = "22:00"
off = true
"""


def told(page: str) -> dict[str, set[str]]:
    """Keys by table, as the page's table of ``studio.toml`` has them."""
    keys: dict[str, set[str]] = defaultdict(set)
    table = ""
    for row in re.findall(r"^\| (`\[.*?\]`)? ?\| (.*?) \|", page, re.MULTILINE):
        table = row[0].strip("`[]") or table
        keys[table] |= set(re.findall(r"`(\w+)`", row[1]))
    return dict(keys)


def test_every_key_of_a_studio_is_told_and_no_other():
    studio = read_studio(text_tables(ALL, "all.toml"), read_quantity)
    assert not studio.extra  # so every key above is one that is read
    tables = {
        name: table[0] if isinstance(table, list) else table for name, table in studio_tables(studio).items()
    }
    assert told(PAGE) == {name: set(table) for name, table in tables.items()}


def test_the_table_on_the_page_is_the_one_that_reads_and_writes(tmp_path):
    where = Path(__file__).resolve().parents[2] / "docs" / "pages" / "studio_table.py"
    writer = runpy.run_path(str(where))
    assert writer["page_with_table"](PAGE) == PAGE, "run python docs/pages/studio_table.py"


@pytest.mark.parametrize("table", TABLES, ids=lambda table: table.name)
def test_every_column_is_told_and_no_other(table):
    row = re.search(rf"^\| {table.name}\.csv \| (.*?) \| (.*?) \| (.*?) \|$", PAGE, re.MULTILINE)
    assert row is not None
    assert tuple(re.findall(r"`(\w+)`", row[1])) == table.told_by
    keys = re.findall(r"`(\w+)`", row[2])
    written = {*WRITTEN} if table is HISTORY else set()  # by the shelf itself, beside what is read
    assert {*table.told_by, *keys, *row[3].split(", ")} == {*table.columns, *written}
