"""What is said of winding a tape that must not be flung: treated, spliced, thin, or not polyester.

Common practice of the trade: such a tape is wound at play speed or the deck's slowest, and stays tails out.
How long that takes is told in the same words at every face.
"""

from __future__ import annotations

from core.reels.length import length_of
from core.reels.minutes import passes, wants_gentle_winding, winds
from core.reels.needs import NONE, OwnStocks, inspect_first, sticky
from core.reels.reel import Reel
from core.studio.studio import Deck, Studio

NOT_PLANNED = "not planned"
HEADS_OUT = "no fast winding: it lies heads out, plays as it lies and stays tails out"
STUDIO = "or give the deck a gentle wind speed in the studio and plan again"


def no_fast_wind(reel: Reel, studio: Studio, own: OwnStocks = NONE) -> str:
    """``no fast winding: 33 min at 15 ips, not planned``; empty where it may be fast, or no wind is needed.

    Planned is a wind at the deck's usual speed unless the studio gives a gentle one: *as planned*.
    """
    deck = _deck(reel, studio)
    if deck is None or not wants_gentle_winding(reel, own) or not _winds(reel, studio):
        return ""
    slow = _slow_minutes(reel, deck, studio)
    if not slow:
        return ""
    planned = NOT_PLANNED if deck.gentle_wind_speed is None else "as planned"
    return f"no fast winding: {slow} min at {deck.gentle_wind_speed or reel.speed}, {planned}"


def slow_wind(reel: Reel, studio: Studio, own: OwnStocks = NONE, *, short: bool = False) -> str | None:
    """The same with where a slow wind goes if the plan has none; None where a tape may be wound fast.

    ``short``: without what the studio could do about that, where it stands above already.
    """
    if _deck(reel, studio) is None or not wants_gentle_winding(reel, own):
        return None
    if not _winds(reel, studio):
        return HEADS_OUT
    told = no_fast_wind(reel, studio, own)
    if not told or not slow_minutes(reel, studio, own):
        return told or None
    when = when_wound(reel, studio, own)
    return f"{told}: {when}" if short else f"{told}: {when}, {STUDIO}"


def when_wound(reel: Reel, studio: Studio, own: OwnStocks = NONE) -> str:
    """When a wind is made that the plan has no time for: never before a tape is looked at, and warmed."""
    runs = passes(reel.tracks, studio) if reel.tracks else 1
    if reel.wind == "heads":
        return "wind it between passes, on another evening"
    lies = "" if reel.wind else "if it lies tails out, "
    if sticky(reel, own):
        warm = reel.conditioned_at is not None
        when = "on an evening before, within its playable days" if warm else "once it is warmed and cooled"
    else:
        when = "once it is looked at" if inspect_first(reel) else "on an evening before"
    return f"{lies}wind it {when}" + (", and between passes" if runs > 1 else "")


def slow_minutes(reel: Reel, studio: Studio, own: OwnStocks = NONE) -> int:
    """Minutes of a wind that is planned fast and should not be; nought where it may be as it is planned."""
    deck = _deck(reel, studio)
    return 0 if deck is None or deck.gentle_wind_speed is not None else all_slow_minutes(reel, studio, own)


def all_slow_minutes(reel: Reel, studio: Studio, own: OwnStocks = NONE) -> int:
    """Minutes of a slow wind, be it planned or not; nought where the tape may be wound fast."""
    deck = _deck(reel, studio)
    if deck is None or not wants_gentle_winding(reel, own):
        return 0
    return _slow_minutes(reel, deck, studio)


def _winds(reel: Reel, studio: Studio) -> bool:
    return bool(winds(reel, passes(reel.tracks, studio) if reel.tracks else 1))


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
