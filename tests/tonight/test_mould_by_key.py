"""A look and a repair of what may be mouldy say gloves, mask and filter in their row, before and during."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from typing import Any


def flat(seat: Any) -> str:
    return " ".join(seat.text.replace("█", "").split())


async def test_the_row_of_a_look_says_it_before_and_during(book: Any, at_machine: Any) -> None:
    book.change(lambda s: s.with_reel(replace(s.reel("R-004"), box_label="mouldy")), what="the box is read")
    async with at_machine(book) as seat:
        assert "R-004 only with gloves and an FFP2 or N95 mask, never under a fan" in flat(seat)
        await seat.go_to("identify R-004")
        await seat.press("space", "escape")
        assert "only with gloves" in flat(seat)


async def test_a_repair_is_asked_about_by_key(book: Any, at_machine: Any, begun: list[str]) -> None:
    plan = book.plans.kept_plan()
    look = next(one for one in plan.items if one.kind == "identify")
    mend = replace(look, kind="repair", reel="R-001", start=look.end, end=look.end + timedelta(minutes=10))
    book.plans.keep_plan(replace(plan, items=(*plan.items, mend)))
    tape = replace(book.shelf.reel("R-001"), box_label="Schimmel", splices=2)
    book.change(lambda s: s.with_reel(tape), what="the box is read")
    async with at_machine(book) as seat:
        await seat.go_to("repair R-001")
        assert "R-001 only with gloves and an FFP2" in flat(seat)
        await seat.press("space", "escape")
        assert "R-001: look at it first" in flat(seat)
        await seat.press("escape")
        states = {one.kind: one.state for one in seat.app.screen.sheet.steps if one.subject == "R-001"}
        assert states["repair"] == "waiting"
        await seat.press("space", "2")
        states = {one.kind: one.state for one in seat.app.screen.sheet.steps if one.subject == "R-001"}
        assert states["repair"] == "running"
