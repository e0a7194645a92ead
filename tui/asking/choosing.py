"""A question that is answered by choosing from a list."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from textual import events
from textual.widget import Widget

from tui.asking.asking import Question
from tui.board.glyphs import glyphs
from tui.frame.drawn.line_list import LineList, Part
from tui.safe_text import fit

#: Before each line what chooses it: a digit, behind the tenth a letter.
SIGNS = "1234567890abcdefghijklm"


class Choices(LineList):
    """A short list to choose from; ``why_not`` tells of those that cannot be chosen now."""

    by_digit = False  # whether its sign chooses a line

    def __init__(
        self, choices: Sequence[tuple[str, str]], here: str = "", why_not: dict[str, str] | None = None
    ) -> None:
        super().__init__()
        self.choices = tuple(choices)
        self.why_not = why_not or {}
        self._here = next((n for n, (key, _) in enumerate(choices) if key == here), 0)
        self.styles.height = min(len(self.choices), 16)

    def on_mount(self) -> None:
        """Shows all choices, the cursor on the one that is on."""
        self.lay(len(self.choices), self._here)

    @property
    def chosen(self) -> str:
        """The key of the choice under the cursor."""
        return self.choices[self.cursor][0]

    def parts(self, index: int, width: int) -> Sequence[Part]:
        """The choice in words, and why it cannot be chosen."""
        key, words = self.choices[index]
        signs = glyphs(plain=getattr(self.app, "plain_signs", False))
        digit = f"{SIGNS[index]} " if self.by_digit and index < len(SIGNS) else ""
        lead = f"{signs.cursor if index == self.cursor else ' '} {digit}{words}"
        if key in self.why_not:
            return [(fit(f"{lead}  (not now: {self.why_not[key]})", width), "dim")]
        return [(fit(lead, width), "word")]


class AskChoice(Question[str]):
    """Asks to choose one of a few; answered with its key."""

    FOOT = "{list.up} and {list.down} move   {ask.yes} chooses   {ask.out} leaves"

    def __init__(
        self,
        title: str,
        choices: Sequence[tuple[str, str]],
        here: str = "",
        *,
        words: str = "",
        why_not: dict[str, str] | None = None,
    ) -> None:
        super().__init__(title, words)
        self.choices, self.here, self.why_not = choices, here, why_not or {}

    def answers(self) -> Iterable[Widget]:
        """The list."""
        listed = Choices(self.choices, self.here, self.why_not)
        listed.by_digit = True
        yield listed

    def on_key(self, event: events.Key) -> None:
        """A digit, behind the tenth line a letter, chooses at once: no cursor is looked for."""
        line = SIGNS.find(event.key) if len(event.key) == 1 else -1
        if 0 <= line < len(self.choices):
            event.stop()
            self.query_one(Choices).cursor = line
            self.action_yes()

    def action_yes(self) -> None:
        """Answers with the line under the cursor."""
        chosen = self.query_one(Choices).chosen
        if chosen in self.why_not:
            self.trouble(self.why_not[chosen])
        else:
            self.dismiss(chosen)


TYPED = "typed "
"""Before the digit with which somebody began to type in place of choosing."""


class ChooseOrType(AskChoice):
    """Letters choose a line, since digits belong to what may be typed: the first one answers with itself."""

    FOOT = "A letter, or {ask.yes}, chooses   digits type a time   {ask.out} leaves"

    def answers(self) -> Iterable[Widget]:
        """The list, a letter before each line."""
        yield Choices([(key, f"{chr(ord('a') + n)} {words}") for n, (key, words) in enumerate(self.choices)])

    def on_key(self, event: events.Key) -> None:
        """A letter chooses at once; a digit is what is typed."""
        event.prevent_default()  # a digit chooses no line here
        letter = ord(event.key) - ord("a") if len(event.key) == 1 else -1
        if len(event.key) == 1 and event.key.isdigit():
            event.stop()
            self.dismiss(f"{TYPED}{event.key}")
        elif 0 <= letter < len(self.choices):
            event.stop()
            self.query_one(Choices).cursor = letter
            self.action_yes()
