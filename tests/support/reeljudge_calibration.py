"""Rule 6's calibration reels: what fits a set-up, what would do when, and what stands in where none fits."""

from collections.abc import Iterator
from fractions import Fraction

from reeljudge_case import Case, Item
from reeljudge_shelf import Deck, Reel, Setup, setup_of


def calibrated(case: Case) -> Iterator[str]:
    """Every line-up names a calibration reel that fits and would do, or says by what it is made."""
    for item in case.of("align"):
        deck, setup = case.shelf.decks[item.deck], setup_of(item.raw["setup"])
        name = item.raw.get("calibration")
        if not name:
            yield from _without(case, item, deck, setup)
        else:
            yield from _named(case, item, deck, setup, name)


def _without(case: Case, item: Item, deck: Deck, setup: Setup) -> Iterator[str]:
    fits = case.fitting(deck, setup)
    if fits:
        if deck.calibration_needed:
            names = ", ".join(reel.name for reel in fits)
            yield f"6: {item} names no calibration reel, though one fits: {names}"
        return
    due = "tones" if any(case.shelf.reels[name].tones for name in served(case, item)) else "as it stands"
    if item.raw.get("by") != due:
        yield f"6: {item} is made by {item.raw.get('by')!r}, should be {due!r}"


def _named(case: Case, item: Item, deck: Deck, setup: Setup, name: str) -> Iterator[str]:
    reel = case.shelf.reels.get(name)
    if reel is None or not reel.calibration:
        yield f"6: {item} names no calibration reel but {name!r}"
        return
    barred = case.barred(reel)
    if barred:
        yield f"3: {item} uses {name}, which is barred ({barred})"
    if reel.width not in deck.widths or reel.setup[0] != setup[0]:
        yield f"6: {item} names {name}, which does not fit: speed and width must"
    wrong = _why_not(case, item, reel)
    if wrong:
        yield f"6: {item} uses {name} {wrong}"
        return
    others = [
        one for one in case.fitting(deck, setup) if one is not reel and _why_not(case, item, one) is None
    ]
    for other in others:
        if _nearer(other, reel, setup):
            yield f"6: {item} uses {name}, though {other.name} is nearer to the set-up"


def _why_not(case: Case, item: Item, reel: Reel) -> str | None:
    """Why a calibration reel would not do all through a line-up, or None."""
    known = any(done.end <= item.start for done in case.of("identify", reel))
    if (reel.stage == "found" or reel.uninspected) and not known:
        return "before it is identified"
    heats = case.heats(reel)
    if item.start < case.at_hand_from(reel) or any(
        load < item.end and item.start < cool for load, cool, _ in heats
    ):
        return "while it is not at hand"
    if case.sticky(reel):
        done = [heat for heat in heats if heat[1] <= item.start]
        last = done[-1][2] if done else case.playable(reel)
        if last is None or item.end > last:
            return "which is not playable then"
    return None


def _nearer(one: Reel, other: Reel, setup: Setup) -> bool:
    """Whether *one* surely lies nearer: it alone has the equalisation, or of two alike the level is closer.

    How far two curves lie apart is not weighed, and neither is a value that a reel does not tell.
    """
    if one.setup[1] != other.setup[1]:
        return bool(other.setup[1]) and one.setup[1] == setup[1]
    levels = (one.setup[2], other.setup[2], setup[2])
    if not all(isinstance(level, Fraction) for level in levels):
        return False
    near, far = (abs(Fraction(level) - Fraction(setup[2])) for level in levels[:2])
    return near < far


def served(case: Case, align: Item) -> list[str]:
    """The reels that play on a line-up: on its deck, in its bench window, before the next one."""
    window = case.window(align.start, align.end)
    later = [one for one in case.of("align") if one.deck == align.deck and one.start >= align.end]
    over = later[0].start if later else case.until
    return [
        one.reel
        for one in case.of("transfer")
        if one.deck == align.deck
        and align.end <= one.start < over
        and window is not None
        and one.end <= window[1]
    ]


ALL = (calibrated,)
