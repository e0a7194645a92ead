"""What happened at another moment than the key: by the clock or by the tape; what was away meanwhile."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import timedelta
from typing import Any

import pytest

from core.clock import later
from core.evening.playing.passes import notes_of, passes_of
from core.evening.playing.when import read_when
from core.logbook.passes import Piece, PlayedPass
from core.store.beside.last_seen import last_seen, seen
from tui.board.chamber import next_touches


async def tape_runs(seat: Any, book: Any, minutes: int) -> None:
    """R-001 plays since so many minutes; it is 19:00 when it begins."""
    book.mark("R-001", "aligned")
    seat.app.took_over()
    await seat.go_to("transfer R-001")
    await seat.press("space", "escape")
    await seat.wait(minutes=minutes)


async def test_a_stop_that_was_noticed_late_is_told_by_the_tape(book: Any, at_machine: Any) -> None:
    async with at_machine(book) as seat:
        await tape_runs(seat, book, 20)
        await seat.press("n")
        await seat.press("e", "5")
        assert "When did it stop?" in seat.text
        await seat.press("1", "2", "3", "0")
        assert "19:12, the tape at 12:30" in seat.text  # how it reads stands below
        await seat.press("enter", "1")
        (kept,) = seat.passes()
        assert (kept["pieces"][-1]["to"], kept["pieces"][-1]["why"]) == (750.0, "clean heads")
        assert kept["pieces"][-1]["stopped"][11:16] == "19:12"
        assert notes_of(seat.shelf, "R-001")[0][1].seconds == 750.0  # it stood there
        await seat.press("g")
        assert "goes on from 12:20" in seat.text  # later places follow


async def test_a_stop_is_told_by_the_clock_also_when_it_stands_already(book: Any, at_machine: Any) -> None:
    async with at_machine(book) as seat:
        await tape_runs(seat, book, 20)
        await seat.press("e", "1", "e", "5")
        await seat.types("1907")
        (kept,) = seat.passes()
        assert (kept["pieces"][-1]["to"], kept["pieces"][-1]["why"]) == (420.0, "clean heads")
        await seat.press("escape", "e", "5")
        await seat.types("2150")
        assert "it cannot be past 20:00 by now" in seat.text


async def test_a_step_began_and_ended_at_times_that_are_told(book: Any, at_machine: Any) -> None:
    async with at_machine(book) as seat:
        await seat.wait(minutes=40)
        await seat.press("a")
        await seat.types("19:05")
        await seat.press("a")
        await seat.types("1922")
        (kept,) = seat.shelf.of_kind("actual").values()
        assert (kept["state"], kept["started"][11:16], kept["finished"][11:16]) == ("done", "19:05", "19:22")
        await seat.go_to("transfer R-001")
        await seat.press("a")
        await seat.types("2350")
        assert "this is still to come" in seat.text


async def test_a_pass_ends_where_the_counter_says(book: Any, at_machine: Any) -> None:
    async with at_machine(book) as seat:
        await tape_runs(seat, book, 35)
        await seat.press("a")
        await seat.types("33:10")
        (kept,) = seat.passes()
        assert (kept["state"], kept["pieces"][-1]["to"]) == ("done", 1990.0)
        assert kept["pieces"][-1]["stopped"][11:16] == "19:33"
        assert seat.shelf.reel("R-001").stage == "transferred"


async def test_a_turn_was_done_at_a_time_that_is_told(book: Any, at_machine: Any) -> None:
    book.load("C1", ["R-002"])
    async with at_machine(book) as seat:
        await seat.wait(minutes=118)
        await seat.go_to("turn chamber C1")
        await seat.press("a")
        await seat.types("20:56")
        (load,) = [one for one in seat.shelf.of_kind("load").values() if "touches" in one]
        assert load["touches"][0]["at"][11:16] == "20:56"


@pytest.mark.parametrize(
    ("answer", "state", "pieces", "at_19_20"),
    [("1", "running", 1, 1200.0), ("2", "stopped", 1, 420.0), ("3", "running", 2, 420.0 + 8 * 60)],
)
async def test_after_a_power_failure_it_asks_whether_the_tape_ran_on(
    book: Any,
    at_machine: Any,
    reopened: Any,
    clock: Any,
    answer: str,
    state: str,
    pieces: int,
    at_19_20: float,
) -> None:
    async with at_machine(book) as seat:
        await tape_runs(seat, book, 7)
        assert last_seen(book.path) == book.now()
        # The power fails at 19:07: nobody leaves the program in order.
    clock.on(minutes=5)
    seen(book.path, book.now() - timedelta(minutes=5))
    async with at_machine(reopened()) as seat:
        assert "I was away from 19:07 to 19:12: did the tape run on?" in seat.text
        assert "it stopped with the tape at 7:00, and stands there" in seat.text
        await seat.press(answer)
        await seat.wait(minutes=8)
        (kept,) = seat.passes()
        assert (kept["state"], len(kept["pieces"])) == (state, pieces)
        (tape,) = passes_of(seat.shelf, seat.app.now(), "R-001")
        assert tape.position == at_19_20  # all later places follow the answer


@pytest.mark.parametrize(
    ("minutes", "says"),
    [(28, "is at its end now, 32:00, by its length"), (60, "ran out at 19:32, by its length")],
)
async def test_no_tape_ran_on_past_its_end(
    book: Any, at_machine: Any, reopened: Any, clock: Any, minutes: int, says: str
) -> None:
    """2400 ft at 15 ips are 32:00."""
    async with at_machine(book) as seat:
        await tape_runs(seat, book, 7)
    clock.on(minutes=minutes)
    seen(book.path, book.now() - timedelta(minutes=minutes))
    async with at_machine(reopened()) as seat:
        assert f"yes: R-001 {says}" in seat.text


async def test_the_bell_stops_no_tape_behind_its_end(book: Any, at_machine: Any, clock: Any) -> None:
    from tui.board.chamber import next_touches

    async with at_machine(book) as seat:
        await tape_runs(seat, book, 7)
    book.change(lambda s: s.with_reel(replace(s.reel("R-001"), signs=("white powder",))), what="seen")
    clock.on(minutes=60)
    stop = next(one for one in next_touches(book.shelf, book.now()) if one.do == "stop")
    book.change(lambda s: stop.done(s, book.now()), what="stopped")
    (kept,) = book.shelf.of_kind("pass").values()
    assert (kept["state"], kept["pieces"][-1]["to"]) == ("stopped", 1920.0)
    assert kept["pieces"][-1]["stopped"][11:16] == "19:32"


async def test_a_note_tells_until_when_the_tape_ran_before_the_power_failed(
    book: Any, at_machine: Any, reopened: Any, clock: Any
) -> None:
    """The last sign of life is half a minute old by then; who dropped a note sat there."""
    async with at_machine(book) as seat:
        await tape_runs(seat, book, 7)
        await seat.wait(seconds=9)
        await seat.press("2")
    clock.on(minutes=5)
    seen(book.path, book.now() - timedelta(minutes=5, seconds=9))
    async with at_machine(reopened()) as seat:
        assert "it stopped with the tape at 7:09, and stands there" in seat.text


@pytest.mark.parametrize(
    ("answer", "now", "noted"), [("1", 24 * 60 + 50, 600), ("2", 9 * 60 + 50, 300), ("3", 21 * 60 + 50, 420)]
)
async def test_a_power_failure_before_the_last_stop_moves_what_came_after_it(
    book: Any, at_machine: Any, answer: str, now: int, noted: int
) -> None:
    """Runs from 19:00, noted at 19:10, stopped at 19:20 (20:00), goes on at 19:25 from 19:50; it is 19:30."""
    async with at_machine(book) as seat:
        await tape_runs(seat, book, 10)
        await seat.press("n")
        await seat.wait(minutes=10)
        await seat.press("e", "1")
        await seat.wait(minutes=5)
        await seat.press("g")
        await seat.wait(minutes=5)
        await seat.press("p", "8")
        await seat.types("19:05-19:08")
        assert all(told in seat.text for told in ("tape at 5:00, and stood until", "tape at 5:00, and ran"))
        await seat.press(answer)
        (tape,) = passes_of(seat.shelf, seat.app.now(), "R-001")
        assert (tape.state, tape.position) == ("running", now)
        assert [note.seconds for _, note in notes_of(seat.shelf, "R-001")] == [noted]


async def test_a_load_that_lost_its_heat_meanwhile_gets_its_minutes_back(
    book: Any, at_machine: Any, reopened: Any, clock: Any
) -> None:
    book.load("C1", ["R-002"])
    async with at_machine(book) as seat:
        await tape_runs(seat, book, 7)
    clock.on(minutes=5)
    seen(book.path, book.now() - timedelta(minutes=5))
    async with at_machine(reopened()) as seat:
        before = seat.app.next_touch.due
        await seat.press("2")
        assert "Was chamber C1 without heat from 19:07 to 19:12?" in seat.text
        await seat.press("2")
        assert seat.app.next_touch.due == later(before, minutes=5)


async def test_a_turn_that_was_made_before_the_power_cut_was_told_is_not_asked_for_again(
    book: Any, at_machine: Any, clock: Any
) -> None:
    """In at 19:00, turned at 21:00, and only then told: off from 20:10 to 20:40."""
    book.load("C1", ["R-002"])
    clock.on(minutes=120)
    (turn,) = next_touches(book.shelf, book.now())
    book.change(lambda shelf: turn.done(shelf, book.now()), what="turned")
    async with at_machine(book) as seat:
        before = seat.app.next_touch.due
        await seat.press("p", "8")
        await seat.types("20:10-20:40")
        await seat.press("2")
        assert f"{before:%H:%M}" == "23:00" and seat.app.next_touch.due == later(before, minutes=30)


async def test_leaving_in_order_asks_nothing(book: Any, at_machine: Any, reopened: Any, clock: Any) -> None:
    async with at_machine(book) as seat:
        await tape_runs(seat, book, 7)
        await seat.press("ctrl+q")
    assert last_seen(book.path) is None
    clock.on(minutes=5)
    async with at_machine(reopened()) as seat:
        assert "did the tape run on" not in seat.text
        assert "NOW" in seat.text and "TRANSFER R-001" in seat.text  # on Tonight, with the keys of its tape


def test_a_time_that_fits_goes_before_a_place(book: Any) -> None:
    zone, now = (
        book.shelf.studio.zone,
        book.now().astimezone(book.shelf.studio.zone).replace(hour=0, minute=30),
    )
    now = now + timedelta(days=1)
    day = (now - timedelta(days=1)).date()
    tape = PlayedPass("R-001", 1, "running", 1920.0, (Piece(0.0, now.replace(minute=10)),))
    assert read_when("0:20", day, zone, now, tape).told_by == "clock"
    assert read_when("0:05", day, zone, now, tape).told_by == "tape"
    assert read_when("1205", day, zone, now, tape).place == 725.0
    for text in ("45:00", "late", "0"):
        with pytest.raises(ValueError):
            read_when(text, day, zone, now, tape)


# By command -------------------------------------------------------------------------------------------------


@pytest.fixture
def told(book: Any, clock: Any, monkeypatch: Any, capsys: Any) -> Any:
    """Runs a command on that shelf at the clock's moment; its status, what it printed and what it said."""
    from tui.cli import main

    monkeypatch.setattr("tui.commands.command.now", clock)

    def run(*words: str) -> tuple[int, str, str]:
        status = main(["--shelf", str(book.path), "tonight", *words])
        out = capsys.readouterr()
        return status, out.out, out.err

    return run


def test_an_evening_is_worked_by_command_at_its_true_times(book: Any, clock: Any, told: Any) -> None:
    status, out, _ = told()
    assert status == 0 and "  1  19:00  line up D1 to 15 ips NAB 250 nWb/m" in out
    clock.on(minutes=60)
    assert told("begin", "1", "--at", "19:02")[0] == 0
    assert told("end", "1", "--at", "19:16")[0] == 0
    assert told("begin", "transfer", "R-001", "--at", "19:20")[0] == 0
    assert told("note", "dropout", "left", "--at", "4:00")[0] == 0
    assert told("stop", "--at", "12:30", "--because", "clean heads")[0] == 0
    assert told("go-on", "--at", "19:40")[0] == 0
    status, out, _ = told("end", "transfer", "R-001", "--at", "32:00")
    assert status == 0 and "transfer R-001  done 19:59" in out
    book.reload()
    shelf = book.shelf
    (kept,) = [
        one for one in shelf.of_kind("pass").values() if one["pieces"][0]["started"][:10] == "2026-12-01"
    ]
    assert [(p["from"], p["to"], p["why"]) for p in kept["pieces"]] == [
        (0.0, 750.0, "clean heads"),
        (740.0, 1920.0, "end"),
    ]
    rows = json.loads(told("--json")[1])
    assert [row["state"] for row in rows[:2]] == ["done", "done"] and rows[0]["finished"][11:16] == "19:16"


@pytest.mark.parametrize(
    ("words", "status", "says"),
    [
        (("end", "1"), 1, "does not run: there is nothing to end"),
        (("begin", "99"), 1, "no step '99' tonight"),
        (("stop",), 1, "no tape is running"),
        (("begin", "1", "--at", "later"), 2, "--at: 'later' is not a time such as 20:07"),
        (("skip", "1"), 1, "takes a reason (--because)"),
        (("dance",), 2, "invalid choice"),
    ],
)
def test_what_cannot_be_is_refused_in_one_line(
    told: Any, words: tuple[str, ...], status: int, says: str
) -> None:
    got, out, err = told(*words)
    assert got == status and says in err and len(err.splitlines()) == 1 and out == ""


async def test_a_tape_that_began_at_a_time_that_is_told_is_asked_about_as_by_the_one_key(
    book: Any, at_machine: Any
) -> None:
    untested = replace(book.shelf.reel("R-008"), tried="")
    book.change(lambda shelf: shelf.with_reel(untested), what="not tested")
    async with at_machine(book) as seat:
        await seat.wait(minutes=30)
        await seat.go_to("transfer R-008")
        await seat.press("a")
        await seat.types("1925")
        assert "D1 is not lined up" in seat.text or "was lined up" in seat.text or "is lined up" in seat.text
        await seat.press("enter")
        assert "R-008 is to be tested first" in seat.text and not seat.passes()
        await seat.press("1")
        (tape,) = seat.passes()
        assert tape["pieces"][0]["started"][11:16] == "19:25"


def test_a_tape_left_running_is_told_of_by_the_evening_in_which_it_began(book: Any) -> None:
    """The next evening 19:50 is yesterday's, and 9:20 the place on the tape: nothing ran this morning."""
    from core.clock import later
    from core.evening.playing.passes import start_pass
    from core.evening.playing.when import read_when
    from core.logbook.passes import played_of

    book.mark("R-001", "aligned")
    began = later(book.now(), minutes=40)  # Tue 19:40
    shelf = start_pass(book.shelf, "R-001", 1, began)
    (tape,) = [one for one in played_of(shelf, "R-001") if one.state == "running"]
    where, now = shelf.studio.zone, later(began, hours=23)
    day = now.astimezone(where).date()
    clock_told = read_when("19:50", day, where, now, tape)
    assert (clock_told.told_by, clock_told.place) == ("clock", 600.0) and clock_told.moment.day == 1
    place_told = read_when("9:20", day, where, now, tape)
    assert (place_told.told_by, place_told.place) == ("tape", 560.0)
    assert f"{place_told.moment.astimezone(where):%d %H:%M}" == "01 19:49"
