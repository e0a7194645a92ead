"""One more deck, chamber or treatment, from the tables of the trade; or the hours of a single date."""

from __future__ import annotations

from collections.abc import Iterable

from textual import events
from textual.widget import Widget

from core.store.studio.first_answers import deck_kinds
from core.store.studio.first_studio import chamber_like, deck_like, treatment_like
from core.studio.studio import Studio
from tui.asking.asking import Question
from tui.asking.choosing import SIGNS, Choices

HELPED = "setup_needs_helper"
TOLD = {"loud": "loud", HELPED: "lined up with the helper"}


class AskAdd(Question[str]):
    """What is added; answered with the beginning of the new lines' names."""

    FOOT = "{list.up} and {list.down} move   {ask.yes} chooses   {ask.out} leaves"

    def __init__(self, studio: Studio) -> None:
        super().__init__("Add to the studio", "Every figure can be changed on its line afterwards.")
        self.studio = studio
        self.offers = offers(studio)

    def answers(self) -> Iterable[Widget]:
        """The list."""
        listed = Choices([(str(number), words) for number, (words, *_) in enumerate(self.offers)])
        listed.by_digit = True
        yield listed

    def on_key(self, event: events.Key) -> None:
        """A line's sign chooses it at once."""
        line = SIGNS.find(event.key) if len(event.key) == 1 else -1
        if 0 <= line < len(self.offers):
            event.stop()
            self.query_one(Choices).cursor = line
            self.action_yes()

    def action_yes(self) -> None:
        """Adds what the cursor is on."""
        words, table, values = self.offers[self.query_one(Choices).cursor]
        changes = self.home.book.studio_changes
        known = [word for flag, word in TOLD.items() if values.get(flag)]
        told = f", {' and '.join(known)} as others are" if known else ""
        said = self.home.undoable(f"{words}: added{told}")
        done = self.home.do(lambda: changes.add(table, values), said)
        rows = {"deck": "decks", "chamber": "chambers", "treatment": "treatments"}[table]
        number = len(getattr(self.home.shelf.studio, rows)) - 1
        self.dismiss(f"{table} {number} " if done is not None else None)


def offers(studio: Studio) -> list[tuple[str, str, dict[str, object]]]:
    """What can be added: words, table, values; no warmth for a width that has one already."""
    found: list[tuple[str, str, dict[str, object]]] = []
    widths = list(dict.fromkeys(width for deck in studio.decks for width in deck.widths))
    for width in widths:
        if studio.treatment(width) is None and (one := treatment_like(float(width.number))) is not None:
            found.append((f"warmth for {width}, from the table", "treatment", one))
    number = _free([chamber.id for chamber in studio.chambers], "C")
    found.append(
        (
            "a warm-air chamber of 6 trays",
            "chamber",
            chamber_like(number, 6, [float(width.number) for width in widths]),
        )
    )
    number = _free([deck.id for deck in studio.decks], "D")
    for kind in deck_kinds():
        made = deck_like(number, kind, loud=_as_others(studio, "loud"), helped=_as_others(studio, HELPED))
        found.append((f"a deck: {kind['what']}", "deck", made))
    return found


def _as_others(studio: Studio, flag: str) -> bool:
    """True where any deck of the studio has it: the first questions asked it of all of them."""
    return any(getattr(deck, flag) for deck in studio.decks)


def _free(taken: list[str], letter: str) -> int:
    return next(number for number in range(1, 1000) if f"{letter}{number}" not in taken)
