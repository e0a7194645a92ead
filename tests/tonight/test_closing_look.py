"""Before one leaves: one key on Tonight tells what is put back, who stays home and what is next."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from core.evening.warming.load import load


async def test_one_key_shows_the_closing_look(book: Any, at_machine: Any) -> None:
    async with at_machine(book) as seat:
        await seat.press("space", "escape")  # the line-up begins; no calendar
        await seat.wait(minutes=15)
        await seat.press("space")
        await seat.press("h")
        assert "Before you leave" in seat.text
        assert "shelf D1: CAL-1 wound tails out" in seat.text
        assert "D1: path cleaned, cover on, power off" in seat.text
        assert "No chamber is warm: nobody has to stay." in seat.text
        assert "transfer R-001, verify R-001, identify R-004" in seat.text
        for _ in range(8):
            await seat.press("down")
            here = next(line for line in seat.text.splitlines() if line.startswith("›"))
            assert here.strip("› ▁▂▃▄▅▆▇█"), "the cursor stands on no empty line"
        await seat.press("escape")
        assert "Tonight" in seat.text


async def test_a_warm_chamber_says_who_stays_home(book: Any, at_machine: Any) -> None:
    book.change(lambda shelf: load(shelf, "C1", ["R-002"], book.now(), "someone is there"), what="load")
    async with at_machine(book) as seat:
        await seat.press("h")
        assert "C1 is warm: somebody stays home and awake until Wed 2 Dec 03:10" in seat.text
        assert "turn chamber C1 today 21:00: R-002" in seat.text


async def test_a_reel_looked_at_from_the_chart_is_over_tonight_and_is_put_back_on_shelf_c2(
    book: Any, at_machine: Any
) -> None:
    # Its place is numbered like the chamber C1: "shelf C2" is never taken for a chamber.
    book.change(lambda shelf: shelf.with_reel(replace(shelf.reel("R-004"), location="C2")), what="place")
    async with at_machine(book) as seat:
        await seat.press("b")
        assert "shelf C2" in seat.text
        await seat.press("escape", "c", "slash")
        await seat.types("R-004")
        await seat.press("space")
        assert "What is R-004?" in seat.text
        await seat.press("pageup", *["up"] * 9, "down", "down", "1", "1", "1", "pagedown", "enter")
        assert seat.shelf.reel("R-004").stage == "identified"
        await seat.press("t")
        row = next(line for line in seat.text.splitlines() if "identify R-004" in line)
        assert row.rstrip(" ▁▂▃▄▅▆▇█").endswith("done 19:00")
        await seat.press("h")
        assert "shelf C2: R-004" in seat.text
        await seat.press("escape", "u", "u")
        assert seat.shelf.reel("R-004").stage == "found"
        await seat.press("t")
        assert "done 19:00" not in seat.text


async def test_an_empty_run_that_is_on_keeps_somebody_there_on_the_page_and_as_one_leaves(
    book: Any, at_machine: Any
) -> None:
    from core.conditioning.on_shelf import log_trial

    book.change(lambda shelf: log_trial(shelf, "C1", book.now(), 54.0), what="empty run")
    async with at_machine(book) as seat:
        await seat.wait(minutes=50)
        await seat.press("h")
        text = " ".join(seat.text.split())
        assert "C1 is warm, its empty run since 19:00: somebody stays till it is switched off" in text
        assert "nobody has to stay" not in seat.text
        await seat.press("escape", "q")
        told = " ".join(str(one) for one in seat.app._exit_renderables)
        assert "The empty run of C1 is on: somebody stays till it is switched off." in told
