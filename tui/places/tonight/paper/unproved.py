"""Verifies told as done of captures that leave a doubt: each is asked by itself, or left out with a word."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from core.evening.afterwards.catch_up import Caught
from core.evening.tonight.steps import words
from core.standing.gates import as_reason

if TYPE_CHECKING:
    from tui.home import Home

Doubt = tuple[Caught, str]


def ask_each(
    home: Home, doubts: Sequence[Doubt], told: Sequence[Caught], then: Callable[[Sequence[Caught]], None]
) -> None:
    """``then`` is handed what is told, each doubtful verify with its own reason, or still to be done."""
    from tui.asking.choosing import AskChoice
    from tui.asking.reason import ask_reason

    if not doubts:
        then(told)
        return
    (one, why), rest = doubts[0], doubts[1:]
    name = words(one.step)

    def left(doubtful: Sequence[Doubt]) -> list[Caught]:
        out = {doubt.step.key: as_reason(why) for doubt, why in doubtful}
        return [
            replace(each, how="moved", because=out[each.step.key]) if each.step.key in out else each
            for each in told
        ]

    def because(reason: str | None) -> None:
        if reason:
            mine = [replace(each, because=reason) if each == one else each for each in told]
            ask_each(home, rest, mine, then)

    def answered(how: str | None) -> None:
        if how == "left":
            ask_each(home, rest, left(doubts[:1]), then)
        elif how == "all":
            then(left(doubts))
        elif how == "why":
            home.push_screen(ask_reason(f"{name}: all the same?", why, step=one.step.key), because)

    choices = [("left", "leave it: it is still to be verified"), ("why", "verified all the same: say why")]
    choices += [("all", f"leave this and the {len(rest)} that follow")] if rest else []
    home.push_screen(AskChoice(f"{name}: verified?", choices, words=why), answered)
