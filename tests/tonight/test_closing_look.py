"""Before one leaves: one key on Tonight tells what is put back, who stays home and what is next."""

from __future__ import annotations

from typing import Any

from core.evening.warming.load import load


async def test_one_key_shows_the_closing_look(book: Any, at_machine: Any) -> None:
    async with at_machine(book) as seat:
        await seat.press("space", "escape")  # the line-up begins; no calendar
        await seat.wait(minutes=15)
        await seat.press("space")
        await seat.press("h")
        assert "Before you leave" in seat.text
        assert "D1: CAL-1 wound tails out" in seat.text
        assert "D1: path cleaned, cover on, power off" in seat.text
        assert "No chamber is warm: nobody has to stay." in seat.text
        assert "transfer R-001, verify R-001, identify R-004" in seat.text
        await seat.press("escape")
        assert "Tonight" in seat.text


async def test_a_warm_chamber_says_who_stays_home(book: Any, at_machine: Any) -> None:
    book.change(lambda shelf: load(shelf, "C1", ["R-002"], book.now(), "someone is there"), what="load")
    async with at_machine(book) as seat:
        await seat.press("h")
        assert "C1 is warm: somebody stays home and awake until Wed 2 Dec 03:10" in seat.text
        assert "turn chamber C1 today 21:00: R-002" in seat.text
