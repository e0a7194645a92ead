"""A fact that takes steps out of the kept plan names them under the card and under the look."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from alarmshelf import NOW, lay_out

from core.workbook.workbook import Workbook
from tui.cli import main


@pytest.fixture
def planned(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Any:
    """A shelf with a load, two transfers and a line-up planned at noon, with its kept plan."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("REELTURN_SHELF", str(tmp_path / "tapes.json"))
    monkeypatch.setattr("tui.commands.command.now", lambda: NOW)
    return Workbook.open(lay_out(tmp_path, main), lambda: NOW)


def said(app: Any) -> str:
    return str(app.screen.query_one("SayLine").text)


async def test_the_card_names_what_a_base_strikes(planned: Any, opened: Any, until: Any) -> None:
    async with opened(planned) as pilot:
        pilot.app.open_door("reel", "W-1")
        await until(pilot, lambda: bool(pilot.app.screen.query("FieldList")))
        while pilot.app.screen.query_one("FieldList").name_here != "base":
            await pilot.press("down")
        await pilot.press("enter", *"acetate", "enter")
        await until(pilot, lambda: planned.shelf.reel("W-1").base == "acetate")
        assert "W-1 base: acetate. U takes it back. Struck out of the kept plan: warm W-1 Wed 2 Dec" in said(
            pilot.app
        )
        await pilot.press("enter", *"polyester", "enter")  # the field after it: nothing is struck
        assert "Struck" not in said(pilot.app)


async def test_the_look_names_what_its_answers_strike(planned: Any, opened: Any, until: Any) -> None:
    from tui.asking.look.looking import ask_look

    async with opened(planned) as pilot:
        ask_look(pilot.app, "W-1")
        await until(pilot, lambda: bool(pilot.app.screen.query("OneAnswer")))
        await pilot.press("1", "pagedown", "enter")  # vinegar, and what stands there
        await until(pilot, lambda: "Struck out of the kept plan" in said(pilot.app))
