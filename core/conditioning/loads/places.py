"""Where each reel of a chamber load lies, and how the reels change places at every turn.

Common practice, as a pure rule: at every turn each reel is laid over and goes to another place, so that no
reel spends all its hours in the warmest or the coolest spot; the lowest place, over the fan motor, stays
empty as long as the trays allow; and every reel has its trays to itself, so that none presses on another.
Places count from the bottom, 1 being the lowest.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from datetime import datetime
from typing import Literal

from core.clock import minutes_between
from core.errors import Refused
from core.plan import Item
from core.reels.reel import Reel
from core.studio.studio import Chamber
from core.values import dataclass

Side = Literal["A", "B"]


@dataclass(frozen=True, slots=True)
class Place:
    """The trays that a reel has to itself, from ``lowest`` up, and which of its flanges looks up."""

    lowest: int
    trays: int = 1
    side: Side = "A"

    @property
    def highest(self) -> int:
        """Its topmost tray."""
        return self.lowest + self.trays - 1

    def __str__(self) -> str:
        return str(self.lowest) if self.trays == 1 else f"{self.lowest}-{self.highest}"


@dataclass(frozen=True, slots=True)
class Standing:
    """One touch of a load: who comes out, and where every reel lies before and after it."""

    do: str
    at: datetime
    out: tuple[str, ...]
    turns: bool
    before: Mapping[str, Place]
    after: Mapping[str, Place]


def first_places(trays: int, takes: Mapping[str, int], *, motor: bool = True) -> dict[str, Place]:
    """Where the reels of a new load go, in the order given, from the bottom up; ``takes`` is trays a reel.

    The lowest place, over the motor, stays empty if there is a tray to spare, and other spare trays lie
    between the reels. Refused if they do not fit.
    """
    needed = sum(takes.values())
    if needed > trays:
        raise Refused(f"{needed} trays of reels do not fit a chamber of {trays}")
    floor = 2 if motor and needed < trays else 1
    spare = trays - floor + 1 - needed
    gap, more = divmod(spare, max(1, len(takes)))
    places: dict[str, Place] = {}
    at = floor
    for number, (reel, count) in enumerate(takes.items()):
        places[reel] = Place(at, count)
        at += count + gap + (1 if number < more else 0)
    return places


def turned(trays: int, places: Mapping[str, Place], *, motor: bool = True) -> dict[str, Place]:
    """The places after a turn: every reel over, and on other trays wherever there are any.

    The lowest reel goes to the top and all others move down. A lone reel goes to the end that is
    farther away.
    """
    floor = 2 if motor and sum(place.trays for place in places.values()) < trays else 1
    if len(places) == 1:
        ((reel, place),) = places.items()
        highest = trays - place.trays + 1
        goes_up = highest - place.lowest > place.lowest - floor
        return {reel: Place(highest if goes_up else floor, place.trays, _over(place))}
    order = sorted(places, key=lambda reel: places[reel].lowest)
    takes = {reel: places[reel].trays for reel in [*order[1:], *order[:1]]}
    moved = first_places(trays, takes, motor=motor)
    return {reel: Place(moved[reel].lowest, place.trays, _over(place)) for reel, place in places.items()}


def _over(place: Place) -> Side:
    return "B" if place.side == "A" else "A"


def standings(
    load: Item,
    chamber: Chamber,
    reels: Mapping[str, Reel],
    left: Mapping[str, datetime] = {},
    missed: Collection[datetime] = (),
) -> tuple[Standing, ...]:
    """Every touch of a load with each reel's place before and after it, also those before the plan began.

    The members lie from the bottom up in the order in which they come out last, so that what comes out first
    is at the top. A reel of which the chamber does not know the width takes one tray. ``left`` are reels that
    came out before their time, each with that moment: they were laid like the rest, and lie nowhere since.
    ``missed`` are turns that nobody made: every reel lies where it lay.
    """
    last_out = sorted(load.members, key=lambda member: (-member.out.timestamp(), member.reel))
    takes = {member.reel: _trays(chamber, reels.get(member.reel)) for member in last_out}
    trays, motor = max(chamber.trays, sum(takes.values())), chamber.motor_below is not False
    places = first_places(trays, takes, motor=motor)
    done = [Standing("load", load.start, (), False, {}, dict(places))]
    for at, due in _moments(load, chamber):
        turns = due and at not in missed
        places = {reel: place for reel, place in places.items() if left.get(reel, at) >= at}
        ends = ((one.reel, min(one.out, left.get(one.reel, one.out))) for one in load.members)
        out = tuple(reel for reel, end in ends if end == at and reel in places)
        if not places or not (out or turns):
            continue
        stay = {reel: place for reel, place in places.items() if reel not in out}
        after = turned(trays, stay, motor=motor) if turns and stay else stay
        done.append(
            Standing("take out" if out else "turn", at, out, turns and bool(stay), dict(places), dict(after))
        )
        places = after
    return tuple(done)


def _trays(chamber: Chamber, reel: Reel | None) -> int:
    taken = chamber.trays_for(reel.width) if reel is not None and reel.width is not None else None
    return taken or 1


def _moments(load: Item, chamber: Chamber) -> Sequence[tuple[datetime, bool]]:
    """Every turn and take-out after the load's start, in order, and whether the rest is turned then."""
    from core.clock import later

    end = max((member.out for member in load.members), default=load.start)
    outs = {member.out for member in load.members}
    turns: set[datetime] = set()
    every = chamber.turn_every.number
    count = 1
    while every > 0 and later(load.start, hours=every * count) < end:
        turns.add(later(load.start, hours=every * count))
        count += 1
    return [(at, at in turns) for at in sorted(outs | turns, key=lambda at: minutes_between(load.start, at))]
