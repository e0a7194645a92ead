"""The judge on half-known reels: a look in an earlier bench window, and what a plan says that it assumes."""

from pathlib import Path

import reeljudge
from reelevening import QUARTER, Week, align, at, load, work


def _judged(week: Week, folder: Path) -> list[str]:
    return reeljudge.judge(week.write(folder), week.plan)


def _looked_at(**columns: str) -> Week:
    """A is not inspected: looked at on Monday, played on Tuesday."""
    week = Week()
    week.reel("A").update({"condition": "", **columns})
    week.items[:3] = [
        work("identify", "A", 7, "18:00", "18:10"),
        align(8, "18:00", "18:40"),
        work("transfer", "A", 8, "18:40", "19:05"),
        work("verify", "A", 8, "19:05", "19:15"),
    ]
    return week


def test_an_uninspected_reel_is_looked_at_in_an_earlier_bench_window(tmp_path: Path) -> None:
    week = _looked_at()
    assert _judged(week, tmp_path) == []
    assert week.item("transfer", "A")["assumes"] == ["condition ok"]
    week.items[0].update(start=at(8, "18:00"), end=at(8, "18:10"))
    for item, start, end in zip(
        week.items[1:4], ("18:10", "18:50", "19:15"), ("18:50", "19:15", "19:25"), strict=True
    ):
        item.update(start=at(8, start), end=at(8, end))
    assert any("first looked at" in line for line in _judged(week, tmp_path))


def test_a_look_before_midnight_is_over_only_with_its_window(tmp_path: Path) -> None:
    # Bench from 18:00 to 02:00: the same window, though another date.
    week = _looked_at()
    week.studio["hours"][0].update(days=["mon"], to="02:00")
    week.items[1:4] = [
        align(7, "23:00", "23:40"),
        work("transfer", "A", 8, "00:10", "00:35"),
        work("verify", "A", 8, "00:35", "00:45"),
    ]
    assert any(line.startswith("9: transfer A") for line in _judged(week, tmp_path))


def test_a_reel_that_was_inspected_waits_for_no_window(tmp_path: Path) -> None:
    week = Week()
    week.reel("A").update(stage="found")
    week.items[0] = align(7, "18:00", "18:40")
    week.items.append(work("identify", "A", 7, "18:40", "18:50"))
    week.item("transfer", "A").update(start=at(7, "18:50"), end=at(7, "19:15"))
    week.item("verify", "A").update(start=at(7, "19:15"), end=at(7, "19:25"))
    assert _judged(week, tmp_path) == []


def test_a_listed_stock_is_taken_for_sticky(tmp_path: Path) -> None:
    week = Week()
    week.reel("B").update(condition="", stock="Ampex 456")
    week.items.append(work("identify", "B", 7, "19:15", "19:25"))
    assert _judged(week, tmp_path) == []
    assert week.items[3]["reels"][0]["assumes"] == ["condition sticky"]
    assert week.item("repair", "B")["assumes"] == ["condition sticky"]
    for wrong in ([], ["condition ok"], ["condition sticky", "eq NAB"]):
        week.item("transfer", "B")["assumes"] = wrong
        assert any(line.startswith("4: transfer B") for line in _judged(week, tmp_path)), wrong
    week.item("transfer", "B")["assumes"] = ["condition  Sticky"]
    week.items[3]["reels"][0]["assumes"] = []
    assert any(line.startswith("4: load of B") for line in _judged(week, tmp_path))


def test_a_studio_may_take_every_reel_for_sticky(tmp_path: Path) -> None:
    week = _looked_at()
    week.studio["studio"]["assume_condition"] = "sticky"
    assert any(line.startswith("4: transfer A") for line in _judged(week, tmp_path))
    week = Week()
    week.studio["studio"]["assume_condition"] = "sticky"
    week.reel("B").update(condition="")
    week.items.append(work("identify", "B", 7, "19:15", "19:25"))
    assert _judged(week, tmp_path) == []


def test_a_reel_only_assumed_sticky_on_another_base_is_left_over_and_not_barred(tmp_path: Path) -> None:
    week = Week()
    week.studio["studio"]["assume_condition"] = "sticky"
    week.reel("B").update(condition="", base="acetate")
    week.items = [*week.items[:3], work("identify", "B", 7, "19:15", "19:25")]
    assert _judged(week, tmp_path) == []
    # S2 and B stay in the score: 5 x 10 + 2 x 252 + 0.01 x (10 + 252) + 0.5 x 40 / 60.
    assert week.plan["score"] == 556.9533


def test_a_listed_stock_on_another_base_is_barred_by_what_is_known(tmp_path: Path) -> None:
    week = Week()
    week.reel("B").update(condition="", base="acetate", stock="Ampex 456")
    week.items = [*week.items[:3], work("identify", "B", 7, "19:15", "19:25")]
    assert _judged(week, tmp_path) == []
    assert week.plan["score"] == 50.4333


def test_a_calibration_reel_lines_up_as_soon_as_it_is_identified(tmp_path: Path) -> None:
    week = Week()
    week.reel("CAL").update(condition="")
    week.items[:3] = [
        work("identify", "CAL", 7, "18:00", "18:10"),
        align(7, "18:10", "18:50"),
        work("transfer", "A", 7, "18:50", "19:15"),
        work("verify", "A", 7, "19:15", "19:25"),
    ]
    assert _judged(week, tmp_path) == []


def test_an_assumed_value_and_the_same_typed_value_are_one_set_up(tmp_path: Path) -> None:
    week = Week()
    week.studio["studio"].update(assume_eq="NAB", assume_level="250 nWb/m")
    week.reel("A").update(eq="", level="")
    assert _judged(week, tmp_path) == []
    assert week.item("transfer", "A")["assumes"] == ["eq NAB", "level 250 nWb/m"]
    week.item("transfer", "A")["assumes"] = ["level 250.0 nWb/m", "eq nab"]
    assert _judged(week, tmp_path) == []
    week.item("transfer", "A")["assumes"] = ["eq NAB"]
    assert any("assumes level" in line for line in _judged(week, tmp_path))


def test_a_blank_that_nothing_fills_is_a_set_up_of_its_own(tmp_path: Path) -> None:
    week = Week()
    week.reel("A").update(level="")
    assert any(line.startswith("6: transfer A") for line in _judged(week, tmp_path))
    week.items[0]["setup"] = week.items[0]["setup"] | {"level": ""}
    violations = _judged(week, tmp_path)
    assert violations == [line for line in violations if line.startswith("6: align D1 at 2026-09-12")]
    week.items[5] = align(12, "13:10", "13:50")
    assert _judged(week, tmp_path) == []
    assert "assumes" not in week.item("transfer", "A")


def test_a_stock_written_like_a_listed_one_is_barred_from_deck_and_heat(tmp_path: Path) -> None:
    for stock in ("Ampex 456 Grand Master", "3M Scotch 226", "Quantegy 499 Gold"):
        week = Week()
        week.reel("A").update(stock=stock)
        assert any(line.startswith("3: transfer A") for line in _judged(week, tmp_path)), stock
        week = Week()
        week.reel("B").update(stock=stock)
        assert any(line.startswith("3: B is loaded") for line in _judged(week, tmp_path)), stock
    for stock in ("Agfa PEM 468", "Hillside 456000", "Series 226"):
        week = Week()
        week.reel("A").update(stock=stock)
        assert _judged(week, tmp_path) == [], stock


def test_a_look_at_a_reel_of_another_chamber_width_is_not_needed_for_what_is_done(tmp_path: Path) -> None:
    week = Week()
    week.reels.append(QUARTER | {"reel": "T", "condition": "", "stage": "transferred"})
    week.items.append(work("verify", "T", 7, "19:15", "19:25"))
    assert _judged(week, tmp_path) == []


def test_an_uninspected_reel_goes_into_the_chamber_only_after_its_look(tmp_path: Path) -> None:
    week = Week()
    week.reel("B").update(condition="", stock="Ampex 456")
    week.items.append(work("identify", "B", 12, "09:10", "09:20"))
    week.items[3] = load(12, "09:20", "13:20", "17:20", "B")
    for kind, start, end in (
        ("repair", "17:20", "17:35"),
        ("align", "17:35", "17:50"),
        ("transfer", "17:50", "18:20"),
        ("verify", "18:20", "18:30"),
    ):
        week.item(kind, "" if kind == "align" else "B").update(start=at(12, start), end=at(12, end))
    assert any(line.startswith("9: load of B") for line in _judged(week, tmp_path))
