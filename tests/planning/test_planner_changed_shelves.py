"""What a change to a shelf may do to the proven least score, in zones without clock changes."""

import csv
import re
from datetime import datetime, timedelta
from functools import cache
from pathlib import Path
from random import Random
from tempfile import TemporaryDirectory
from typing import Any

import pytest
import reelplanner
import reelsmall
from reeljudge_files import read_shelf
from reeljudge_hours import next_night, read_time

CASES = [
    ("songs", 1),
    ("found", 5),
    ("chamber", 2),
    ("helper", 0),
    ("lapsing", 0),
    ("night", 1),
    ("plain", 8),
]
SLACK = 2e-4
"""Proven means within 0.0002."""


@cache
def _before(family: str, seed: int) -> dict[str, Any]:
    """The proven plan of that shelf as it is."""
    with TemporaryDirectory() as folder:
        return _plan(Path(folder), reelsmall.small_shelf(Path(folder), family, seed))


def _plan(folder: Path, small: reelsmall.SmallShelf, start: str | None = None) -> dict[str, Any]:
    """The proven plan; most are proven by half of what the hardest needs."""
    for effort in (1, 2):
        plan = reelplanner.planned(folder, start or small.start, small.days, effort=effort)
        if plan["status"] == "optimal":
            return plan
    raise AssertionError("no plan is proven")


def _rewrite(folder: Path, name: str, change: Any) -> None:
    path = folder / name
    with path.open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    columns = list(rows[0])
    rows = change(rows)
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.DictWriter(file, columns)
        writer.writeheader()
        writer.writerows(rows)


@pytest.mark.parametrize(("family", "seed"), CASES)
def test_one_more_evening_never_worsens_it(family: str, seed: int, tmp_path: Path) -> None:
    small = reelsmall.small_shelf(tmp_path, family, seed)
    before = _before(family, seed)
    day = datetime.fromisoformat(small.start) + timedelta(days=1)
    names = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
    row = f'\n[[hours]]\ndays = ["{names[day.weekday()]}"]\nfrom = "19:00"\nto = "22:00"\n'
    row += "bench = true\nhome = true\n"
    path = tmp_path / "studio.toml"
    path.write_text(path.read_text(encoding="utf-8") + row, encoding="utf-8")
    after = _plan(tmp_path, small)
    assert after["score"] <= before["score"] + SLACK


@pytest.mark.parametrize(("family", "seed"), CASES)
def test_raising_a_songs_priority_never_delays_that_song(family: str, seed: int, tmp_path: Path) -> None:
    small = reelsmall.small_shelf(tmp_path, family, seed)
    before = _before(family, seed)

    def raise_first(rows: list[dict[str, str]]) -> list[dict[str, str]]:
        song = next((row for row in rows if row["album"]), rows[0])
        song["priority"] = "9"
        return rows

    with (tmp_path / "songs.csv").open(encoding="utf-8", newline="") as file:
        song = next((row["song"] for row in csv.DictReader(file) if row["album"]), None)
    _rewrite(tmp_path, "songs.csv", raise_first)
    after = _plan(tmp_path, small)
    ready = [{row["song"]: row["ready"] for row in plan["songs"]}.get(song) for plan in (before, after)]
    if ready[0] is not None:
        assert ready[1] is not None
        # Sooner is an evening sooner: both ends count up to the next 04:00.
        zone = read_shelf(tmp_path).zone
        nights = [next_night(read_time(moment, zone), zone) for moment in ready]
        assert nights[1] <= nights[0]


@pytest.mark.parametrize(("family", "seed"), CASES)
def test_names_and_the_order_of_rows_change_nothing(family: str, seed: int, tmp_path: Path) -> None:
    small = reelsmall.small_shelf(tmp_path, family, seed)
    before = _before(family, seed)

    def shuffled(rows: list[dict[str, str]]) -> list[dict[str, str]]:
        Random(7).shuffle(rows)
        for row in rows:
            row["reel"] = row["reel"] if row["reel"] == "CAL" else f"Z {9 - int(row['reel'][1:])} (ø)"
        return rows

    def renamed(rows: list[dict[str, str]]) -> list[dict[str, str]]:
        for row in rows:
            row["needs"] = re.sub(r"\bR(\d)", lambda found: f"Z {9 - int(found[1])} (ø)", row["needs"])
        return rows[::-1]

    _rewrite(tmp_path, "reels.csv", shuffled)
    _rewrite(tmp_path, "songs.csv", renamed)
    after = _plan(tmp_path, small)
    assert after["score"] == pytest.approx(before["score"], abs=SLACK)


@pytest.mark.parametrize(("family", "seed"), CASES)
def test_a_week_later_everything_is_a_week_later(family: str, seed: int, tmp_path: Path) -> None:
    small = reelsmall.small_shelf(tmp_path, family, seed)
    before = _before(family, seed)

    def later(text: str) -> str:
        return re.sub(
            r"2026-09-\d\d",
            lambda found: (datetime.fromisoformat(found[0]) + timedelta(days=7)).date().isoformat(),
            text,
        )

    for name in ("studio.toml", "reels.csv"):
        path = tmp_path / name
        path.write_text(later(path.read_text(encoding="utf-8")), encoding="utf-8")
    after = _plan(tmp_path, small, later(small.start))
    assert after["score"] == pytest.approx(before["score"], abs=SLACK)
