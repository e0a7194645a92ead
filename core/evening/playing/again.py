"""When a tape needs more than was thought: warmed again, spliced, set aside, known better after hearing."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime

from core.conditioning.advisor import heat_of
from core.conditioning.base_look import warmed_against_base
from core.conditioning.loads.chamber_log import Behaved, times_treated
from core.conditioning.loads.kept_loads import loads_of
from core.conditioning.on_shelf import log_behaviour
from core.errors import Refused
from core.quantities import Quantity
from core.reels.reel import Reel
from core.shelf import Shelf
from core.standing.proof import changed


def condition_again(shelf: Shelf, key: str, hours: Quantity | None, at: datetime) -> Shelf:
    """The shelf with that reel waiting for another treatment, of its own ``hours`` where given.

    Its playable time ends at that moment: it is not playable any more. Refused where it must never be warmed.
    """
    reel = shelf.reel(key)
    if reel.past("transferred"):
        raise Refused(f"{key} is {reel.stage}: go back to identified first, with a reason")
    why = heat_of(shelf, reel, at).never
    if why is not None:
        raise Refused(f"{key} does not go into a chamber: {why}")
    condition = tuple(one for one in reel.condition if one != "ok")
    if "sticky" not in condition:
        condition = (*condition, "sticky")
    return shelf.with_reel(
        replace(
            reel,
            stage="identified" if reel.past("identified") else reel.stage,
            condition=condition,
            conditioned_at=None,
            playable_until=None,
            treatment_hours=hours or reel.treatment_hours,
        )
    )


def ran(shelf: Shelf, key: str, how: Behaved, at: datetime) -> Shelf:
    """The shelf with how a tape ran after its newest load; one that stopped waits for another treatment.

    Refused for a tape that was in no load.
    """
    told = log_behaviour(shelf, key, how)
    reel = told.reel(key)
    held = how != "stopped" or reel.chamber or reel.past("transferred") or heat_of(told, reel, at).never
    return told if held else condition_again(told, key, None, at)


def treatments_had(shelf: Shelf, key: str) -> int:
    """How often that tape was treated, by the loads kept and the take-outs that history tells of.

    A load that was broken off before the tape had its hours counts for nothing. One that a list alone told
    of, and that did not hold, is told by the cell that was emptied.
    """
    loads, _ = times_treated(tuple(loads_of(shelf).values()), key)
    mine = [one for one in shelf.history if one.key == key and one.field == "conditioned_at"]
    new = [one.new for one in mine if one.new]
    told = len(new) + len({one.old for one in mine if one.old and not one.new}.difference(new))
    reel = shelf.reels.get(key)
    known = 1 if reel is not None and reel.conditioned_at is not None else 0
    return max(loads, told, known)


def repaired(shelf: Shelf, key: str) -> Shelf:
    """The shelf with that reel's splices and leader joints remade."""
    reel = shelf.reel(key)
    condition = tuple(one for one in reel.condition if one != "splices")
    return shelf.with_reel(replace(reel, splices=0, condition=condition or ("ok",)))


def splice_let_go(shelf: Shelf, key: str, joints: int = 1) -> Shelf:
    """The shelf with joints of that reel to be remade before it runs again."""
    if joints < 1:
        raise Refused("at least one joint lets go")
    reel = shelf.reel(key)
    condition = tuple(one for one in reel.condition if one not in ("splices", "ok"))
    return shelf.with_reel(
        replace(reel, splices=(reel.splices or 0) + joints, condition=(*condition, "splices"))
    )


def set_aside(shelf: Shelf, key: str, because: str) -> Shelf:
    """The shelf with that reel out of the work, for a specialist or since it is not to be transferred."""
    if not because.strip():
        raise Refused(f"setting {key} aside needs a reason")
    return shelf.with_reel(replace(shelf.reel(key), set_aside=because.strip()))


def taken_up(shelf: Shelf, key: str) -> Shelf:
    """The shelf with a reel that was set aside back in the work."""
    return shelf.with_reel(replace(shelf.reel(key), set_aside=""))


def heard(shelf: Shelf, key: str, at: datetime, **settled: object) -> Shelf:
    """The shelf after a first hearing: what it settled (speed, eq, contents ...) is no longer assumed."""
    reel = shelf.reel(key)
    return shelf.with_reel(replace(reel, heard=reel.heard or at, **settled))  # type: ignore[arg-type]


def assumed(reel: Reel) -> tuple[str, ...]:
    """Which facts are only assumed until the tape was heard."""
    if reel.heard is not None:
        return ()
    told = {"speed": reel.speed, "eq": reel.eq, "level": reel.level, "contents": reel.contents}
    return tuple(name for name, value in told.items() if value)


def alarm(shelf: Shelf, reel: Reel) -> str | None:
    """What must be said loudly: files that changed, a tape warmed against its base or before it was known."""
    why = changed(shelf, reel) if reel.past("transferred") else None
    if why is not None:
        return f"{reel.key}: {why}"
    against = warmed_against_base(shelf, reel)
    return f"{reel.key} {against}" if against else None
