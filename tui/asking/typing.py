"""One line to type in, with what it is about at its left and how it reads at its right."""

from __future__ import annotations

from collections.abc import Callable
from textwrap import wrap
from typing import TYPE_CHECKING

from textual.containers import Horizontal
from textual.message import Message

from tui.safe_text import cells, plain

if TYPE_CHECKING:
    from tui.asking.typing_line import Line

BESIDE = 43  # columns that fit beside the line
MOST_ROWS = 4  # below it

#: Says how the text reads, and whether that is trouble.
Reading = Callable[[str], tuple[str, bool]]


class Typing(Horizontal):
    """Opens at the foot of a place. Enter posts ``Done``; leaving it is the place's own step out.

    What it is made of is loaded and mounted when it is first opened.
    """

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

    def __init__(self, word: str = "") -> None:
        super().__init__()
        self._word = word
        self._reading: Reading | None = None
        self._line: Line | None = None
        self.is_open = False

    @property
    def text(self) -> str:
        """What stands in the line; empty while it is closed."""
        return self._line.input.value if self.is_open and self._line is not None else ""

    def open(
        self, text: str = "", word: str = "", reading: Reading | None = None, *, over: bool = False
    ) -> None:
        """Opens the line with that text in it, the cursor at its end; ``over``: what is typed replaces it."""
        from tui.asking.typing_line import Line

        self.is_open = True
        self._reading = reading
        self.add_class("-open")
        if self._line is None:
            self._line = Line(self.typed, self.entered)
            self.mount(self._line.word, self._line.input, self._line.reads)
        if word:
            self._word = word
        self._line.word.update(plain(self._word))
        self._line.put(text)
        self._read(text)
        self._line.input.focus()
        if over:
            self._line.input.select_all()

    def close(self) -> None:
        """Closes the line."""
        self.is_open = False
        self.remove_class("-open")

    def typed(self, text: str) -> None:
        """Something was typed."""
        if self.is_open:
            self._read(text)
            self.post_message(self.Changed(text))

    def entered(self, text: str) -> None:
        """Enter was pressed."""
        self.post_message(self.Done(text))

    def _read(self, text: str) -> None:
        words, bad = self._reading(text) if self._reading is not None else ("", False)
        if self._line is not None:
            self._line.reads.set_class(bad, "-bad")
            said = f"{'! ' if bad else ''}{words}"
            self._tell(self._line, said)

    def _tell(self, line: Line, said: str) -> None:
        """What fits beside the line stands there; more than that has rows of its own below it."""
        room = max(self.app.size.width - 2, 1)
        rows = wrap(said, room)[:MOST_ROWS] if cells(said) > BESIDE else []
        self.set_class(bool(rows), "-below")
        self.styles.height, line.reads.styles.height = 1 + len(rows), max(len(rows), 1)
        line.reads.update(plain("\n".join(rows) or said))
