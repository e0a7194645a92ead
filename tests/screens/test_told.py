"""What is said at the foot names the key that takes a change back, or does not: its words decide nothing."""

from __future__ import annotations

from typing import Any


async def test_only_what_is_said_as_undoable_is_taken_back_without_asking(book: Any, opened: Any) -> None:
    book.change(lambda shelf: shelf.choosing("paper", "Letter"), what="paper is Letter")
    async with opened(book) as pilot:
        app = pilot.app
        app.say(app.undoable("printed on Letter"))
        assert app.screen.promised == book.last_change is not None
        app.say("the box says: U takes it back")  # words that a person wrote on a box
        assert app.screen.promised is None
