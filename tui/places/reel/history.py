"""What happened to a reel or a song, newest first."""

from __future__ import annotations

import json
from collections.abc import Iterable, Sequence
from typing import ClassVar

from textual.binding import BindingType
from textual.widget import Widget

from core.logbook.noted import NOTE, noted_of
from core.shelf import Event
from core.words import day_text
from tui.asking.asking import AskFoot, Question
from tui.board.words import clock
from tui.frame.drawn.line_list import LineList, Part
from tui.frame.text_page import TextPage
from tui.keys.keys import bindings
from tui.safe_text import fit


class Events(LineList):
    """One line an event: when, what, and why."""

    def __init__(self, events: Sequence[Event]) -> None:
        super().__init__()
        self.events = tuple(events)

    def on_mount(self) -> None:
        """Shows them all."""
        self.lay(len(self.events), 0)

    def parts(self, index: int, width: int) -> Sequence[Part]:
        """``Tue 1 Dec 19:40  stage: aligned -> transferred  note``."""
        event = self.events[index]
        when = f" {day_text(event.at.date())} {event.at.year} {clock(event.at)}"
        change = change_words(event)
        why = f"because {event.because}" if event.because else ""
        words = "  ".join(part for part in (change, event.note, why) if part)
        return [(fit(when, 24), "dim"), (fit(words, max(0, width - 24)), "word")]


def change_words(event: Event) -> str:
    """``stage: found > identified``; what came to the shelf or left it with what was told of it then."""
    if event.field in ("added", "removed"):
        return ": ".join(filter(None, (event.field, _whole(event.new or event.old))))
    if event.field == NOTE and event.old and not event.new:
        return f"note taken off: {event.old}"
    if event.field == NOTE and event.new and not event.old:
        return f"note put back: {event.new}"
    name = event.field.replace("_", " ")
    if name == "note" and not (event.old or event.new):
        return "note"
    return f"{name}: {event.old or '(blank)'} > {event.new or '(blank)'}" if event.field else ""


def _whole(text: str) -> str:
    """What stood in the cells of a whole thing, its key apart."""
    try:
        told = json.loads(text)
    except ValueError:
        return text
    cells = list(told.values())[1:] if isinstance(told, dict) else []
    return ", ".join(str(cell) for cell in cells if isinstance(cell, str | int | float) and cell != "")


class HistoryPage(Question[None]):
    """The history of one thing on the shelf."""

    BINDINGS: ClassVar[list[BindingType]] = bindings("list", "history")
    FOOT = "{ask.yes} tells it whole   {history.off} takes a note off   {ask.out} leaves"

    def __init__(self, kind: str, key: str) -> None:
        super().__init__(f"What happened to {key}, newest first")
        self.kind, self.key = kind, key
        self.add_class("-page")

    def answers(self) -> Iterable[Widget]:
        """The events, or a word where there are none."""
        events = self._told()
        if not events:
            self.words = "Nothing yet: what is marked, noted or changed stands here with its time."
        yield Events(events)

    def _told(self) -> list[Event]:
        """All that history tells of it, the newest first."""
        events = [e for e in self.home.shelf.history if e.kind == self.kind and e.key == self.key]
        return sorted(reversed(events), key=lambda event: event.at, reverse=True)

    def action_off(self) -> None:
        """Takes the note under the cursor off; its line stays, and one more says that it was taken off."""
        listed = self.query_one(Events)
        event = listed.events[listed.cursor] if listed.events else None
        notes = noted_of(self.home.shelf, self.key) if self.kind == "reel" else ()
        note = next((one for one in notes if one == event), None)
        if event is None or note is None:
            self.trouble("that line is no note, or a note that was taken off: only a note goes")
            return
        said = self.home.undoable(f"taken off {self.key}: {note.note}")
        if self.home.do(lambda: self.home.book.take_note_off(note), said) is None:
            return
        listed.events = tuple(self._told())
        listed.lay(len(listed.events), listed.events.index(event))  # still on it, below the new line
        self.query_one(AskFoot).trouble("", said.text)

    def action_yes(self) -> None:
        """The event under the cursor with all its words, as a long note."""
        listed = self.query_one(Events)
        if not listed.events:
            return
        event = listed.events[listed.cursor]
        title = f"{self.key}, {day_text(event.at.date())} {event.at.year} {clock(event.at)}"
        why = f"because {event.because}" if event.because else ""
        told = tuple(("word", one) for one in (change_words(event), event.note, why) if one)
        self.home.push_screen(TextPage(title, lambda: told))
