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


TYPED = "typed "
"""Before the digit with which somebody began to type in place of choosing."""
_OR_TYPE = "A letter, or {ask.yes}, chooses   digits type a time   {ask.out} leaves"


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
        or_type: bool = False,
        foot: str = "",
    ) -> None:
        """``or_type``: digits are for what may be typed; letters choose, and a digit answers with itself."""
        super().__init__(title, words, foot=foot or (_OR_TYPE if or_type else ""))
        self.choices, self.here, self.why_not = choices, here, why_not or {}
        self.or_type = or_type

    def answers(self) -> Iterable[Widget]:
        """The list, what chooses it before each line."""
        letters = [(key, f"{chr(ord('a') + n)} {words}") for n, (key, words) in enumerate(self.choices)]
        listed = Choices(letters if self.or_type else self.choices, self.here, self.why_not)
        listed.by_digit = not self.or_type
        yield listed

    def on_key(self, event: events.Key) -> None:
        """A digit, behind the tenth line a letter, chooses at once: no cursor is looked for."""
        if len(event.key) != 1:
            return
        if self.or_type and event.key.isdigit():
            event.stop()
            self.dismiss(f"{TYPED}{event.key}")
            return
        line = ord(event.key) - ord("a") if self.or_type else SIGNS.find(event.key)
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
