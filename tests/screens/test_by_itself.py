"""What opens by itself takes no key that was meant for something else, and covers no line being typed."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

import pytest

from tui.frame import by_itself
from tui.frame.bell import BellScreen
from tui.places.tonight.acts.moved_page import MovedPage


def touches(book: Any) -> int:
    """How many touches are logged."""
    return sum(len(record.get("touches", ())) for record in book.shelf.of_kind("load").values())


async def test_the_bell_hears_no_key_in_its_first_moment(
    book: Any, opened: Any, until: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    clock = [100.0]
    monkeypatch.setattr(by_itself, "DEAF_SECONDS", 1.5)
    monkeypatch.setattr(by_itself, "monotonic", lambda: clock[0])
    async with opened(book) as pilot:
        book.moment += timedelta(minutes=24)
        pilot.app.tick()
        await until(pilot, lambda: isinstance(pilot.app.screen, BellScreen))
        for key in ("space", "enter", "l", "escape", "q", "u", "t"):
            await pilot.press(key)
        assert isinstance(pilot.app.screen, BellScreen) and pilot.app.next_touch.due.hour == 19
        clock[0] += 1.6
        await pilot.press("space")
        await until(pilot, lambda: not isinstance(pilot.app.screen, BellScreen))
        assert pilot.app.next_touch.due.hour == 21


async def test_words_typed_on_while_the_bell_stands_log_no_turn(
    book: Any, opened: Any, until: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A letter is none of its keys: what follows at once was meant for the line below, spaces too."""
    clock = [100.0]
    monkeypatch.setattr(by_itself, "DEAF_SECONDS", 1.5)
    monkeypatch.setattr(by_itself, "monotonic", lambda: clock[0])
    async with opened(book) as pilot:
        book.moment += timedelta(minutes=24)
        pilot.app.tick()
        await until(pilot, lambda: isinstance(pilot.app.screen, BellScreen))
        clock[0] += 10
        await pilot.press("c", "l", "e", "a", "n", "space", "enter")
        assert isinstance(pilot.app.screen, BellScreen) and pilot.app.next_touch.due.hour == 19
        clock[0] += 1.6
        await pilot.press("space")
        await until(pilot, lambda: not isinstance(pilot.app.screen, BellScreen))
        assert pilot.app.next_touch.due.hour == 21


async def test_a_space_typed_in_a_note_never_logs_a_turn(
    book: Any, opened: Any, seen: Any, until: Any
) -> None:
    """The bell waits above the line, rings, and comes when the line is done."""
    async with opened(book) as pilot:
        app = pilot.app
        await pilot.press("n")
        await pilot.press("a")
        book.moment += timedelta(minutes=24)
        rings = []
        app.bell = lambda: rings.append(1)
        app.tick()
        await pilot.pause()
        assert not isinstance(app.screen, BellScreen) and len(rings) == 1
        assert any("turn R-002" in line and "finish the line" in line for line in seen(app))
        await pilot.press("space", "b")
        assert app.screen.query_one("Input").value == "a b"
        book.moment += timedelta(seconds=21)
        app.tick()
        assert len(rings) == 2 and app.next_touch.due.hour == 19
        await pilot.press("escape")
        app.tick()
        await until(pilot, lambda: isinstance(app.screen, BellScreen))
        await pilot.press("space")
        await until(pilot, lambda: app.next_touch.due.hour == 21)
        assert not any("finish the line" in line for line in seen(app))


async def test_a_line_that_nobody_types_in_is_no_hindrance_for_ever(
    book: Any, opened: Any, until: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    async with opened(book) as pilot:
        await pilot.press("n", "a")
        book.moment += timedelta(minutes=24)
        pilot.app.tick()
        assert not isinstance(pilot.app.screen, BellScreen)
        pilot.app.last_key_at -= by_itself.IDLE_SECONDS + 1
        pilot.app.tick()
        await until(pilot, lambda: isinstance(pilot.app.screen, BellScreen))


def test_a_page_that_was_asked_for_hears_at_once() -> None:
    assert MovedPage((), asked=True).deaf is False
    assert MovedPage(()).deaf is True
