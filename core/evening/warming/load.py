"""A chamber load that has started."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime

from core.clock import later, write_time
from core.conditioning.advisor import advice_of, heat_of
from core.conditioning.beyond_published import chamber_first
from core.conditioning.box_asked import box_answered
from core.conditioning.hours_had import left_since
from core.conditioning.lies_off import lies_in
from core.conditioning.loads.held_then import held_then, lay_then
from core.conditioning.loads.kept_loads import PLANNED
from core.conditioning.reel_advice import no_treatment
from core.conditioning.spreading.shared_air import to_be_looked_at
from core.errors import Refused
from core.evening.warming.nobody_home import away_from_home, hours_up
from core.evening.warming.retimed import without_kept
from core.logbook.running import on_decks
from core.reels.needs import playable_until
from core.reels.reel import Reel
from core.shelf import Shelf
from core.standing.gates import at_hand, unmet
from core.studio.opening import opening
from core.studio.studio import Chamber
from core.words import counted

#: Minutes before the home hours in which whoever loads a chamber is taken to be home already.
SOON_HOME = 60


def load(
    shelf: Shelf,
    chamber_id: str,
    keys: Sequence[str],
    at: datetime,
    because: str = "",
    planned: datetime | None = None,
) -> Shelf:
    """The shelf with those reels in that chamber since that moment, to the minute: a reel keeps no seconds.

    ``planned`` is when a plan has it, and is kept with the load.
    Refused where the advice about a reel forbids heat (nothing passes that gate), where it is not at hand,
    has no treatment or no room, where temperatures differ, and where the chamber is busy, or other reels lie
    in it since its load was broken off; without a reason also where the advice is not to warm, and for a load
    that does not lie within home time.
    """
    chamber = _chamber(shelf, chamber_id)
    busy = [reel.key for reel in shelf.reels.values() if reel.chamber == chamber.id]
    if busy:
        raise Refused(f"chamber {chamber.id} holds {', '.join(busy)}: mark them conditioned first")
    lie = lies_in(shelf, chamber.id, keys)
    if lie is not None:
        raise Refused(lie.in_the_way)
    at = at.replace(second=0, microsecond=0)
    twice = next((key for number, key in enumerate(keys) if key in keys[:number]), None)
    if twice is not None:
        raise Refused(f"{twice} is named twice: each reel of a load once")
    reels = [without_kept(shelf, shelf.reel(key)) for key in keys]
    for reel in reels:
        why = cannot_go_in(shelf, chamber, reel, at)
        if why is not None:
            raise Refused(
                f"{reel.key} does not go into chamber {chamber.id}: {why}{_told(shelf, chamber, reel, at)}"
            )
    _fits(shelf, chamber, reels)
    asked = reasons_asked(shelf, chamber, reels, at)
    if asked and not because.strip():
        raise Refused(f"{'; '.join(asked)} (--because says why all the same)")
    inside = [reel.key for reel in reels]
    record: dict[str, object] = {"chamber": chamber.id, "at": write_time(at), "reels": inside}
    record |= {PLANNED: write_time(planned)} if planned is not None and planned != at else {}
    if because.strip():
        words = {reel.key: advice_of(shelf, reel, at).word for reel in reels}
        record |= {"because": because.strip(), "advice": words}
        for key in inside:
            shelf = box_answered(shelf, key, warmed=True)
    loaded = shelf.with_reel(*(replace(reel, chamber=chamber.id, loaded_at=at) for reel in reels))
    return loaded.with_record("load", f"{chamber.id} {write_time(at)}", record)


def _told(shelf: Shelf, chamber: Chamber, reel: Reel, at: datetime) -> str:
    """How one tells afterwards that a tape lay there which no heat may reach; empty for another."""
    lay = f" (if it lay there: `reelturn tonight lay {reel.key} {chamber.id} --at TIME`)"
    return lay if heat_of(shelf, reel, at).never else ""


def cannot_go_in(shelf: Shelf, chamber: Chamber, reel: Reel, at: datetime) -> str | None:
    """Why that reel does not go into that chamber, whatever reason is given; None if it may."""
    why = heat_of(shelf, reel, at).never
    runs = next((one for one in on_decks(shelf) if one.reel == reel.key), None)
    if why is None and runs is not None:
        what = {"transfer": "its pass", "audition": "its first hearing"}.get(runs.kind, runs.words)
        why = f"it is playing: end {what} first"
    why = why or at_hand(shelf, reel, at)
    if why is None and (reel.width is None or not chamber.takes(reel.width)):
        why = f"chamber {chamber.id} takes no {reel.width or 'reel of unknown width'}"
    if why is None and shelf.studio.treatment(reel.width) is None:
        why = no_treatment(reel.width)
    return why or lay_then(shelf, reel.key, at, hours_up(shelf, [reel], at)) or None


def reasons_asked(shelf: Shelf, chamber: Chamber, reels: Sequence[Reel], at: datetime) -> tuple[str, ...]:
    """What wants a reason before that load starts: reels not to be warmed, a chamber that was too hot or held
    mould, reels that lay in either and were not looked at or whose box warns, others in it then, nobody home.
    """
    asked = [f"{reel.key}: {why}" for reel in reels if (why := reason_asked(shelf, reel, at)) is not None]
    asked += chamber_first(shelf, chamber.id)
    asked += [f"{reel.key} {near}" for reel in reels if (near := to_be_looked_at(shelf, reel))]
    then = held_then(shelf, chamber, at, hours_up(shelf, reels, at))
    asked += [f"told afterwards, {then}"] if then else []
    away = away_from_home(shelf, chamber, reels, at)
    return (*asked, away) if away else tuple(asked)


def reason_asked(shelf: Shelf, reel: Reel, at: datetime) -> str | None:
    """What about that reel wants a reason before it is warmed; None where nothing does."""
    why = heat_of(shelf, reel, at).asks
    if why is None and reel.past("transferred") and not reel.calibration:
        why = "it needs no warmth: it is transferred, and nothing of it is to be played"
    again = left_since(shelf, reel) or warmed_again(shelf, reel)
    if why is None and advice_of(shelf, reel, at).word == "play" and not again:
        until = playable_until(reel, shelf.studio)
        why = "it needs no warmth: it was warmed" + (
            f", and is playable until {until.astimezone(shelf.studio.zone):%a %d %b %H:%M}" if until else ""
        )
    if why is None and not reel.past("identified"):
        why = unmet(shelf, reel, "identified", at) or "not identified yet: look at it first"
    return why


def warmed_again(shelf: Shelf, reel: Reel) -> bool:
    """True where the kept plan gives a tape that was warmed another load, since its playable days run out."""
    from core.plan import plan_of
    from core.standing.of_plan.still import left_of_plan

    kept = shelf.of_kind("plan").get("kept")
    if kept is None:
        return False
    left, _ = left_of_plan(shelf, plan_of(kept, shelf.studio.zone))
    since = reel.conditioned_at
    loads = (
        item for item in left.items if item.kind == "condition" and (since is None or item.start > since)
    )
    return any(reel.key in item.reels for item in loads)


def at_home_already(shelf: Shelf, chamber_id: str, keys: Sequence[str], at: datetime) -> str:
    """The reason that whoever begins a load shortly before the home hours need not type; empty else.

    Nothing else wants one, and from the beginning of these hours on somebody is home to the load's end.
    """
    chamber = shelf.studio.chamber(chamber_id)
    reels = [shelf.reel(key) for key in keys]
    if chamber is None or len(reasons_asked(shelf, chamber, reels, at)) != 1:
        return ""
    soon = opening(shelf.studio, "home", at, later(at, minutes=SOON_HOME))
    home = min((one.start for one in soon if one.start > at), default=None)
    alone = away_from_home(shelf, chamber, reels, at)
    if home is None or not alone or away_from_home(shelf, chamber, reels, home):
        return ""
    return f"at home already, before {home:%H:%M}"


def _chamber(shelf: Shelf, chamber_id: str) -> Chamber:
    chamber = shelf.studio.chamber(chamber_id)
    if chamber is None:
        known = ", ".join(one.id for one in shelf.studio.chambers) or "none"
        raise Refused(f"no chamber {chamber_id!r} in this studio (there: {known})")
    return chamber


def _fits(shelf: Shelf, chamber: Chamber, reels: Sequence[Reel]) -> None:
    taken = sum(chamber.trays_for(reel.width) or 0 for reel in reels if reel.width)
    if taken > chamber.trays:
        who = counted(len(reels), "reel takes", "reels take")
        raise Refused(f"{who} {counted(taken, 'tray')}; chamber {chamber.id} has {chamber.trays}")
    treatments = [shelf.studio.treatment(reel.width) for reel in reels]
    warm = {treatment.temperature.number: treatment.temperature for treatment in treatments if treatment}
    if len(warm) > 1:
        raise Refused(f"one temperature a load, not {' and '.join(str(one) for one in warm.values())}")
