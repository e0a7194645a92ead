"""The lines of a form, one of which is typed in at a time: what stands in each, and going on to the next."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from textwrap import wrap

from textual.widgets import Input

from core.values import dataclass
from tui.asking.asking import Question, as_hint
from tui.asking.field_list import FieldLine, FieldList
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


class Form:
    """The lines of a question, one of which is typed in at a time; held by the question that shows them."""

    def __init__(
        self,
        page: Question[dict[str, str]],
        lines: Lines,
        *,
        draft: str,
        wrong: Callable[[Values], str | None] = lambda values: None,
        put: Callable[[], object] = lambda: None,
    ) -> None:
        """``put``: what is done once the line to type in holds the text of another line."""
        self._page, self._put_too = page, put
        self.lines, self.draft, self.wrong = lines, draft, wrong
        self.shown: Sequence[FormLine] = ()
        self._at = ""  # the line whose text stands in the one to type in
        self._left: set[str] = set()  # lines that were gone on from: what stands there is finished

    @property
    def listed(self) -> FieldList:
        """The lines as they are drawn."""
        return self._page.query_one(FieldList)

    @property
    def typing(self) -> Input:
        """The line to type in."""
        return self._page.query_one(Input)

    def begin(self) -> None:
        """The cursor is on the first line."""
        self.lay()
        self.put()
        self.typing.focus()

    @property
    def values(self) -> dict[str, str]:
        """The text of every line, typed or as it was."""
        drafts = {
            key.removeprefix(f"{self.draft} "): text
            for key, text in self._page.home.drafts.items()
            if key.startswith(f"{self.draft} ")
        }
        return {line.name: drafts.get(line.name, line.text) for line in self.lines(drafts)}

    @property
    def here(self) -> FormLine:
        """The line under the cursor."""
        return self.shown[self.listed.cursor]

    def lay(self) -> None:
        """Shows the lines as they are filled now."""
        values = self.values
        self.shown = self.lines(values)
        lines = [
            FieldLine(
                line.name,
                line.label,
                values[line.name],
                beside="" if values[line.name] else as_hint(line.hint),
            )
            for line in self.shown
        ]
        listed = self.listed
        # The head stays in sight: where the title takes a second row, the lines have one less.
        rows = len(wrap(self._page.title_words, TITLE_COLUMNS)) or 1
        listed.styles.height = min(len(lines), max(2, min(11, self._page.app.size.height - 13 - rows)))
        listed.label_width = max(20, *(min(cells(line.label) + 4, LONGEST_LABEL) for line in lines))
        listed.show(lines)

    def put(self) -> None:
        """The typing line holds the text of the line under the cursor."""
        if self._at != self.here.name:
            self._left.add(self._at)
        field, self._at = self.typing, self.here.name
        field.placeholder = as_hint(self.here.hint)
        text = self.values[self.here.name]
        with field.prevent(Input.Changed):
            field.value = text
        field.cursor_position = len(text)
        if text and (text == self.here.text or self._at in self._left):
            field.select_all()  # typing stands in its place; an arrow first, and it is changed
        self._page.trouble((self.here.wrong(text) if text.strip() else None) or "")
        self._put_too()

    def moved(self) -> None:
        """The cursor stands on another line."""
        if self._at != self.here.name:  # else it was put there already, and typed in since
            self.put()

    def typed(self, event: Input.Changed) -> None:
        """Keeps what is typed, and says what is wrong with it."""
        line, text = self.here, event.value
        if text != self.typing.value:
            return  # told of a line that was left meanwhile
        drafts = self._page.home.drafts
        if text == line.text:
            drafts.pop(f"{self.draft} {line.name}", None)
        else:
            drafts[f"{self.draft} {line.name}"] = text
        self._page.trouble((line.wrong(text) if text.strip() else None) or "")
        self.lay()

    def move(self, lines: int) -> None:
        """The line above or below; a page is all the way, so that a long form is taken at once."""
        listed = self.listed
        if lines >= 1000:
            listed.action_last()
        elif lines <= -1000:
            listed.action_first()
        else:
            listed.action_move(lines)

    def yes(self) -> None:
        """Goes to the next line; after the last, takes them all if they will do."""
        page, text = self._page, self.values[self.here.name]
        wrong = self.here.wrong(text) if text.strip() else None
        if wrong:
            page.trouble(wrong)
            return
        listed = self.listed
        if listed.cursor < listed.count - 1:
            listed.action_move(1)
            self.put()  # at once: the next key is for the next line
            return
        values = self.values
        troubles = ((line, line.wrong(values[line.name])) for line in self.shown if values[line.name].strip())
        first = next(((line, why) for line, why in troubles if why), None)
        why = f"{first[0].label}: {first[1]}" if first else self.wrong(values)
        if why:
            page.trouble(why)
            return
        drafts = page.home.drafts
        drafts.give(*(key for key in drafts if key.startswith(f"{self.draft} ")))
        page.dismiss(values)


def form_lines() -> FieldList:
    """The list of a form: the keys go to the line to type in."""
    listed = FieldList()
    listed.can_focus = False
    return listed
