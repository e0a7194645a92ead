"""The judge on a hand-made week: it passes the week, and names the rule that each single change breaks."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
import reeljudge
from reelevening import NAB, QUARTER, Week, align, at, load, work


def _move(item: dict[str, Any], start: str, end: str, day: int = 7) -> None:
    item |= {"start": at(day, start), "end": at(day, end)}


def _judged(week: Week, folder: Path) -> list[str]:
    return reeljudge.judge(week.write(folder), week.plan)


def test_the_week_as_it_stands_breaks_no_rule(tmp_path: Path) -> None:
    week = Week()
    assert _judged(week, tmp_path) == []


def test_the_score_of_the_week_by_hand(tmp_path: Path) -> None:
    # A is verified on Monday evening, which counts up to Tuesday 04:00, 10 h after `from`; B on Saturday,
    # which counts up to Sunday 04:00, 130 h after it; 55 minutes of line-ups; the load runs in bench time:
    # 5 x 10 + 2 x 130 + 0.01 x (10 + 130) + 0.5 x 55 / 60 = 311.8583.
    week = Week()
    week.write(tmp_path)
    assert week.plan["score"] == 311.8583


def test_the_score_of_the_week_to_the_minute_and_without_comfort(tmp_path: Path) -> None:
    # A is verified 1.25 h after `from`, B on Saturday 18:10, 120 h 10 min after it:
    # 5 x 1.25 + 2 x 120.1667 + 0.01 x (1.25 + 120.1667) = 247.7975.
    week = Week()
    week.studio["comfort"] = {"count": "hours", "slack": "0 %", "line_up_hour": 0, "tied_hour": 0}
    week.write(tmp_path)
    assert week.plan["score"] == 247.7975


ALLOWED: dict[str, Callable[[Week], object]] = {
    "a load may run while the bench works": lambda w: _move(w.item("verify", "A"), "09:10", "09:20", 12),
    "a full line-up to the set-up on which the deck stands": lambda w: w.item("align").update(
        {"full": True, "start": at(12, "13:10"), "end": at(12, "13:50")}
    ),
    "a line-up with no transfer after it": lambda w: w.items.append(align(7, "19:15", "19:30", full=False)),
    "a touch-up at once where the deck stands on the set-up": lambda w: (
        w.studio["deck"][0].update(
            lined_up=NAB | {"eq": " nab", "level": "250.0 nWb/m", "noise_reduction": "none"}
        ),
        w.items[0].update(full=False, end=at(7, "18:15")),
        _move(w.item("transfer", "A"), "18:40", "19:05"),
    ),
    "the helper all through a full line-up": lambda w: (
        w.studio["deck"][0].update(setup_needs_helper=True),
        w.studio["hours"].append({"days": ["mon"], "from": "18:00", "to": "18:40", "helper": True}),
    ),
    "a loud deck in loud time": lambda w: (
        w.studio["deck"][0].update(loud=True),
        w.studio["hours"][0].update(loud_until="19:05"),
    ),
    "a transfer that ends with the reel's playable time": lambda w: (
        w.studio["treatment"][0].update(playable_days=5 / 24)
        or w.items[3]["reels"][0].update(playable_until=at(12, "18:00"))
    ),
    "a barred reel may still be identified": lambda w: (
        w.reels.append(QUARTER | {"reel": "V", "condition": "vinegar", "stage": "found"}),
        w.items.append(work("identify", "V", 7, "19:15", "19:25")),
    ),
    "a sticky acetate reel that is still playable": lambda w: (
        w.reel("A").update(condition="sticky", base="acetate", playable_until="2026-09-07T19:10")
        or _move(w.item("transfer", "A"), "18:40", "19:10")
        or _move(w.item("verify", "A"), "19:10", "19:20")
    ),
    "no calibration reel where the deck needs none": lambda w: (
        w.studio["deck"][0].update(calibration_needed=False),
        [one.update(calibration=None) for one in w.items if one["kind"] == "align"],
    ),
}


@pytest.mark.parametrize("change", ALLOWED.values(), ids=ALLOWED.keys())
def test_allowed(change: Callable[[Week], object], tmp_path: Path) -> None:
    week = Week()
    change(week)
    assert _judged(week, tmp_path) == []


BROKEN: dict[str, tuple[str, Callable[[Week], object]]] = {
    # 0: horizon and grid
    "an item before from": ("0", lambda w: _move(w.item("align"), "17:15", "17:30", 5)),
    "an item off the grid": ("0", lambda w: _move(w.item("verify", "A"), "19:07", "19:17")),
    # 1: one person
    "two items at once": ("1", lambda w: _move(w.item("verify", "A"), "19:00", "19:10")),
    "a turn in the middle of an item": ("1", lambda w: _move(w.item("verify", "A"), "10:55", "11:05", 12)),
    "an item outside bench time": ("1", lambda w: _move(w.item("verify", "A"), "08:00", "08:10", 8)),
    "an item over the end of the evening": ("1", lambda w: _move(w.item("verify", "A"), "21:55", "22:05")),
    # 2: the chamber
    "nobody home for the turn": ("2", lambda w: w.studio["hours"][1].update(home=False)),
    "nobody home to the end of the last touch": (
        "2",
        lambda w: (
            w.studio["hours"][1].update(home=False),
            w.studio["hours"].append({"days": ["sat"], "from": "09:00", "to": "13:05", "home": True}),
        ),
    ),
    "a turn left out": ("2", lambda w: w.items[3]["touches"].pop(1)),
    "a take out called a turn": ("2", lambda w: w.items[3]["touches"][2].update(do="turn")),
    "too many trays": ("2", lambda w: w.studio["chamber"][0].update(trays=0)),
    "no trays for the width": ("2", lambda w: w.studio["chamber"][0].update(trays_taken={"1 in": 1})),
    "out too soon": ("2", lambda w: w.items[3]["reels"][0].update(out=at(12, "12:00"))),
    "wrong end of cooling": ("2", lambda w: w.items[3]["reels"][0].update(cool_until=at(12, "16:00"))),
    "wrong playable time": ("2", lambda w: w.items[3]["reels"][0].update(playable_until=at(27, "13:00"))),
    "wrong temperature": ("2", lambda w: w.items[3].update(temperature="60 degC")),
    "two loads at once in one chamber": (
        "2",
        lambda w: (
            w.reels.append(QUARTER | {"reel": "C", "condition": "sticky"}),
            w.items.append(load(12, "10:00", "14:00", "18:00", "C")),
        ),
    ),
    # 3: never into heat
    "acetate into heat": ("3", lambda w: w.reel("B").update(base="acetate")),
    "an unknown base into heat": ("3", lambda w: w.reel("B").update(base="")),
    "mould into heat": ("3", lambda w: w.reel("B").update(condition="sticky;mould")),
    "a reel with vinegar transferred": ("3", lambda w: w.reel("A").update(condition="vinegar")),
    "squeal without a cause": ("3", lambda w: w.reel("A").update(condition="squeal")),
    "mould identified": (
        "3",
        lambda w: (
            w.reels.append(QUARTER | {"reel": "M", "condition": "mould", "stage": "found"}),
            w.items.append(work("identify", "M", 7, "19:15", "19:25")),
        ),
    ),
    "a mouldy calibration reel": ("3", lambda w: w.reel("CAL").update(condition="mould")),
    # 4: conditioning
    "a sticky reel played without heat": ("4", lambda w: w.reel("A").update(stock="Ampex 456")),
    "heat for a reel that needs none": ("4", lambda w: w.reel("B").update(condition="edge")),
    "heat for a reel that is playable for good": ("4", lambda w: w.reel("B").update(stage="conditioned")),
    "played before it has cooled": ("4", lambda w: w.studio["treatment"][0].update(cool="5 h")),
    "repaired before it has cooled": ("4", lambda w: _move(w.item("repair", "B"), "13:15", "13:30", 12)),
    "played after its playable time": (
        "4",
        lambda w: w.studio["treatment"][0].update(playable_days=4.5 / 24),
    ),
    "played before an earlier treatment has cooled": (
        "4",
        lambda w: w.reel("A").update(conditioned_at="2026-09-07T15:00"),
    ),
    "conditioned twice": ("4", lambda w: w.items.append(load(12, "13:10", "17:10", "21:10", "B"))),
    # 5: repair
    "transferred without repair": ("5", lambda w: w.items.remove(w.item("repair", "B"))),
    "repaired without need": ("5", lambda w: w.items.append(work("repair", "A", 7, "19:15", "19:25"))),
    # 6: line-up
    "no line-up in the window": ("6", lambda w: w.items.pop(5)),
    "another set-up": ("6", lambda w: w.reel("A").update(eq="IEC")),
    "a touch-up of a deck that stands elsewhere": (
        "6",
        lambda w: w.items[0].update(full=False, end=at(7, "18:15")),
    ),
    "a full line-up without the helper": ("6", lambda w: w.studio["deck"][0].update(setup_needs_helper=True)),
    "no calibration reel": ("6", lambda w: w.items[0].update(calibration=None)),
    "an ordinary reel as calibration reel": ("6", lambda w: w.items[0].update(calibration="A")),
    "a calibration reel of another speed": ("6", lambda w: w.reel("CAL").update(speed="7.5 ips")),
    "a calibration reel whose speed nothing tells": ("6", lambda w: w.reel("CAL").update(speed="")),
    "a calibration reel that the deck does not take": ("6", lambda w: w.reel("CAL").update(width="1 in")),
    "a calibration reel not identified": ("6", lambda w: w.reel("CAL").update(stage="found")),
    "a sticky calibration reel": ("6", lambda w: w.reel("CAL").update(condition="sticky")),
    "a calibration reel that lapses meanwhile": (
        "6",
        lambda w: w.reel("CAL").update(condition="sticky", playable_until="2026-09-07T18:35"),
    ),
    "a calibration reel not yet cooled": (
        "6",
        lambda w: w.reel("CAL").update(conditioned_at="2026-09-07T14:30", condition="sticky"),
    ),
    # 7: loud
    "a loud deck after loud time": (
        "7",
        lambda w: (w.studio["deck"][0].update(loud=True), w.studio["hours"][0].update(loud_until="19:00")),
    ),
    # 8: lengths
    "a transfer without its winds": ("8", lambda w: w.reel("A").update(wind="tails")),
    "a transfer that needs two passes": ("8", lambda w: w.studio["capture"].update(inputs=1)),
    "no time to clean": ("8", lambda w: _move(w.item("transfer", "B"), "17:30", "17:55", 12)),
    "a deck with too few tracks": ("3", lambda w: w.reel("A").update(tracks=16)),
    "a deck without the speed": ("3", lambda w: w.reel("A").update(speed="30 ips")),
    "a line-up too short": ("8", lambda w: w.items[0].update(end=at(7, "18:35"))),
    "a verify too short": ("8", lambda w: w.studio.update(minutes={"listen_share": 0.5})),
    # 9: stages
    "found and never identified": ("9", lambda w: w.reel("A").update(stage="found")),
    "identified again": ("9", lambda w: w.items.append(work("identify", "A", 7, "19:15", "19:25"))),
    "transferred again": ("9", lambda w: w.reel("A").update(stage="transferred")),
    "verified again": ("9", lambda w: w.reel("A").update(stage="verified")),
    "verified before its transfer": ("9", lambda w: _move(w.item("verify", "B"), "17:15", "17:25", 12)),
    "two transfers": ("9", lambda w: w.items.append(work("transfer", "A", 7, "19:15", "19:40"))),
    "a calibration reel transferred": (
        "9",
        lambda w: w.items.append(work("verify", "CAL", 7, "19:15", "19:25")),
    ),
    "not heard before its transfer": ("9", lambda w: w.studio.update(minutes={"audition": 5})),
    "nobody inspected it": ("9", lambda w: w.reel("A").update(condition="")),
}


@pytest.mark.parametrize(("rule", "change"), BROKEN.values(), ids=BROKEN.keys())
def test_broken(rule: str, change: Callable[[Week], object], tmp_path: Path) -> None:
    week = Week()
    change(week)
    violations = _judged(week, tmp_path)
    assert any(line.startswith(f"{rule}: ") for line in violations), violations


LISTS: dict[str, tuple[str, Callable[[dict[str, Any]], object]]] = {
    "score": ("10", lambda plan: plan.update(score=plan["score"] + 0.001)),
    "bound above the score": ("10", lambda plan: plan.update(bound=250.0, gap=0.0)),
    "gap": ("10", lambda plan: plan.update(gap=0.5)),
    "optimal without proof": ("10", lambda plan: plan.update(status="optimal")),
    "nothing to do with reels left": ("10", lambda plan: plan.update(status="nothing to do")),
    "ready": ("10", lambda plan: plan["songs"][0].update(ready=at(7, "19:20"))),
    "waits for": ("10", lambda plan: plan["songs"][0].update(waits_for=["A"])),
    "a song left out": ("10", lambda plan: plan["songs"].pop()),
    "left over without cause": ("9", lambda plan: plan["left_over"].append({"reel": "A", "why": "time"})),
    "until": ("0", lambda plan: plan.update(until=at(14, "19:00"))),
    "a missing key": ("0", lambda plan: plan.pop("made_in_seconds")),
    "an unknown kind": ("0", lambda plan: plan["items"].append({"kind": "tea", "start": at(7, "20:00")})),
}


@pytest.mark.parametrize(("rule", "change"), LISTS.values(), ids=LISTS.keys())
def test_lists_and_figures(rule: str, change: Callable[[dict[str, Any]], object], tmp_path: Path) -> None:
    week = Week()
    week.write(tmp_path)
    change(week.plan)
    violations = reeljudge.judge(tmp_path, week.plan)
    assert any(line.startswith(f"{rule}: ") for line in violations), violations


def test_a_reel_with_work_left_must_be_left_over_with_a_reason(tmp_path: Path) -> None:
    week = Week()
    week.items = week.items[:3]
    week.write(tmp_path)
    assert reeljudge.judge(tmp_path, week.plan) == []
    week.plan["left_over"][0]["why"] = " "
    assert any(line.startswith("9: B") for line in reeljudge.judge(tmp_path, week.plan))
    week.plan["left_over"] = []
    assert any(line.startswith("9: B") for line in reeljudge.judge(tmp_path, week.plan))


def test_a_load_under_way_is_in_the_plan_and_its_touches_bind(tmp_path: Path) -> None:
    # Loaded at 15:00 for four hours: turn at 17:00 is past, take-out at 19:00 cuts into the transfer of A.
    week = Week()
    week.reel("B").update(chamber="C1", loaded_at="2026-09-07T15:00")
    under_way = load(7, "15:00", "19:00", "23:00", "B")
    under_way["touches"] = under_way["touches"][2:]
    week.items[3] = under_way
    violations = _judged(week, tmp_path)
    assert violations and all(line.startswith("1: ") and "take out" in line for line in violations)
    _move(week.item("transfer", "A"), "19:10", "19:35")
    _move(week.item("verify", "A"), "19:35", "19:45")
    assert _judged(week, tmp_path) == []
    week.items.pop(3)
    assert any("under way" in line for line in _judged(week, tmp_path))


def test_a_narrower_reel_comes_out_of_the_load_before_the_wider(tmp_path: Path) -> None:
    # 1/4 in: four hours, 1/2 in: eight; turns at 2 h and 6 h, take-outs at 4 h and 8 h.
    week = Week()
    week.reels.append(QUARTER | {"reel": "H", "width": "1/2 in", "condition": "sticky"})
    shared = load(12, "09:00", "13:00", "17:00", "B")
    shared["reels"].append(
        {
            "reel": "H",
            "out": at(12, "17:00"),
            "cool_until": at(13, "01:00"),
            "playable_until": at(26, "17:00"),
        }
    )
    shared["end"] = at(12, "17:00")
    shared["touches"] += [
        {"do": "turn", "start": at(12, "15:00"), "end": at(12, "15:10")},
        {"do": "take out", "start": at(12, "17:00"), "end": at(12, "17:10")},
    ]
    week.items[3] = shared
    for kind, start, end in (
        ("repair", "17:10", "17:25"),
        ("transfer", "17:40", "18:10"),
        ("verify", "18:10", "18:20"),
    ):
        _move(week.item(kind, "B"), start, end, 12)
    _move(week.item("align"), "17:25", "17:40", 12)
    assert _judged(week, tmp_path) == []
    shared["touches"][3]["do"] = "take out"
    assert any(line.startswith("2: ") for line in _judged(week, tmp_path))


def test_a_reel_barred_by_the_programs_own_table_counts_as_left_over(tmp_path: Path) -> None:
    week = Week()
    week.items = week.items[:3]
    week.write(tmp_path)
    # S1 and A count 10 h; S2 and B, which nothing may be done to, 1.5 x 168 h; 40 minutes of lining up:
    # 5 x 10 + 2 x 252 + 0.01 x (10 + 252) + 0.5 x 40 / 60 = 556.9533.
    week.plan["left_over"][0]["barred_by"] = "own table"
    assert week.plan["score"] == 556.9533
    assert reeljudge.judge(tmp_path, week.plan) == []
    week.items.append(load(12, "09:00", "13:00", "17:00", "B"))
    week.write(tmp_path)
    week.plan["left_over"][0]["barred_by"] = "own table"
    assert any(line.startswith("3: B") for line in reeljudge.judge(tmp_path, week.plan))


def test_a_reel_barred_by_rule_3_is_out_of_the_score(tmp_path: Path) -> None:
    week = Week()
    week.reel("B").update(base="acetate")
    week.items = week.items[:3]
    week.write(tmp_path)
    # 5 x 10 + 0.01 x 10 + 0.5 x 40 / 60: S2 needs B, and B is barred; nothing else counts.
    assert week.plan["score"] == 50.4333
    assert reeljudge.judge(tmp_path, week.plan) == []


def test_a_song_that_needs_no_reel_is_never_ready_and_costs_nothing(tmp_path: Path) -> None:
    week = Week()
    week.songs.append({"song": "S3", "title": "Third", "album": "Low Tide", "priority": 9, "needs": ""})
    assert _judged(week, tmp_path) == []
    assert week.plan["score"] == 311.8583
    assert week.plan["songs"][2] == {"song": "S3", "ready": None, "waits_for": []}
    week.plan["songs"][2]["ready"] = week.plan["from"]
    assert any(line.startswith("10: song S3") for line in reeljudge.judge(tmp_path, week.plan))


def test_the_judge_as_a_command(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    import json

    week = Week()
    week.write(tmp_path)
    path = tmp_path / "plan.json"
    path.write_text(json.dumps(week.plan))
    assert reeljudge.main([str(tmp_path), str(path)]) == 0
    week.plan["score"] = 1.0
    path.write_text(json.dumps(week.plan))
    assert reeljudge.main([str(tmp_path), str(path)]) == 1
    assert "score" in capsys.readouterr().out
