"""The box held another tape: which one, the labels before and after, and the exchange."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING

from core.errors import ReelturnError, Refused
from core.evening.boxes import closed, exchange, notes_elsewhere, stocks_in_doubt
from core.shelf import Shelf
from tui.frame.acts.printing import print_off

if TYPE_CHECKING:
    from tui.home import Home

#: What happened to the shelf, and what it is called in the history.
Happened = Callable[[Callable[[Shelf], Shelf], str], None]


def ask_wrong_box(home: Home, key: str, happened: Happened) -> None:
    """Asks what the tape in the box of ``key`` really is, then shows the labels to be changed."""
    from tui.asking.asking import AskText

    question = AskText(
        f"The box of {key} held another tape",
        f"{key} is the tape in your hand. Which other box says what it really is? Its key swaps the "
        "names of the two. Where more are mixed up, each tape with the box that is right for it: "
        "R-004=R-002, R-002=R-007.",
        draft=f"box {key}",
        hint="the key of the other box",
        check=lambda text: _trouble(home.shelf, key, text),
    )
    home.push_screen(
        question, lambda text: _show_labels(home, key, found_in(key, text), happened) if text else None
    )


def _trouble(shelf: Shelf, key: str, text: str) -> str | None:
    try:
        exchange(shelf, found_in(key, text))
    except ReelturnError as error:
        return str(error)
    return None


def _show_labels(home: Home, key: str, found: dict[str, str], happened: Happened) -> None:
    """The names before and after; then the change, with new labels or without."""
    from tui.asking.choosing import AskChoice

    after, labels = exchange(home.shelf, found)
    shown = [f"{one.reel}: {one.before or '(nothing)'}  ->  {one.now or '(nothing)'}" for one in labels]
    notes = [*(one.note_says for one in labels if one.note_says), *notes_elsewhere(home.shelf, found)]
    more = [f"and {len(notes) - 5} notes more"] if len(notes) > 6 else notes[5:]
    doubts = [f"Stock not known any more: {one}" for one in stocks_in_doubt(home.shelf, after)]
    lines = "\n".join([*shown[:12], *doubts[:6], *notes[:5], *more])
    told = (
        f"{lines}\n\nNames, sheets and songs' needs move; heat, passes and timed notes stay with the tape. A "
        "base that only the boxes told, each another one, is not known any more."
    )
    was = {one.reel: one.before for one in labels}

    def answered(how: str | None) -> None:
        if how is None:
            return
        what = f"the box of {key} held another tape ({', '.join(closed(found))})"
        happened(lambda shelf: exchange(shelf, found)[0], what)
        if how == "print":
            print_off(home, "new box labels", partial(home.book.papers.new_labels, was))

    choices = (
        ("print", "change the names, and print the new labels now"),
        ("swap", "change the names only"),
    )
    home.push_screen(AskChoice("New box labels", choices, words=told), answered)


def found_in(key: str, text: str) -> dict[str, str]:
    """What was found, from ``R-002`` or ``R-004=R-002, R-002=R-007``; Refused where it cannot be read."""
    if "=" not in text:
        if text.strip() == key:
            raise Refused(f"{key} is what its box says then")
        return {key: text.strip()}
    found = {}
    for pair in text.split(","):
        tape, sign, names = (part.strip() for part in pair.partition("="))
        if not sign or not tape or not names:
            raise Refused("written as R-004=R-002, R-002=R-007")
        found[tape] = names
    return found
