"""The one door: plans the evenings of a shelf, better and better while time remains."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime

from core.plan import Plan
from core.planning.incumbent import Incumbent, Progress
from core.planning.search import search
from core.planning.wishes.wishes import Wishes
from core.shelf import Shelf

#: What ``seconds`` is where nobody says: a plan that one waits for without getting up.
USUAL_SECONDS = 10.0


def plan_evenings(
    shelf: Shelf,
    start: datetime,
    days: int,
    *,
    seconds: float | None = None,
    effort: float | None = None,
    progress: Callable[[Progress], None] | None = None,
    stop: Callable[[], bool] | None = None,
    wishes: Wishes | None = None,
) -> Plan:
    """The best plan found from ``start`` for so many days, with its proven bound.

    ``seconds`` is wall time, 0 for the first valid plan; such plans differ from run to run. ``effort`` in its
    place counts work instead of time (one is about a second on a quiet machine): the same shelf and effort
    give the same plan to the byte, and ``made_in_seconds`` is then the effort spent, not a time. ``progress``
    hears of every better plan or bound; ``stop`` is asked often and ends the search with the best so far.
    """
    so_far = Incumbent(shelf, start, days, wishes or Wishes(), progress)
    if effort is not None:
        return search(so_far, effort, by_effort=True, stop=stop)
    return search(so_far, USUAL_SECONDS if seconds is None else seconds, by_effort=False, stop=stop)
