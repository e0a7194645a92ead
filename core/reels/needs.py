"""What a reel still needs before it may be played, and what must never be done to it.

Each rule of the trade is one function here; the planner, the gates, the chart and the paper all ask these.
``at`` is the moment at which a thing is judged (the plan's start, or now).
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from fractions import Fraction
from typing import TYPE_CHECKING

from core.clock import later
from core.reels.length import length_of
from core.reels.reel import Reel
from core.studio.studio import Studio, Treatment
from core.tape.stocks import find_stock
from core.words import counted

if TYPE_CHECKING:
    from core.tape.stocks import Stock

OwnStocks = Mapping[str, "Stock"]
NONE: OwnStocks = {}


def to_transfer(reel: Reel) -> bool:
    """True for a reel whose sound is still only on tape."""
    return not reel.calibration and not reel.past("transferred")


def listed_sticky(reel: Reel, own: OwnStocks = NONE) -> bool:
    """True if its stock is one known to become sticky."""
    stock = find_stock(reel.stock, own)
    return stock is not None and stock.sticky == "yes"


def sticky(reel: Reel, own: OwnStocks = NONE) -> bool:
    """Sticky by what was seen, or by its stock."""
    return "sticky" in reel.condition or listed_sticky(reel, own)


def base_of(reel: Reel, own: OwnStocks = NONE) -> str:
    """What the tape is made of: as written down, else what its stock's row says, else ``unknown``."""
    if reel.base:
        return reel.base
    stock = find_stock(reel.stock, own)
    return stock.base if stock is not None and stock.base else "unknown"


def playable_until(reel: Reel, studio: Studio) -> datetime | None:
    """When its playable time ends: as written down, else take-out plus its width's days; else None."""
    if reel.playable_until is not None:
        return reel.playable_until
    treatment = studio.treatment(reel.width)
    if reel.conditioned_at is None or treatment is None:
        return None
    return later(reel.conditioned_at, hours=treatment.playable_days * 24)


def playable_for_good(reel: Reel, studio: Studio) -> bool:
    """True if it is past its conditioning and no playable time is written anywhere."""
    return playable_until(reel, studio) is None and reel.stage in ("conditioned", "aligned")


def playable(reel: Reel, studio: Studio, at: datetime) -> bool:
    """True if a treated reel may be played at that moment, the last one included."""
    end = playable_until(reel, studio)
    return at <= end if end is not None else playable_for_good(reel, studio)


def cool_until(reel: Reel, studio: Studio) -> datetime | None:
    """When a reel that came out of a chamber is at hand again."""
    treatment = studio.treatment(reel.width)
    if reel.conditioned_at is None or treatment is None:
        return None
    return later(reel.conditioned_at, hours=treatment.cool.number)


def at_hand(reel: Reel, studio: Studio, at: datetime) -> bool:
    """True unless it is in a chamber or cooling."""
    cooling = cool_until(reel, studio)
    return not reel.chamber and (cooling is None or at >= cooling)


def needs_conditioning(reel: Reel, studio: Studio, at: datetime, own: OwnStocks = NONE) -> bool:
    """Sticky, and not playable now: it must be warmed before it is played."""
    used = to_transfer(reel) or reel.calibration
    return used and sticky(reel, own) and not playable(reel, studio, at)


def may_be_conditioned_again(reel: Reel, studio: Studio, at: datetime, own: OwnStocks = NONE) -> bool:
    """Sticky and playable for now, with an end: it may be given up and warmed later."""
    used = to_transfer(reel) or reel.calibration
    ends = playable_until(reel, studio) is not None
    return used and sticky(reel, own) and playable(reel, studio, at) and ends


def needs_repair(reel: Reel) -> bool:
    """Splices or leader joints must be remade before it is played."""
    return "splices" in reel.condition or bool(reel.splices)


def never_heat(reel: Reel, own: OwnStocks = NONE) -> str | None:
    """Why this tape must never go into a chamber; None if it may."""
    for trouble, why in (("vinegar", "vinegar syndrome: never heat"), ("mould", "mould: never heat")):
        if trouble in reel.condition:
            return why
    base = base_of(reel, own)
    if base == "unknown":
        return "base not known: never heat before it is"
    return None if base == "polyester" else f"{base} base: never heat"


def unknown_facts(reel: Reel, studio: Studio) -> tuple[str, ...]:
    """Which of the facts without which nothing can be planned nobody has told."""
    facts = {
        "width": reel.width,
        "tracks": reel.tracks,
        "speed": reel.speed if reel.speed and reel.speed.number > 0 else None,
        "length": length_of(reel, studio),
    }
    return tuple(name for name, value in facts.items() if not value)


def to_be_heard(reel: Reel, studio: Studio) -> bool:
    """True for an inspected reel of which only the speed is missing, in a studio that auditions."""
    hearing = studio.minutes.audition > 0 and reel.heard is None and to_transfer(reel)
    if inspect_first(reel):
        return False
    missing = set(unknown_facts(reel, studio))
    return hearing and "speed" in missing and missing <= {"speed"}


def barred(reel: Reel, studio: Studio, at: datetime, own: OwnStocks = NONE) -> str | None:
    """Why the reel's transfer is not to be planned at all; None if it may be.

    The rule holds for reels still to be transferred. A reel that only waits for its speed to be heard is
    not barred where the studio auditions.
    """
    if not to_transfer(reel):
        return None
    missing = unknown_facts(reel, studio)
    if missing and not to_be_heard(reel, studio):
        return f"not known: {', '.join(missing)}"
    return danger(reel, own) or _heat(reel, studio, at, own) or _no_deck(reel, studio)


def bars_calibration(reel: Reel, studio: Studio, at: datetime, own: OwnStocks = NONE) -> str | None:
    """Why a calibration reel is neither warmed nor lined up with; None if it may be used."""
    return danger(reel, own) or _heat(reel, studio, at, own)


def danger(reel: Reel, own: OwnStocks = NONE) -> str | None:
    """Why the tape must not go on a deck whatever is done to it: set aside, mould, vinegar, a squeal."""
    if reel.set_aside:
        return f"set aside: {reel.set_aside}"
    return _bad_smell(reel) or _squeal(reel, own)


def _bad_smell(reel: Reel) -> str | None:
    if "mould" in reel.condition:
        return "mould: a specialist cleans it before it is played"
    if "vinegar" in reel.condition:
        return "vinegar syndrome: cold storage and a specialist, never heat"
    return None


def _squeal(reel: Reel, own: OwnStocks) -> str | None:
    if "squeal" in reel.condition and not sticky(reel, own):
        return "squeals, and neither its stock nor its feel says why: find the cause first"
    return None


def _heat(reel: Reel, studio: Studio, at: datetime, own: OwnStocks) -> str | None:
    if not needs_conditioning(reel, studio, at, own):
        return None
    base = base_of(reel, own)
    if base != "polyester":
        named = "on a base nobody knows" if base == "unknown" else f"on {base}"
        return f"sticky {named}: no heat, needs a specialist"
    if studio.treatment(reel.width) is None:
        return f"no treatment for {reel.width} tape in the studio's file"
    if not any(reel.width and chamber.takes(reel.width) for chamber in studio.chambers):
        return f"no chamber takes {reel.width} tape"
    return None


def _no_deck(reel: Reel, studio: Studio) -> str | None:
    if reel.width is None or reel.tracks is None:
        return None
    width, tracks, speed = reel.width, reel.tracks, reel.speed
    if speed is None:
        fits = any(deck.takes_width(width) and deck.tracks >= tracks for deck in studio.decks)
    else:
        fits = any(deck.takes(width, tracks, speed) for deck in studio.decks)
    return None if fits else f"no deck plays {width}, {counted(tracks, 'track')}, {speed or 'any speed'}"


def to_look_at(reel: Reel) -> bool:
    """True where an identify comes first: it is only found, or nobody has inspected it."""
    return reel.stage == "found" or (not reel.condition and not reel.past("conditioned"))


def inspect_first(reel: Reel) -> bool:
    """True for a reel that nobody has inspected: blank condition, not yet conditioned.

    A calibration reel is used once it was looked at: its identify is the inspection.
    """
    return not reel.calibration and not reel.condition and not reel.past("conditioned")


def heated_hours(reel: Reel, treatment: Treatment) -> Fraction:
    """Hours of warmth it gets: its own where a longer treatment was asked for, else its width's."""
    return reel.treatment_hours.number if reel.treatment_hours else treatment.hours.number
