"""Tapes that a plan warms a second time: said loudly at every face, with what may spare them."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, datetime

from core.clock import evening_of
from core.conditioning.loads.began import load_began
from core.evening.playing.again import treatments_had
from core.plan import Item, Plan
from core.shelf import Shelf
from core.values import dataclass
from core.words import day_text, listed


@dataclass(frozen=True, slots=True)
class SecondHeat:
    """A reel that was treated before and goes into that load of the plan."""

    reel: str
    load: Item
    had: int
    spared_by: str = ""


def second_heats(shelf: Shelf, plan: Plan | None, now: datetime) -> tuple[SecondHeat, ...]:
    """The reels of loads that have not begun by ``now`` and that were treated before, in order of time."""
    if plan is None:
        return ()
    spares = dict(plan.spares)
    ahead = [item for item in plan.items if item.kind == "condition" and item.start >= now]
    begun = {(id(item), key) for item in ahead for key in item.reels if _went_in(shelf, item, key)}
    return tuple(
        SecondHeat(key, load, had, spares.get(key, ""))
        for load in ahead
        for key in load.reels
        if key in shelf.reels and (id(load), key) not in begun and (had := treatments_had(shelf, key))
    )


def _went_in(shelf: Shelf, item: Item, key: str) -> bool:
    return load_began(shelf, item.chamber, [key], item.start)


def second_tonight(shelf: Shelf, plan: Plan | None, day: date, now: datetime) -> str:
    """The same of one evening's loads, for one line of a screen: ``second treatment: K-02 and K-03; ...``."""
    told = [one for one in second_heats(shelf, plan, now) if evening_of(one.load.start) == day]
    ways = _ways(told) or ["the treble may suffer"] if told else []
    return f"{_which(told)}: {listed([one.reel for one in told])}; {'; '.join(ways)}" if told else ""


def second_words(heats: Iterable[SecondHeat]) -> str:
    """``second treatment: K-02 and K-03 Sat 28 Nov: sources disagree ...``; empty where there is none."""
    told = list(heats)
    if not told:
        return ""
    days = dict.fromkeys(one.load.start.date() for one in told)
    reels = [
        f"{listed([one.reel for one in told if one.load.start.date() == day])} {day_text(day)}"
        for day in days
    ]
    doubt = "sources disagree whether the treble bears it"
    return "; ".join([f"{_which(told)}: {', '.join(reels)}: {doubt}", *_ways(told)])


def _which(told: list[SecondHeat]) -> str:
    return "second treatment" if all(one.had == 1 for one in told) else "treated before, and more than once"


def _ways(told: list[SecondHeat]) -> list[str]:
    """What may spare which of them."""
    spared: dict[str, list[str]] = {}
    for one in told:
        if one.spared_by:
            spared.setdefault(one.spared_by, []).append(one.reel)
    return [f"{way} may spare {listed(keys)}" for way, keys in spared.items()]
