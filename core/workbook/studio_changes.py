"""The joint for the studio on the shelf: decks, chambers, treatments, minutes and hours, without its file.

Tapes that are in the heat keep the hours, turns and set point with which their load began.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING

from core.evening.warming.retimed import with_studio
from core.shelf import Shelf

if TYPE_CHECKING:
    from core.store.book import Book
    from core.studio.studio import Studio


class StudioChanges:
    """A shelf's studio, changed; each change is one undo, and a kept plan is then stale."""

    def __init__(self, book: Book) -> None:
        self.book = book

    def replace(self, studio: Studio, what: str) -> Shelf:
        """Puts that studio in the place of the shelf's; one undo; a kept plan is then stale."""
        return self.book.change(lambda shelf: with_studio(shelf, studio), what=what)

    def remake(self, act: Callable[[Studio], Studio], what: str) -> Shelf:
        """Makes the shelf's studio anew by that act; one undo; a kept plan is then stale."""
        return self.book.change(lambda shelf: with_studio(shelf, act(shelf.studio)), what=what)

    def edit(self, table: str, number: int, values: Mapping[str, object]) -> Shelf:
        """Sets keys of one table of the studio, counted from 0 (None clears one); Unusable with the path."""
        from core.store.studio.edits import edited

        told = f"studio {table} {', '.join(values)}"
        return self.book.change(
            lambda shelf: with_studio(shelf, edited(shelf.studio, table, number, values)), what=told
        )

    def add(self, table: str, values: Mapping[str, object]) -> Shelf:
        """Adds a deck, chamber, treatment or row of hours."""
        from core.store.studio.edits import added

        return self.book.change(
            lambda shelf: with_studio(shelf, added(shelf.studio, table, values)), what=f"studio: new {table}"
        )

    def take(self, table: str, number: int) -> Shelf:
        """Takes a deck, chamber, treatment or row of hours away, counted from 0."""
        from core.store.studio.edits import taken

        return self.book.change(
            lambda shelf: with_studio(shelf, taken(shelf.studio, table, number)),
            what=f"studio: {table} {number + 1} taken away",
        )

    def turn_helper(self, day: date) -> bool:
        """The helper comes on that date, or does not come where they would have; whether they come now."""
        from core.store.studio.evening_hours import helper_turned

        comes: list[bool] = []

        def act(studio: Studio) -> Studio:
            made, now = helper_turned(studio, day)
            comes.append(now)
            return made

        self.remake(act, f"hours {day.isoformat()} helper")
        return comes[-1]

    def set_hours(self, words: Sequence[str]) -> date | str:
        """Sets the hours of a date, of dates from one to another or of a weekday as they are typed.

        One undo; the day that was meant, the first of several.
        """
        from core.store.studio.hours_words import hours_set

        day: list[date | str] = []

        def act(shelf: Shelf) -> Shelf:
            studio, meant = hours_set(shelf.studio, words, self.book.now().date())
            day.append(meant)
            return replace(shelf, studio=studio)

        self.book.change(act, what=f"hours {' '.join(words)}")
        return day[-1]
