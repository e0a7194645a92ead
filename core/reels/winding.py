"""What is said of winding a tape that must not be flung: treated, spliced, thin, or not polyester.

Common practice of the trade: such a tape is wound at play speed or the deck's slowest, and stays tails out.
"""

from __future__ import annotations

from core.reels.length import length_of
from core.reels.minutes import passes, wants_gentle_winding, winds
from core.reels.needs import NONE, OwnStocks
from core.reels.reel import Reel
from core.studio.studio import Deck, Studio

TOO_SLOW = "more than is planned"


def slow_wind(reel: Reel, studio: Studio, own: OwnStocks = NONE, *, short: bool = False) -> str | None:
    """That a tape is not wound fast, and where a slow wind goes if the plan has none; None where it may be.

    Its planned length is at the deck's usual speed unless the studio gives a gentle one. ``short``: without
    what to do about that, where it stands above already.
    """
    deck = _deck(reel, studio)
    if deck is None or not wants_gentle_winding(reel, own):
        return None
    runs = passes(reel.tracks, studio) if reel.tracks else 1
    if not winds(reel, runs):
        return "no fast winding: it lies heads out, plays as it lies and stays tails out"
    slow = _slow_minutes(reel, deck, studio)
    if not slow:
        return None
    if deck.gentle_wind_speed is not None:
        return f"no fast winding: at {deck.gentle_wind_speed} a wind takes {slow} min, as planned"
    when = "on an evening before" if reel.tails else "between passes, on another evening"
    when += " and between passes" if reel.tails and runs > 1 else ""
    wind = "a wind" if reel.wind else "a wind, if it lies tails out,"
    told = f"no fast winding: {wind} takes {slow} min at {reel.speed}, {TOO_SLOW}"
    do = f"wind it {when}, or give the deck a gentle wind speed in the studio and plan again"
    return f"{told}: as above" if short else f"{told}: {do}"


def wound_slowly(reel: Reel, studio: Studio, own: OwnStocks = NONE) -> str:
    """``slowly, 32 min`` for a wind that is planned fast and should not be; else nothing."""
    minutes = slow_minutes(reel, studio, own)
    return f"slowly, {minutes} min" if minutes else ""


def slow_minutes(reel: Reel, studio: Studio, own: OwnStocks = NONE) -> int:
    """Minutes of a wind that is planned fast and should not be; nought where it may be as it is planned."""
    deck = _deck(reel, studio)
    if deck is None or deck.gentle_wind_speed is not None or not wants_gentle_winding(reel, own):
        return 0
    return _slow_minutes(reel, deck, studio)


def _slow_minutes(reel: Reel, deck: Deck, studio: Studio) -> int:
    """Minutes of a wind at the deck's gentle speed, else at play speed; nought where it is no slower."""
    length, slow = length_of(reel, studio), deck.gentle_wind_speed or reel.speed
    if length is None or slow is None or slow.number >= deck.wind_speed.number:
        return 0
    return round(length.inches / slow.number / 60)


def _deck(reel: Reel, studio: Studio) -> Deck | None:
    """The first deck that takes its width; None where none does, or its speed is not known."""
    if reel.width is None or reel.speed is None:
        return None
    return next((one for one in studio.decks if one.takes_width(reel.width)), None)
