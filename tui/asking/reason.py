"""Why something is done against a rule: asked for that one step, never answered by what stood there."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from textual.widget import Widget

from tui.asking.asking import AskText

if TYPE_CHECKING:
    from tui.home import Home

_OF = "because "


class AskReason(AskText):
    """Asks for the reason. What was half typed at an earlier asking stands there; one Enter only says so."""

    def __init__(self, title: str, words: str, *, step: str, text: str = "") -> None:
        """``step`` names what is done, and when where it may be done again: another step has its own reason.

        ``text`` is a reason that is so by itself, to be confirmed or typed over.
        """
        super().__init__(title, words, draft=f"{_OF}{step}", hint="because ...", text=text, over=bool(text))
        self._before = ""

    def answers(self) -> Iterable[Widget]:
        """The line to type in; remembers what stands there from before."""
        self._before = self.home.drafts.get(self.draft, "").strip()
        return super().answers()

    def action_yes(self) -> None:
        """Answers; a text that nobody touched since it was left needs the key once more."""
        before, self._before = self._before, ""
        if before and self.typed == before:
            self.trouble(
                self.home.keyed("typed before and not taken: {ask.yes} again takes it as the reason")
            )
            return
        super().action_yes()


def drop_reasons(home: Home, step: str) -> None:
    """What was half typed for such a step, now or earlier, is asked for no more."""
    for name in [name for name in home.drafts if name.startswith(f"{_OF}{step}")]:
        home.drafts.pop(name)
