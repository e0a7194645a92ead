"""A short form: lines, one of which is typed in at a time; Enter goes on, and at the last takes them all."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import ClassVar

from textual import on
from textual.binding import BindingType
from textual.widget import Widget
from textual.widgets import Input

from tui.asking.asking import Question, Sheet
from tui.asking.form_lines import Form, Lines, Values, form_lines
from tui.frame.drawn.line_list import LineList
from tui.keys.keys import bindings


class FormPage(Question[dict[str, str]]):
    """Answered with the text of every line by its name; what was typed is there at the next time."""

    BINDINGS: ClassVar[list[BindingType]] = bindings("list")
    SHEET = Sheet
    FOOT = "{ask.yes}: next line, and after the last takes all   PgDn: last line   {ask.out} leaves"

    def __init__(
        self,
        title: str,
        words: str,
        lines: Lines,
        *,
        draft: str,
        wrong: Callable[[Values], str | None] = lambda values: None,
    ) -> None:
        super().__init__(title, words)
        self.form = Form(self, lines, draft=draft, wrong=wrong)

    def answers(self) -> Iterable[Widget]:
        """The lines, and the one to type in."""
        yield form_lines()
        yield Input(select_on_focus=False)

    def on_mount(self) -> None:
        """The cursor is on the first line."""
        self.form.begin()

    def words_here(self) -> tuple[str, ...]:
        """What the line is called."""
        return (self.form.here.name, self.form.here.label)

    @on(LineList.Moved)
    def _moved(self) -> None:
        self.form.moved()

    @on(Input.Changed)
    def _typed(self, event: Input.Changed) -> None:
        self.form.typed(event)

    @on(Input.Submitted)
    def _entered(self, event: Input.Submitted) -> None:
        event.stop()
        self.action_yes()

    def action_move(self, lines: int) -> None:
        """The line above or below."""
        self.form.move(lines)

    def action_yes(self) -> None:
        """Goes to the next line; after the last, takes them all if they will do."""
        self.form.yes()
