"""What is done is not planned, what is planned comes once and in order.

Kept as well by `facts/jobs.py: job_of` (what is left), `bench/lists.py: enter_job`,
`solver/constraints.py: step_kinds`, `solver/constraints.py: add_order`.
"""

from __future__ import annotations

from collections.abc import Iterator

from core.plan import Item
from core.planning.rules.case import Case, named, utc
from core.reels import needs
from core.reels.reel import Reel


def stages(case: Case) -> Iterator[str]:
    """Rule 9: what is done is not planned, what is planned comes once and in order."""
    for reel in case.reels.values():
        own = {kind: case.of(kind, reel) for kind in ("identify", "repair", "audition", "transfer", "verify")}
        if not any(own.values()):
            continue
        parts = len(case.to_play(reel))
        if any(len(items) > (parts if kind == "transfer" else 1) for kind, items in own.items()):
            yield f"{reel.key} has a step twice"
        if own["identify"] and not needs.to_look_at(case.shelf.reels[reel.key]):
            yield f"{reel.key} is identified again"
        if reel.calibration:
            if any(items for kind, items in own.items() if kind != "identify"):
                yield f"{reel.key} is a calibration reel and is only identified and conditioned"
            continue
        yield from _order(case, reel, own, parts)


def _order(case: Case, reel: Reel, own: dict[str, list[Item]], parts: int) -> Iterator[str]:
    played = own["repair"] + own["audition"] + own["transfer"]
    if played and reel.past("transferred"):
        yield f"{reel.key} is worked on, though it is {reel.stage}"
    known = case.known_from(reel)
    for item in played:
        if known is None or utc(item.start) < known:
            yield f"{named(item)} before the reel is identified, or on the evening of its look"
    hearing = case.shelf.studio.minutes.audition > 0 and reel.heard is None
    if own["audition"] and not hearing:
        yield f"{reel.key} is heard without need"
    for item in own["transfer"]:
        if hearing and not any(utc(done.end) <= utc(item.start) for done in own["audition"]):
            yield f"{named(item)} before it was heard"
    for item in own["verify"]:
        whole = len(own["transfer"]) == parts and all(utc(t.end) <= utc(item.start) for t in own["transfer"])
        if reel.stage == "verified" or (not reel.past("transferred") and not whole):
            yield f"{named(item)}, though it is not transferred or verified already"
