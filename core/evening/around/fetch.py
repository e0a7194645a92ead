"""What is fetched for an evening, place by place along the shelf; one rule for the order and the screen."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime

from core.evening.around.where_it_lies import Lies, shelf_order, where_it_lies
from core.evening.tonight.sheet import OVER, Step
from core.plan import Plan
from core.shelf import Shelf
from core.values import dataclass
from core.words import listed

#: What each kind of step wants the reel itself for; a turn, a take-out and a verify want none from the shelf.
_WANTS = {
    "identify": "look at",
    "load": "warm",
    "repair": "repair",
    "audition": "hear",
    "transfer": "transfer",
    "align": "line up",
}


@dataclass(frozen=True, slots=True)
class Fetch:
    """One reel to fetch: where it lies, where it goes back to, what its box says, what for, and by when."""

    reel: str
    lies: Lies
    home: str
    box: str
    uses: tuple[str, ...]
    first: datetime

    @property
    def words(self) -> str:
        """``R-002 Marram, to warm at 19:00``."""
        box = f" {self.box}" if self.box else ""
        aside = f" ({self.lies.aside})" if self.lies.aside else ""
        return f"{self.reel}{box}: {listed(self.uses)} {self.first:%H:%M}{aside}"


def to_fetch(shelf: Shelf, plan: Plan | None, steps: Iterable[Step], at: datetime) -> tuple[Fetch, ...]:
    """Every reel that these steps still want, each once, along the places where they lie at that moment.

    Steps that are done, skipped or struck want nothing, nor does what has no room any more. A reel that lies
    in a chamber is in the list, at the chamber: it cannot be fetched before it comes out.
    """
    uses: dict[str, list[tuple[datetime, str]]] = {}
    for step in steps:
        if step.kind not in _WANTS or step.state in OVER or not step.fits:
            continue
        start = step.expected.start if step.expected is not None else step.planned.start
        for key in wanted_reels(step):
            uses.setdefault(key, []).append((start, _WANTS[step.kind]))
    found = [_fetch(shelf, plan, key, wants, at) for key, wants in uses.items()]
    return tuple(sorted(found, key=lambda one: (shelf_order(one.lies.place), one.first, one.reel)))


def wanted_reels(step: Step) -> tuple[str, ...]:
    """The reels that a step takes into the hands: its own, and the calibration reel of a line-up."""
    if step.kind == "align":
        return (step.item.calibration,) if step.item is not None and step.item.calibration else ()
    return step.reels


def by_place(fetched: Iterable[Fetch]) -> dict[str, tuple[Fetch, ...]]:
    """The same, by the place where they lie, in its order."""
    places: dict[str, list[Fetch]] = {}
    for one in fetched:
        places.setdefault(one.lies.place, []).append(one)
    return {place: tuple(rows) for place, rows in places.items()}


def _fetch(
    shelf: Shelf, plan: Plan | None, key: str, wants: list[tuple[datetime, str]], at: datetime
) -> Fetch:
    reel = shelf.reels.get(key)
    box = (reel.on_box or "(nothing written)") if reel is not None else ""
    wants.sort()
    uses = tuple(dict.fromkeys(use for _, use in wants))
    home = reel.location if reel is not None else ""
    return Fetch(key, where_it_lies(shelf, plan, key, at), home, box, uses, wants[0][0])
