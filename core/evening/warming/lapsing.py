"""Warmed reels whose playable time runs out: seven days, two days, tomorrow; one wording for every face."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime

from core.clock import evening_of
from core.conditioning.loads.began import load_began
from core.plan import Item, Plan
from core.reels.needs import playable_until, sticky, to_transfer
from core.shelf import Shelf
from core.values import dataclass
from core.words import day_text

SOON_DAYS, NEAR_DAYS = 7, 2
"""From how many days before its end on a reel is warned of, and from when on it is urgent."""
EVENING_FROM = 17
"""The hour from which a step of the same day is told as tonight's."""


@dataclass(frozen=True, slots=True)
class Lapse:
    """A reel that may be played only until then, at the moment ``now``, and the step that is to play it."""

    reel: str
    until: datetime
    now: datetime
    planned: Item | None = None
    warmed: Item | None = None  # the load of the plan in which it is warmed again, where nothing plays it
    left: bool = False  # the plan knows of it and leaves it over

    @property
    def urgent(self) -> bool:
        """True in the last two days, and where no plan plays it in time or warms it again."""
        held = self.planned or self.warmed
        return held is None or (self.until.date() - self.now.date()).days <= NEAR_DAYS

    @property
    def words(self) -> str:
        """``R-004 plays only until tomorrow 18:00; planned tonight 20:15``, in 80 columns."""
        days = (self.until.date() - self.now.date()).days
        day = day_text(self.until.date())
        when = {0: "today", 1: "tomorrow", 2: f"{day}, two days,"}.get(days, day)
        return f"{self.reel} plays only until {when} {self.until:%H:%M}; {self._then(self._near)}"

    @property
    def dated(self) -> str:
        """The same for what is read on another day: dates only."""
        day = day_text(self.until.date())
        told = self._then(lambda at: day_text(at.date())).removesuffix(": plan again")
        return f"{self.reel} plays only until {day} {self.until:%H:%M}; {told}"

    def _near(self, at: datetime) -> str:
        """The day of a step as it is told on the evening itself."""
        here = "tonight" if at.hour >= EVENING_FROM else "today"
        return here if evening_of(at) == evening_of(self.now) else day_text(at.date())

    def _then(self, day: Callable[[datetime], str]) -> str:
        """What the plan does about it."""
        if self.planned is not None:
            return f"planned {day(self.planned.start)} {self.planned.start:%H:%M}"
        if self.warmed is not None:
            return f"warmed again {day(self.warmed.start)} {self.warmed.start:%H:%M}"
        return f"not in this plan: why {self.reel}" if self.left else "not planned before: plan again"


def lapsing(shelf: Shelf, plan: Plan | None, now: datetime) -> tuple[Lapse, ...]:
    """The reels still to be transferred whose playable time ends within seven days, the soonest first.

    By what the shelf knows now: what a plan is yet to warm is not warned of.
    """
    own, found = shelf.own_stocks(), []
    for reel in shelf.transferable():
        until = playable_until(reel, shelf.studio) if to_transfer(reel) and not reel.chamber else None
        if until is None or until <= now or not sticky(reel, own):
            continue
        if (until.date() - now.date()).days > SOON_DAYS:
            continue
        found.append(_lapse(shelf, plan, reel.key, now, until))
    return tuple(sorted(found, key=lambda one: (one.until, one.reel)))


def lapsing_on(shelf: Shelf, plan: Plan, evening: datetime) -> tuple[Lapse, ...]:
    """The same as it stands on an evening of the plan, were all done as planned until then."""

    def over(item: Item, reel: str) -> bool:
        played = item.kind == "transfer" and item.end <= evening
        return reel in item.reels and (played or (item.kind == "condition" and item.start < evening))

    return tuple(
        one for one in lapsing(shelf, plan, evening) if not any(over(item, one.reel) for item in plan.items)
    )


def _lapse(shelf: Shelf, plan: Plan | None, key: str, now: datetime, until: datetime) -> Lapse:
    items, left = (plan.items, plan.left_over) if plan is not None else ((), ())
    heats = (
        i
        for i in items
        if i.kind == "condition" and key in i.reels and i.start >= now
        if not load_began(shelf, i.chamber, [key], i.start)
    )
    known = any(one.reel == key for one in left)
    return Lapse(key, until, now, _plays(plan, key, now, until), next(heats, None), known)


def _plays(plan: Plan | None, key: str, now: datetime, until: datetime) -> Item | None:
    """The plan's transfer of that reel that is still ahead and ends in time."""
    items = plan.items if plan is not None else ()
    return next((i for i in items if i.kind == "transfer" and i.reel == key and now < i.end <= until), None)
