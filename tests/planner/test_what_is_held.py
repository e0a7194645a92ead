"""What is held on the shelf counts for every face, and a plan made with few moves is really asked for."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest

from core.plan import Plan
from core.planning.wishes.wishes import Wishes
from core.workbook.workbook import Workbook
from tui.workers.planning import Search, Searched

DEMO = Path(__file__).parents[2] / "demo"


@pytest.fixture
def book(tmp_path: Path, moment: Any) -> Workbook:
    from core.store.studio.studio_toml import read_studio_file

    studio = read_studio_file(DEMO / "studio.toml")
    book = Workbook.create(tmp_path / "s.json", studio, lambda: moment("2026-11-30T18:00"))
    book.import_files([DEMO / "reels.csv", DEMO / "songs.csv"])
    return book


def test_a_transfer_that_is_kept_off_an_evening_is_not_planned_there(book: Workbook) -> None:
    first = book.plans.plan(days=7, seconds=0)
    held = next(item for item in first.items if item.kind == "transfer")
    day = held.start.date()
    pin = {"do": "forbid", "kind": "transfer", "reel": held.reel, "day": day.isoformat()}
    book.change(lambda shelf: shelf.with_record("pin", "one", pin), what="keep off")
    again = book.plans.plan(days=7, seconds=0)
    assert all(i.start.date() != day for i in again.items if i.kind == "transfer" and i.reel == held.reel)


def test_planning_with_few_moves_hands_the_kept_plan_to_the_planner(
    book: Workbook, monkeypatch: pytest.MonkeyPatch
) -> None:
    kept = book.plans.plan(days=7, seconds=0)
    book.change(lambda shelf: shelf.with_reel(replace(shelf.reel("R-001"), splices=3)), what="joints")
    heard: list[object] = []
    asked: list[Plan | None] = []

    class Listener:
        def post_message(self, message: object) -> None:
            heard.append(message)

    def plan_evenings(*_: object, wishes: Wishes, **__: object) -> Plan:
        asked.append(wishes.kept)
        return kept

    monkeypatch.setattr("core.planning.plan_evenings.plan_evenings", plan_evenings)
    Search(book, Listener(), 7, seconds=0).run()  # type: ignore[arg-type]
    book.plans.plan(days=7, seconds=0, kept=None, keep=False)
    assert [one and one.number for one in asked] == [1, None]
    assert isinstance(heard[0], Searched) and heard[0].plan is not None
    assert kept.until - kept.start == timedelta(days=7)
