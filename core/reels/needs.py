"""What a reel still needs before it may be played.

Each rule of the trade is one function here; the planner, the gates, the chart and the paper all ask these.
What may be done to a tape at all is told by the one advice in `core.conditioning`.
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

if TYPE_CHECKING:
    from core.tape.stock import Stock

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
    return "sticky" in reel.troubles or listed_sticky(reel, own)


def base_of(reel: Reel, own: OwnStocks = NONE) -> str:
    """What the tape is made of: as written, else as it was seen, else by its stock's row, else ``unknown``.

    A base that was seen to be another than polyester stands before what is written: the stricter word holds.
    """
    if reel.base_seen not in ("", "yes", "no", "unknown", "polyester"):
        return reel.base_seen
    if reel.base not in ("", "unknown"):
        return reel.base
    if reel.base_seen == "polyester":
        return reel.base_seen
    if reel.base:
        return reel.base
    stock = find_stock(reel.stock, own)
    return stock.base if stock is not None and stock.base else "unknown"


def playable_until(reel: Reel, studio: Studio) -> datetime | None:
    """When its playable time ends: as written down, else take-out plus its width's days; else None."""
    if reel.playable_until is not None:
        return reel.playable_until
    if reel.conditioned_at is None:
        return None
    treatment = studio.treatment(reel.width)
    if treatment is None:
        return None
    return later(reel.conditioned_at, hours=treatment.playable_days * 24)


def playable_for_good(reel: Reel, studio: Studio) -> bool:
    """True if it is past its conditioning and no playable time is written anywhere."""
    return playable_until(reel, studio) is None and reel.stage in ("conditioned", "aligned")


def undated(reel: Reel, studio: Studio, own: OwnStocks = NONE) -> bool:
    """True for a sticky reel of which only its stage says that it was warmed: no moment is written."""
    return sticky(reel, own) and reel.conditioned_at is None and playable_for_good(reel, studio)


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


def to_look_at(reel: Reel) -> bool:
    """True where an identify comes first: it is only found, or nobody has inspected it."""
    return reel.stage == "found" or inspect_first(reel)


def inspect_first(reel: Reel) -> bool:
    """True for any reel that nobody has inspected: blank condition, not yet conditioned."""
    return not reel.condition and not reel.past("conditioned")


def stays_closed(reel: Reel) -> bool:
    """True for a tape with mould: its box is not opened, so that nobody looks at it to identify it."""
    return "mould" in reel.troubles


def heated_hours(reel: Reel, treatment: Treatment) -> Fraction:
    """Hours of warmth it gets: its own where a longer treatment was asked for, else its width's."""
    return reel.treatment_hours.number if reel.treatment_hours else treatment.hours.number
