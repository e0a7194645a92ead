"""A switch that bounces: the same key within hundredths of a second answers no page that it opened itself."""

from __future__ import annotations

from typing import Any

import pytest
from textual.events import Key

from tui.asking.choosing import AskChoice


@pytest.mark.parametrize(("apart", "answered"), [(0.0, 1), (0.02, 1), (0.3, 2)])
async def test_a_digit_that_bounces_answers_one_page(
    opened: Any, book: Any, monkeypatch: pytest.MonkeyPatch, apart: float, answered: int
) -> None:
    monkeypatch.setattr("tui.one_key.BOUNCE_SECONDS", 0.06)
    told: list[str | None] = []
    async with opened(book) as pilot:
        app = pilot.app

        def asked(answer: str | None) -> None:
            told.append(answer)
            if len(told) == 1:
                app.push_screen(AskChoice("Which way?", (("on", "on"), ("back", "back"))), asked)

        app.push_screen(AskChoice("How did it run?", (("clean", "clean"), ("shed", "some shed"))), asked)
        await pilot.pause()
        first, second = Key("1", "1"), Key("1", "1")
        second.time = first.time + apart
        app.post_message(first)
        app.post_message(second)
        await pilot.pause(0.3)
        assert len(told) == answered
        if answered == 1:
            await pilot.press("2")  # another key is taken at once
            assert told[1:] == ["back"]
