"""Clock changes, evenings over midnight and both sides of the date line, against the search of all plans."""

from copy import deepcopy
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
import reelevening
import reelfolder
import reeljudge
import reelplanner
import reelsearch
from reeljudge_files import read_shelf
from reeljudge_hours import local_time

DAYS = ["mon", "tue", "wed", "thu", "fri", "sat", "sun"]
NIGHT = [{"days": DAYS, "from": "22:00", "to": "04:00", "bench": True, "home": True, "loud_until": "03:00"}]
EVENING = [{"days": DAYS, "from": "18:30", "to": "22:30", "bench": True, "home": True}]

CASES: dict[str, tuple[str, str, list[dict[str, Any]]]] = {
    # Europe: 29 March 2026 01:00 UTC and 25 October 2026 01:00 UTC (Directive 2000/84/EC).
    "the night in spring that lacks an hour": ("Europe/Lisbon", "2026-03-28T20:00", NIGHT),
    "the night in autumn that has an hour twice": ("Europe/Lisbon", "2026-10-24T20:00", NIGHT),
    "east of it": ("Europe/Helsinki", "2026-10-24T20:00", NIGHT),
    # Lord Howe Island moves its clocks by half an hour (IANA time zone database).
    "a change of half an hour in autumn": ("Australia/Lord_Howe", "2026-04-04T20:00", NIGHT),
    "a change of half an hour in spring": ("Australia/Lord_Howe", "2026-10-03T20:00", NIGHT),
    "a change at midnight": ("America/Havana", "2026-03-07T20:00", NIGHT),
    "west of the date line": ("Pacific/Pago_Pago", "2026-09-07T18:00", EVENING),
    "east of the date line": ("Pacific/Kiritimati", "2026-09-07T18:00", EVENING),
    "a zone of quarter hours": ("Pacific/Chatham", "2026-09-26T18:00", NIGHT),
}


def _shelf(folder: Path, zone: str, hours: list[dict[str, Any]]) -> None:
    studio = deepcopy(reelevening.STUDIO)
    studio["studio"]["timezone"] = zone
    studio["hours"] = hours
    studio["treatment"] = [
        {"width": "1/4 in", "temperature": "54 degC", "hours": "2 h", "cool": "2 h", "playable_days": 2}
    ]
    studio["minutes"] = {"grid": 15}
    studio["deck"][0]["loud"] = True
    reels = [row for row in deepcopy(reelevening.REELS)]
    reels[1]["splices"] = ""
    reelfolder.write(folder, studio, reels, deepcopy(reelevening.SONGS))


@pytest.mark.parametrize(("zone", "start", "hours"), CASES.values(), ids=CASES.keys())
def test_the_least_score_over(zone: str, start: str, hours: list[dict[str, Any]], tmp_path: Path) -> None:
    _shelf(tmp_path, zone, hours)
    until = (datetime.fromisoformat(start) + timedelta(days=2)).isoformat()
    least, _ = reelsearch.least(read_shelf(tmp_path), start, until)
    plan = reelplanner.plan(tmp_path, start, 2, effort=2)
    assert reeljudge.judge(tmp_path, plan) == []
    assert plan["score"] == pytest.approx(float(least), abs=1e-4)


def test_hours_are_elapsed_hours_across_the_change(tmp_path: Path) -> None:
    # Home from Saturday 22:00 to 04:00 lacks an hour in spring: four of heat and the last touch just fit.
    _shelf(tmp_path, "Europe/Lisbon", NIGHT)
    text = (tmp_path / "studio.toml").read_text().replace('hours = "2 h"', 'hours = "4 h"')
    (tmp_path / "studio.toml").write_text(text)
    plan = reelplanner.plan(tmp_path, "2026-03-28T20:00", 1, effort=2)
    assert reeljudge.judge(tmp_path, plan) == []
    loads = [item for item in plan["items"] if item["kind"] == "condition"]
    for load in loads:
        start, end = (datetime.fromisoformat(load[key]) for key in ("start", "end"))
        assert end - start == timedelta(hours=4)
        assert local_time(int(end.timestamp()), read_shelf(tmp_path).zone).hour < 4


def test_until_is_at_the_same_clock_time_though_a_day_has_23_hours(tmp_path: Path) -> None:
    _shelf(tmp_path, "Europe/Lisbon", EVENING)
    plan = reelplanner.plan(tmp_path, "2026-03-28T12:00", 1, seconds=0)
    assert plan["until"].startswith("2026-03-29T12:00")
    first, last = (datetime.fromisoformat(plan[key]) for key in ("from", "until"))
    assert last - first == timedelta(hours=23)
