"""An evening on which a deck was lined up with the helper: nobody is to tell them to stay away."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest
from alarmshelf import printed
from doorshelf import put
from onedeck import EVERY_DAY, hours, one_deck

from core.evening.around.begins import who_comes
from core.evening.tonight.runsheet import run_sheet
from core.workbook.workbook import Workbook
from tui.commands import command

REEL = {
    "base": "polyester", "condition": "ok", "stock": "", "width": "1/4 in", "tracks": "2",
    "speed": "15 ips", "eq": "NAB", "level": "250 nWb/m", "length": "1200 ft", "stage": "identified",
}  # fmt: skip
AWAY = "the helper is not needed on Tue 1 Dec"


@pytest.fixture
def clock(monkeypatch: pytest.MonkeyPatch) -> Any:
    """Moves the moment at which commands run."""

    def to(text: str) -> None:
        moment = datetime.fromisoformat(f"2026-12-01T{text}").replace(tzinfo=UTC)
        monkeypatch.setattr("tui.commands.command.now", lambda: moment)

    return to


@pytest.fixture
def planned(run: Any, clock: Any, tmp_path: Path) -> Any:
    """Two reels behind one full line-up at 19:30, with the helper who comes every evening."""
    rows = hours(EVERY_DAY, "19:00", "22:30", "bench", "home", "helper")
    deck = "setup_needs_helper = true\ncalibration_needed = false\n"
    clock("19:30")
    (tmp_path / "studio.toml").write_text(one_deck("Evenings", "UTC", rows=rows, deck=deck))
    assert run("new", "--studio", "studio.toml").status == 0
    put(run, [REEL | {"reel": "R-1"}, REEL | {"reel": "R-2"}])
    assert run("plan", "--days", "3", "--effort", "0.2").status == 0
    return run


def test_an_evening_on_which_she_lined_up_is_not_one_without_her(
    planned: Any, clock: Any, tmp_path: Path
) -> None:
    clock("20:11")
    assert planned("tonight", "begin", "line up D1", "--at", "19:30").status == 0
    assert planned("tonight", "end", "line up D1", "--at", "20:10").status == 0
    told = planned("plan", "--days", "3", "--effort", "0.2").out
    assert "the helper is not needed on Wed 2 Dec" in told and AWAY not in told
    assert "helper not needed" not in planned("plan", "--show").out.partition("\n Wed 2 Dec")[0]
    assert "not needed: tell them" not in printed(planned, "orders")
    book = Workbook.open(tmp_path / "tapes.json", lambda: command.now())
    sheet = run_sheet(book.shelf, book.plans.kept_plan(), command.now())
    assert who_comes(book.shelf, sheet) == "the helper comes 19:00-22:30"


def test_one_on_which_nothing_was_lined_up_is(planned: Any, clock: Any) -> None:
    for reel in ("R-1", "R-2"):
        assert planned("set", reel, "condition=mould").status == 0
    told = planned("plan", "--days", "3", "--effort", "0.2").out
    assert f"{AWAY}, Wed 2 Dec, " in told
