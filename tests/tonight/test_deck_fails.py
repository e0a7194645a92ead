"""A deck that does not run: nothing is planned on it, its tape is lifted off, and its steps ask before."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest

from core.planning.wishes.wishes import wished_on
from core.standing.deck_rests import rests
from tui.places.tonight.acts.mishaps import PROBLEMS

TUESDAY = date(2026, 12, 1)


@pytest.fixture
def asked(monkeypatch: Any) -> list[str]:
    """Planning again is told of but not waited for."""
    from tui.places.tonight.acts.replan import ReplanActs

    found: list[str] = []
    monkeypatch.setattr(ReplanActs, "replan", lambda self, happened, **how: found.append(happened))
    return found


def wished(seat: Any) -> list[str]:
    return [wish.words for wish in wished_on(seat.shelf).values()]


async def test_the_tape_stops_is_lifted_off_and_the_deck_rests(
    book: Any, at_machine: Any, asked: list[str]
) -> None:
    book.mark("R-001", "aligned")
    async with at_machine(book) as seat:
        await seat.plays(minutes=10)
        await seat.press("p")
        await seat.choose(list(PROBLEMS).index("deck"))
        assert "Which deck does not run?" in seat.text and "1 D1" in seat.text
        await seat.press("1")
        await seat.press("1")
        assert wished(seat) == ["no D1 on 2026-12-01"] and asked == ["D1 does not run until Wed 2 Dec"]
        (stopped,) = seat.passes()
        assert (stopped["state"], stopped["pieces"][-1]["why"]) == ("stopped", "the deck does not run")
        text = " ".join(seat.text.split())
        assert "R-001 lies on both reels of D1 at 10:00: lift both off together" in text
        await seat.press("g")
        assert "D1 rests on Tue 1 Dec" in seat.text
        await seat.press("escape")
        assert seat.passes()[0]["state"] == "stopped"
        await seat.press("u")  # one change, taken back as one
        assert not wished(seat) and seat.passes()[0]["state"] == "running"


async def test_what_is_begun_on_it_all_the_same_is_asked_about_and_it_runs_again_by_the_same_line(
    book: Any, at_machine: Any, asked: list[str]
) -> None:
    async with at_machine(book) as seat:
        await seat.go_to("line up D1 to 15 ips NAB 250 nWb/m")
        await seat.press("p")
        await seat.choose(list(PROBLEMS).index("deck"))
        await seat.press("1", "2")
        await seat.types("tue")
        assert "wants a day behind tonight" in seat.text
        await seat.fills("thu")
        assert asked == ["D1 does not run until Thu 3 Dec"]
        assert [rests(seat.shelf, "D1", date(2026, 12, day)) for day in (1, 2, 3)] == [True, True, False]
        assert not rests(seat.shelf, "D2", TUESDAY)
        await seat.press("space")
        assert "D1 rests on Tue 1 Dec" in seat.text
        await seat.press("escape", "p")
        await seat.choose(list(PROBLEMS).index("deck"))
        await seat.press("1")
        assert "1 it runs again: 2 days free" in seat.text
        await seat.press("1")
        assert not wished(seat) and asked[-1] == "D1 runs again"


async def test_the_key_that_stops_a_tape_offers_it_too_and_only_dirt_says_clean(
    book: Any, at_machine: Any, asked: list[str]
) -> None:
    book.mark("R-001", "aligned")
    async with at_machine(book) as seat:
        await seat.plays(minutes=10)
        await seat.press("e", "4")
        await seat.types("the doorbell")
        assert "clean, then" not in seat.text and "G goes on" in seat.text
        await seat.press("e", "6")
        assert "Which deck does not run?" in seat.text and "1 D1" in seat.text
        await seat.press("escape", "e", "1")
        assert "clean, then" in seat.text
