"""What ran on a deck and is told afterwards asks what became of the tape that lay there, as a key does."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

import pytest

from core.clock import later
from core.evening.playing.left_lying import left_lying
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
def aside(book: Any, clock: Any) -> Any:
    """R-008 ran on D1 from 18:30, was stopped at 5:00 and laid aside; the evening begins at 19:00."""
    now = book.now().astimezone(book.shelf.studio.zone)
    (step,) = [
        one
        for one in run_sheet(book.shelf, book.plans.kept_plan(), now).steps
        if one.what[:2] == ("transfer", "R-008")
    ]

    def act(shelf: Any) -> Any:
        began = later(now, minutes=-30)
        shelf = start_pass(start_step(shelf, step, began, "early"), "R-008", 1, began)
        shelf = stop_pass(shelf, "R-008 1", later(now, minutes=-25), "stopped")
        shelf = lay_aside(shelf, "R-008", "heard at another speed")
        return shelf.with_record("actual", step.key, shelf.of_kind("actual")[step.key] | {"state": "skipped"})

    book.change(act, what="what was laid aside")
    return book


def on_two_reels(shelf: Any, clock: Any) -> list[str]:
    """What lies on both reels an evening later."""
    return [one.reel for one in left_lying(shelf, clock() + timedelta(days=1))]


@pytest.mark.parametrize(("answer", "lies"), [("1", []), ("2", ["R-008"])])
async def test_catching_up_asks_about_the_tape_that_lay_on_the_deck(
    aside: Any, at_machine: Any, clock: Any, answer: str, lies: list[str]
) -> None:
    async with at_machine(aside) as seat:
        await seat.wait(minutes=16)  # the line-up of D1 19:00-19:15 was to be over
        await seat.press("m", "pagedown", "enter")
        text = " ".join(seat.text.split())
        assert "line up D1" in text and "at 19:00: R-008 lay there" in text
        assert "it was wound back before" in text
        assert not [key for key in seat.shelf.of_kind("actual") if key.startswith("align")], "nothing yet"
        await seat.press(answer)
        assert [key for key in seat.shelf.of_kind("actual") if key.startswith("align")]
        assert on_two_reels(seat.shelf, clock) == lies
        await seat.press("u")  # one change, taken back as one
        assert on_two_reels(seat.shelf, clock) == ["R-008"]
        assert not [key for key in seat.shelf.of_kind("actual") if key.startswith("align")]


async def test_what_was_done_by_paper_asks_so_too_and_of_what_lay_there_later_nothing(
    aside: Any, at_machine: Any, clock: Any
) -> None:
    aside.mark("R-001", "aligned")
    async with at_machine(aside) as seat:
        await seat.wait(minutes=120)
        await seat.go_to("transfer R-001")
        await seat.press("p")
        await seat.choose(list(PROBLEMS).index("paper"))
        await seat.types("19:20-19:55")
        await seat.press("pagedown", "enter")
        assert "transfer R-001 at 19:20: R-008 lay there" in seat.text
        await seat.press("escape")
        assert not seat.shelf.reel("R-001").past("transferred"), "Esc takes nothing"
        await seat.go_to("transfer R-001")
        await seat.press("p")
        await seat.choose(list(PROBLEMS).index("paper"))
        await seat.fills("18:00-18:25")
        await seat.press("pagedown", "enter")
        assert "lay there" not in seat.text and seat.shelf.reel("R-001").past("transferred")
        assert on_two_reels(seat.shelf, clock) == ["R-008"]
