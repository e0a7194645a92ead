"""The cursor stays where one works, hours are looked at once, and what was taken back can be done again."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from typing import Any

from core.evening.playing.passes import start_pass, stop_pass
from core.logbook.steps import deck_stands
from core.logbook.typed import with_entry


async def test_the_cursor_goes_on_from_the_step_that_was_worked(book: Any, at_machine: Any) -> None:
    async with at_machine(book) as seat:
        await seat.wait(minutes=80)
        await seat.go_to("identify R-004")
        await seat.press("k")
        await seat.types("no light")
        assert seat.app.screen.step.subject == "R-008"  # and not the line-up that nobody marked


async def test_outside_loud_time_it_asks_once(book: Any, at_machine: Any) -> None:
    async with at_machine(book) as seat:
        await seat.wait(minutes=160)  # 21:40, and loud until 22:00
        await seat.go_to("transfer R-008")
        await seat.press("space")
        assert "D1 is loud until" in seat.text and "loud time ends 22:00." in seat.text
        await seat.press("escape")
        assert not seat.passes()  # nothing was done
        await seat.press("space", "enter")  # the chamber's touch is past: no calendar is offered
        assert "start all the same" in seat.text
        await seat.press("enter")
        assert seat.passes()
        await seat.press("e", "escape", "g")
        assert "D1 is loud" not in seat.text  # asked once an evening
        assert len(seat.passes()[0]["pieces"]) == 2


async def test_a_deck_that_is_not_lined_up_is_asked_about_once_for_each_set_up(
    book: Any, at_machine: Any, capsys: Any, monkeypatch: Any
) -> None:
    from tui.cli import main

    monkeypatch.setattr("tui.commands.command.now", book.now)
    shelf = ["--shelf", str(book.path)]
    book.mark("R-001", "aligned", because="now")
    later = replace(deck_stands(book.shelf)["D1"], at=book.now() + timedelta(seconds=40))
    book.change(lambda shelf: with_entry(shelf, "D1", later), what="ended within the same minute")
    assert main([*shelf, "tonight", "begin", "transfer R-008"]) == 0
    assert "lined up" not in capsys.readouterr().err, "a clock is told by the minute"
    assert [main([*shelf, "undo"]) for _ in range(3)] == [0, 0, 0]
    book.mark("R-001", "aligned", book.now() - timedelta(days=1), because="yesterday")
    assert main([*shelf, "tonight", "begin", "transfer R-008"]) == 0, "by command it is said, and it runs"
    assert "R-008: D1 was lined up Mon 30 Nov 19:00, and not since" in capsys.readouterr().err
    assert main([*shelf, "plan", "--effort", "0.1"]) == 1, "a plan made now would play that tape once more"
    waits = capsys.readouterr().err
    assert "R-008 is running, until about 19:2" in waits and "plan when it is over" in waits, waits
    assert main([*shelf, "undo"]) == 0 and main([*shelf, "undo"]) == 0
    async with at_machine(book) as seat:
        await seat.go_to("transfer R-008")
        await seat.press("space")
        assert "D1 is not lined up: R-008 wants 15 ips NAB 250 nWb/m." in seat.text
        await seat.press("escape")
        assert not seat.passes()
        book.mark("R-001", "aligned", because="now")
        seat.app.took_over()
        await seat.press("space", "escape")  # no calendar
        assert seat.passes(), "a deck that stands on it is not asked about"


async def test_work_left_is_told_against_time_left(book: Any, at_machine: Any) -> None:
    async with at_machine(book) as seat:
        assert "on time, 1 h 20 spare" in seat.text  # 21:10 to 22:30
        await seat.wait(minutes=30)
        # Lined up 19:45, R-001 waits for the load of 20:10; the look at R-004 goes into that pause. Then
        # 20:20 R-001, 21:05 its verify, 21:15 R-008, 21:45 its verify: 21:55, as the last row says.
        assert "45 min late, 35 min spare" in seat.text
        last = max(one.expected.end for one in seat.app.screen.sheet.steps if not one.touch)
        assert f"{last:%H:%M}" == "21:55"


async def test_what_was_taken_back_is_done_again(book: Any, at_machine: Any) -> None:
    async with at_machine(book) as seat:
        await seat.press("k")
        await seat.types("no cleaner")
        await seat.press("u")
        assert "taken back" in seat.text and "skipped" not in seat.text
        await seat.press("ctrl+y")
        assert "done again: skip line up D1" in seat.text and "skipped: no cleaner" in seat.text
        await seat.press("ctrl+y")
        assert "nothing to do again" in seat.text


async def test_a_line_up_whose_beginning_was_taken_back_runs_on_the_deck_still(
    book: Any, at_machine: Any
) -> None:
    async with at_machine(book) as seat:
        await seat.press("space", "escape")  # no calendar
        assert "NOW" in seat.text
        await seat.press("u")
        assert "taken back; if CAL-1 runs on D1, stop it, or Ctrl+Y tells it again" in seat.text
        await seat.press("ctrl+y")
        assert "done again" in seat.text


async def test_leaving_asks_in_words(book: Any, at_machine: Any) -> None:
    async with at_machine(book) as seat:
        await seat.press("k", "h", "u", "m", "escape", "ctrl+q")
        assert "why skip align D1 Tue 1 Dec 19:00: hum" in seat.text
        assert "2026-12" not in seat.text


async def test_going_on_with_a_tape_that_stood_overnight_asks_what_its_beginning_asks(
    book: Any, at_machine: Any
) -> None:
    yesterday = book.now() - timedelta(days=1)
    book.change(lambda shelf: start_pass(shelf, "R-008", 1, yesterday), what="begun")
    book.change(
        lambda shelf: stop_pass(shelf, "R-008 1", yesterday + timedelta(minutes=9), "late"), what="stopped"
    )
    async with at_machine(book) as seat:
        await seat.go_to("transfer R-008")
        await seat.press("g")
        assert "D1 is not lined up: R-008 wants 15 ips NAB 250 nWb/m." in seat.text
        await seat.press("escape")
        kept = seat.shelf.of_kind("pass")["R-008 1"]
        assert kept["state"] == "stopped" and len(kept["pieces"]) == 1, "nothing runs before it is answered"


async def test_what_is_overdue_in_the_chamber_is_late_on_its_row_and_in_the_head(
    book: Any, at_machine: Any
) -> None:
    """On the screen as by command; the next touch that is due waits for the hands."""
    book.change(lambda s: s.with_reel(replace(s.reel("R-002"), base_seen="polyester")), what="seen")
    book.load("C1", ["R-002"], book.now(), because="tried")
    async with at_machine(book) as seat:
        await seat.wait(minutes=160)  # the first turn was due after two hours
        await seat.press("l")  # the bell, put off
        row = next(line for line in seat.text.splitlines() if "turn chamber C1: R-002" in line)
        assert "40 min late: now" in row
        assert "chamber late, work" in seat.text.splitlines()[1]


async def test_a_tape_that_goes_on_past_loud_time_says_so_as_one_that_begins(
    book: Any, at_machine: Any, capsys: Any, monkeypatch: Any
) -> None:
    """R-008 is over in loud time as it begins; after a stop it is not, and key and command say that."""
    from tui.cli import main

    monkeypatch.setattr("tui.commands.command.now", book.now)
    shelf = ["--shelf", str(book.path)]
    async with at_machine(book) as seat:
        await seat.wait(minutes=125)  # 21:05, and loud until 22:00
        book.mark("R-008", "aligned", because="now")
        seat.app.took_over()
        await seat.go_to("transfer R-008")
        await seat.press("space", "enter")
        assert seat.passes() and "D1 is loud" not in seat.text, seat.text
        await seat.wait(minutes=5)
        await seat.press("e", "escape")
        await seat.wait(minutes=45)
        await seat.press("g")
        assert "D1 is loud until" in seat.text and "loud time ends 22:00." in seat.text, seat.text
        assert len(seat.passes()[0]["pieces"]) == 1
        await seat.press("enter")
        assert len(seat.passes()[0]["pieces"]) == 2
        await seat.press("u")
        assert len(seat.passes()[0]["pieces"]) == 1
    capsys.readouterr()
    assert main([*shelf, "tonight", "go-on"]) == 0
    assert "D1 is loud until" in capsys.readouterr().err
