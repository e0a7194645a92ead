"""What a line to type in is made of: a word, the input, and how it reads."""

from __future__ import annotations

from collections.abc import Callable

from textual import on
from textual.widgets import Input, Static

#: Hears what stands in the line.
Told = Callable[[str], None]


class Word(Static):
    """What the line is about."""


class Reads(Static):
    """How what was typed reads, or what would be right."""


class OneLine(Input):
    """The input; tells its line of every key and of Enter."""

    def __init__(self, typed: Told, entered: Told) -> None:
        super().__init__(select_on_focus=False)
        self._typed, self._entered = typed, entered

    @on(Input.Changed)
    def _changed(self, event: Input.Changed) -> None:
        event.stop()
        self._typed(event.value)

    @on(Input.Submitted)
    def _submitted(self, event: Input.Submitted) -> None:
        event.stop()
        self._entered(event.value)


class Line:
    """The three pieces of one line."""

    def __init__(self, typed: Told, entered: Told) -> None:
        self.word = Word("", markup=False)
        self.input = OneLine(typed, entered)
        self.reads = Reads("", markup=False)

    def put(self, text: str) -> None:
        """Puts a text into the input, the cursor at its end, without telling of it."""
        with self.input.prevent(Input.Changed):
            self.input.value = text
        self.input.cursor_position = len(text)
