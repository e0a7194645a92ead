"""The look at a tape's base before its first heat: asked in the load dialog, kept, obeyed."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest


@pytest.fixture
def cold(book: Any) -> Any:
    """R-002 lies on the shelf, polyester by its stock's row alone, and was never warmed."""
    inside = book.shelf.reels["R-002"]
    book.lay_out(book.shelf.with_reel(replace(inside, chamber="", loaded_at=None)))
    return book


async def at_the_dialog(pilot: Any, seen: Any, until: Any) -> None:
    await pilot.press("down", "l")
    await until(pilot, lambda: any("R-002  base not seen" in line for line in seen(pilot.app)))
    await pilot.press("home", "down")  # the reel's line
    await pilot.press("b")
    await until(pilot, lambda: any("R-002: what is it made of?" in line for line in seen(pilot.app)))


async def test_each_look_says_what_it_tells_and_what_it_cannot(
    cold: Any, opened: Any, seen: Any, until: Any
) -> None:
    """Acetate lets light through, polyester looks dark: page on telling acetate from polyester."""
    async with opened(cold) as pilot:
        await at_the_dialog(pilot, seen, until)
        text = " ".join(" ".join(seen(pilot.app)).split())
        for words in ("acetate lets light through", "1 in and wider", "polyester stretches", "Back coat"):
            assert words in text, words


async def test_a_base_seen_to_be_acetate_keeps_the_reel_out(
    cold: Any, opened: Any, seen: Any, until: Any
) -> None:
    async with opened(cold) as pilot:
        await at_the_dialog(pilot, seen, until)
        await pilot.press("down", "down", "enter")
        await until(pilot, lambda: cold.shelf.reel("R-002").base_seen == "acetate")
        says = "not now: sticky on acetate"
        await until(pilot, lambda: any("R-002" in x and says in x for x in seen(pilot.app)))
        await pilot.press("enter")
        await until(pilot, lambda: any("at least one reel" in line for line in seen(pilot.app)))
        assert not cold.shelf.reel("R-002").chamber


async def test_a_base_seen_to_be_polyester_is_asked_about_no_more(
    planned: Any, opened: Any, seen: Any, until: Any
) -> None:
    """And the kept plan goes on resting on it: nothing that it may do has changed."""
    inside = planned.shelf.reels["R-002"]
    planned.lay_out(planned.shelf.with_reel(replace(inside, chamber="", loaded_at=None)))
    planned.plans.keep_plan(planned.plans.kept_plan())
    before = planned.plans.plan_is_stale()
    async with opened(planned) as pilot:
        await at_the_dialog(pilot, seen, until)
        await pilot.press("down", "enter")
        await until(pilot, lambda: planned.shelf.reel("R-002").base_seen == "polyester")
        await until(pilot, lambda: not any("base not seen" in x and "R-002" in x for x in seen(pilot.app)))
        assert planned.plans.plan_is_stale() == before
        await pilot.press("enter")
        await until(pilot, lambda: any("nobody is home" in line for line in seen(pilot.app)))
