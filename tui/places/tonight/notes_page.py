"""The notes of one pass with their words: written after the pass, in one short dialog."""

from __future__ import annotations

from collections.abc import Iterable
from typing import ClassVar

from textual import on
from textual.binding import BindingType
from textual.widget import Widget
from textual.widgets import Input

from core.clock import clock_text
from core.evening.playing.passes import notes_of, reword_note
from core.logbook.passes import noted, without_note
from tui.asking.asking import AskFoot, Question
from tui.asking.choosing import Choices
from tui.frame.drawn.line_list import LineList
from tui.keys.keys import bindings


class NotesPage(Question[None]):
    """A list of notes and one line to type in: Enter keeps the words and goes to the next note."""

    BINDINGS: ClassVar[list[BindingType]] = bindings("list", "notes")
    FOOT = "{ask.yes} keeps the words, then the next   {notes.off} takes the note off   {ask.out} leaves"

    def __init__(self, reel: str, number: int, note: str = "") -> None:
        super().__init__(f"Notes of {reel}, pass {number}", "The time stays as it was stamped.")
        self.reel, self.number, self._first = reel, number, note
        self._at = ""  # the note whose words stand in the line

    def _choices(self) -> list[tuple[str, str]]:
        return [
            (key, f"{clock_text(int(note.seconds)):>8}  {note.kind:<14} {note.words}")
            for key, note in notes_of(self.home.shelf, self.reel)
            if note.number == self.number
        ]

    def answers(self) -> Iterable[Widget]:
        """The notes, and the words of the one under the cursor."""
        choices = self._choices()
        listed = Choices(choices, self._first or choices[-1][0])
        listed.can_focus = False
        yield listed
        yield Input(placeholder="(a few words)", select_on_focus=False)

    def on_mount(self) -> None:
        """The line holds the words of the note under the cursor."""
        self.query_one(Input).focus()
        self._put()

    @property
    def key(self) -> str:
        """The note under the cursor."""
        return self.query_one(Choices).chosen

    def _put(self) -> None:
        kept, self._at = noted(self.home.shelf)[self.key].words, self.key
        field = self.query_one(Input)
        field.value = self.home.drafts.get(f"words {self.key}", kept)
        field.cursor_position = len(field.value)

    @on(LineList.Moved)
    def _moved(self) -> None:
        if self._at != self.key:  # else they were put there already, and typed in since
            self._put()

    @on(Input.Changed)
    def _typed(self, event: Input.Changed) -> None:
        note = noted(self.home.shelf).get(self.key)
        if event.value == (note.words if note is not None else ""):
            self.home.drafts.pop(f"words {self.key}", None)
        else:
            self.home.drafts[f"words {self.key}"] = event.value

    def action_move(self, lines: int) -> None:
        """The note above or below."""
        self.query_one(Choices).action_move(lines)

    def action_off(self) -> None:
        """Takes the note off its pass; after the only one the page closes."""
        home, key, listed = self.home, self.key, self.query_one(Choices)
        note = noted(home.shelf)[key]
        what = f"take a note off {self.reel}, pass {self.number}"
        said = home.undoable(f"taken off: {note.told} at {clock_text(int(note.seconds))}")
        if home.do(lambda: home.book.change(lambda s: without_note(s, key), what=what), said) is None:
            return
        home.drafts.pop(f"words {key}", None)
        choices = self._choices()
        if not choices:
            self.dismiss(None)
            return
        listed.choices = tuple(choices)
        listed.lay(len(choices), min(listed.cursor, len(choices) - 1))
        self._put()
        self.query_one(AskFoot).trouble("", said.text)

    @on(Input.Submitted)
    def _entered(self, event: Input.Submitted) -> None:
        event.stop()
        self.action_yes()

    def action_yes(self) -> None:
        """Keeps the words; after the last note the page closes."""
        listed, key, words = self.query_one(Choices), self.key, self.query_one(Input).value.strip()
        if words != noted(self.home.shelf)[key].words:
            home = self.home
            done = home.do(
                lambda: home.book.change(
                    lambda s: reword_note(s, key, words=words), what=f"words on note {key}"
                ),
                self.home.undoable(f"{key}: {words or 'no words'}"),
            )
            if done is None:
                self.trouble("the words could not be kept; they stay here")
                return
        self.home.drafts.pop(f"words {key}", None)
        if listed.cursor >= listed.count - 1:
            self.dismiss(None)
            return
        listed.choices = tuple(self._choices())
        listed.lay(len(listed.choices), listed.cursor + 1)
        self._put()
