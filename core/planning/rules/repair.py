"""Joints are remade before a reel is played.

Kept as well by `facts/jobs.py: job_of` (how long), `bench/lists.py: _play`,
`bench/follow.py: _ready`, `solver/constraints.py: add_order`.
"""

from __future__ import annotations

from collections.abc import Iterator

from core.planning.rules.case import Case, named, utc
from core.reels import needs


def repair(case: Case) -> Iterator[str]:
    """Rule 5: joints are remade, once, before the reel is played."""
    for reel in case.transferable():
        repairs = case.of("repair", reel)
        due = needs.to_transfer(reel) and needs.needs_repair(reel)
        if len(repairs) > 1 or (repairs and not due):
            yield f"{reel.key} is repaired without need"
        for item in case.of("transfer", reel) + case.of("audition", reel):
            if due and not any(utc(done.end) <= utc(item.start) for done in repairs):
                yield f"{named(item)} before its repair"
