"""What the owner wishes of a plan beyond the rules: pins, bans, songs by a date, slack, and calm."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from core.plan import Plan
from core.shelf import Shelf


@dataclass(frozen=True, slots=True)
class Pin:
    """This reel is transferred on that date; with ``never`` it is not."""

    reel: str
    day: date
    never: bool = False


@dataclass(frozen=True, slots=True)
class Wishes:
    """Nothing wished for unless said; rules always hold, a wish only where it can be met.

    ``no_chamber``: dates on which no load starts or runs. ``song_by``: a song and the date by whose end it is
    to be ready. ``slack``: the share of every evening kept free for what goes wrong (0.1 is a tenth).
    ``kept``: the plan that is under way; each of its items that moves costs ``price`` in the score's own unit
    (hours times priority), a tenth of that from the eighth day on.
    """

    pins: tuple[Pin, ...] = ()
    no_chamber: tuple[date, ...] = ()
    song_by: tuple[tuple[str, date], ...] = ()
    slack: float = 0.0
    kept: Plan | None = None
    price: float = 5.0

    def __post_init__(self) -> None:
        if not 0 <= self.slack < 1:
            raise ValueError("slack is a share of the evening, from 0 to below 1")
        if self.price < 0:
            raise ValueError("the price of a move is not below 0")

    @property
    def bind(self) -> bool:
        """True if anything is wished that keeps the best plan away."""
        return bool(self.pins or self.no_chamber or self.song_by or self.slack or self.kept)


def wishes_of(shelf: Shelf) -> Wishes:
    """What the owner holds and keeps off on the shelf: transfers on dates, and dates without a load."""
    kept = shelf.of_kind("pin").values()
    pins = [
        Pin(one["reel"], date.fromisoformat(one["day"]), never=one["do"] == "forbid")
        for one in kept
        if one["kind"] == "transfer" and one["reel"] in shelf.reels
    ]
    closed = [date.fromisoformat(one["day"]) for one in kept if one["kind"] == "condition"]
    return Wishes(pins=tuple(pins), no_chamber=tuple(closed))
