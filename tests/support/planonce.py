"""Plans by effort that several tests start from: the same question has the same answer, and is asked once."""

from datetime import datetime
from typing import Any

from core.plan import Plan
from core.planning import plan_evenings as planner
from core.shelf import Shelf

_MADE: dict[str, Plan] = {}


def plan_evenings(shelf: Shelf, start: datetime, days: int, **how: Any) -> Plan:
    """The plan of that shelf; by effort it is made once in a session.

    For tests that ask about a plan. Those that ask about the search itself call the program's own.
    """
    if "effort" not in how:
        return planner.plan_evenings(shelf, start, days, **how)
    asked = repr((shelf, start, days, sorted(how.items())))
    if asked not in _MADE:
        _MADE[asked] = planner.plan_evenings(shelf, start, days, **how)
    return _MADE[asked]
