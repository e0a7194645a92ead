"""What steps really take is shown with its evidence, and taken in by the owner only."""

from __future__ import annotations

from typing import Any


def looked_at(shelf: Any, minutes: list[int]) -> Any:
    """The shelf after so many looks at tapes, each of that many minutes."""
    for number, took in enumerate(minutes):
        record = {
            "kind": "identify", "subject": f"R-{number:03}", "reels": [], "state": "done",
            "planned": ["2026-11-20T19:00+00:00", "2026-11-20T19:10+00:00"],
            "started": "2026-11-20T19:00+00:00", "finished": f"2026-11-20T19:{took:02}+00:00",
        }  # fmt: skip
        shelf = shelf.with_record("actual", f"identify {number}", record)
    return shelf


async def test_enough_looks_are_taken_in_and_taken_back(book: Any, at_machine: Any) -> None:
    book.change(lambda shelf: looked_at(shelf, [14, 15, 13, 14, 16, 59]), what="six looks")
    async with at_machine(book) as seat:
        await seat.press("l")
        assert "look at a tape: planned 10 min, took 14, give or take 1, 5 times" in seat.text
        await seat.press("enter")
        assert seat.shelf.studio.minutes.identify == 14
        await seat.press("u")
        assert seat.shelf.studio.minutes.identify == 10


async def test_what_was_taken_in_is_given_back_days_later(book: Any, at_machine: Any, reopened: Any) -> None:
    book.change(lambda shelf: looked_at(shelf, [14, 15, 13, 14, 16, 59]), what="six looks")
    async with at_machine(book) as seat:
        await seat.press("l", "enter")
        await seat.press("n")  # something else was pressed since
    assert reopened().shelf.studio.minutes.identify == 14
    async with at_machine(reopened()) as seat:
        await seat.press("l")
        assert "planned 14 (was 10), took 14" in seat.text
        await seat.press("delete")
        assert seat.shelf.studio.minutes.identify == 10
        await seat.press("l", "delete")
        assert "this time was not taken in" in seat.text


async def test_too_few_looks_are_shown_but_not_taken_in(book: Any, at_machine: Any) -> None:
    book.change(lambda shelf: looked_at(shelf, [14, 15]), what="two looks")
    async with at_machine(book) as seat:
        await seat.press("l", "enter")
        assert "! seen 2 times, 5 are wanted" in seat.text
        await seat.press("escape")
        assert seat.shelf.studio.minutes.identify == 10


async def test_nothing_learnt_yet_is_said(book: Any, at_machine: Any) -> None:
    async with at_machine(book) as seat:
        await seat.press("l")
        assert "nothing is known yet" in seat.text
        await seat.press("enter")
        assert "there is nothing to take in yet" in seat.text
