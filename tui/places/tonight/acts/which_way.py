"""Before a pass: a tape that lies tails out is wound first, slowly where it must be, or plays backwards."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from typing import TYPE_CHECKING

from core.evening.tonight.backwards import may_run_backwards
from core.evening.tonight.sheet import Step
from core.evening.tonight.slow_wind import not_wound, wind_before
from core.evening.tonight.transfer import next_act

if TYPE_CHECKING:
    from tui.home import Home


def ask_which_way(
    home: Home,
    step: Step,
    at: datetime,
    starts: Callable[[], None],
    answered: Callable[[str], None],
    winds: Callable[[Step], None],
) -> None:
    """``starts`` where nothing is asked; else ``answered`` with forwards or backwards, or the wind begins.

    Backwards is offered where the deck plays both ways; a slow wind is asked about on any deck.
    """
    from tui.asking.choosing import AskChoice

    begins = step.kind == "transfer" and next_act(home.shelf, step, at) in ("start", "start pass")
    backwards = may_run_backwards(home.shelf, step) if begins else ""
    slow = not_wound(home.shelf, step) if begins else ""
    wind = wind_before(home.shelf, step, home.now()) if slow else None
    if not backwards and wind is None:
        starts()
        return
    forwards = "it is wound, and plays from its head" if wind else "wound first, then from its head"
    choices = [("forwards", forwards)]
    choices += [("backwards", "backwards, as it lies")] if backwards else []
    choices += [("wind", f"not yet: the wind begins now, {int(wind.planned.minutes)} min")] if wind else []
    told = [slow.partition("; ")[2]] if slow else []
    told += [f"Backwards {backwards}"] if backwards else []
    words = ". ".join(one[0].upper() + one[1:] for one in told)
    question = AskChoice(
        f"{step.subject} lies tails out: {'which way does it play?' if backwards else 'is it wound?'}",
        choices,
        words=f"{words}. The clock starts when this is answered.",
    )

    def chosen(way: str | None) -> None:
        if way == "wind" and wind is not None:
            winds(wind)
        elif way is not None:
            answered(way)

    home.push_screen(question, chosen)
