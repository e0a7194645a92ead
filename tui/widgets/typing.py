"""One line to type in, with what it is about at its left and how it reads at its right."""

from __future__ import annotations

from collections.abc import Callable

from textual import on
from textual.app import ComposeResult
from textual.containers import Horizontal
from textual.message import Message
from textual.widget import Widget
from textual.widgets import Input, Static

from tui.safe_text import plain

#: Says how the text reads, and whether that is trouble.
Reading = Callable[[str], tuple[str, bool]]


class Word(Static):
    """What the line is about."""


class Reads(Static):
    """How what was typed reads, or what would be right."""


class Typing(Horizontal):
    """Opens at the foot of a place. Enter posts ``Done``; leaving it is the place's own step out."""

    class Changed(Message):
        """Something was typed."""

        def __init__(self, text: str) -> None:
            super().__init__()
            self.text = text

    class Done(Message):
        """Enter was pressed."""

        def __init__(self, text: str) -> None:
            super().__init__()
            self.text = text

    def __init__(self, word: str = "", *widgets: Widget) -> None:
        super().__init__(*widgets)
        self._word = word
        self._reading: Reading | None = None
        self.is_open = False

    def compose(self) -> ComposeResult:
        """Word, input, reading; the input is made when it is first needed."""
        yield Word(plain(self._word), markup=False)
        yield Input(disabled=True, select_on_focus=False)
        yield Reads("", markup=False)

    @property
    def text(self) -> str:
        """What stands in the line; empty while it is closed."""
        return self.query_one(Input).value if self.is_open else ""

    def open(self, text: str = "", word: str = "", reading: Reading | None = None) -> None:
        """Opens the line with that text in it, the cursor at its end."""
        self.is_open = True
        self._reading = reading
        if word:
            self.query_one(Word).update(plain(word))
        self.add_class("-open")
        line = self.query_one(Input)
        line.disabled = False
        with line.prevent(Input.Changed):
            line.value = text
        line.cursor_position = len(text)
        self._read(text)
        line.focus()

    def close(self) -> None:
        """Closes the line."""
        self.is_open = False
        self.remove_class("-open")
        self.query_one(Input).disabled = True

    def _read(self, text: str) -> None:
        words, bad = self._reading(text) if self._reading is not None else ("", False)
        reads = self.query_one(Reads)
        reads.set_class(bad, "-bad")
        reads.update(plain(f"{'! ' if bad else ''}{words}"))

    @on(Input.Changed)
    def _changed(self, event: Input.Changed) -> None:
        event.stop()
        if self.is_open:
            self._read(event.value)
            self.post_message(self.Changed(event.value))

    @on(Input.Submitted)
    def _submitted(self, event: Input.Submitted) -> None:
        event.stop()
        self.post_message(self.Done(event.value))
