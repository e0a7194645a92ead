"""Titles that look like markup stay what they are, on every screen."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from core.plan import LeftOver, Plan, SongReady


@pytest.fixture
def nasty_book(book: Any, nasty: str, evening: Any) -> Any:
    """Every text field of reel, song and sheet holds the nasty title."""
    shelf = book.shelf
    texts = ("box_label", "contents", "stock", "location", "notes", "tones", "decoded", "set_aside")
    warm = dict.fromkeys(("stock", "set_aside"), "")  # else the bell rings for what is in the chamber
    reels = [
        replace(r, **dict.fromkeys(texts, nasty) | (warm if r.chamber else {}), extra=((nasty, nasty),))
        for r in shelf.reels.values()
    ]
    songs = [replace(s, title=nasty, artist=nasty, album=nasty, notes=nasty) for s in shelf.songs.values()]
    sheets = tuple(replace(row, part=nasty, player=nasty, take=nasty, notes=nasty) for row in shelf.sheets)
    plan = Plan(
        nasty, evening, evening.replace(day=14), 0.1, "feasible", 1.0, 1.0, 0.0, (),
        (LeftOver("R-004", nasty),), (SongReady("S-01", None, ("R-004",)),),
    )  # fmt: skip
    whole = replace(shelf, sheets=sheets, studio=replace(shelf.studio, name=nasty))
    book.lay_out(whole.with_reel(*reels).with_song(*songs).with_record("plan", "kept", plan.to_json()))
    return book


@pytest.mark.parametrize(
    "keys",
    [
        (), ("enter",), ("enter", "enter"), ("g",), ("g", "enter"), ("s",), ("s", "enter"), ("w",),
        ("n",), ("b",), ("h",), ("f",), ("l",), ("o",), ("z",), ("a",), ("i",), ("question_mark",),
        ("colon",), ("f6",), ("m",),
    ],
)  # fmt: skip
async def test_every_screen_shows_it_as_it_is(
    nasty_book: Any, opened: Any, seen: Any, until: Any, keys: tuple[str, ...]
) -> None:
    async with opened(nasty_book, (120, 40)) as pilot:
        before = type(pilot.app.screen).__name__
        await pilot.press(*keys)
        await pilot.pause()
        lines = "\n".join(seen(pilot.app))
        assert not pilot.app._exit
        if keys in ((), ("enter",), ("g",), ("s",), ("l",), ("w",)):
            assert "[/] Blues [take 2]" in lines
        assert before == "ChartScreen"


async def test_it_can_be_typed_into_every_question(
    book: Any, opened: Any, typed: Any, until: Any, nasty: str
) -> None:
    async with opened(book) as pilot:
        await pilot.press("n")
        await typed(pilot, nasty)
        await pilot.press("enter")
        await until(pilot, lambda: book.shelf.history[-1].note == nasty)
        await pilot.press("b")
        await typed(pilot, nasty)
        await pilot.press("enter")
        await until(pilot, lambda: book.shelf.history[-1].because == nasty)
