"""The page of a plan that was found meanwhile: never over a question, deaf to a key that was on its way."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from types import SimpleNamespace
from typing import Any

import pytest

from tui.frame import by_itself
from tui.places.tonight.acts.moved_page import MovedPage
from tui.workers.planning import Searched


async def test_it_waits_until_the_question_is_answered_and_hears_no_key_at_first(
    book: Any, at_machine: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    clock = [50.0]
    monkeypatch.setattr(by_itself, "DEAF_SECONDS", 1.5)
    monkeypatch.setattr(by_itself, "monotonic", lambda: clock[0])
    async with at_machine(book) as seat:
        place, number = seat.app.screen, book.plans.kept_plan().number
        await seat.press("p")
        question = seat.app.screen
        assert question is not place
        place.replans.search = seat.app.search = SimpleNamespace(stop=lambda **how: None)
        place.replans.searched(Searched(place.replans.search, book.plans.kept_plan()))
        await seat.settle()
        assert seat.app.screen is question, "it does not open over a question"
        await seat.press("escape")
        await seat.until(lambda: isinstance(seat.app.screen, MovedPage))
        await seat.press("enter", "space", "enter")
        assert isinstance(seat.app.screen, MovedPage) and book.plans.kept_plan().number == number
        clock[0] += 1.6
        page = seat.app.screen
        await seat.press("escape")
        assert "the plan stays as it was: R plans again" in seat.text
        place.replans.new = book.plans.kept_plan()
        place.replans.offer(asked=True)
        await seat.until(lambda: isinstance(seat.app.screen, MovedPage) and seat.app.screen is not page)
        await seat.press("enter")
        await seat.until(lambda: book.plans.kept_plan().number == number + 1)


def test_a_song_that_is_ready_all_along_is_not_told_as_later(book: Any) -> None:
    """A plan made four hours later begins four hours later; its ready songs do not move with it."""
    from core.plan import SongReady
    from tui.places.week.week import songs_moved
    from tui.text.supposed import songs_compared

    kept = book.plans.kept_plan()
    later = kept.start + timedelta(hours=4)
    then = replace(kept, songs=(SongReady("S-01", kept.start), SongReady("S-02", kept.until)))
    now = replace(
        kept, start=later, songs=(SongReady("S-01", later), SongReady("S-02", later + timedelta(hours=1)))
    )
    (told,) = songs_compared(book.shelf, then, now)
    assert "sooner" in told
    # One that was finished since is no news of the new plan: neither sooner nor later, here or in the week.
    done = replace(kept, songs=(SongReady("S-01", kept.start + timedelta(hours=2)),))
    now = replace(now, songs=(SongReady("S-01", later),))
    assert songs_compared(book.shelf, done, now) == []
    assert songs_moved(kept, replace(kept, start=later, songs=kept.songs)) == ""


async def test_a_page_of_many_moves_is_turned_by_the_first_key_and_says_how(
    book: Any, at_machine: Any
) -> None:
    from tui.frame.drawn.sentences import Sentences

    told = [
        f"transfer of R-{n:03}: from Tue 1 Dec 20:20 to Thu 3 Dec 21:20, {'why ' * 12}" for n in range(20)
    ]
    async with at_machine(book) as seat:
        seat.app.push_screen(MovedPage(told, asked=True))
        await seat.until(lambda: "R-000" in seat.text)
        assert "PgDn turns the page" in seat.text and "R-009" not in seat.text
        await seat.press("pagedown")
        assert "R-009" in seat.text and "R-000" not in seat.text
        await seat.press("pageup")
        assert "R-000" in seat.text
        await seat.press("down", "down")
        assert "R-000" not in seat.text and "R-001" in seat.text
        await seat.press("end")
        assert "R-019" in seat.text
        assert seat.app.screen.query_one(Sentences).scroll_offset.y > 0
        await seat.press("escape")
        seat.app.push_screen(MovedPage(told[:3], asked=True))
        await seat.until(lambda: "R-002" in seat.text)
        assert "turns the page" not in seat.text


def test_a_look_that_fills_time_is_told_where_the_new_plan_has_it(book: Any, clock: Any) -> None:
    """R-004 was to be looked at on Tuesday, and nobody did: it is not gone, a later evening has it."""
    clock.on(hours=24)
    made = book.plans.plan(days=8, effort=0, keep=False)
    (look,) = [item for item in made.items if (item.kind, item.reel) == ("identify", "R-004")]
    (move,) = [one for one in made.moves if (one.kind, one.reel) == ("identify", "R-004")]
    assert move.now == look.start
    assert any(one.startswith("identify of R-004: from Tue 1 Dec 20:20 to ") for one in made.moved)


async def test_by_key_it_is_planned_with_the_line_up_that_stands(
    book: Any, at_machine: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    """19:15: the deck stands lined up for R-001; the plan begins with that, and lines it up no more."""
    from tui.places.tonight.acts import replan
    from tui.workers.planning import Search

    found: list[Any] = []
    monkeypatch.setattr(replan, "EFFORT", 0.0)
    monkeypatch.setattr(Search, "_post", lambda self, message: found.append(message))
    async with at_machine(book) as seat:
        await seat.press("space", "escape")  # the line-up is the first step, and the cursor is on it
        await seat.wait(minutes=15)
        await seat.press("space")
        await seat.press("r")
        await seat.until(lambda: any(isinstance(one, Searched) for one in found))
        plan = next(one.plan for one in found if isinstance(one, Searched))
        assert plan is not None
        tonight = [one for one in plan.items if one.start.date() == plan.start.date() and one.deck == "D1"]
        told = [(one.kind, f"{one.start:%H:%M}") for one in tonight]
        assert told[0] == ("align", "19:00") and [kind for kind, _ in told].count("align") == 1
        assert told[1] == ("transfer", "19:15")


async def test_what_is_told_during_the_search_begins_it_anew(book: Any, at_machine: Any) -> None:
    stopped: list[bool] = []
    async with at_machine(book) as seat:
        place = seat.app.screen
        first = SimpleNamespace(stop=lambda *, silently=False: stopped.append(silently))
        place.replans.search = seat.app.search = first
        place.replans.replan("")  # by key, nothing told
        await seat.settle()
        assert "planning goes on already" in seat.text and not stopped
        place.replans.replan("D1 runs again")
        assert stopped == [True] and place.replans.search is seat.app.search is not first
        place.replans.searched(Searched(first, book.plans.kept_plan()))  # comes too late: nobody looks at it
        assert place.replans.new is None
        place.replans.search.stop()
        await seat.until(lambda: seat.app.search is None)
