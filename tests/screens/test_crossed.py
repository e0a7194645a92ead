"""A step that must not be done any more is crossed in the week and on the chart, with the reason."""

from __future__ import annotations

from dataclasses import replace
from typing import Any


def found_out(planned: Any, **facts: Any) -> None:
    """What was learnt about R-003, which the plan lines up for and transfers."""
    shelf = planned.shelf
    planned.lay_out(shelf.with_reel(replace(shelf.reel("R-003"), **facts)))


async def test_the_week_crosses_it_and_says_why(planned: Any, opened: Any, seen: Any, until: Any) -> None:
    found_out(planned, signs=("vinegar",))
    async with opened(planned) as pilot:
        await pilot.press("w")
        await until(pilot, lambda: any("xR-003" in line for line in seen(pilot.app)))
        await pilot.press("right")
        await until(pilot, lambda: any("struck out, R-003: vinegar" in line for line in seen(pilot.app)))


async def test_without_news_nothing_is_crossed(planned: Any, opened: Any, seen: Any, until: Any) -> None:
    async with opened(planned) as pilot:
        await pilot.press("w")
        await until(pilot, lambda: any("R-003··" in line for line in seen(pilot.app)))
        assert not any("xR-003" in line or "struck out" in line for line in seen(pilot.app))


async def test_chart_and_card_cross_the_planned_date(
    planned: Any, opened: Any, seen: Any, until: Any
) -> None:
    async with opened(planned, (140, 40)) as pilot:
        row = next(line for line in seen(pilot.app) if "R-003" in line)
        assert " 19:25" in row
        assert "x19:25" not in row
    found_out(planned, set_aside="lent out")
    async with opened(planned, (140, 40)) as pilot:
        row = next(line for line in seen(pilot.app) if "R-003" in line)
        assert "x19:25" in row
        pilot.app.open_door("reel", "R-003")
        await until(pilot, lambda: any("transfer Tue 1 Dec 19:25: struck out" in x for x in seen(pilot.app)))
        assert any("lent out" in line for line in seen(pilot.app))
