"""What rests on something that nobody has told says so.

Kept as well by `facts/jobs.py: parts_of` and `facts/jobs.py: job_of` (what each rests on),
`assemble.py: items_of`.
"""

from __future__ import annotations

from collections.abc import Iterator

from core.planning.rules.case import Case, named
from core.planning.rules.line_up import parts_of
from core.reels.assumed import rests_on, rests_on_condition


def assumptions(case: Case) -> Iterator[str]:
    """Repairs, transfers and entries in a load name the condition, equalisation and level they assume."""
    studio, own = case.shelf.studio, case.own
    for load in case.loads:
        for member in load.members if not case.running(load) else ():
            reel = case.shelf.reels.get(member.reel)
            if reel is not None and member.assumes != rests_on_condition(reel, studio, own):
                yield f"{member.reel} in {named(load)} does not say what it assumes"
    for item in case.bench:
        told = case.shelf.reels.get(item.reel)
        if told is None or item.kind not in ("repair", "transfer"):
            continue
        due = {rests_on_condition(told, studio, own)}
        if item.kind == "transfer":
            due = {rests_on(told, one.told, studio, own) for one in parts_of(case, item)}
        if item.assumes not in due:
            yield f"{named(item)} does not say what it assumes"
