"""What ran on a deck that was to be wiped, and is told afterwards, asks about the path as a key does."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from typing import Any

import pytest

from core.clock import later
from core.conditioning.spreading.dirty_path import dirty_paths, wiped
from core.errors import Refused
from core.evening.playing.left_lying import wound_back
from core.evening.playing.passes import lay_aside, start_pass, stop_pass
from core.evening.tonight.runsheet import run_sheet
from core.evening.tonight.steps import start_step
from tui.places.tonight.acts.mishaps import PROBLEMS


@pytest.fixture(autouse=True)
def asked(monkeypatch: Any) -> None:
    """Planning again is not waited for."""
    from tui.places.tonight.acts.replan import ReplanActs

    monkeypatch.setattr(ReplanActs, "replan", lambda self, happened, **how: None)


@pytest.fixture
def dirty(book: Any) -> Any:
    """R-008 ran on D1 from 18:30, was wound back, and is known by now to lose oxide; it is seven o'clock."""
    now = book.now().astimezone(book.shelf.studio.zone)
    steps = run_sheet(book.shelf, book.plans.kept_plan(), now).steps
    (step,) = [one for one in steps if one.what[:2] == ("transfer", "R-008")]

    def act(shelf: Any) -> Any:
        began = later(now, minutes=-30)
        shelf = start_pass(start_step(shelf, step, began, "early"), "R-008", 1, began)
        shelf = stop_pass(shelf, "R-008 1", later(now, minutes=-25), "stopped")
        shelf = wound_back(lay_aside(shelf, "R-008", "it sheds"), "R-008")
        shelf = shelf.with_reel(replace(shelf.reel("R-008"), condition=(), signs=("loose oxide",)))
        return shelf.with_record("actual", step.key, shelf.of_kind("actual")[step.key] | {"state": "skipped"})

    book.change(act, what="what left something on the path")
    return book


@pytest.mark.parametrize(("answer", "still"), [("1", []), ("2", ["D1"])])
async def test_catching_up_asks_about_a_path_that_was_to_be_wiped(
    dirty: Any, at_machine: Any, answer: str, still: list[str]
) -> None:
    async with at_machine(dirty) as seat:
        assert list(dirty_paths(seat.shelf)) == ["D1"]
        await seat.wait(minutes=16)  # the line-up of D1 19:00-19:15 was to be over
        await seat.press("m", "pagedown", "enter")
        text = " ".join(seat.text.split())
        assert "at 19:00: was the path of D1 clean?" in text and "since R-008 ran on it" in text
        assert not [key for key in seat.shelf.of_kind("actual") if key.startswith("align")], "nothing yet"
        await seat.press(answer)
        assert [key for key in seat.shelf.of_kind("actual") if key.startswith("align")]
        assert list(dirty_paths(seat.shelf)) == still
        await seat.press("u")  # one change, taken back as one
        assert list(dirty_paths(seat.shelf)) == ["D1"]
        assert not [key for key in seat.shelf.of_kind("actual") if key.startswith("align")]


async def test_what_was_done_by_paper_asks_so_too_and_of_what_ran_earlier_nothing(
    dirty: Any, at_machine: Any
) -> None:
    dirty.mark("R-001", "aligned")
    async with at_machine(dirty) as seat:
        await seat.wait(minutes=120)
        await seat.go_to("transfer R-001")
        await seat.press("p")
        await seat.choose(list(PROBLEMS).index("paper"))
        await seat.types("19:20-19:55")
        await seat.press("pagedown", "enter")
        assert "transfer R-001 at 19:20: was the path of D1 clean?" in seat.text
        await seat.press("escape")
        assert not seat.shelf.reel("R-001").past("transferred"), "Esc takes nothing"
        await seat.go_to("transfer R-001")
        await seat.press("p")
        await seat.choose(list(PROBLEMS).index("paper"))
        await seat.fills("18:00-18:25")
        await seat.press("pagedown", "enter")
        assert "the path of D1" not in seat.text and seat.shelf.reel("R-001").past("transferred")
        assert list(dirty_paths(seat.shelf)) == ["D1"]


def test_a_path_is_told_wiped_before_what_runs_there_now_began_and_not_while_it_ran(dirty: Any) -> None:
    now = dirty.now().astimezone(dirty.shelf.studio.zone)
    steps = run_sheet(dirty.shelf, dirty.plans.kept_plan(), now).steps
    step = next(one for one in steps if one.kind == "align")
    shelf = start_step(dirty.shelf, step, now, "not wiped")
    assert not dirty_paths(wiped(shelf, "D1", now - timedelta(minutes=1)))
    with pytest.raises(Refused, match="the line-up of D1 runs on it"):
        wiped(shelf, "D1", now + timedelta(minutes=1))
