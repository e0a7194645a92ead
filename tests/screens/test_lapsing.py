"""Playable days that run out: warned of on chart, tonight, order and calendar, in the same words."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import timedelta
from io import BytesIO
from pathlib import Path
from typing import Any

import pytest
from icalendar import Calendar
from pypdf import PdfReader

from core.clock import days_later
from core.evening.around.second_heat import second_tonight
from core.evening.warming.lapsing import lapsing
from core.words import day_text
from tui.board.rows import Board
from tui.text.plan_lines import plan_lines


def _warmed(book: Any, days: int) -> None:
    """R-003 is sticky, was warmed, and plays for so many days more, to 18:00; the chamber is empty."""
    until = days_later(book.now(), days).replace(hour=21, minute=30, second=0, microsecond=0)

    def act(shelf: Any) -> Any:
        reels = {key: replace(reel, chamber="", loaded_at=None) for key, reel in shelf.reels.items()}
        own = replace(
            reels["R-003"], condition=("sticky",), base="polyester", stage="conditioned",
            conditioned_at=days_later(book.now(), days - 14), playable_until=until,
        )  # fmt: skip
        return replace(shelf, reels=reels | {"R-003": own})

    book.change(act, what="warm R-003")


@pytest.mark.parametrize(
    ("days", "words"),
    [
        (0, "R-003 plays only until today 21:30; "),
        (1, "R-003 plays only until tomorrow 21:30; "),
        (2, "R-003 plays only until Thu 3 Dec, two days, 21:30; "),
        (7, "R-003 plays only until Tue 8 Dec 21:30; "),
    ],
)
async def test_chart_and_tonight_warn_in_eighty_columns(
    days: int, words: str, on_disk: Any, opened: Any, seen: Any, until: Any
) -> None:
    _warmed(on_disk, days)
    on_disk.plans.plan(days=7, effort=0.1)
    async with opened(on_disk) as pilot:
        await until(pilot, lambda: any(line.strip().startswith(f"! {words}") for line in seen(pilot.app)))
        line = next(line for line in seen(pilot.app) if words in line)
        assert ("planned " in line) or ("not planned before: plan again" in line)
        assert len(line) <= 80 and ".." not in line
        await pilot.press("t")
        await until(pilot, lambda: pilot.app.current_mode == "tonight")
        await until(pilot, lambda: any(line.strip().startswith(f"! {words}") for line in seen(pilot.app)))


async def test_nothing_is_said_while_there_is_more_than_a_week(
    on_disk: Any, opened: Any, seen: Any, until: Any
) -> None:
    _warmed(on_disk, 9)
    on_disk.plans.plan(days=7, effort=0.1)
    async with opened(on_disk) as pilot:
        await until(pilot, lambda: any("machine time" in line for line in seen(pilot.app)))
        assert not any("plays only until" in line for line in seen(pilot.app))


def test_order_and_calendar_warn(on_disk: Any, tmp_path: Path) -> None:
    _warmed(on_disk, 2)
    on_disk.plans.plan(days=7, effort=0.1)
    (lapse,) = lapsing(on_disk.shelf, on_disk.plans.kept_plan(), on_disk.now())
    files = on_disk.papers.orders(tmp_path / "out")
    first = next(file for file in files if file.name == "order-2026-12-01.pdf")
    paper = " ".join(page.extract_text() for page in PdfReader(BytesIO(first.read_bytes())).pages)
    assert "! R-003 plays only until Thu 3 Dec, two days, 21:30; " in re.sub(r"\s+", " ", paper)
    ical = Calendar.from_ical(on_disk.papers.calendar())
    event = next(e for e in ical.walk("VEVENT") if str(e["SUMMARY"]) == "R-003 may not be played any more")
    assert event.decoded("DTSTART") == lapse.until
    rings = {alarm.decoded("TRIGGER") for alarm in event.walk("VALARM")}
    assert rings == {timedelta(days=-7), timedelta(days=-2), timedelta(days=-1)}
    assert str(event["DESCRIPTION"]).startswith("R-003 plays only until Thu 3 Dec 21:30; ")


def test_the_plan_plays_it_before_it_lapses(on_disk: Any) -> None:
    _warmed(on_disk, 2)
    plan = on_disk.plans.plan(days=7, effort=0.1)
    (lapse,) = lapsing(on_disk.shelf, plan, on_disk.now())
    assert lapse.planned is not None and lapse.planned.end <= lapse.until


def test_what_is_warmed_again_is_told_as_that_and_as_a_second_treatment(on_disk: Any, tmp_path: Path) -> None:
    """The plan gives its time up and warms it anew: no face says to plan again, each says the second."""
    _warmed(on_disk, 2)
    on_disk.plans.wish("R-003 not before 2026-12-05")
    plan = on_disk.plans.plan(days=14, effort=0.5)
    load = next(i for i in plan.items if i.kind == "condition" and "R-003" in i.reels)
    row = Board(on_disk.shelf, on_disk.now(), plan).row("R-003")
    assert row.planned is load and row.step.words.startswith("warm again "), (
        "its day is the load's, not a line-up's"
    )
    (lapse,) = lapsing(on_disk.shelf, plan, on_disk.now())
    assert lapse.words.endswith(f"; warmed again {day_text(load.start.date())} {load.start:%H:%M}")
    told = list(plan_lines(on_disk.shelf, plan, [], (), on_disk.now()))
    assert any(line.startswith("! second treatment: R-003 ") for line in told)
    for file in on_disk.papers.orders(tmp_path / "out"):
        text = " ".join(page.extract_text() for page in PdfReader(BytesIO(file.read_bytes())).pages)
        assert "not planned before" not in text
        begins = file.name == f"order-{load.start.date()}.pdf"
        assert ("! second treatment: R-003" in re.sub(r"\s+", " ", text)) == begins
    assert "treble" in second_tonight(on_disk.shelf, plan, load.start.date(), on_disk.now())
    assert not second_tonight(on_disk.shelf, plan, on_disk.now().date(), on_disk.now())
