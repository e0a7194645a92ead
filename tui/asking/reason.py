"""Why something is done against a rule: asked for that one step, never answered by what stood there."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tui.asking.asking import AskText

if TYPE_CHECKING:
    from tui.home import Home

_OF = "because "


def ask_reason(title: str, words: str, *, step: str, text: str = "") -> AskText:
    """The question. What was half typed at an earlier asking stands there; one Enter only says so.

    ``step`` names what is done, and when where it may be done again: another step has its own reason.
    ``text`` is a reason that is so by itself, to be confirmed or typed over.
    """
    hint = "because ..."
    return AskText(title, words, draft=f"{_OF}{step}", hint=hint, text=text, over=bool(text), twice=True)


def drop_reasons(home: Home, step: str) -> None:
    """What was half typed for such a step, now or earlier, is asked for no more."""
    for name in [name for name in home.drafts if name.startswith(f"{_OF}{step}")]:
        home.drafts.pop(name)
