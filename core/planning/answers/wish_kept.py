"""Whether a plan keeps each of the owner's wishes, and why not where it does not."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date

from core.plan import Item, Plan
from core.planning.answers.asking import Asking
from core.planning.answers.that_day import comes_first, in_the_way, that_day
from core.planning.wishes.wishes import Wish, Wishes, wished_on
from core.shelf import Shelf
from core.values import dataclass
from core.words import day_text

#: Whom to ask for reasons, made when first needed.
Ask = Callable[[], Asking]
#: ``over``: its date is past or its work is done. ``beyond``: the plan ends before. ``new``: made since.
STATES = ("kept", "not kept", "over", "beyond", "new")
DECK_WORK = ("align", "audition", "transfer")


@dataclass(frozen=True, slots=True)
class WishTold:
    """One wish, whether the plan keeps it, and a sentence where it does not."""

    wish: Wish
    state: str
    why: str = ""

    @property
    def says(self) -> str:
        """The wish and how it stands, in one line."""
        return f"{self.wish.words}: {self.state}{f': {self.why}' if self.why else ''}"

    def to_json(self) -> dict[str, object]:
        """As other programs read it."""
        return {"wish": self.wish.words, "state": self.state, "why": self.why or None}


def wishes_told(
    shelf: Shelf, plan: Plan, wishes: tuple[Wish, ...], made_with: Wishes | None = None
) -> tuple[WishTold, ...]:
    """How each of the wishes stands in that plan, which was made with all of ``made_with``."""
    asking: list[Asking] = []

    def ask() -> Asking:
        if not asking:
            asking.append(Asking(shelf, plan, made_with or Wishes(), most=1))
        return asking[0]

    return tuple(_told(shelf, plan, wish, ask) for wish in wishes)


def _told(shelf: Shelf, plan: Plan, wish: Wish, ask: Ask) -> WishTold:
    if wish.kind == "slack":
        return WishTold(wish, "kept")
    assert wish.day is not None
    gone = _gone(shelf, wish)
    if gone:
        return WishTold(wish, "over", gone)
    if wish.kind != "from" and wish.day < plan.start.date():
        return WishTold(wish, "over", "that date is past")
    if wish.day > plan.until.date() and wish.kind in ("on", "warm"):
        return WishTold(wish, "beyond", f"this plan ends on {day_text(plan.until.date())}")
    if wish.kind == "by":
        return _by(shelf, plan, wish, ask)
    broken = next((item for item in plan.items if _breaks(item, wish)), None)
    if broken is not None:
        return WishTold(wish, "not kept", _running(wish, broken, plan) or f"{_named(broken)} stays there")
    if wish.kind not in ("on", "warm") or _on_that_day(plan, wish):
        return WishTold(wish, "kept")
    return WishTold(wish, "not kept", _why_not_then(plan, wish, ask))


def _gone(shelf: Shelf, wish: Wish) -> str:
    """Why there is nothing left to wish."""
    if wish.kind in ("on", "off", "warm", "from"):
        reel = shelf.reels.get(wish.about)
        if reel is None:
            return f"{wish.about} is not on this shelf"
        return f"{wish.about} is {reel.stage} already" if reel.past("transferred") else ""
    if wish.kind == "by" and wish.about not in shelf.songs:
        return f"{wish.about} is not on this shelf"
    return ""


def _ready(plan: Plan, wish: Wish) -> date | None:
    ready = next((song.ready for song in plan.songs if song.song == wish.about), None)
    return ready.date() if ready is not None else None


def _by(shelf: Shelf, plan: Plan, wish: Wish, ask: Ask) -> WishTold:
    assert wish.day is not None
    ready = _ready(plan, wish)
    if ready is not None and ready <= wish.day:
        return WishTold(wish, "kept")
    reasons = [f"{one.what}: {one.says}" for one in ask().song(wish.about, wish.day)]
    how = f"ready on {day_text(ready)}" if ready is not None else "not ready in this plan"
    return WishTold(wish, "not kept", "; ".join((how, *_reels_first(shelf, wish), *reasons)))


def _reels_first(shelf: Shelf, wish: Wish) -> list[str]:
    """That other wishes come first, by their numbers: those with a reel of the song on a later date."""
    needs = {need.reel for need in shelf.songs[wish.about].needs}
    every = enumerate(wished_on(shelf).values(), start=1)
    later = [(n, one) for n, one in every if one.kind in ("on", "warm", "from") and one.about in needs]
    first = [n for n, one in later if one.day is not None and wish.day is not None and one.day > wish.day]
    return [comes_first(first)] if first else []


def _on_that_day(plan: Plan, wish: Wish) -> bool:
    kind = "transfer" if wish.kind == "on" else "condition"
    days = {i.start.date() for i in plan.items if i.kind == kind and wish.about in i.reels}
    return wish.day in days


def _breaks(item: Item, wish: Wish) -> bool:
    """True if the step goes against the wish."""
    assert wish.day is not None
    first, last = item.start.date(), item.end.date()
    if wish.kind == "no chamber":
        return item.kind == "condition" and first <= wish.day <= last
    if wish.kind == "no deck":
        return item.kind in DECK_WORK and first == wish.day and wish.about in ("", item.deck)
    if wish.about not in item.reels:
        return False
    if wish.kind == "off":
        return item.kind == "transfer" and first == wish.day
    return wish.kind == "from" and item.kind not in ("identify", "verify") and first < wish.day


def _running(wish: Wish, item: Item, plan: Plan) -> str:
    return f"the load in {item.chamber} runs already" if item.chamber and item.start < plan.start else ""


def _named(item: Item) -> str:
    return f"{item.kind} {item.reel or item.deck or item.chamber}"


def _why_not_then(plan: Plan, wish: Wish, ask: Ask) -> str:
    """Why the reel is not transferred or warmed on that date."""
    assert wish.day is not None
    left = next((one for one in plan.left_over if one.reel == wish.about), None)
    if left is not None and left.barred_by:
        return left.why
    kind = "transfer" if wish.kind == "on" else "condition"
    when = next((i.start for i in plan.items if i.kind == kind and wish.about in i.reels), None)
    instead = f"it is on {day_text(when.date())}; " if when is not None else ""
    reason = in_the_way(ask(), wish, load=wish.kind == "warm")
    reason = reason or that_day(ask(), wish.about, wish.day, load=wish.kind == "warm")
    return f"{instead}{reason}"
