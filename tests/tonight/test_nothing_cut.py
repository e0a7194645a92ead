"""At 80 columns nothing that one must know is cut: it goes on below, and the rows beneath give way."""

from __future__ import annotations

from dataclasses import replace
from typing import Any


def cut(seat: Any) -> list[str]:
    """The rows of the screen that end in two dots."""
    return [line for line in seat.text.split("\n") if line.endswith("..")]


def whole(seat: Any) -> str:
    return " ".join(seat.text.split())


async def test_what_is_loud_and_what_is_struck_out_stand_whole(
    book: Any, at_machine: Any, clock: Any, begun: list[str]
) -> None:
    """An evening that nobody marked, and a tape of tonight that must not run any more."""
    plan = book.plans.kept_plan()
    clock.on(hours=24)
    (one,) = [item for item in plan.items if (item.kind, item.reel) == ("transfer", "R-008")]
    tonight = replace(
        one, start=clock().astimezone(one.start.tzinfo), end=one.end.replace(day=one.end.day + 1)
    )
    book.plans.keep_plan(replace(plan, items=(*plan.items, tonight)))
    why = "the pack leans and its leader is torn off, so that the specialist at the harbour has it"
    book.shelving.set_fields("R-008", {"set_aside": why})
    stale = book.plans.plan_is_stale().removesuffix(": plan again")
    async with at_machine(book) as seat:
        text = whole(seat)
        assert "! M marks: C1 never loaded Tue 1 Dec (R-002); 5 steps of Tue 1 Dec not marked" in text
        assert f"! R plans again: {stale}" in text and len(stale) > 60
        (struck,) = [row for row in seat.app.screen.sheet.steps if row.state == "struck"]
        assert why in struck.because and "NOT transfer R-008: set aside" in text and text.count(why) > 1
        assert not cut(seat)
        await seat.press("c")
        await seat.settle()
        assert "! T, M: C1 never loaded Tue 1 Dec (R-002); 5 steps of Tue 1 Dec not marked" in whole(seat)


async def test_what_is_done_before_a_tape_out_of_its_turn_stands_whole(book: Any, at_machine: Any) -> None:
    """The wind that must not be fast, its tracks, its set-up and its file; the last of it was cut."""
    tails = replace(book.shelf.reel("R-008"), wind="tails", stock="", thickness=None, condition=("splices",))
    book.change(lambda s: s.with_reel(tails), what="as it lies")
    async with at_machine(book) as seat:
        await seat.go_to("transfer R-008")
        line = [row for row in seat.text.split("\n") if "R-008: patch" in row or "R-008: " in row]
        assert line and not cut(seat)
        assert "to 1/4 in" in whole(seat) or "R-008 1" in whole(seat)


async def test_what_is_to_be_done_after_a_squeal_is_said_whole_at_once(
    book: Any, at_machine: Any, begun: list[str]
) -> None:
    book.mark("R-001", "aligned")
    async with at_machine(book) as seat:
        await seat.plays(4)
        await seat.press("p", "4", "1")  # brown gum; the new plan is still to come
        told = "R-001: it does not run on: lift both reels off together, warm it before it plays; brown gum"
        assert told in whole(seat)
        assert not [row for row in seat.text.split("\n")[-5:] if row.endswith("..")]
        assert "(it left brown gum): clean heads and guides" in whole(seat), "what was seen, not its stock"
