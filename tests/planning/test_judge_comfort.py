"""The judge on comfort: what counts by evenings, what stays free, what lining up and a warm chamber cost."""

from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
import reeljudge
from reelevening import NAB, QUARTER, Week, align, at, load, work


def _score(week: Week, folder: Path, **comfort: Any) -> float:
    week.studio["comfort"] = {"line_up_hour": 0, "tied_hour": 0} | comfort
    week.write(folder)
    assert reeljudge.judge(folder, week.plan) == []
    return float(week.plan["score"])


def test_ten_minutes_sooner_on_the_same_evening_are_worth_nothing(tmp_path: Path) -> None:
    week = Week()
    first = _score(week, tmp_path)
    week.item("verify", "A").update(start=at(7, "19:30"), end=at(7, "19:40"))
    assert _score(week, tmp_path) == first
    assert _score(week, tmp_path, count="hours") > _score(Week(), tmp_path, count="hours")


def test_an_evening_counts_up_to_the_next_four_in_the_morning(tmp_path: Path) -> None:
    # Monday 18:00 to Tuesday 04:00 are 10 h, also for what is verified at 00:30.
    for end, to in (("19:15", "22:00"), ("00:30", "01:30")):
        week = Week()
        week.reels, week.songs = [week.reel("A"), week.reel("CAL")], week.songs[:1]
        week.studio["hours"][0].update(days=["mon"], to=to)
        week.items = week.items[:3]
        start = "19:05" if end == "19:15" else "00:20"
        day = 7 if end == "19:15" else 8
        week.items[2].update(start=at(day, start), end=at(day, end))
        assert _score(week, tmp_path) == pytest.approx(5 * 10 + 0.01 * 10)


def test_work_just_before_and_just_after_four_lies_on_two_evenings(tmp_path: Path) -> None:
    # Ends at 04:00 itself count up to it: 10 h. Five minutes later it is the next 04:00: 34 h.
    for end, due in (("04:00", 10), ("04:05", 34)):
        week = Week()
        week.reels, week.songs = [week.reel("A"), week.reel("CAL")], week.songs[:1]
        week.studio["hours"] = [
            {"days": ["mon"], "from": "18:00", "to": "08:00", "bench": True, "home": True}
        ]
        week.items = week.items[:3]
        week.items[2].update(start=at(8, "03:50" if due == 10 else "03:55"), end=at(8, end))
        assert _score(week, tmp_path) == pytest.approx(5 * due + 0.01 * due)


def test_an_hour_of_lining_up_has_its_price(tmp_path: Path) -> None:
    # 40 + 15 minutes.
    week = Week()
    free = _score(week, tmp_path)
    assert _score(week, tmp_path, line_up_hour=0.5) == pytest.approx(free + 0.5 * 55 / 60, abs=1e-4)


def test_a_warm_chamber_outside_bench_time_has_its_price(tmp_path: Path) -> None:
    # Bench on Saturday from 11:30 on, home from 09:00: the load of 09:00 to 13:00 ties for 2.5 h.
    week = Week()
    week.studio["hours"][1].update({"from": "11:30"})
    week.studio["hours"].append({"days": ["sat"], "from": "09:00", "to": "21:00", "home": True})
    free = _score(week, tmp_path)
    assert _score(week, tmp_path, tied_hour=0.1) == pytest.approx(free + 0.25, abs=1e-4)


def test_two_chambers_that_are_warm_at_once_tie_once(tmp_path: Path) -> None:
    # Loads of 09:00 to 13:00 and 10:00 to 14:00 before a bench that opens at 14:30: five hours together.
    week = Week()
    week.studio["chamber"].append(week.studio["chamber"][0] | {"id": "C2"})
    week.studio["hours"][1].update({"from": "14:30"})
    week.studio["hours"].append({"days": ["sat"], "from": "09:00", "to": "21:00", "home": True})
    week.reels.append(QUARTER | {"reel": "C", "condition": "sticky"})
    week.items.insert(4, load(12, "10:30", "14:30", "18:30", "C") | {"chamber": "C2"})
    free = _score(week, tmp_path)
    assert _score(week, tmp_path, tied_hour=0.1) == pytest.approx(free + 0.55, abs=1e-4)


def test_a_load_that_runs_already_ties_from_the_start_of_the_plan(tmp_path: Path) -> None:
    # Loaded at 15:00, out at 19:00; the bench opens at 18:30, the plan begins at 18:00: half an hour.
    week = Week()
    week.studio["hours"][0].update({"from": "18:30"})
    week.studio["hours"].append({"days": ["mon"], "from": "14:00", "to": "22:00", "home": True})
    week.reel("B").update(chamber="C1", loaded_at="2026-09-07T15:00")
    under_way = load(7, "15:00", "19:00", "23:00", "B")
    under_way["touches"] = under_way["touches"][2:]
    week.items = [under_way, *week.items[4:]]
    week.items[2] = align(12, "17:00", "17:40")
    week.items[1].update(start=at(12, "16:45"), end=at(12, "17:00"))
    week.items[3].update(start=at(12, "17:40"), end=at(12, "18:10"))
    week.items[4].update(start=at(12, "18:10"), end=at(12, "18:20"))
    free = _score(week, tmp_path)
    assert _score(week, tmp_path, tied_hour=0.1) == pytest.approx(free + 0.05, abs=1e-4)


@pytest.mark.parametrize(
    ("share", "right", "wrong"),
    [
        # Monday 18:00 to 22:00: the last part of four hours, rounded up to the grid of five minutes.
        ("10 %", ("21:25", "21:35"), ("21:30", "21:40")),
        ("0 %", ("21:50", "22:00"), ("21:55", "22:05")),
        ("20%", ("21:00", "21:10"), ("21:05", "21:15")),
    ],
)
def test_work_ends_before_the_slack_of_its_window(
    share: str, right: tuple[str, str], wrong: tuple[str, str], tmp_path: Path
) -> None:
    week = Week()
    week.studio["comfort"] = {"slack": share}
    week.item("verify", "A").update(start=at(7, right[0]), end=at(7, right[1]))
    week.write(tmp_path)
    assert reeljudge.judge(tmp_path, week.plan) == []
    week.item("verify", "A").update(start=at(7, wrong[0]), end=at(7, wrong[1]))
    week.write(tmp_path)
    assert any(line.startswith("1: verify A") for line in reeljudge.judge(tmp_path, week.plan))


def test_the_window_is_the_whole_run_also_where_the_plan_begins_in_it(tmp_path: Path) -> None:
    # 14:00 to 22:00 by two rows, though the plan begins at 18:00: 48 minutes, on the grid 50.
    week = Week()
    week.studio["hours"].append({"days": ["mon"], "from": "14:00", "to": "18:00", "bench": True})
    week.item("verify", "A").update(start=at(7, "21:00"), end=at(7, "21:10"))
    week.write(tmp_path)
    assert reeljudge.judge(tmp_path, week.plan) == []
    week.item("verify", "A").update(start=at(7, "21:05"), end=at(7, "21:15"))
    week.write(tmp_path)
    assert any("slack" in line for line in reeljudge.judge(tmp_path, week.plan))


def test_a_share_that_was_asked_for_stands_in_place_of_the_studios(tmp_path: Path) -> None:
    week = Week()
    week.item("verify", "A").update(start=at(7, "21:45"), end=at(7, "21:55"))
    week.write(tmp_path)
    assert any("slack" in line for line in reeljudge.judge(tmp_path, week.plan))
    assert reeljudge.judge(tmp_path, week.plan, Fraction(0)) == []


def test_touches_may_lie_in_the_slack(tmp_path: Path) -> None:
    # Taken out on Monday at 21:40, in the last 25 minutes of a bench that closes at 22:00.
    week = Week()
    week.studio["treatment"][0].update(hours="3 h", cool="3 h")
    loaded = load(7, "18:40", "21:40", "00:40", "B")
    loaded["reels"][0]["cool_until"] = at(8, "00:40")
    loaded["reels"][0]["playable_until"] = at(21, "21:40")
    week.items[3] = loaded
    week.item("transfer", "A").update(start=at(7, "18:50"), end=at(7, "19:15"))
    week.item("verify", "A").update(start=at(7, "19:15"), end=at(7, "19:25"))
    week.write(tmp_path)
    assert reeljudge.judge(tmp_path, week.plan) == []


def test_bench_time_without_an_end_has_no_slack(tmp_path: Path) -> None:
    week = Week()
    every = ["mon", "tue", "wed", "thu", "fri", "sat", "sun"]
    week.studio["hours"] = [{"days": every, "from": "00:00", "to": "24:00", "bench": True, "home": True}]
    week.items.append(work("identify", "N", 14, "17:50", "18:00"))
    week.reels.append(QUARTER | {"reel": "N", "stage": "found"} | NAB)
    week.write(tmp_path)
    assert reeljudge.judge(tmp_path, week.plan) == []
