"""What is asked and said before a tape runs: tried by hand, the hours of warmth that it really had."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from typing import Any

import pytest

from core.evening.warming.load import at_home_already
from core.studio.studio import WEEKDAYS, HoursRow
from tui.places.tonight.acts.mishaps import PROBLEMS


def untried(book: Any) -> None:
    book.change(lambda s: s.with_reel(replace(s.reel("R-008"), tried="")), what="nobody tried it")


async def test_a_tape_to_be_tested_is_tried_before_it_runs(book: Any, at_machine: Any) -> None:
    untried(book)
    async with at_machine(book) as seat:
        await seat.go_to("transfer R-008")
        await seat.press("space", "enter", "enter")  # no line-up yet; no calendar
        assert "R-008 is to be tested first" in seat.text
        assert not seat.passes()
        await seat.press("escape")
        assert not seat.passes()
        await seat.press("space")
        await seat.wait(minutes=5)  # so long the hand turns it and the heads are looked at
        await seat.press("enter")
        assert seat.shelf.reel("R-008").tried == "clean"
        assert [one["reel"] for one in seat.passes()] == ["R-008"]
        assert "started 19:05 (ends 19:26)" in seat.text and "at 0:00 of 21:20" in seat.text


def untried_calibration(book: Any) -> None:
    """CAL-1 as a tape of which nothing is known but that it looks well: it was not warmed either."""
    fresh = replace(book.shelf.reel("CAL-1"), stock="Harbour 12", stage="identified", conditioned_at=None)
    book.change(lambda s: s.with_reel(replace(fresh, condition=("ok",))), what="of an unknown stock")


async def test_a_calibration_tape_to_be_tested_has_the_same_answers(book: Any, at_machine: Any) -> None:
    """A row that says test it by hand is answered where it stands, by key and told afterwards."""
    untried_calibration(book)
    async with at_machine(book) as seat:
        await seat.press("space", "escape")  # no calendar
        assert "CAL-1 is to be tested first: how did it run?" in seat.text
        assert "brown gum on a dry swab" in seat.text
        assert not seat.shelf.of_kind("actual")
        await seat.press("1")
        assert seat.shelf.reel("CAL-1").tried == "clean"
        assert [one["kind"] for one in seat.shelf.of_kind("actual").values()] == ["align"]


@pytest.mark.parametrize("keys", [("m", "pagedown", "enter"), ("p", "6", *"1900", "minus", *"1915", "enter")])
async def test_what_was_told_afterwards_asks_how_the_calibration_tape_ran(
    book: Any, at_machine: Any, begun: list[str], keys: tuple[str, ...]
) -> None:
    untried_calibration(book)
    async with at_machine(book) as seat:
        await seat.wait(minutes=16)
        await seat.press(*keys)
        assert "CAL-1 is to be tested first: how did it run?" in seat.text
        assert [one["state"] for one in seat.shelf.of_kind("actual").values()] == ["done"]
        await seat.press("2")
        assert seat.shelf.reel("CAL-1").tried == "residue"


async def test_the_clock_of_a_tape_begins_when_the_last_question_is_answered(
    book: Any, at_machine: Any
) -> None:
    async with at_machine(book) as seat:
        await seat.go_to("transfer R-008")
        await seat.press("space")
        await seat.wait(minutes=3)
        await seat.press("enter")  # no line-up yet
        await seat.wait(minutes=2)
        await seat.press("enter")  # no calendar
        (one,) = seat.passes()
        assert one["pieces"][0]["started"].startswith("2026-12-01T19:05")


async def test_a_tape_that_lay_beside_mould_is_looked_at_before_it_runs(book: Any, at_machine: Any) -> None:
    began = book.now() - timedelta(days=2)
    fresh = {"stage": "identified", "conditioned_at": None, "playable_until": None}
    other = replace(book.shelf.reel("R-001"), key="R-777", **fresh)
    book.change(lambda s: s.with_reel(replace(s.reel("R-001"), **fresh), other), what="not warmed yet")
    book.load("C1", ["R-001", "R-777"], began, because="to see")
    for key in ("R-001", "R-777"):
        book.mark(key, "conditioned", began + timedelta(hours=9))
    book.change(lambda s: s.with_reel(replace(s.reel("R-777"), condition=("mould",))), what="mould")
    async with at_machine(book) as seat:
        await seat.press("space", "enter", "space", "enter")  # the line-up, done at once
        await seat.go_to("transfer R-001")
        await seat.press("space")
        assert "R-001: look at it first" in seat.text and "It was beside R-777, which has mould" in seat.text
        await seat.press("enter")  # not yet
        assert not seat.passes()
        await seat.press("space", "2")
        assert [one["reel"] for one in seat.passes()] == ["R-001"]


async def test_what_its_box_warns_of_is_asked_once_before_it_runs(book: Any, at_machine: Any) -> None:
    book.change(lambda s: s.with_reel(replace(s.reel("R-001"), box_label="Do not play!")), what="its box")
    async with at_machine(book) as seat:
        await seat.press("space", "enter", "space", "enter")  # the line-up, done at once
        await seat.go_to("transfer R-001")
        await seat.press("space")
        assert 'It says "Do not play" on its box: find out why' in seat.text
        await seat.press("enter")  # not yet
        assert not seat.passes()
        await seat.press("space", "2")
        assert [one["reel"] for one in seat.passes()] == ["R-001"]
        await seat.wait(minutes=2)
        await seat.press("e", "1", "g")
        assert "on its box" not in seat.text  # it was answered


async def test_a_load_asks_what_a_box_warns_of(book: Any, at_machine: Any) -> None:
    book.change(lambda s: s.with_reel(replace(s.reel("R-002"), box_label="do not bake")), what="its box")
    async with at_machine(book) as seat:
        await seat.go_to("load chamber C1")
        await seat.press("space")
        await seat.press("enter")
        assert 'It says "do not bake" on its box: find out why' in seat.text
        assert not seat.shelf.reel("R-002").chamber
        await seat.press("2")
        assert seat.shelf.of_kind("looked after")["R-002"]["box"] == ["do not bake"]
        assert "on its box" not in seat.text


async def test_residue_makes_it_sticky_and_it_does_not_run(book: Any, at_machine: Any) -> None:
    untried(book)
    async with at_machine(book) as seat:
        await seat.go_to("transfer R-008")
        await seat.press("space", "enter", "enter")
        await seat.choose(1)
        assert "sticky" in seat.shelf.reel("R-008").condition
        assert not seat.passes()
        await seat.go_to("transfer R-008")
        await seat.press("space")
        assert not seat.passes()


async def test_hours_cut_short_are_told_before_it_runs(book: Any, at_machine: Any) -> None:
    """R-001 was marked conditioned for a reason after 20 min: the program still tells what it had."""
    began = book.now() - timedelta(days=2)
    fresh = {"stage": "identified", "conditioned_at": None, "playable_until": None}
    book.change(lambda s: s.with_reel(replace(s.reel("R-001"), **fresh)), what="not warmed yet")
    book.load("C1", ["R-001"], began, because="to see")
    book.mark("R-001", "conditioned", began + timedelta(minutes=20), because="the fuse blew")
    async with at_machine(book) as seat:
        await seat.press("space", "enter", "space", "enter")  # the line-up, done at once
        await seat.go_to("transfer R-001")
        await seat.press("space")
        assert "it had 20 min of 8 h of warmth only" in seat.text
        assert not seat.passes()
        await seat.press("escape")
        assert not seat.passes()
        await seat.press("space", "enter")
        assert [one["reel"] for one in seat.passes()] == ["R-001"]


async def test_a_tape_that_nobody_inspected_or_that_is_sticky_now_does_not_run(
    book: Any, at_machine: Any
) -> None:
    for told in ({"condition": (), "stage": "identified"}, {"condition": ("sticky",), "base": "polyester"}):
        fresh = {"conditioned_at": None, "playable_until": None, "stage": "identified", **told}
        book.change(lambda s, f=fresh: s.with_reel(replace(s.reel("R-008"), **f)), what="learnt since")
        async with at_machine(book) as seat:
            if told["condition"]:
                assert "NOT transfer R-008" in seat.text
                continue
            await seat.go_to("transfer R-008")
            await seat.press("space", "enter")
            assert not seat.passes()
            assert "What is R-008?" in seat.text  # the look opens


async def test_the_sheet_of_a_line_up_opens_for_boxes_that_say_no_equalisation(
    book: Any, at_machine: Any
) -> None:
    """What the plan takes for granted of a box, its line-up's sheet takes for granted too."""

    def half_known(shelf: Any) -> Any:
        level = shelf.reel("R-001").level
        boxes = [replace(one, eq="", level=None) for one in shelf.transferable()]
        return replace(
            shelf.with_reel(*boxes),
            studio=replace(shelf.studio, assume_eq="NAB", assume_level=level),
        )

    book.change(half_known, what="boxes that say nothing")
    async with at_machine(book) as seat:
        await seat.press("enter")  # the cursor is on the line-up of D1 to 15 ips NAB
        assert "no reel of that set-up" not in seat.text and type(seat.app.screen).__name__ == "LineupScreen"
        assert seat.app.screen.record.setup == {
            "speed": "15 ips", "eq": "NAB", "level": "250 nWb/m", "noise_reduction": "",
        }  # fmt: skip


async def test_the_sheet_of_a_line_up_is_for_the_reel_that_the_plan_plays_on_it(
    book: Any, at_machine: Any
) -> None:
    """R-001 has the same set-up and comes first on the shelf, but the plan plays R-008 on that line-up."""
    plan, day = book.plans.kept_plan(), timedelta(days=1)
    kept = [one for one in plan.items if one.kind in ("align", "transfer") and one.reel != "R-001"]
    items = [replace(one, start=one.start + day, end=one.end + day) if one.reel else one for one in kept]
    book.plans.keep_plan(replace(plan, items=tuple(items)))
    async with at_machine(book) as seat:
        await seat.press("enter")
        assert seat.app.screen.reel == "R-008"


async def test_a_tape_that_lies_on_both_reels_is_wound_back_before_it_plays(
    book: Any, at_machine: Any
) -> None:
    book.mark("R-001", "aligned")
    async with at_machine(book) as seat:
        await seat.go_to("transfer R-001")
        await seat.press("space", "enter")
        await seat.wait(minutes=4)
        book.shelving.set_fields("R-001", {"speed": "30 ips"})
        await seat.wait(minutes=1)
        assert "R-001 lies on both reels of D1 at 4:00" in seat.text
        await seat.go_to("transfer R-001")
        await seat.press("space")
        assert "is R-001 wound back?" in seat.text
        await seat.press("enter")
        assert "lies on both reels" not in seat.text
        await seat.press("h")
        assert "both reels" not in seat.text


async def test_a_tape_that_squeals_in_mid_pass_is_lifted_off_before_its_deck_is_used_again(
    book: Any, at_machine: Any
) -> None:
    """That very evening: what made it squeal is found first, and until then it runs neither on nor back."""
    from core.evening.tonight.transfer import halt

    book.mark("R-001", "aligned")
    async with at_machine(book) as seat:
        await seat.go_to("transfer R-001")
        await seat.press("space", "enter")
        await seat.wait(minutes=4)
        book.change(lambda shelf: halt(shelf, "R-001", book.now(), "it squeals"), what="stop R-001")
        book.shelving.set_fields("R-001", {"condition": "squeal", "stock": "Harbour 12", "tried": ""})
        await seat.wait(minutes=1)
        await seat.go_to("transfer R-008")
        await seat.press("space")
        asked = " ".join(seat.text.replace("│", "").split())
        assert "R-001 lies on both reels of D1 at 4:00: it must not run any more" in asked
        await seat.press("enter")  # it is lifted off: then the path that it ran over
        assert "is the path of D1 clean?" in seat.text


async def test_a_tape_whose_repair_was_left_out_is_asked_about_before_it_runs(
    book: Any, at_machine: Any
) -> None:
    loose = replace(book.shelf.reel("R-001"), splices=2, condition=("splices",))
    book.change(lambda s: s.with_reel(loose), what="two joints are dry")
    at = book.now()
    left = {"kind": "repair", "subject": "R-001", "planned": [at.isoformat(), at.isoformat()],
            "state": "skipped", "because": "no splicing block"}  # fmt: skip
    book.change(lambda s: s.with_record("actual", "repair R-001", left), what="left out")
    async with at_machine(book) as seat:
        await seat.press("space", "enter", "space", "enter")  # the line-up, done at once
        await seat.go_to("transfer R-001")
        await seat.press("space")
        assert "start all the same?" in seat.text
        assert "its 2 splices are not remade (no splicing block)" in " ".join(seat.text.split())
        await seat.press("escape")
        assert not seat.passes()
        mended = replace(loose, splices=0, condition=("ok",))
        book.change(lambda s: s.with_reel(mended), what="remade")
        seat.app.took_over()
        await seat.press("space")
        assert [one["reel"] for one in seat.passes()] == ["R-001"]


async def test_new_box_labels_point_at_a_note_that_names_its_own_reel_now(book: Any, at_machine: Any) -> None:
    book.change(
        lambda shelf: shelf.with_reel(replace(shelf.reel("R-004"), notes="slave of R-008: tracks 1-4")),
        what="a note",
    )
    async with at_machine(book) as seat:
        await seat.go_to("transfer R-008")
        await seat.press("p")
        await seat.choose(list(PROBLEMS).index("box"))
        await seat.types("R-004")
        told = " ".join(seat.text.split())
        assert "New box labels" in told and "R-008: the note that comes to it names R-008 itself" in told
        await seat.press("enter")
        assert seat.shelf.reel("R-008").notes == "slave of R-008: tracks 1-4"


async def test_who_loads_minutes_before_the_home_hours_only_confirms_it(book: Any, at_machine: Any) -> None:
    """Somebody is home from 20:30 on all night, and stands at the chamber at 20:15: one key, kept as said."""
    bench = HoursRow(WEEKDAYS, (), 19 * 60, 22 * 60 + 30, bench=True)
    home = HoursRow(WEEKDAYS, (), 20 * 60 + 30, 43 * 60, home=True)
    book.change(lambda s: replace(s, studio=replace(s.studio, hours=(bench, home))), what="hours")
    async with at_machine(book) as seat:
        await seat.wait(minutes=75)
        await seat.go_to("load chamber C1")
        await seat.press("space")
        assert "nobody is home Tue 20:15 to Tue 20:30" in " ".join(seat.text.split())
        assert "at home already, before 20:30" in seat.text
        await seat.press("enter")
        assert seat.shelf.reel("R-002").chamber == "C1"
        (load,) = [one for one in seat.shelf.of_kind("load").values() if one["at"].startswith("2026-12-01")]
        assert load["because"] == "at home already, before 20:30"


def test_who_loads_long_before_the_home_hours_or_is_away_later_says_why(book: Any) -> None:
    home = HoursRow(WEEKDAYS, (), 20 * 60 + 30, 22 * 60, home=True)  # away again before the load is out
    book.change(lambda s: replace(s, studio=replace(s.studio, hours=(home,))), what="hours")
    at = book.now() + timedelta(minutes=75)
    assert at_home_already(book.shelf, "C1", ["R-002"], at.astimezone(book.shelf.studio.zone)) == ""
    longer = replace(home, from_minutes=21 * 60 + 30, to_minutes=44 * 60)  # in 75 minutes only
    book.change(lambda s: replace(s, studio=replace(s.studio, hours=(longer,))), what="hours")
    assert at_home_already(book.shelf, "C1", ["R-002"], at.astimezone(book.shelf.studio.zone)) == ""
