"""Set-ups for which the shelf has no calibration reel that fits, and what kind of reel would serve."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from datetime import datetime

from core.conditioning.advisor import barred
from core.lineup.on_shelf import setup_of_words
from core.plan import Item, Plan
from core.quantities import Quantity
from core.reels.needs import to_transfer
from core.reels.reel import Reel
from core.shelf import Shelf
from core.standing.calibration import fits, nearness
from core.studio.setup import Setup
from core.studio.studio import Deck
from core.tape.nominal import known_curve
from core.values import dataclass
from core.words import counted, listed


@dataclass(frozen=True, slots=True)
class Uncalibrated:
    """A speed on decks that no calibration reel serves: the set-up most asked for, and the reels."""

    decks: tuple[str, ...]
    widths: tuple[str, ...]
    setup: Setup
    reels: tuple[str, ...]

    @property
    def key(self) -> tuple[object, ...]:
        """By what one is told from another."""
        return self.decks, self.setup.key[0]

    @property
    def words(self) -> str:
        """What is missing, for whom, and what would serve; else a line-up is made as the deck stands."""
        count = len(self.reels)
        whom = self.reels[0] if count == 1 else f"{self.reels[0]} and {counted(count - 1, 'more reel')}"
        speed, eq = self.setup.speed, self.setup.eq
        made = not eq.strip() or known_curve(eq, speed.number if speed is not None else None)
        recorded = (
            f"recorded for {self.setup}" if made else f"for {speed}"
        )  # nobody makes one of a curve unknown
        return (
            f"no calibration reel fits {speed} on {' or '.join(self.decks)} ({whom}): one of "
            f"{' or '.join(self.widths)} {recorded} would serve"
        )


def uncalibrated_told(found: Sequence[Uncalibrated]) -> tuple[str, ...]:
    """What is missing, in one sentence where it is several: with how many reels, and what it comes to."""
    if len(found) < 2:
        return tuple(one.words for one in found)
    each = [
        f"{one.setup.speed} on {' or '.join(one.decks)} ({counted(len(one.reels), 'reel')})" for one in found
    ]
    return (f"no calibration reel fits {listed(each)}: one of that width and speed would serve",)


def uncalibrated(shelf: Shelf, at: datetime) -> tuple[Uncalibrated, ...]:
    """Every speed and deck of reels to transfer, without tones of their own, that nothing calibrates."""
    studio = shelf.studio
    tapes = [reel for reel in shelf.reels.values() if reel.calibration and barred(shelf, reel, at) is None]
    groups: dict[tuple[object, ...], list[tuple[Reel, Setup]]] = {}
    on: dict[tuple[object, ...], list[Deck]] = {}
    for reel in shelf.reels.values():
        if not to_transfer(reel) or reel.tones.strip() or reel.set_aside:
            continue
        if reel.width is None or reel.tracks is None or reel.speed is None:
            continue
        decks = [deck for deck in studio.decks if deck.takes(reel.width, reel.tracks, reel.speed)]
        setup = reel.setup.filled(studio.assume_eq, studio.assume_level)
        if not decks or any(_served(deck, setup, tapes) for deck in decks):
            continue
        key = (tuple(deck.id for deck in decks), setup.key[0])
        groups.setdefault(key, []).append((reel, setup))
        on[key] = decks
    return tuple(_told(on[key], found) for key, found in groups.items())


def passed_over(shelf: Shelf, plan: Plan, align: Item) -> str:
    """The calibration reel that would serve better, were it not left in the heat past its hours; or empty."""
    deck, setup = shelf.studio.deck(align.deck), setup_of_words(shelf, dict(align.setup))
    planned = {key for item in plan.items if item.kind == "condition" for key in item.reels}
    named = shelf.reels.get(align.calibration)
    left = [
        reel
        for reel in shelf.reels.values()
        if reel.calibration and reel.chamber and reel.key not in planned
        if deck is not None and fits(deck, setup, reel) and barred(shelf, reel, align.start) is None
        if named is None or nearness(setup, reel) < nearness(setup, named)
    ]
    if not left:
        return ""
    best = min(left, key=lambda one: nearness(setup, one))
    serves = "is nearer" if named is not None else "fits"
    return f"{best.key} {serves}, and is in {best.chamber} still: take it out, then plan again"


def _served(deck: Deck, setup: Setup, tapes: Iterable[Reel]) -> bool:
    return not deck.calibration_needed or any(fits(deck, setup, tape) for tape in tapes)


def _told(decks: list[Deck], found: list[tuple[Reel, Setup]]) -> Uncalibrated:
    setups = [setup for _, setup in found]
    by_speed = setups[0].speed
    setup = Setup(by_speed, _most(setups, lambda one: one.eq.strip()), _level(setups))
    widths = tuple(dict.fromkeys(str(width) for deck in decks for width in deck.widths))
    return Uncalibrated(tuple(deck.id for deck in decks), widths, setup, tuple(reel.key for reel, _ in found))


def _most(setups: list[Setup], of: Callable[[Setup], str]) -> str:
    told = Counter(word for one in setups if (word := of(one)))
    return told.most_common(1)[0][0] if told else ""


def _level(setups: list[Setup]) -> Quantity | None:
    told = Counter(one.level for one in setups if one.level is not None)
    return told.most_common(1)[0][0] if told else None
