"""A tape that was stopped since a joint let go goes on when that is remade, or somebody says so.

Common practice of the trade, with no source: a joint that let go is remade before the tape runs again.
"""

from __future__ import annotations

from typing import Any

import pytest


async def lets_go(seat: Any) -> None:
    """R-001 plays; a joint of it lets go after ten minutes."""
    await seat.go_to("transfer R-001")
    await seat.press("space", "escape")
    await seat.wait(minutes=10)
    await seat.press("p", "5", "enter")
    await seat.settle()
    assert seat.passes()[0]["state"] == "stopped" and seat.shelf.reel("R-001").splices == 1


@pytest.mark.parametrize("key", ["g", "space"])
async def test_it_goes_on_when_the_joint_is_remade(
    book: Any, at_machine: Any, begun: list[str], key: str
) -> None:
    book.mark("R-001", "aligned")
    async with at_machine(book) as seat:
        await lets_go(seat)
        await seat.go_to("transfer R-001")
        text = " ".join(seat.text.replace("█", "").split())
        assert "its 1 splice is not remade: mend it, then G or Space goes on" in text
        await seat.press(key)
        assert "R-001 goes on: its 1 splice is not remade" in " ".join(seat.text.split())
        await seat.press("escape")
        assert seat.passes()[0]["state"] == "stopped"
        await seat.press(key, "1")
        assert seat.passes()[0]["state"] == "running"
        assert not seat.shelf.reel("R-001").splices


async def test_it_goes_on_as_it_is_from_any_row_and_is_asked_about_once(
    book: Any, at_machine: Any, begun: list[str]
) -> None:
    book.mark("R-001", "aligned")
    async with at_machine(book) as seat:
        await lets_go(seat)
        await seat.go_to("verify R-008")
        await seat.press("g", "2")
        assert seat.passes()[0]["state"] == "running" and seat.shelf.reel("R-001").splices == 1
        await seat.wait(minutes=1)
        await seat.press("e", "1", "g")
        assert seat.passes()[0]["state"] == "running"


async def test_a_joint_told_as_remade_leaves_no_repair_to_do(
    book: Any, at_machine: Any, begun: list[str]
) -> None:
    """A plan that has the repair tonight already."""
    from dataclasses import replace
    from datetime import timedelta

    book.mark("R-001", "aligned")
    async with at_machine(book) as seat:
        await lets_go(seat)
        plan = book.plans.kept_plan()
        look = next(one for one in plan.items if one.kind == "identify")
        late = timedelta(minutes=10)
        mend = replace(look, kind="repair", reel="R-001", start=look.end, end=look.end + late)
        book.plans.keep_plan(replace(plan, items=(*plan.items, mend)))
        await seat.wait(seconds=1)
        assert "repair R-001" in seat.text
        await seat.press("g", "1")
        states = {one.kind: one.state for one in seat.app.screen.sheet.steps if one.subject == "R-001"}
        assert states["repair"] == "done"


async def test_the_repair_of_a_tape_that_stands_is_large_and_counted_and_says_that_it_lies_on_the_deck(
    book: Any, at_machine: Any, begun: list[str]
) -> None:
    """Its tape goes on behind it, so that no minute is counted twice or not at all."""
    from dataclasses import replace
    from datetime import timedelta

    book.mark("R-001", "aligned")
    async with at_machine(book) as seat:
        await lets_go(seat)
        plan = book.plans.kept_plan()
        look = next(one for one in plan.items if one.kind == "identify")
        mend = replace(look, kind="repair", reel="R-001", end=look.start + timedelta(minutes=20))
        book.plans.keep_plan(replace(plan, items=(*plan.items, mend)))
        await seat.wait(seconds=1)
        await seat.go_to("repair R-001")
        waits = seat.app.screen.sheet.spare_minutes
        await seat.press("space")
        sheet = seat.app.screen.sheet
        assert sheet.spare_minutes == waits, "it counts as much once it runs"
        assert sheet.current.kind == "repair", "it is what one works at"
        assert "on D1, stands at 10:00, on two reels" in " ".join(seat.text.replace("█", "").split())
        tape = next(one for one in sheet.steps if (one.kind, one.state) == ("transfer", "running"))
        repair = sheet.current.expected
        assert tape.expected.start == repair.end, "the tape goes on behind it"


async def test_by_command_it_takes_a_reason(
    book: Any, at_machine: Any, begun: list[str], clock: Any, monkeypatch: Any, capfd: Any
) -> None:
    from tui.cli import main

    book.mark("R-001", "aligned")
    async with at_machine(book) as seat:
        await lets_go(seat)
    monkeypatch.setenv("REELTURN_SHELF", str(book.path))
    monkeypatch.setattr("tui.commands.command.now", clock)
    for command in (["tonight", "go-on"], ["tonight", "begin", "transfer", "R-001"]):
        capfd.readouterr()
        assert main(command) == 1
        assert "R-001 does not go on: its 1 splice is not remade" in capfd.readouterr().err
    assert main(["tonight", "go-on", "--because", "taped by hand"]) == 0


async def test_it_goes_on_when_what_was_noted_on_the_pass_is_looked_at(
    book: Any, at_machine: Any, begun: list[str]
) -> None:
    """Whatever a note warns of is asked about before a tape runs on, as a warning on its box is."""
    book.mark("R-001", "aligned")
    async with at_machine(book) as seat:
        await seat.go_to("transfer R-001")
        await seat.press("space", "escape")
        await seat.wait(minutes=10)
        await seat.press("n", "enter", *"mouldy", "enter")
        assert 'R-001 runs and says "mouldy" in its notes' in " ".join(seat.text.split())
        await seat.press("e", "1")
        assert seat.passes()[0]["state"] == "stopped"
        await seat.press("g")
        assert "R-001: look at it first" in seat.text
        await seat.press("escape")
        assert seat.passes()[0]["state"] == "stopped"
        await seat.press("g", "2")
        assert seat.passes()[0]["state"] == "running"
