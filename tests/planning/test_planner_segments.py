"""Parts of one tape with set-ups of their own: one warming and one playable time, a transfer for each."""

import json
from collections.abc import Callable
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
import reelfolder
import reeljudge
import reelplanner
from reelevening import Week

FROM, DAYS = "2026-09-07T18:00", 14
PARTS: list[dict[str, Any]] = [
    {"reel": "B", "from": "0:00", "to": "6:30", "title": "first night"},
    {"reel": "B", "from": "7:00", "to": "0:12:00", "eq": "IEC", "title": "second night"},
]


def two_nights(folder: Path) -> Path:
    """The hand-made week; its sticky reel B was made in two nights, the second lined up to IEC."""
    week = Week()
    week.write(folder)
    reelfolder.write_table(folder / "segments.csv", reelfolder.SEGMENT_COLUMNS, PARTS)
    return folder


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return two_nights(tmp_path)


@pytest.fixture(scope="module")
def planned(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, str]:
    """The folder of that week, and its plan as JSON, which tests damage."""
    folder = two_nights(tmp_path_factory.mktemp("two nights"))
    return folder, json.dumps(reelplanner.plan(folder, FROM, DAYS, effort=0.3))


def _of(plan: dict[str, Any], kind: str, reel: str) -> list[dict[str, Any]]:
    return [one for one in plan["items"] if one["kind"] == kind and one.get("reel") == reel]


def _moment(text: str) -> datetime:
    return datetime.fromisoformat(text)


def test_one_warming_serves_every_part(planned: tuple[Path, str]) -> None:
    folder, plan = planned[0], json.loads(planned[1])
    assert reeljudge.judge(folder, plan) == []
    loads = [row for one in plan["items"] for row in one.get("reels", ()) if row["reel"] == "B"]
    transfers = _of(plan, "transfer", "B")
    assert len(loads) == 1
    assert sorted(one["segment"] for one in transfers) == ["first night", "second night"]
    for one in transfers:
        assert _moment(loads[0]["cool_until"]) <= _moment(one["start"])
        assert _moment(one["end"]) <= _moment(loads[0]["playable_until"])
    # thread 5 + play 6:30 or 5:00 + clean 5, on a grid of five minutes
    minutes = {one["segment"]: _moment(one["end"]) - _moment(one["start"]) for one in transfers}
    assert minutes == {"first night": timedelta(minutes=20), "second night": timedelta(minutes=15)}
    (verify,) = _of(plan, "verify", "B")
    assert all(_moment(one["end"]) <= _moment(verify["start"]) for one in transfers)


def _drop_a_part(plan: dict[str, Any]) -> None:
    plan["items"].remove(_of(plan, "transfer", "B")[0])


def _line_up_once_for_both(plan: dict[str, Any]) -> None:
    """The second part is played on the set-up of the first."""
    second = max(_of(plan, "transfer", "B"), key=lambda one: _moment(one["start"]))
    aligns = [one for one in plan["items"] if one["kind"] == "align"]
    plan["items"].remove([one for one in aligns if _moment(one["end"]) <= _moment(second["start"])][-1])


def _play_a_part_before_it_is_cool(plan: dict[str, Any]) -> None:
    for row in (row for one in plan["items"] for row in one.get("reels", ()) if row["reel"] == "B"):
        row["cool_until"] = row["out"]
    first, _ = sorted(_of(plan, "transfer", "B"), key=lambda one: _moment(one["start"]))
    load = next(one for one in plan["items"] if one["kind"] == "condition")
    length = _moment(first["end"]) - _moment(first["start"])
    first["start"] = load["end"]
    first["end"] = (_moment(load["end"]) + length).isoformat()


def _let_it_lapse(plan: dict[str, Any]) -> None:
    """The load says that its reel may be played no longer than to the last part."""
    last = max(_of(plan, "transfer", "B"), key=lambda one: _moment(one["start"]))
    for row in (row for one in plan["items"] for row in one.get("reels", ()) if row["reel"] == "B"):
        row["playable_until"] = last["start"]


@pytest.mark.parametrize(
    "damage", [_drop_a_part, _line_up_once_for_both, _play_a_part_before_it_is_cool, _let_it_lapse]
)
def test_checker_and_judge_both_see_a_part_gone_wrong(
    damage: Callable[[dict[str, Any]], None], planned: tuple[Path, str]
) -> None:
    from core.plan import plan_from_json
    from core.planning.rules.checker import violations
    from core.workbook.workbook import Workbook

    folder, plan = planned[0], json.loads(planned[1])
    noon = _moment("2026-09-07T12:00+03:00")
    shelf = Workbook.open(folder / "shelf.json", now=lambda: noon).shelf
    assert violations(shelf, plan_from_json(plan, shelf.studio.zone)) == ()
    damage(plan)
    told = json.loads(json.dumps(plan))
    assert reeljudge.judge(folder, told) != []
    assert violations(shelf, plan_from_json(told, shelf.studio.zone)) != ()


def test_parts_that_lapse_are_both_played_in_time_or_neither(folder: Path) -> None:
    rows = [row for row in _reels(folder) if row["reel"] != "B"]
    lapsing = next(row for row in _reels(folder) if row["reel"] == "B")
    lapsing |= {"base": "acetate", "splices": "", "condition": "sticky", "playable_until": "2026-09-07T20:00"}
    reelfolder.write_table(folder / "reels.csv", reelfolder.REEL_COLUMNS, [*rows, lapsing])
    plan = reelplanner.plan(folder, FROM, DAYS, effort=0.3)
    assert reeljudge.judge(folder, plan) == []
    # two full line-ups of 40 and transfers of 20 and 15, whichever comes first, end at 19:55
    ends = sorted(one["end"][11:16] for one in _of(plan, "transfer", "B"))
    assert len(ends) == 2
    assert ends[-1] == "19:55"
    lapsing["playable_until"] = "2026-09-07T19:50"
    reelfolder.write_table(folder / "reels.csv", reelfolder.REEL_COLUMNS, [*rows, lapsing])
    plan = reelplanner.plan(folder, FROM, DAYS, effort=0.3)
    assert reeljudge.judge(folder, plan) == []
    assert _of(plan, "transfer", "B") == []
    assert [row["reel"] for row in plan["left_over"]] == ["B"]


def _reels(folder: Path) -> list[dict[str, Any]]:
    import csv

    with (folder / "reels.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))
