"""Questions: one short dialog each. Escape leaves, and what was typed is there at the next time."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterable
from typing import TYPE_CHECKING, ClassVar, Generic, TypeVar, cast

from textual import on
from textual.app import ComposeResult
from textual.await_complete import AwaitComplete
from textual.binding import BindingType
from textual.containers import VerticalScroll
from textual.events import Event, Key, Resize, ScreenResume
from textual.screen import ModalScreen
from textual.widget import Widget
from textual.widgets import Input, Static

from tui.frame.opening import Opening
from tui.keys.keys import bindings
from tui.safe_text import assemble

if TYPE_CHECKING:
    from tui.home import Home

Answer = TypeVar("Answer")


class AskFoot(Static):
    """What is wrong with the answer, and below it the keys; a line is kept free for the trouble."""

    def __init__(self, foot: str) -> None:
        super().__init__(markup=False)
        self._foot, self._trouble, self._reads = foot, "", ""
        self._lay()

    def trouble(self, text: str, reads: str = "") -> None:
        """Says what is wrong, or how it reads; the sheet is laid out anew only where that changed."""
        if (text, reads) != (self._trouble, self._reads):
            self._trouble, self._reads = text, reads
            self._lay()

    def _lay(self) -> None:
        said = (f"! {self._trouble}", "bold $error") if self._trouble else (self._reads, "$primary")
        self.update(assemble(said, "\n\n", (self._foot, "$dim-text")))


class Sheet(VerticalScroll, inherit_bindings=False):
    """What a question stands on, where up and down go through its lines: they do not scroll it."""


class Question(ModalScreen[Answer | None], Generic[Answer]):
    """A question with a title, words, and whatever it is answered with; dismissed with None when left."""

    CSS_PATH = os.path.join(os.path.dirname(__file__), "asking.tcss")
    BINDINGS: ClassVar[list[BindingType]] = bindings("ask")
    FOOT = "{ask.yes} goes on   {ask.out} leaves, and keeps what was typed"
    SHEET: ClassVar[type[VerticalScroll]] = VerticalScroll
    is_over = False
    opener: Key | None = None
    """The key that opened it, whose bounce answers nothing."""

    def on_mount(self) -> None:
        """Remembers which key it came by; what was answered just now may be about the same."""
        self.opener = self.home.one_key.last
        self.home.drafts.follow()

    def __init__(self, title: str, words: str = "", *, foot: str = "") -> None:
        """``foot``: what its keys do, where they do something of their own."""
        super().__init__()
        self.title_words, self.words = title, words
        self.FOOT = foot or self.FOOT
        self._opening = Opening(self)

    def on_screen_resume(self, event: ScreenResume) -> None:
        """Styled once for each look."""
        self._opening.resumed(event, self.home)

    def on_resize(self, event: Resize) -> None:
        """Laid out once for each size."""
        self._opening.resized(event)

    @property
    def home(self) -> Home:
        """The app, by its own type."""
        return cast("Home", self.app)

    def dismiss(self, result: Answer | None = None) -> AwaitComplete:
        """Leaves with that answer; what was typed ahead is for what opens next."""
        self.is_over = True
        if result is None:
            self.home.drafts.back()
        return super().dismiss(result)

    async def on_event(self, event: Event) -> None:
        """Loses no key of a hand that is faster than the screen.

        A key for a question that is over is handed back; one that comes before the line to type in has the
        cursor goes into that line.
        """
        if isinstance(event, Key) and self.is_over:
            again = Key(event.key, event.character)
            again.time = event.time  # when it was pressed, not when it was handed back
            self.home.one_key.handed_back(again)
            return
        early = isinstance(event, Key) and event.is_printable and self.focused is None
        if early and (lines := self.query(Input)):
            lines.first().post_message(event)  # a line that had the cursor would have taken it
            return
        await super().on_event(event)

    def compose(self) -> ComposeResult:
        """Title and words, answer, trouble and foot: few widgets, since each one delays the question."""
        with self.SHEET(classes="ask--sheet", can_focus=False):
            words = f"\n{self.words}" if self.words else ""
            yield Static(assemble((self.title_words, "bold $primary"), words), markup=False)
            yield from self.answers()
            yield AskFoot(self.home.keyed(self.FOOT))

    def answers(self) -> Iterable[Widget]:
        """What the question is answered with."""
        return ()

    def words_here(self) -> tuple[str, ...]:
        """The words that the glossary may tell: those of the line under the cursor."""
        return ()

    def action_tell_word(self) -> None:
        """Tells them on a page of their own; what was typed stays."""
        from tui.frame.words_page import tell_words

        if not tell_words(self.home, self.words_here()):
            self.trouble("there is no more to tell of this line")

    def trouble(self, text: str) -> None:
        """Says what is wrong with the answer."""
        self.query_one(AskFoot).trouble(text)

    def action_yes(self) -> None:
        """Answers; subclasses dismiss with what they were told."""
        self.dismiss(None)

    def action_out(self) -> None:
        """Leaves without an answer."""
        self.dismiss(None)


def as_hint(text: str) -> str:
    """A hint in brackets: what stands so was not typed by anybody, and is told from text without a colour."""
    return f"({text})" if text else ""


class AskText(Question[str]):
    """Asks for a line of text. ``draft`` names the place where unfinished typing is kept."""

    def __init__(
        self,
        title: str,
        words: str = "",
        *,
        draft: str,
        hint: str = "",
        text: str = "",
        check: Callable[[str], str | None] | None = None,
        may_be_empty: bool = False,
        reads: Callable[[str], str] = lambda text: "",
        over: bool = False,
        twice: bool = False,
    ) -> None:
        """``twice``: what was half typed at an earlier asking is no answer until the key is pressed again."""
        super().__init__(title, words)
        self._before, self._twice = "", twice
        self.draft, self.hint, self.start = draft, hint, text
        self.check = check
        self.may_be_empty = may_be_empty
        self.over = over  # what is typed stands in place of the text that is there
        self.reads = reads  # how a text that will do is understood, shown while it is typed

    def answers(self) -> Iterable[Widget]:
        """One line to type in."""
        self._before = self.home.drafts.get(self.draft, "").strip() if self._twice else ""
        yield Input(
            self.home.drafts.get(self.draft, self.start),
            placeholder=as_hint(self.hint),
            select_on_focus=self.over or self.home.drafts.is_wrong(self.draft),
        )

    @property
    def typed(self) -> str:
        """What stands in the line now."""
        return self.query_one(Input).value.strip()

    @on(Input.Changed)
    def _typed(self, event: Input.Changed) -> None:
        if event.value != self.start:
            self.home.drafts[self.draft] = event.value
        else:
            self.home.drafts.pop(self.draft, None)
        own = event.value and event.value != self.start  # nobody typed what stands there at first
        wrong = (self.check(event.value) if self.check and own else None) or ""
        reads = self.reads(event.value) if event.value and not wrong else ""
        self.query_one(AskFoot).trouble(wrong, reads)

    @on(Input.Submitted)
    def _entered(self, event: Input.Submitted) -> None:
        event.stop()
        self.action_yes()

    def action_yes(self) -> None:
        """Answers with the text, if it will do."""
        text, before, self._before = self.typed, self._before, ""
        if before and text == before:
            again = "typed before and not taken: {ask.yes} again takes it as the reason"
            self.trouble(self.home.keyed(again))
            return
        if not text and not self.may_be_empty:
            self.trouble(self.home.keyed("a few words are needed here; {ask.out} leaves"))
            return
        wrong = self.check(text) if self.check and text else None
        if wrong:
            self.home.drafts.will_not_do(self.draft)
            self.trouble(wrong)
            return
        self.home.drafts.give(self.draft)
        self.dismiss(text)


class AskYes(Question[bool]):
    """Asks whether to go on."""

    FOOT = "{ask.yes} goes on   {ask.out} leaves everything as it is"

    def action_yes(self) -> None:
        """Goes on."""
        self.dismiss(True)
