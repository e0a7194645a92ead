"""The form of a look: a digit answers a line and goes on."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from typing import ClassVar

from textual import on
from textual.binding import BindingType
from textual.widget import Widget
from textual.widgets import Input

from tui.asking.asking import AskFoot, Question, Sheet
from tui.asking.field_list import FieldList
from tui.asking.form_lines import Form, Lines, Values, form_lines
from tui.asking.look.answers import Answers, Asked, Choosable, OneAnswer
from tui.frame.drawn.line_list import LineList
from tui.keys.keys import bindings
from tui.safe_text import plain

#: Behind a sticky tape Enter ends its condition, and one more passes its signs.
BEATS = 2


class LookPage(Question[dict[str, str]]):
    """A form; a digit answers a line and goes on to the next."""

    BINDINGS: ClassVar[list[BindingType]] = bindings("list")
    SHEET = Sheet
    FOOT = (
        "{ask.yes}: next line, at the last takes all   PgDn: last line   {ask.word} tells its words   "
        "{ask.out} leaves"
    )

    def __init__(
        self,
        title: str,
        words: str,
        lines: Lines,
        answers: Callable[[str], Answers | None],
        asks: Callable[[Values], Asked | None] = lambda values: None,
        by_the_box: Mapping[str, str] = {},
        *,
        draft: str,
        wrong: Callable[[Values], str | None] = lambda values: None,
    ):
        super().__init__(title, words)
        self.form = Form(self, lines, draft=draft, wrong=wrong, put=self._put_too)
        self.answers_of, self.asks, self.by_the_box = answers, asks, by_the_box
        self._held: set[str] = set()  # lines of which was said that the box itself tells them
        self._asked: Asked | None = None  # what the next key answers
        self.left_open: set[str] = set()  # texts of which it was asked, and nothing told
        self.told_yes: dict[str, str] = {}  # by what stands there since, the text that was asked about
        self.told_no: set[str] = set()  # texts of which it was asked, and which are something else
        self._beats = 0  # Enters still to be taken behind an ok, see BEATS

    def answers(self) -> Iterable[Widget]:
        """The lines, the answers of one, and the line to type in."""
        yield form_lines()
        yield Choosable("", markup=False)
        yield OneAnswer(self.chose)

    def on_mount(self) -> None:
        """The cursor is on the first line that nothing answers yet."""
        self.form.begin()
        values = self.form.values
        empty = [n for n, line in enumerate(self.form.shown) if not values[line.name]]
        if empty:
            self.query_one(FieldList).cursor = empty[0]

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

    def _put_too(self) -> None:
        one = self.answers_of(self.form.here.name)
        told = "  ".join(f"{n} {word}" for n, word in enumerate(one.words, 1)) if one and one.by_digit else ""
        several = "   several may be, Enter goes on" if one is not None and one.many else ""
        self.query_one(Choosable).update(plain(f"{told}{several}"))

    def words_here(self) -> tuple[str, ...]:
        """What the line is called, and its answers."""
        one, here = self.answers_of(self.form.here.name), self.form.here
        return (here.name, here.label, *(one.words if one is not None else ()))

    def chose(self, key: str) -> bool:
        """Takes a digit or an arrow as an answer; False where it is to be typed."""
        if self._asked is not None:
            return self._told(key)
        if self._was_a_beat(key):
            return True
        one = self.answers_of(self.form.here.name)
        if one is None or not one.words:
            return False
        typed = self.query_one(Input).value
        if key in ("right", "left") and (not one.many):
            if key == "left" and typed not in one.words:
                return False
            if self._is_held(typed):
                return True
            step = 1 if key == "right" else -1
            place = one.words.index(typed) + step if typed in one.words else 0
            self._answer(one.words[place % len(one.words)])
            self.query_one(Input).select_all()  # what is typed stands in its place
            self._say_whose(one)
            return True
        if not (one.by_digit and key.isdigit() and 0 < int(key) <= len(one.words)):
            return False
        word = one.words[int(key) - 1]
        if one.many and word != "ok":
            there = [part.strip() for part in typed.split(";") if part.strip() not in ("", "ok")]
            there = [part for part in there if part != word] if word in there else [*there, word]
            self._answer("; ".join(there))
            return True
        self._answer(word)
        self._beats = BEATS if one.many else 0
        self._on()
        return True

    def _say_whose(self, one: Answers) -> None:
        """What only a deck tells is no word of another tape."""
        text = self.form.values[self.form.here.name]
        if text in one.by_decks:
            self.query_one(AskFoot).trouble("", f"{text} is a deck's: no reel here tells it yet")

    def _is_held(self, text: str) -> bool:
        """An arrow first leaves what the words on the box tell, and says so; the next goes on."""
        name = self.form.here.name
        if not text or text != self.by_the_box.get(name) or name in self._held:
            return False
        self._held.add(name)
        keyed = self.home.keyed
        self.trouble(f"the box says {text}: {keyed('{ask.yes}')} takes it, the arrow again what others have")
        return True

    def _was_a_beat(self, key: str) -> bool:
        """Takes the Enters that come right behind an ok, as behind any other condition: they pass no line."""
        if key != "enter" or not self._beats:
            self._beats = 0
            return False
        self._beats -= 1
        again = self.home.keyed("{ask.yes} again") if not self._beats else "a digit answers, Down"
        self.trouble(f"ok went on by itself: this line is {self.form.here.label}; {again} passes it")
        return True

    def action_yes(self) -> None:
        """Asks first what the line's text leaves open; at the last line what another's does."""
        listed, asked = self.query_one(FieldList), self.asks(self.form.values)
        here = asked is not None and asked.name == self.form.here.name
        if asked is None or (not here and listed.cursor < listed.count - 1) or self._is_settled(asked):
            self.form.yes()
            return
        if not here:
            listed.cursor = [line.name for line in self.form.shown].index(asked.name)
            self.form.put()
        self._asked = asked
        self.query_one(Choosable).update(
            plain(f"1 yes, {asked.yes}   2 no, {asked.no}   {self.home.keyed('{ask.yes}')} not known yet")
        )
        self.trouble(asked.says)

    def _is_settled(self, asked: Asked) -> bool:
        return self.form.values[asked.name] in self.left_open | self.told_no

    def _told(self, key: str) -> bool:
        """Takes that key as the answer to what is asked; False where it goes on typing.

        Another digit answers nothing, and is not put behind the text that is asked about.
        """
        if key.isdigit() and key not in ("1", "2"):
            return True
        asked, self._asked = self._asked, None
        if asked is None or key not in ("1", "2", "enter"):
            self.form.put()
            return False
        text = self.form.values[asked.name]
        if key == "1":
            self.told_yes[asked.yes] = text
            self._answer(asked.yes)
        else:
            (self.told_no if key == "2" else self.left_open).add(text)
        self._on()
        return True

    def _answer(self, text: str) -> None:
        field = self.query_one(Input)
        with field.prevent(Input.Changed):
            field.value = text
        field.cursor_position = len(text)
        self.trouble("")
        self.home.drafts[f"{self.form.draft} {self.form.here.name}"] = text
        self.form.lay()

    def _on(self) -> None:
        """The next line; past the signs where the tape is ok, since a sign would gainsay that.

        They can be gone to by hand. Where the digits of two lines mean other things, no line is passed over.
        """
        listed = self.query_one(FieldList)
        condition = [one.strip() for one in self.form.values["condition"].split(";")]
        ok = self.form.here.name == "condition" and condition == ["ok"]
        steps = 2 if ok else 1
        if listed.cursor < listed.count - 1:
            listed.action_move(min(steps, listed.count - 1 - listed.cursor))
            self.form.put()
