"""An evening that is planned again more than once: what each plan moved is told until it is back."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
from pypdf import PdfReader

from core.errors import Refused
from core.plan import Move
from core.workbook.workbook import Workbook

WHY = "to make room for others"
DAY = timedelta(days=1)


@pytest.fixture
def line(book: Any, clock: Any, monkeypatch: Any, capfd: Any) -> Callable[..., str]:
    """Runs a command line on that evening's shelf and gives its standard output."""
    from tui.cli import main

    monkeypatch.setenv("REELTURN_SHELF", str(book.path))
    monkeypatch.setattr("tui.commands.command.now", clock)

    def run(*words: str) -> str:
        capfd.readouterr()
        assert main([*words]) == 0
        return str(capfd.readouterr().out)

    return run


def anew(book: Any, clock: Any, moved: dict[tuple[str, str], timedelta], why: str = WHY) -> None:
    """Keeps the plan made anew now with these steps so much later, its moves told as by the search."""
    clock.on(minutes=1)
    book.reload()
    kept = book.plans.kept_plan()
    items, moves = [], []
    for item in kept.items:
        by = moved.get((item.kind, item.reel))
        if by is None:
            items.append(item)
            continue
        items.append(replace(item, start=item.start + by, end=item.end + by))
        moves.append(Move(item.kind, item.reel, item.start, item.start + by, why))
    start = clock().astimezone(kept.start.tzinfo)
    plan = replace(kept, items=tuple(items), moves=tuple(moves), moved=(), start=start)
    book.plans.keep_plan(plan)


def rows(line: Callable[..., str]) -> dict[str, str]:
    """By step, its state in the evening's JSON."""
    steps = json.loads(line("tonight", "--json"))
    return {f"{one['kind']} {one['subject']}": one["state"] for one in steps}


def ordered(line: Callable[..., str], folder: Path) -> str:
    """The printed order's text in one line."""
    line("print", "tonight", "--out", str(folder))
    (sheet,) = folder.glob("order-*.pdf")
    text = " ".join(page.extract_text() for page in PdfReader(sheet).pages)
    sheet.unlink()
    return " ".join(text.split())


def test_what_an_earlier_answer_moved_stands_on_every_face_beside_what_the_last_one_moved(
    book: Any, clock: Any, line: Callable[..., str], tmp_path: Path
) -> None:
    """19:21 sends R-008 to Wednesday, 19:22 the look at R-004: both are told, killed in between or not."""
    clock.on(minutes=20)
    monday = book.plans.kept_plan()
    anew(book, clock, {("transfer", "R-008"): DAY, ("verify", "R-008"): DAY})
    book = Workbook.open(book.path, clock)  # another program: nothing but the file knows
    anew(book, clock, {("identify", "R-004"): DAY})
    steps = rows(line)
    gone = ("transfer R-008", "verify R-008", "identify R-004")
    assert [steps[one] for one in gone] == ["moved"] * 3
    shown, told = line("tonight"), line("closing")
    assert "now Wed 2 Dec 20:30" in shown and "now Wed 2 Dec 20:20" in shown
    first = f"transfer and verify of R-008: from Tue 1 Dec 20:30 to Wed 2 Dec 20:30, {WHY}"
    last = f"identify of R-004: from Tue 1 Dec 20:20 to Wed 2 Dec 20:20, {WHY}"
    assert first in told and last in told
    paper = ordered(line, tmp_path)
    assert first in paper and last in paper
    # What was planned before the evening began was no move of it.
    assert monday.moves == ()


def test_the_newest_word_of_a_step_counts_and_what_came_back_moved_nowhere(
    book: Any, clock: Any, line: Callable[..., str]
) -> None:
    clock.on(minutes=20)
    anew(book, clock, {("transfer", "R-008"): DAY, ("verify", "R-008"): DAY})
    anew(book, clock, {("transfer", "R-008"): DAY, ("verify", "R-008"): DAY}, "the helper is not there")
    told = line("closing")
    assert "from Tue 1 Dec 20:30 to Thu 3 Dec 20:30, the helper is not there" in told and WHY not in told
    assert "now Thu 3 Dec 20:30" in line("tonight")
    anew(book, clock, {("transfer", "R-008"): -2 * DAY, ("verify", "R-008"): -2 * DAY})
    assert rows(line)["transfer R-008"] == "waiting" and "of R-008" not in line("closing")


def test_it_is_told_at_another_time_of_the_evening_and_not_once_it_is_done(
    book: Any, clock: Any, line: Callable[..., str]
) -> None:
    clock.on(minutes=20)
    anew(book, clock, {("transfer", "R-008"): DAY, ("verify", "R-008"): DAY})
    sooner = timedelta(minutes=-30) - DAY
    anew(book, clock, {("transfer", "R-008"): sooner, ("verify", "R-008"): sooner})
    assert "2 steps of this evening at another time of it" in line("closing")
    anew(book, clock, {("identify", "R-004"): DAY})
    line("set", "R-004", "condition=ok")
    line("mark", "R-004", "identified", "--because", "looked at after all")
    told = line("closing")
    assert "identify of R-004" not in told and "2 steps of this evening" in told
    line("undo")  # it was not looked at
    assert "identify of R-004: from Tue 1 Dec 20:20 to Wed 2 Dec 20:20" in line("closing")


def test_a_new_evening_and_a_plan_made_before_it_began_tell_nothing_of_an_old_one(
    book: Any, clock: Any, line: Callable[..., str]
) -> None:
    clock.on(minutes=20)
    anew(book, clock, {("transfer", "R-008"): DAY, ("verify", "R-008"): DAY})
    clock.on(hours=20)  # Wednesday afternoon
    anew(book, clock, {("identify", "R-004"): 2 * DAY}, "it was not done then")
    clock.on(hours=4)
    anew(book, clock, {("transfer", "R-008"): DAY}, "to make room for others")
    told = line("closing")
    assert "transfer of R-008: from Wed 2 Dec 20:30 to Thu 3 Dec 20:30" in told and "Tue 1 Dec" not in told


def test_a_tape_with_another_key_or_off_the_shelf_is_told_so(
    book: Any, clock: Any, line: Callable[..., str]
) -> None:
    clock.on(minutes=20)
    anew(book, clock, {("transfer", "R-008"): DAY, ("verify", "R-008"): DAY, ("identify", "R-004"): DAY})
    line("rename", "R-008", "R-108")
    assert "transfer and verify of R-108: from Tue 1 Dec" in line("closing")
    line("remove", "R-004")
    assert "R-004" not in line("closing") and rows(line)["transfer R-108"] == "moved"


def test_a_move_that_comes_back_half_of_its_way_keeps_the_reason_for_which_it_went(
    book: Any, clock: Any, line: Callable[..., str]
) -> None:
    clock.on(minutes=20)
    both = ("transfer", "R-008"), ("verify", "R-008")
    anew(book, clock, dict.fromkeys(both, 2 * DAY), "D1 may not run on Tue 1 Dec")
    anew(book, clock, dict.fromkeys(both, -DAY), "there is room for it sooner")
    told = line("closing")
    assert "of R-008: from Tue 1 Dec 20:30 to Wed 2 Dec 20:30, D1 may not run on Tue 1 Dec" in told


def test_what_an_answer_took_out_of_the_evening_is_tonights_still_for_the_next_one(
    book: Any, clock: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What that does to a plan: `tests/planner/test_carry_on.py`."""
    asked: list[Any] = []

    def search(shelf: Any, start: Any, days: int, *, wishes: Any, **how: Any) -> Any:
        asked.append(wishes)
        raise Refused("not searched")

    monkeypatch.setattr("core.planning.plan_evenings.plan_evenings", search)
    clock.on(minutes=1)
    anew(book, clock, {("transfer", "R-008"): DAY, ("verify", "R-008"): DAY}, "D1 may not run")
    clock.on(minutes=1)
    for _ in range(2):
        with pytest.raises(Refused):
            book.plans.plan(effort=0.2)
        clock.on(hours=24)  # on the next evening it is that one's no more
    assert sorted(one[:2] for one in asked[0].left) == [("transfer", "R-008"), ("verify", "R-008")]
    assert {one[2].astimezone(clock().tzinfo).date() for one in asked[0].left} == {clock().date() - 2 * DAY}
    assert asked[1].left == ()
