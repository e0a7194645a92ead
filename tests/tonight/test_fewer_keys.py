"""What spares keys and guesses at the machine: digits, several readings, no page that comes up by itself."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from core.lineup.on_shelf import lineups_of
from tui.places.tonight.acts.mishaps import PROBLEMS


async def tape_runs(seat: Any, book: Any) -> None:
    """R-001 plays since four minutes."""
    book.mark("R-001", "aligned")
    seat.app.took_over()
    await seat.go_to("transfer R-001")
    await seat.press("space", "escape")
    await seat.wait(minutes=4)


async def test_a_digit_says_why_the_tape_was_stopped(book: Any, at_machine: Any) -> None:
    async with at_machine(book) as seat:
        await tape_runs(seat, book)
        await seat.press("e")
        assert "› 1 clean heads" in seat.text and "2 squeal" in seat.text
        await seat.press("9")  # there is no ninth
        assert "stopped at 4:00" in seat.text
        await seat.press("1")
        assert "STOPPED: clean heads" in seat.text
        await seat.press("g")
        assert "R-001 goes on from 3:50, 10 s before it stopped: piece 2" in seat.text


async def test_a_digit_that_cannot_be_chosen_says_why(book: Any, at_machine: Any) -> None:
    async with at_machine(book) as seat:
        await seat.go_to("verify R-001")
        await seat.press("p", "home", *["down"] * list(PROBLEMS).index("span"), "enter")
        assert "! only for a transfer" in seat.text


async def test_a_new_plan_takes_no_key_from_a_tape_that_runs(
    book: Any, at_machine: Any, monkeypatch: Any
) -> None:
    from tui.workers.planning import Search, Searched

    begun: list[Search] = []
    monkeypatch.setattr(Search, "run", lambda self: begun.append(self))  # it is found when the test says so
    async with at_machine(book) as seat:
        await seat.press("r")
        await seat.until(lambda: bool(begun))
        await tape_runs(seat, book)
        seat.app.screen.post_message(Searched(begun[0], book.plans.kept_plan()))
        await seat.until(lambda: "planned again: R shows what moves" in seat.text)
        await seat.press("n", "1")
        assert "1 note, last 4:00 dropout" in seat.text
        await seat.press("r")
        assert "Planned again" in seat.text and "the new plan" in seat.text
        number = book.plans.kept_plan().number
        await seat.press("enter")
        assert book.plans.kept_plan().number == number + 1


async def test_enter_on_a_line_up_opens_its_sheet(book: Any, at_machine: Any) -> None:
    async with at_machine(book) as seat:
        await seat.go_to("line up D1 to 15 ips NAB 250 nWb/m")
        await seat.press("enter")
        assert "Line-up of D1, AS FOUND" in seat.text and "D1 by CAL-1 for R-001" in seat.text
        await seat.press("escape")
        assert "Tonight" in seat.text


async def test_readings_with_spaces_go_to_the_tracks_that_follow(book: Any, at_machine: Any) -> None:
    async with at_machine(book) as seat:
        await seat.go_to("line up D1 to 15 ips NAB 250 nWb/m")
        await seat.press("enter", "space")
        assert "Clean heads, guides and capstan; let them dry: ticked" in seat.text
        keys = [row.key for row in seat.app.screen.query_one("ReadingGrid").rows]
        await seat.press("space", "space", *["down"] * (keys.index("level-1000") - 3), "enter")
        assert "1 kHz level, track 1" in seat.text
        await seat.types("0.1 0,2 0.1")
        assert "1 kHz level, track 1: +0.1 +0.2 +0.1 dB. U takes it back" in seat.text
        assert "dB; several at once: 0.1 -0.3 0" in seat.text
        assert "1 kHz level, track 4" in seat.text and "next: read on, " in seat.text
        await seat.types(" ".join(["0"] * 14))  # thirteen tracks are left
        assert "a reading is a number" in seat.text
        (record,) = lineups_of(seat.shelf)
        read = [record.reading("level-1000", track, "before") for track in (1, 2, 3, 4)]
        assert read == [0.1, 0.2, 0.1, None]


@pytest.mark.parametrize(("unit", "told"), [("as typed", "at 4:00 of 32:00, 300 ft"), ("m", "91 m")])
async def test_the_tapes_place_is_told_in_the_owners_unit(
    book: Any, at_machine: Any, unit: str, told: str
) -> None:
    # 4 min at 15 ips are 3600 in: 300 ft, or 91.44 m (1 in = 25.4 mm exactly).
    book.change(lambda shelf: shelf.choosing("units", {"length": unit}), what="units")
    async with at_machine(book) as seat:
        await tape_runs(seat, book)
        assert told in seat.text


async def test_an_overrun_is_told_since_when_and_nothing_beside_it_is_cut(book: Any, at_machine: Any) -> None:
    async with at_machine(book) as seat:
        await seat.press("space", "escape")
        await seat.wait(minutes=95)
        assert "over since 19:15" in seat.text
        assert "demagnetise" in seat.text and ".." not in seat.text.split("20:10")[0]


async def test_a_load_and_its_bell_say_what_the_hands_do(book: Any, at_machine: Any) -> None:
    async with at_machine(book) as seat:
        await seat.go_to("load chamber C1")
        await seat.press("space", "escape")
        assert "set to 54 °C (129.2 °F)" in seat.text and "R-002 place" in seat.text
        await seat.wait(minutes=5)
        await seat.press("space")
        await seat.wait(minutes=120)
        assert "TURN  -  CHAMBER C1" in seat.text
        assert "R-002 place 2-3 to 5-6" in seat.text and "laid over" in seat.text


async def test_a_first_heat_asks_here_too_what_the_base_was_seen_to_be(book: Any, at_machine: Any) -> None:
    book.change(lambda s: s.with_reel(replace(s.reel("R-002"), base_seen="")), what="nobody looked")
    kept = book.plans.kept_plan()
    book.plans.keep_plan(replace(kept, items=tuple(one for one in kept.items if one.kind == "condition")))
    async with at_machine(book) as seat:
        assert "base not seen: R-002; look before its first heat" in seat.text
        await seat.press("space", "escape")
        assert "First heat of R-002: nobody has seen the base" in seat.text
        assert "polyester stretches" in " ".join(seat.text.split())
        await seat.press("escape")
        assert not seat.shelf.reel("R-002").chamber  # nothing was begun
        await seat.press("space", "enter", "enter")  # a key that bounces begins nothing
        await seat.press("space", "1", "1")
        assert not seat.shelf.reel("R-002").chamber and not seat.shelf.reel("R-002").base_seen
        await seat.press("space", "1")  # what was seen of it
        assert "R-002: what is it made of?" in seat.text
        await seat.press("2")
        assert seat.shelf.reel("R-002").base_seen == "polyester"
        assert seat.shelf.reel("R-002").chamber == "C1" and seat.app.screen.step.state == "running"
        await seat.press("u", "u")
        assert not seat.shelf.reel("R-002").chamber and not seat.shelf.reel("R-002").base_seen
        await seat.press("space", "2")  # in by the box's word
        assert seat.shelf.reel("R-002").chamber == "C1" and "LOAD CHAMBER C1" in seat.text
        await seat.wait(minutes=11)  # its ten minutes are over: nobody presses a second key for it
        assert "done 19:10" in seat.text and "LOAD CHAMBER C1" not in seat.text


async def test_a_turn_long_before_its_time_is_asked_about(book: Any, at_machine: Any) -> None:
    book.load("C1", ["R-002"])
    async with at_machine(book) as seat:
        await seat.go_to("turn chamber C1")
        await seat.press("space")
        assert "It is due at 01:00, in 6 h." in seat.text
        await seat.press("escape")
        assert seat.app.screen.step.state == "waiting"
        await seat.press("space", "enter")
        if "calendar" in seat.text:
            await seat.press("escape")
        assert seat.app.screen.step.state == "running"


async def test_taking_back_says_so_where_the_plan_does_not_fit_any_more(book: Any, at_machine: Any) -> None:
    async with at_machine(book) as seat:
        reel = book.shelf.reel("R-008")
        book.change(lambda s: s.with_reel(replace(reel, eq="IEC1")), what="eq of R-008")
        book.plans.keep_plan(book.plans.kept_plan())  # made with the other set-up
        seat.app.took_over()
        await seat.press("u")
        assert "taken back; the plan does not fit that, R plans again: eq of R-008" in seat.text


async def test_a_line_up_as_it_stands_says_so_in_its_row_when_begun_and_on_its_sheet(
    book: Any, at_machine: Any
) -> None:
    kept = book.plans.kept_plan()
    first = replace(kept.items[0], calibration="", by="as it stands")
    book.plans.keep_plan(replace(kept, items=(first, *kept.items[1:])))
    async with at_machine(book) as seat:
        await seat.go_to("line up D1 to 15 ips NAB 250 nWb/m")
        await seat.press("space", "escape")
        assert "no calibration reel fits: as it" in seat.text  # beside the clock it goes on below
        await seat.press("enter")
        assert "D1 as it stands for R-001" in " ".join(seat.text.split())


async def test_behind_the_ninth_line_of_a_list_0_and_letters_choose(book: Any, at_machine: Any) -> None:
    async with at_machine(book) as seat:
        await seat.press("p")
        lines = [" ".join(line.replace("│", "").split()) for line in seat.text.splitlines()]
        assert "0 not on an evening, or an extra one" in lines
        assert "c it was heard: what it is, whether it is transferred" in lines
        await seat.press("0")
        assert "A day alone is one on which you do not work" in " ".join(seat.text.split())
        await seat.press("escape", "p", "a")
        assert "Mark R-001" not in seat.text and "What went wrong?" not in seat.text
