"""A short form: lines, one of which is typed in at a time; Enter goes on, and at the last takes them all."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from textwrap import wrap
from typing import ClassVar

from textual import on
from textual.binding import BindingType
from textual.widget import Widget
from textual.widgets import Input

from core.values import dataclass
from tui.asking.asking import Question, Sheet, as_hint
from tui.asking.field_list import FieldLine, FieldList
from tui.frame.drawn.line_list import LineList
from tui.keys.keys import bindings
from tui.safe_text import cells


@dataclass(frozen=True, slots=True)
class FormLine:
    """One line: what it is called, what stands in it, what may be written, and what is wrong with a text."""

    name: str
    label: str
    text: str = ""
    hint: str = ""
    wrong: Callable[[str], str | None] = lambda text: None


#: Columns that a label takes at most, the cursor's sign and the gap behind it among them.
LONGEST_LABEL = 34
#: Columns of a title's row on the sheet, as asking.tcss has it.
TITLE_COLUMNS = 72
Values = Mapping[str, str]
#: The lines of a form, given what was typed so far: a log grows a line for every one that is filled.
Lines = Callable[[Values], Sequence[FormLine]]


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
        self.lines, self.draft, self.wrong = lines, draft, wrong
        self._shown: Sequence[FormLine] = ()
        self._at = ""  # the line whose text stands in the one to type in
        self._left: set[str] = set()  # lines that were gone on from: what stands there is finished

    def answers(self) -> Iterable[Widget]:
        """The lines, and the one to type in."""
        listed = FieldList()
        listed.can_focus = False
        yield listed
        yield Input(select_on_focus=False)

    def on_mount(self) -> None:
        """The cursor is on the first line."""
        self._lay()
        self._put()
        self.query_one(Input).focus()

    @property
    def values(self) -> dict[str, str]:
        """The text of every line, typed or as it was."""
        drafts = {
            key.removeprefix(f"{self.draft} "): text
            for key, text in self.home.drafts.items()
            if key.startswith(f"{self.draft} ")
        }
        return {line.name: drafts.get(line.name, line.text) for line in self.lines(drafts)}

    @property
    def here(self) -> FormLine:
        """The line under the cursor."""
        return self._shown[self.query_one(FieldList).cursor]

    def words_here(self) -> tuple[str, ...]:
        """What the line is called."""
        return (self.here.name, self.here.label)

    def _lay(self) -> None:
        values = self.values
        self._shown = self.lines(values)
        lines = [
            FieldLine(
                line.name,
                line.label,
                values[line.name],
                beside="" if values[line.name] else as_hint(line.hint),
            )
            for line in self._shown
        ]
        listed = self.query_one(FieldList)
        # The head stays in sight: where the title takes a second row, the lines have one less.
        rows = len(wrap(self.title_words, TITLE_COLUMNS)) or 1
        listed.styles.height = min(len(lines), max(2, min(11, self.app.size.height - 13 - rows)))
        listed.label_width = max(20, *(min(cells(line.label) + 4, LONGEST_LABEL) for line in lines))
        listed.show(lines)

    def _put(self) -> None:
        """The typing line holds the text of the line under the cursor."""
        if self._at != self.here.name:
            self._left.add(self._at)
        field, self._at = self.query_one(Input), self.here.name
        field.placeholder = as_hint(self.here.hint)
        text = self.values[self.here.name]
        with field.prevent(Input.Changed):
            field.value = text
        field.cursor_position = len(text)
        if text and (text == self.here.text or self._at in self._left):
            field.select_all()  # typing stands in its place; an arrow first, and it is changed
        self.trouble((self.here.wrong(text) if text.strip() else None) or "")

    @on(LineList.Moved)
    def _moved(self) -> None:
        if self._at != self.here.name:  # else it was put there already, and typed in since
            self._put()

    @on(Input.Changed)
    def _typed(self, event: Input.Changed) -> None:
        line, text = self.here, event.value
        if text != self.query_one(Input).value:
            return  # told of a line that was left meanwhile
        if text == line.text:
            self.home.drafts.pop(f"{self.draft} {line.name}", None)
        else:
            self.home.drafts[f"{self.draft} {line.name}"] = text
        self.trouble((line.wrong(text) if text.strip() else None) or "")
        self._lay()

    def action_move(self, lines: int) -> None:
        """The line above or below; a page is all the way, so that a long form is taken at once."""
        listed = self.query_one(FieldList)
        if lines >= 1000:
            listed.action_last()
        elif lines <= -1000:
            listed.action_first()
        else:
            listed.action_move(lines)

    @on(Input.Submitted)
    def _entered(self, event: Input.Submitted) -> None:
        event.stop()
        self.action_yes()

    def action_yes(self) -> None:
        """Goes to the next line; after the last, takes them all if they will do."""
        text = self.values[self.here.name]
        wrong = self.here.wrong(text) if text.strip() else None
        if wrong:
            self.trouble(wrong)
            return
        listed = self.query_one(FieldList)
        if listed.cursor < listed.count - 1:
            listed.action_move(1)
            self._put()  # at once: the next key is for the next line
            return
        values = self.values
        troubles = (
            (line, line.wrong(values[line.name])) for line in self._shown if values[line.name].strip()
        )
        first = next(((line, why) for line, why in troubles if why), None)
        why = f"{first[0].label}: {first[1]}" if first else self.wrong(values)
        if why:
            self.trouble(why)
            return
        self.home.drafts.give(*(key for key in self.home.drafts if key.startswith(f"{self.draft} ")))
        self.dismiss(values)
