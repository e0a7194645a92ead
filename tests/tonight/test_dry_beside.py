"""A repair while a chamber runs empty is done dry, as beside a load: on paper, screen and command."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
from pypdf import PdfReader

DRY = "C1 is warm: work dry, no lighter fuel or alcohol in that room"


def with_repair(book: Any, *, loaded: bool) -> None:
    """A repair at ten past seven, and where asked the load of the evening, on the day after."""
    kept = book.plans.kept_plan()
    (load,) = [one for one in kept.items if one.kind == "condition"]
    (look,) = [one for one in kept.items if one.kind == "identify"]
    start = kept.start + timedelta(minutes=10)
    mend = replace(look, kind="repair", reel="R-001", start=start, end=start + timedelta(minutes=20))
    by = timedelta(hours=20)
    touches = tuple(replace(one, start=one.start + by, end=one.end + by) for one in load.touches)
    late = replace(load, start=load.start + by, end=load.end + by, touches=touches)
    book.plans.keep_plan(replace(kept, items=(mend, late) if loaded else (mend,)))


def on_paper(book: Any, folder: Path) -> str:
    from core.paper.evening.orders import print_orders

    day = book.now().astimezone(book.shelf.studio.zone).date()
    kept, at = book.plans.kept_plan(), book.now()
    (order, *_) = print_orders(book.shelf, kept, folder, made=at, only=day)
    return " ".join(" ".join(page.extract_text().split()) for page in PdfReader(order).pages)


def in_calendar(book: Any) -> str:
    from core.paper.evening.calendar import calendar

    file = calendar(book.shelf, book.plans.kept_plan(), book.now()).decode()
    return file.replace("\r\n ", "").replace("\\", "")


@pytest.mark.parametrize("how", ["cold", "begun", "planned"])
async def test_a_repair_beside_an_empty_run_is_done_dry(
    book: Any, at_machine: Any, clock: Any, tmp_path: Path, monkeypatch: Any, capfd: Any, how: str
) -> None:
    """The vapour of naphtha creeps to what is hot: the caution of repairs asks for a cold chamber."""
    from core.conditioning.on_shelf import log_trial
    from tui.cli import main

    monkeypatch.setenv("REELTURN_SHELF", str(book.path))
    monkeypatch.setattr("tui.commands.command.now", clock)
    with_repair(book, loaded=how == "planned")
    if how == "begun":
        book.change(lambda shelf: log_trial(shelf, "C1", book.now(), 54.0), what="empty run")
    clock.on(minutes=2)
    warm = how != "cold"
    assert (DRY in on_paper(book, tmp_path)) == warm
    assert (DRY in in_calendar(book)) == warm
    async with at_machine(book, size=(120, 40)) as seat:
        await seat.go_to("repair R-001")
        assert ("C1 is warm: work dry" in " ".join(seat.text.split())) == warm
    capfd.readouterr()
    assert main(["tonight"]) == 0
    assert (DRY in capfd.readouterr().out) == warm
    clock.on(minutes=8)
    assert main(["tonight", "begin", "repair R-001", "--because", "as tested"]) == 0
    assert (DRY in capfd.readouterr().err) == warm
