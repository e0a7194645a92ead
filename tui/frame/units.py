"""In which units lengths, speeds and heat are shown; what was typed stays as it is on the shelf."""

from __future__ import annotations

from collections.abc import Iterable

from textual.widget import Widget

from tui.asking.asking import Question
from tui.asking.toggles import Tick, Toggles
from tui.board.fields import UNITS


class AskUnits(Question[None]):
    """One unit for each kind of quantity."""

    FOOT = "{ticks.tick} ticks   {ask.yes} takes   {ask.out} leaves it as it was"

    def __init__(self) -> None:
        super().__init__("Show quantities in", "What is typed may be in any unit, always.")

    def answers(self) -> Iterable[Widget]:
        """The kinds and their units."""
        now = self.home.units
        ticks = []
        for kind, words in UNITS.items():
            ticks.append(Tick("", kind.capitalize()))
            ticks += [Tick(f"{kind} {word}", word, kind) for word in words]
        yield Toggles(ticks, frozenset(f"{kind} {now.get(kind, 'as typed')}" for kind in UNITS))

    def action_yes(self) -> None:
        """Keeps the units that are ticked."""
        chosen = dict(tick.split(" ", 1) for tick in self.query_one(Toggles).ticked)
        self.dismiss(None)
        self.home.keep_choice("units", {k: v for k, v in chosen.items() if v != "as typed"}, "units are set")
