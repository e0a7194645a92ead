"""Reels are ticked as put back on the closing look; what was not is told by the next fetch list."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from core.evening.around.begins import still_to_fetch
from core.evening.around.put_back import lies_about, put_back
from core.evening.around.where_it_lies import where_it_lies
from core.evening.tonight.runsheet import run_sheet


async def test_one_key_puts_a_line_back_and_the_heading_all(book: Any, at_machine: Any, clock: Any) -> None:
    no_place = replace(book.shelf.reel("R-001"), location="")
    book.change(lambda shelf: shelf.with_reel(no_place), what="no place")
    async with at_machine(book) as seat:
        await seat.press("space", "escape")  # the line-up, with CAL-1
        await seat.wait(minutes=15)
        await seat.press("space")
        book.mark("R-001", "aligned")
        seat.app.took_over()
        await seat.go_to("transfer R-001")
        await seat.press("space")
        await seat.wait(minutes=32)
        await seat.press("space", "h")
        assert "› Put back" in seat.text or "›Put back" in seat.text, "the cursor is a sign"
        await seat.press("down", "space")
        assert "D1: CAL-1 wound tails out (back 19:47)" in seat.text
        assert "CAL-1: put back. U takes it back" in seat.text
        await seat.press("space")  # once more takes the tick away
        assert "back 19:47" not in seat.text
        await seat.press("space", "down", "space")
        assert "R-001: where on the shelf?" in seat.text
        await seat.types("A9")
        assert "A9: R-001 tails out (back 19:47)" in seat.text and seat.shelf.reel("R-001").location == "A9"
        await seat.press("u", "home", "down")  # the tick of R-001 goes, that of CAL-1 stays
    # The next evening: what was not ticked, where others were, still lies about.
    clock.on(hours=24)
    shelf, now = book.shelf, book.now().astimezone(book.shelf.studio.zone)
    assert lies_about(shelf, "CAL-1", now) is None
    assert where_it_lies(shelf, None, "R-001", now).aside == "not put back on Tue 1 Dec"
    back = put_back(shelf, ["R-001"], now, "A9")
    assert where_it_lies(back, None, "R-001", now).place == "A9"
    assert not where_it_lies(back, None, "R-001", now).aside
    plan = book.plans.kept_plan()
    assert all(one.lies.place for one in still_to_fetch(shelf, run_sheet(shelf, plan, now), now))
