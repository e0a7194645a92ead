"""What a key means now: a digit names the note of a moment ago, a look ends when it is answered."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest


async def test_a_digit_on_another_tape_or_much_later_is_a_note_of_its_own(book: Any, at_machine: Any) -> None:
    book.mark("R-001", "aligned")
    async with at_machine(book) as seat:
        await seat.go_to("transfer R-001")
        await seat.press("space", "escape")
        await seat.wait(minutes=4)
        await seat.press("n")
        assert "1 dropout 2 squeal" in seat.text
        await seat.wait(minutes=1)
        await seat.press("2")  # names that of four minutes
        await seat.wait(minutes=1)
        await seat.press("n")
        await seat.wait(minutes=3)
        assert "1 dropout 2 squeal" not in seat.text
        await seat.press("1")
        notes = [(one["seconds"], one["kind"]) for one in seat.shelf.of_kind("timed note").values()]
        assert [one for one in notes if one[0] in (240, 360, 540)] == [
            (240.0, "squeal"),
            (360.0, "other"),
            (540.0, "dropout"),
        ]


async def test_stopping_after_the_tape_is_over_says_so_and_planning_waits_for_its_end(
    book: Any, at_machine: Any, begun: list[str]
) -> None:
    book.mark("R-001", "aligned")
    async with at_machine(book) as seat:
        await seat.plays(minutes=5)
        await seat.press("p", "1")
        await seat.types("2000")
        told = " ".join(seat.text.replace("│", "").split())
        assert "R-001 is over by 19:32: take it off" in told and "plays, at" not in told
        await seat.press("1")
        assert "stop at 20:00; planned again when R-001 is over" in seat.text and not begun
        await seat.press("r")
        assert "planned again when R-001 is over" in seat.text and not begun, "the key waits as well"
        await seat.press("w", "r")
        assert "R-001 is running, until about" in seat.text and not begun, "and so does the week's"
        await seat.press("t")
        await seat.wait(minutes=27)
        await seat.press("space", "escape")
        await seat.until(lambda: bool(begun))
        assert begun == ["planned"], "the tape that was played is not planned once more"


async def test_planning_that_waits_outlives_the_program(
    book: Any, at_machine: Any, reopened: Any, begun: list[str]
) -> None:
    book.mark("R-001", "aligned")
    async with at_machine(book) as seat:
        await seat.plays(minutes=5)
        await seat.press("r")
        assert "planned again when R-001 is over" in seat.text
        await seat.press("q")
    async with at_machine(reopened()) as seat:
        assert "so it was left; planned again when R-001 is over" in seat.text and not begun
        await seat.wait(minutes=31)
        await seat.press("space", "escape")
        await seat.until(lambda: bool(begun))
        await seat.press("q")
    async with at_machine(again := reopened()) as seat:
        await seat.until(lambda: len(begun) == 2)
        assert "so it was left; planning again" in seat.text, "it was left before the new plan was answered"
        await seat.press("q")
    again.plans.keep_plan(again.plans.kept_plan())
    async with at_machine(reopened()) as seat:
        assert "so it was left" not in seat.text and len(begun) == 2, "another hand planned meanwhile"


async def test_planning_waits_for_the_end_of_a_line_up(book: Any, at_machine: Any, begun: list[str]) -> None:
    from core.errors import Refused

    async with at_machine(book) as seat:
        await seat.go_to("line up D1 to 15 ips NAB 250 nWb/m")
        await seat.press("space", "escape")
        await seat.wait(minutes=5)
        await seat.press("r")
        assert "planned again when the line-up of D1 is over" in seat.text and not begun
        with pytest.raises(Refused, match="the line-up of D1 runs since 19:00: a plan made now"):
            book.plans.plan(effort=0.0)
        await seat.wait(minutes=9)
        await seat.press("space")
        await seat.until(lambda: bool(begun))
    seat.clock.on(hours=20)  # a line-up that was forgotten keeps no later evening's plan from being made
    assert book.plans.plan(effort=0.0, keep=False)


async def test_planning_waits_for_a_look_that_runs_but_not_for_one_that_was_forgotten(
    book: Any, at_machine: Any, begun: list[str]
) -> None:
    """A plan made while it runs would have it once more; it is planned for ten minutes."""
    from core.errors import Refused

    book.mark("R-001", "transferred", because="of the test")
    async with at_machine(book) as seat:
        await seat.go_to("verify R-001")
        await seat.press("space", "escape")
        await seat.wait(minutes=5)
        await seat.press("r")
        assert "planned again when the verify of R-001 is over" in seat.text and not begun
        with pytest.raises(Refused, match="the verify of R-001 runs since 19:00: a plan made now"):
            book.plans.plan(effort=0.0)
        book.mark("R-001", "verified", because="listened to elsewhere")
        seat.app.took_over()
        await seat.until(lambda: bool(begun))
        book.undo()
        seat.app.screen.replans.search = seat.app.search = None
        seat.app.took_over()
        await seat.wait(minutes=16)
        seat.app.screen.replans.search = seat.app.search = (
            None  # by itself it may be planned before the key is
        )
        begun.clear()
        await seat.press("r")
        await seat.until(lambda: bool(begun))
        assert "! the verify of R-001 runs since 19:00, planned as not done" in seat.text
    assert book.plans.plan(effort=0.0, keep=False), "it does not block either"


async def test_a_look_is_over_when_it_is_answered_and_a_verify_says_how(book: Any, at_machine: Any) -> None:
    seen = replace(book.shelf.reel("R-004"), condition=("ok",))
    book.change(lambda shelf: shelf.with_reel(seen), what="seen")
    async with at_machine(book) as seat:
        await seat.go_to("identify R-004")
        await seat.press("space", "escape", "space")
        assert "What is R-004?" in seat.text
        seat.clock.on(minutes=9)
        await seat.press("pagedown", "enter")
        assert seat.shelf.reel("R-004").stage == "identified", seat.text
        done = [one for one in seat.shelf.of_kind("actual").values() if one["kind"] == "identify"]
        assert done[0]["started"][11:16] == "19:00" and done[0]["finished"][11:16] == "19:09"
        book.mark("R-001", "transferred", because="of the test")
        seat.app.took_over()
        await seat.go_to("verify R-001")
        await seat.press("space")
        assert "no check of its files is kept: D" in seat.text


async def test_a_verify_that_runs_is_over_when_its_reel_is_verified_elsewhere(
    book: Any, at_machine: Any
) -> None:
    book.mark("R-001", "transferred", because="of the test")
    async with at_machine(book) as seat:
        await seat.go_to("verify R-001")
        await seat.press("space", "escape")
        await seat.wait(minutes=4)
        book.mark("R-001", "verified", because="listened to elsewhere")  # as V in its captures, or by command
        seat.app.took_over()
        await seat.settle()
        (step,) = [one for one in seat.shelf.of_kind("actual").values() if one["kind"] == "verify"]
        assert (step["state"], step["started"][11:16], step["finished"][11:16]) == ("done", "19:00", "19:04")
        (row,) = [one for one in seat.app.screen.sheet.steps if one.what[:2] == ("verify", "R-001")]
        assert row.state == "done"
        book.undo()
        assert not [one for one in book.shelf.of_kind("actual").values() if one["state"] == "done"]
    # One that was not begun stays among what was done, whatever a new plan has.
    book.mark("R-008", "transferred", because="of the test")
    book.mark("R-008", "verified", because="listened to elsewhere")
    kept = [one for one in book.shelf.of_kind("actual").values() if one["subject"] == "R-008"]
    assert [(one["kind"], one["state"]) for one in kept] == [("verify", "done")]


async def test_what_a_line_up_holds_up_says_so_before_anything_is_asked(book: Any, at_machine: Any) -> None:
    async with at_machine(book) as seat:
        await seat.press("space", "escape")  # the line-up of D1 runs
        await seat.wait(minutes=5)
        await seat.go_to("transfer R-001")
        await seat.press("space")
        assert "a line-up runs on D1 since 19:00: end it or stop it first" in seat.text
        assert seat.app.screen is seat.app.screen_stack[0], "nothing was asked"
        assert not seat.passes()


async def test_the_program_opens_on_tonight_where_a_step_runs(book: Any, clock: Any, reopened: Any) -> None:
    from screenwait import until

    from core.evening.tonight.runsheet import run_sheet
    from core.evening.tonight.steps import start_step
    from tui.app import ReelturnApp

    now = book.now().astimezone(book.shelf.studio.zone)
    step = run_sheet(book.shelf, book.plans.kept_plan(), now).steps[0]
    book.change(lambda shelf: start_step(shelf, step, now), what="begun")
    clock.on(minutes=40)
    async with ReelturnApp(reopened()).run_test(size=(80, 24)) as pilot:
        assert pilot.app.current_mode == "tonight", "at once: no key goes to another place meanwhile"
        assert type(pilot.app.screen).__name__ == "TonightScreen"
        await pilot.press("escape")
        await until(pilot, lambda: pilot.app.current_mode == "chart", lambda: pilot.app.current_mode)
    clock.on(hours=20)  # what was forgotten last evening is told by M
    async with ReelturnApp(reopened()).run_test(size=(80, 24)) as pilot:
        for _ in range(5):
            await pilot.pause()
        assert pilot.app.current_mode == "chart"


async def test_a_tape_that_stands_on_its_deck_is_told_in_every_head_and_opens_tonight(
    book: Any, at_machine: Any, clock: Any, reopened: Any, begun: list[str]
) -> None:
    from screenwait import until

    from tui.app import ReelturnApp

    book.mark("R-001", "aligned")
    async with at_machine(book) as seat:
        await seat.plays(minutes=10)
        await seat.press("e", "2", "escape", "c")
        assert "R-001 stands at 10:00" in seat.text.splitlines()[0]
        await seat.press("q")
    clock.on(minutes=3)
    async with ReelturnApp(reopened()).run_test(size=(80, 24)) as pilot:
        await until(pilot, lambda: pilot.app.current_mode == "tonight", lambda: pilot.app.current_mode)
    clock.on(hours=20)
    async with ReelturnApp(reopened()).run_test(size=(80, 24)) as pilot:
        for _ in range(5):
            await pilot.pause()
        assert pilot.app.current_mode == "chart"


def test_looks_that_move_to_fill_free_time_are_told_in_one_sentence(book: Any) -> None:
    from core.clock import later
    from core.plan import Move
    from tui.board.what_moved import looks_moved

    kept = book.plans.kept_plan()
    moved = tuple(
        replace(one, start=later(one.start, minutes=30)) if one.kind == "identify" else one
        for one in kept.items
    )
    new = replace(kept, items=moved)
    assert looks_moved(kept, kept) == ""
    assert looks_moved(kept, new) == "looks that fill free time: R-004, from Tue 1 Dec 20:50 on"
    told = replace(new, moves=(Move("identify", "R-004", kept.start, kept.start, "why"),))
    assert looks_moved(kept, told) == "", "what has a sentence of its own has no second one"


def test_behind_a_step_of_another_evening_comes_the_current_one(book: Any) -> None:
    from core.evening.tonight.runsheet import run_sheet

    sheet = run_sheet(book.shelf, book.plans.kept_plan(), book.now())
    assert sheet.current is not None and sheet.after("a step of another evening") is sheet.current


def test_several_loads_that_never_began_are_counted_so_that_nothing_is_cut(book: Any) -> None:
    from core.evening.afterwards.unmarked_words import unmarked_words
    from core.evening.tonight.runsheet import evening_span, planned_steps

    plan, now = book.plans.kept_plan(), book.now()
    steps = list(planned_steps(plan, evening_span(now.date(), plan.start)))
    load = next(one for one in steps if one.kind == "load")
    assert unmarked_words(steps, (load, load)) == (
        f"2 loads never began since Tue 1 Dec; {len(steps)} steps of Tue 1 Dec not marked"
    )


def test_a_look_that_runs_is_over_once_its_tape_is_marked_identified(
    book: Any, clock: Any, capsys: Any, monkeypatch: Any
) -> None:
    from tui.cli import main

    monkeypatch.setattr("tui.commands.command.now", book.now)
    shelf = ["--shelf", str(book.path)]
    assert main([*shelf, "tonight", "begin", "identify R-004"]) == 0
    clock.on(minutes=7)
    assert main([*shelf, "mark", "R-004", "identified", "--because", "seen"]) == 0
    capsys.readouterr()
    assert main([*shelf, "tonight"]) == 0
    row = next(one for one in capsys.readouterr().out.splitlines() if "identify R-004" in one)
    assert " done " in row and "runs" not in row, row
