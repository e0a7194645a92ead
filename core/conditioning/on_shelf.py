"""Treatment as the shelf keeps it: its chamber loads written down further."""

from dataclasses import replace
from datetime import datetime

from core.clock import minutes_between
from core.conditioning.lies_off import lies_in
from core.conditioning.loads.chamber_log import (
    BEHAVED,
    Behaved,
    ChamberLog,
    Member,
    Reading,
    to_record,
)
from core.conditioning.loads.held_then import held_then
from core.conditioning.loads.kept_loads import changed_load, changed_member, load_key, loads_of
from core.conditioning.loads.what_worked import Worked, what_worked
from core.conditioning.spreading.shared_air import mouldy_chamber
from core.errors import Refused
from core.shelf import Shelf
from core.words import day_text, listed

_WARMING_UP_MINUTES = 60  # an empty chamber is warm within the hour


def worked(shelf: Shelf) -> tuple[Worked, ...]:
    """Which programme worked on which stock of this shelf."""
    return what_worked(loads_of(shelf).values(), {reel.key: reel.stock for reel in shelf.reels.values()})


def check_celsius(celsius: float) -> None:
    """Refused for what no thermometer in a chamber shows."""
    if not -40 <= celsius <= 150:
        raise Refused(f"{celsius:g} °C is no reading of a chamber: degrees Celsius, or give the unit")


def check_grams(grams: float) -> None:
    """Refused for what no reel weighs."""
    if not 0 < grams < 50_000:
        raise Refused(f"{grams:g} g is no weight of a reel: grams")


def log_reading(shelf: Shelf, load: str, at: datetime, celsius: float, place: str = "") -> Shelf:
    """The shelf with a thermometer's reading in that load's log; Refused for one that no chamber has.

    One whose minute was told stands in place of what was read in that minute at that place: it was a slip.
    """
    check_celsius(celsius)
    told, new = at.second == 0, Reading(at, celsius, place)

    def read(log: ChamberLog) -> ChamberLog:
        _has_begun(log, at)
        kept = (one for one in log.readings if not (told and _same_minute(one, new)))
        return replace(log, readings=(*kept, new))

    return changed_load(shelf, load, read)


def _same_minute(one: Reading, new: Reading) -> bool:
    return one.place == new.place and one.at.replace(second=0, microsecond=0) == new.at


def log_turn(shelf: Shelf, load: str, at: datetime) -> Shelf:
    """The shelf with a turn of that load written down."""
    return changed_load(shelf, load, lambda log: replace(log, turns=(*log.turns, at)))


def _has_begun(log: ChamberLog, at: datetime) -> None:
    """Refused long before a load begins that was told ahead of its time; warming up comes shortly before."""
    if minutes_between(at, log.at) > _WARMING_UP_MINUTES:
        begins = f"{day_text(log.at)} {log.at:%H:%M}"
        raise Refused(
            f"{log.chamber}: its load begins {begins}, nothing is warm before: `--began TIME` where it began "
            "earlier, or give `--at`"
        )


def log_weights(
    shelf: Shelf, load: str, reel: str, *, before_g: float | None = None, after_g: float | None = None
) -> Shelf:
    """The shelf with a reel's weight in grams before or after that load."""
    for grams in (before_g, after_g):
        if grams is not None:
            check_grams(grams)

    def weighed(member: Member) -> Member:
        return replace(
            member,
            before_g=member.before_g if before_g is None else before_g,
            after_g=member.after_g if after_g is None else after_g,
        )

    return changed_member(shelf, load, reel, weighed)


def log_broken_off(shelf: Shelf, load: str, at: datetime, why: str) -> Shelf:
    """The shelf with that load broken off at that moment, and why."""
    if not why.strip():
        raise Refused("a load that is broken off needs a reason")
    return changed_load(shelf, load, lambda log: replace(log, broken_off=at, why=why.strip()))


def log_behaviour(shelf: Shelf, reel: str, behaved: Behaved) -> Shelf:
    """The shelf with how a reel ran after its newest load: clean heads, some shed, stopped."""
    if behaved not in BEHAVED:
        raise Refused(f"a tape ran with {', '.join(BEHAVED[1:])}, not {behaved!r}")
    mine = [key for key, log in loads_of(shelf).items() if log.member(reel) is not None]
    if not mine:
        raise Refused(f"{reel} was in no load of this shelf")
    return changed_member(shelf, mine[-1], reel, lambda member: replace(member, behaved=behaved))


def no_empty_run(shelf: Shelf, chamber: str, at: datetime) -> str:
    """Why no empty run of that chamber begins at that moment; empty where one may."""
    found = shelf.studio.chamber(chamber)
    if found is None:
        return f"no chamber {chamber!r} in this studio"
    here = (reel for reel in shelf.reels.values() if reel.chamber == chamber)
    inside = [reel.key for reel in here if reel.loaded_at is None or reel.loaded_at <= at]
    if inside:
        return f"chamber {chamber} holds {listed(inside)}: {_NO_TAPE}"
    lie = lies_in(shelf, chamber)
    if lie is not None and lie.began <= at:
        return lie.in_the_way
    held = held_then(shelf, found, at)
    mould = "" if held else mouldy_chamber(shelf, chamber)
    return f"{held}: {_NO_TAPE}" if held else f"{mould}; its fan stays off till then" if mould else ""


_NO_TAPE = "an empty run has no tape in it"


def log_trial(shelf: Shelf, chamber: str, at: datetime, celsius: float) -> Shelf:
    """The shelf with an empty run of that chamber begun, its readings to be added.

    Refused while tape is inside, for a moment at which some was, and until mould that lay there is wiped.
    """
    why = no_empty_run(shelf, chamber, at)
    if why:
        raise Refused(why)
    log = ChamberLog(chamber, at, celsius=celsius)
    return shelf.with_record("load", load_key(chamber, at), to_record(log))
