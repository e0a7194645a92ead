"""On a reel: why, by which figures; and how it ran."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

import pytest


async def test_one_key_tells_what_to_do_and_by_which_figures(
    book: Any, opened: Any, seen: Any, until: Any
) -> None:
    async with opened(book) as pilot:
        await pilot.press("y")
        await until(pilot, lambda: any("What to do with it" in line for line in seen(pilot.app)))
        assert any("Because:" in line for line in seen(pilot.app))
        await pilot.press("end")
        await until(pilot, lambda: any("Local rules" in line for line in seen(pilot.app)))
        await pilot.press("escape")
        await until(pilot, lambda: pilot.app.screen.query("ChartList"))


async def test_how_a_reel_ran_is_kept_and_shown(book: Any, opened: Any, seen: Any, until: Any) -> None:
    began = book.moment - timedelta(days=2)
    record = {"chamber": "C1", "at": began.isoformat(), "reels": ["R-001"]}
    book.lay_out(book.shelf.with_record("load", "C1 then", record))
    async with opened(book) as pilot:
        await pilot.press("v", "down", "enter")
        await until(pilot, lambda: "members" in book.shelf.of_kind("load")["C1 then"])
        assert book.shelf.of_kind("load")["C1 then"]["members"]["R-001"]["behaved"] == "some shed"
        await pilot.press("v")
        await until(pilot, lambda: any("1 some shed" in line for line in seen(pilot.app)))


async def test_a_reel_that_was_in_no_load_is_told_so(book: Any, opened: Any, seen: Any, until: Any) -> None:
    async with opened(book) as pilot:
        await pilot.press("v", "enter")
        await until(pilot, lambda: any("was in no load" in line for line in seen(pilot.app)))


async def test_no_reason_and_no_source_is_cut_off(book: Any, opened: Any, seen: Any, until: Any) -> None:
    async with opened(book) as pilot:
        for key in ("y", "f3", "question_mark"):
            await pilot.press(key)
            await until(pilot, lambda: not pilot.app.screen.query("ChartList"))
            for _ in range(12):
                assert [line for line in seen(pilot.app)[1:] if line.rstrip(" │▁▂▃▄▅▆▇").endswith("..")] == []
                await pilot.press("pagedown")
            await pilot.press("escape")
            await until(pilot, lambda: bool(pilot.app.screen.query("ChartList")))


@pytest.mark.parametrize(
    ("keys", "figures"),
    [
        ((), "chart"), (("t",), "tonight"), (("w",), "week"), (("s",), "songs"), (("f2",), "chamber"),
        (("enter",), "card"), (("g",), "sheet"), (("j",), "lineup"),
    ],
)  # fmt: skip
async def test_every_place_tells_where_its_figures_come_from(
    book: Any, opened: Any, seen: Any, until: Any, keys: tuple[str, ...], figures: str
) -> None:
    async with opened(book) as pilot:
        if keys:
            await pilot.press(*keys)
            await until(pilot, lambda: not pilot.app.screen.query("ChartList"))
        await pilot.press("f3")
        await until(pilot, lambda: any(f"Figures of {figures}" in line for line in seen(pilot.app)))
        await pilot.press("end")
        await until(pilot, lambda: any("Source:" in line for line in seen(pilot.app)) or figures == "sheet")
