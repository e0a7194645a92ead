"""The plan as its loads really run: one that went in later or earlier has all its moments so much later.

So have those behind a time without warmth.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime

from core.clock import minutes_between
from core.conditioning.loads.kept_loads import log_now
from core.plan import Item, Plan
from core.shelf import Shelf


def as_begun(shelf: Shelf, plan: Plan) -> Plan:
    """The plan with the turns, take-outs and cooling of each load that runs counted from its true start.

    Nothing else moves: that is for a new plan to do. A plan whose loads run as planned comes back as it is.
    """
    items = tuple(_begun(shelf, item) if item.kind == "condition" else item for item in plan.items)
    return plan if items == plan.items else replace(plan, items=items)


def _begun(shelf: Shelf, load: Item) -> Item:
    log = log_now(shelf, load.chamber, load.reels)
    if log is None or (log.at == load.start and not log.gaps):
        return load

    def moved(moment: datetime) -> datetime:
        return log.after(minutes_between(load.start, moment) / 60)

    return replace(
        load,
        start=moved(load.start),
        end=moved(load.end),
        members=tuple(
            replace(
                one,
                out=moved(one.out),
                cool_until=moved(one.cool_until),
                playable_until=moved(one.playable_until),
            )
            for one in load.members
        ),
        touches=tuple(replace(one, start=moved(one.start), end=moved(one.end)) for one in load.touches),
    )
