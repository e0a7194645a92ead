"""What stops by itself is noticed late: a tape that ran out long before was over then, at each door.

R-001 is 2,400 ft at 15 ips: 2400 * 12 / 15 = 1,920 s, 32:00.
"""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import Any

import pytest

from core.evening.afterwards.catch_up import Caught, caught_up
from core.evening.afterwards.left_running import late_end
from core.evening.tonight.runsheet import run_sheet

PLAYS = 1920.0


def runs_since_seven(book: Any, monkeypatch: pytest.MonkeyPatch, clock: Any) -> Any:
    """The command; R-001 runs since 19:00."""
    from tui.cli import main

    monkeypatch.setenv("REELTURN_SHELF", str(book.path))
    monkeypatch.setattr("tui.commands.command.now", clock)
    book.mark("R-001", "aligned")
    assert main(["tonight", "begin", "transfer", "R-001"]) == 0
    book.reload()
    return main


def kept(book: Any) -> Any:
    book.reload()
    (one,) = book.shelf.of_kind("pass").values()
    return one["state"], one["pieces"][-1].get("to"), one.get("holds", "take-up")


async def test_the_key_asks_when_it_was_over(book: Any, at_machine: Any) -> None:
    book.mark("R-001", "aligned")
    async with at_machine(book) as seat:
        await seat.go_to("transfer R-001")
        await seat.press("space", "escape")
        await seat.wait(minutes=75)
        await seat.press("space")
        assert "R-001 ran out at 19:32 by its length: when was it over?" in " ".join(seat.text.split())
        await seat.press("escape")
        assert seat.passes()[0]["state"] == "running"
        await seat.press("space", "1")
        assert kept(book) == ("done", PLAYS, "take-up")
        (step,) = [one for one in seat.app.screen.sheet.steps if one.key.startswith("transfer R-001")]
        assert f"{step.finished:%H:%M}" == "19:32"


async def test_a_tape_that_is_longer_plays_until_now_and_tells_its_length(book: Any, at_machine: Any) -> None:
    book.mark("R-001", "aligned")
    async with at_machine(book) as seat:
        await seat.go_to("transfer R-001")
        await seat.press("space", "escape")
        await seat.wait(minutes=43)
        await seat.press("space", "2")
        assert "it ran 43:00, reckoned 32:00: t" in " ".join(seat.text.split())


def test_the_command_wants_a_time(book: Any, clock: Any, monkeypatch: Any, capfd: Any) -> None:
    main = runs_since_seven(book, monkeypatch, clock)
    clock.on(minutes=75)
    for act in (["end", "transfer", "R-001"], ["stop"]):
        capfd.readouterr()
        assert main(["tonight", *act]) == 1
        assert "R-001 ran out at 19:32 by its length: say when" in capfd.readouterr().err
        assert kept(book)[0] == "running"
    assert main(["tonight", "end", "transfer", "R-001", "--at", "19:33"]) == 0
    assert kept(book) == ("done", 1980.0, "take-up")


def test_on_a_later_evening_nobody_took_it_off_whichever_door_tells_its_end(
    book: Any, clock: Any, monkeypatch: Any, capfd: Any
) -> None:
    """By ``mark``, and among many steps at once: the next thing on D1 asks for it."""
    main = runs_since_seven(book, monkeypatch, clock)
    clock.on(hours=24)
    assert main(["tonight", "stop"]) == 1
    assert "R-001 ran out at Tue 19:32 by its length" in capfd.readouterr().err
    before, now = book.shelf, book.now().astimezone(book.shelf.studio.zone)
    (step,) = [
        one
        for one in run_sheet(before, book.plans.kept_plan(), now - timedelta(days=1)).steps
        if one.key.startswith("transfer R-001")
    ]
    over: datetime = step.started + timedelta(minutes=32)
    told = caught_up(before, [Caught(step, "done", step.started, over)], "because", now=now)
    assert told.of_kind("pass")["R-001 1"]["holds"] == "deck"
    assert main(["mark", "R-001", "transferred"]) == 0
    assert kept(book) == ("done", PLAYS, "deck")
    capfd.readouterr()
    assert main(["closing"]) == 0
    assert "R-001 tails out" in capfd.readouterr().out
    assert main(["tonight", "lifted", "R-001"]) == 0


def test_a_tape_that_runs_a_little_over_is_not_asked_about(book: Any, clock: Any, monkeypatch: Any) -> None:
    runs_since_seven(book, monkeypatch, clock)
    clock.on(minutes=41)
    assert late_end(book.shelf, "R-001 1", book.now()) is None
    clock.on(minutes=2)
    assert late_end(book.shelf, "R-001 1", book.now()) == "R-001 ran out at 19:32 by its length"
