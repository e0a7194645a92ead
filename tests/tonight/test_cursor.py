"""Where the cursor stands can be seen without colour, and it rides on the step that is to be worked."""

from __future__ import annotations

from typing import Any


def line_of(seat: Any, words: str) -> str:
    """The line of the screen on which these words stand."""
    return next(line for line in seat.text.splitlines() if words in line)


async def test_a_sign_stands_before_the_step_under_the_cursor(book: Any, at_machine: Any) -> None:
    async with at_machine(book) as seat:
        assert line_of(seat, "line up D1").startswith("›")
        await seat.press("down")
        assert line_of(seat, "transfer R-001").startswith("›")
        assert line_of(seat, "line up D1").startswith(" ")
        await seat.press("f7")
        assert line_of(seat, "transfer R-001").startswith(">")


async def test_the_cursor_rides_on_the_step_that_is_next(book: Any, at_machine: Any) -> None:
    async with at_machine(book) as seat:
        await seat.press("space", "escape")
        await seat.wait(minutes=15)
        await seat.press("space")
        assert seat.app.screen.step.kind == "transfer"
        await seat.press("u")  # it was not over after all
        assert seat.app.screen.step.kind == "align" and seat.app.screen.step.state == "running"


async def test_a_step_that_was_done_elsewhere_lets_the_cursor_go_on(book: Any, at_machine: Any) -> None:
    book.mark("R-008", "transferred", because="played already")
    async with at_machine(book) as seat:
        await seat.go_to("verify R-008")
        await seat.press("down", "up")  # the cursor was put there by hand
        assert seat.app.screen.step.subject == "R-008"
        book.mark("R-008", "verified", because="listened to")
        seat.app.took_over()
        await seat.wait(seconds=1)
        assert seat.app.screen.step.key == seat.app.screen.sheet.current.key


async def test_a_new_evening_begins_at_its_first_step(book: Any, at_machine: Any) -> None:
    async with at_machine(book) as seat:
        await seat.go_to("transfer R-008")
        await seat.wait(hours=24)
        current = seat.app.screen.sheet.current
        assert seat.app.screen.step is None or seat.app.screen.step.key == current.key


async def test_the_cursor_stays_where_it_was_put(book: Any, at_machine: Any) -> None:
    async with at_machine(book) as seat:
        await seat.go_to("identify R-004")
        await seat.press("down", "up")
        await seat.wait(minutes=30)
        assert seat.app.screen.step.subject == "R-004"


async def test_where_all_is_struck_out_the_cursor_stands_on_the_first_of_it(
    book: Any, at_machine: Any
) -> None:
    """What is struck out is read from the top; nothing is left that the cursor could ride on."""
    from dataclasses import replace

    plan = book.plans.kept_plan()
    book.plans.keep_plan(
        replace(plan, items=tuple(one for one in plan.items if one.reel in ("R-001", "R-008")))
    )
    aside = [replace(book.shelf.reel(key), set_aside="torn") for key in ("R-001", "R-008")]
    book.change(lambda shelf: shelf.with_reel(*aside), what="set aside")
    async with at_machine(book) as seat:
        assert {one.state for one in seat.app.screen.sheet.steps} == {"struck"}
        assert line_of(seat, "NOT transfer R-001").startswith("›")


async def test_behind_a_step_that_is_over_the_cursor_passes_over_what_has_no_room(
    book: Any, at_machine: Any
) -> None:
    """At 21:45 R-008 would be loud until past ten, and has no room; the look behind it has."""
    from dataclasses import replace

    from core.clock import later

    plan = book.plans.kept_plan()
    look = next(one for one in plan.items if one.kind == "identify")
    behind = replace(look, start=later(look.start, minutes=60), end=later(look.end, minutes=60), reel="R-007")
    found = replace(book.shelf.reel("R-007"), stage="found", condition=())
    book.change(lambda shelf: shelf.with_reel(found), what="not looked at yet")
    items = [one for one in plan.items if one.kind in ("identify", "transfer") and one.reel != "R-001"]
    book.plans.keep_plan(replace(plan, items=(*items, behind)))
    async with at_machine(book) as seat:
        await seat.wait(minutes=165)
        await seat.go_to("identify R-004")
        await seat.press("k")
        await seat.types("no light")
        fits = {one.subject: one.fits for one in seat.app.screen.sheet.waiting}
        assert fits == {"R-008": False, "R-007": True}, seat.text
        assert seat.app.screen.step.subject == "R-007", seat.text
