"""However many rows ask of the kept plan, it is read, and asked what may not be done of it, once."""

from __future__ import annotations

from typing import Any

import pytest

import core.plan
from core.evening.asked_first import asked_first
from core.evening.tonight.runsheet import run_sheet
from core.standing.of_plan import still


def test_every_row_asks_the_same_plan(book: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    read, asked = [], []
    from_json, left = core.plan.plan_from_json, still._left_of_plan

    def reading(*told: Any) -> Any:
        read.append(told)
        return from_json(*told)

    def asking(shelf: Any, plan: Any, at: Any, *, anew: bool) -> Any:
        asked.append((at, anew))
        return left(shelf, plan, at, anew=anew)

    book.reload()
    monkeypatch.setattr(core.plan, "plan_from_json", reading)
    monkeypatch.setattr(still, "_left_of_plan", asking)
    shelf, plan = book.shelf, book.plans.kept_plan()
    for _ in range(2):
        steps = run_sheet(shelf, plan, book.now()).steps
        assert [asked_first(shelf, step) for step in steps]
    assert len(read) <= 1 and len(asked) == len(set(asked)) > 0


def test_another_record_is_another_plan(book: Any) -> None:
    before = book.plans.kept_plan()
    book.plans.keep_plan(before)
    assert book.plans.kept_plan("before") == before
    assert book.plans.kept_plan().number == before.number + 1
    assert book.plans.kept_plan() is book.plans.kept_plan()
