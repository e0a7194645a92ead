"""A deck that does not run: until when it rests, what stops on it, and what becomes of the tape on it."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import date, timedelta
from typing import TYPE_CHECKING

from core.errors import ReelturnError
from core.evening.deck_fails import stopped_on
from core.planning.wishes.wish_words import read_day
from core.planning.wishes.wishes import Wish
from core.shelf import Shelf
from core.standing.deck_rests import rests
from core.words import counted, day_text

if TYPE_CHECKING:
    from tui.home import Home

#: Takes what it does to the shelf, what it is called, and the deck.
Happens = Callable[[Callable[[Shelf], Shelf], str, str], object]
FAILED = "the deck does not run"


def ask_deck(home: Home, mine: str, day: date, happens: Happens) -> None:
    """Asks which deck it is, ``mine`` before the others, and then until when it rests."""
    from tui.asking.choosing import AskChoice

    decks = [deck.id for deck in home.shelf.studio.decks]
    if len(decks) == 1:
        _ask_until(home, decks[0], day, happens)
        return
    choices = [(deck, deck) for deck in sorted(decks, key=lambda one: one != mine)]
    question = AskChoice("Which deck does not run?", choices)
    home.push_screen(question, lambda deck: _ask_until(home, deck, day, happens) if deck else None)


def _ask_until(home: Home, deck: str, day: date, happens: Happens) -> None:
    from tui.asking.asking import AskText
    from tui.asking.choosing import AskChoice

    plan, rest = home.plan, _rests_from(home.shelf, deck, day)
    end = plan.until.date() if plan is not None else day + timedelta(days=14)

    def until(first: date) -> None:
        """Rests from tonight on, and runs again on that date."""

        def act(shelf: Shelf) -> Shelf:
            stopped = stopped_on(shelf, deck, home.now(), FAILED)
            for wish in _wishes(deck, day, first):
                stopped = stopped.with_record("pin", wish.key, wish.to_record())
            return stopped

        happens(act, f"{deck} does not run until {day_text(first)}", deck)

    def again(shelf: Shelf) -> Shelf:
        for one in rest:
            shelf = shelf.with_record("pin", Wish("no deck", deck, one).key, None)
        return shelf

    def answered(how: str | None) -> None:
        if how == "again":
            happens(again, f"{deck} runs again", "")
        elif how == "day":
            question = AskText(
                f"On which day does {deck} run again?",
                draft=f"runs again {deck}",
                hint="thu, or 2026-12-24",
                check=lambda text: _no_later_day(text, day),
                reads=lambda text: day_text(read_day(text, day)),
            )
            home.push_screen(question, lambda text: until(read_day(text, day)) if text else None)
        elif how is not None:
            until(day + timedelta(days=1) if how == "tonight" else max(end, day + timedelta(days=1)))

    choices = [("again", f"it runs again: {counted(len(rest), 'day')} free")] if rest else []
    choices += [
        ("tonight", "tonight: it runs again tomorrow"),
        ("day", "until a day: type on which it runs again"),
        ("end", f"nobody knows yet: to the end of the plan, {day_text(end)}"),
    ]
    told = f"Nothing is planned on {deck} until then; what runs on it stops where it is."
    home.push_screen(AskChoice(f"{deck} does not run", choices, words=told), answered)


def _no_later_day(text: str, day: date) -> str | None:
    """Why what was typed is no day behind that one; None where it is."""
    try:
        return None if read_day(text, day) > day else "wants a day behind tonight"
    except ReelturnError as error:
        return str(error)


def _wishes(deck: str, first: date, last: date) -> Iterator[Wish]:
    """That it rests on each day from the first on, the last one not among them."""
    for n in range((last - first).days):
        yield Wish("no deck", deck, first + timedelta(days=n))


def _rests_from(shelf: Shelf, deck: str, day: date) -> list[date]:
    """The days from that one on, without a gap, on which it rests by now."""
    found: list[date] = []
    while rests(shelf, deck, day):
        found.append(day)
        day += timedelta(days=1)
    return found
