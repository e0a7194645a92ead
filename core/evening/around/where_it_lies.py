"""Where a reel lies at a moment of the plan: on its shelf, in a chamber, or where it cools after one."""

from __future__ import annotations

import re
from datetime import datetime
from fractions import Fraction

from core.conditioning.loads.kept_loads import loads_of
from core.conditioning.loads.left_inside import left_inside
from core.conditioning.spreading.lies_apart import lies_apart
from core.conditioning.spreading.shared_air import near_mould
from core.evening.around.put_back import back_since, lies_about
from core.evening.playing.left_lying import lies_on, on_two_reels
from core.logbook.passes import played_of
from core.logbook.places import put_away
from core.plan import Member, Plan
from core.reels.needs import stays_closed, to_look_at
from core.reels.reel import Reel
from core.shelf import Shelf
from core.values import dataclass
from core.words import day_text

NOWHERE = "place not written down"
ON_SHELF = "shelf "


@dataclass(frozen=True, slots=True)
class Lies:
    """The place one goes to for a reel, and what else there is to know of it there; both in words."""

    place: str
    aside: str = ""
    chamber: str = ""
    """The chamber that it is in then; empty for a reel that can be taken up."""


def where_it_lies(shelf: Shelf, plan: Plan | None, key: str, at: datetime) -> Lies:
    """Where that reel lies at that moment, were all done as planned until then.

    A reel that comes out of a chamber stays beside it until it has cooled and is taken up again; where it
    belongs is told beside that. A reel that the shelf has not lies nowhere.
    """
    reel = shelf.reels.get(key)
    if reel is None:
        return Lies(NOWHERE, "not on the shelf any more")
    home = place_told(shelf, reel.location) or NOWHERE
    beside, out, cool = _last_out(shelf, reel)
    chamber, member = _warmed_by_plan(plan, key, at, out if not reel.chamber else None)
    if member is not None and at < member.out:
        return Lies(f"in chamber {chamber}", f"out {_moment(member.out)}", chamber)
    if member is not None and not _carried(shelf, key, member.out):
        return Lies(*_beside(chamber, home, member.cool_until, at))
    if reel.chamber:
        return Lies(f"in chamber {reel.chamber}", "", reel.chamber)
    off = left_inside(shelf).get(key)
    if off is not None:
        return Lies(f"in chamber {loads_of(shelf)[off].chamber}, which is off")
    lies_there = out is not None and not reel.past("transferred") and not _carried(shelf, key, out)
    if lies_there and cool is not None:
        return Lies(*_beside(beside, home, cool, at))
    lies = lies_on(shelf, plan, key, at)
    if lies is not None:
        return Lies(f"on {lies.deck}", lies.out or on_two_reels(shelf, key))
    about, apart = lies_about(shelf, key, at), on_two_reels(shelf, key)
    asides = [
        f"not put back on {day_text(about)}" if about is not None else "",
        apart and f"{apart}: fetch both",
    ]
    return Lies(home, "; ".join(one for one in asides if one))


def lies_now(shelf: Shelf, key: str, at: datetime) -> str:
    """``on D1, stands at 4:43, on two reels`` of a tape that lies on a deck now; empty for any other."""
    lies = lies_on(shelf, None, key, at)
    if lies is None:
        return ""
    return ", ".join(one for one in (f"on {lies.deck}", lies.out or on_two_reels(shelf, key)) if one)


def cooled_beside(shelf: Shelf, key: str, at: datetime) -> str:
    """The chamber beside which that reel lies cooled, which belongs elsewhere; empty for any other.

    One that was put back on that very evening is told still, so that its tick is seen.
    """
    reel = shelf.reels[key]
    beside, out, cool = _last_out(shelf, reel)
    if out is None or cool is None or reel.chamber or reel.past("transferred"):
        return ""
    kept = put_away(shelf).get(key)
    there = kept is None or kept.at <= out or back_since(shelf, key, at) is not None
    ran = any(one.pieces[0].started > out for one in played_of(shelf, key))
    return beside if there and not ran and at >= cool else ""


def place_told(shelf: Shelf, place: str) -> str:
    """``shelf C1`` for a place that is numbered like the chambers or the decks; any other as it is."""
    studio = shelf.studio
    ids = [*(one.id for one in studio.chambers), *(one.id for one in studio.decks)]
    series = set(map(_series, ids))
    return f"{ON_SHELF}{place}" if place and _series(place) in series else place


def home_of(shelf: Shelf, reel: Reel) -> str:
    """Where that reel is put when it is put back, in words."""
    return put_apart(shelf, reel) or place_told(shelf, reel.location) or NOWHERE


def put_apart(shelf: Shelf, reel: Reel) -> str:
    """The same, also of one that may have become so: it ran over a path with mould, or lay beside it."""
    over = "apart until it was looked at, with gloves and a mask" if near_mould(shelf, reel) else ""
    return lies_apart(reel) or over


def _series(name: str) -> str:
    """A name without the number at its end, caseless: C1 and C12 are one series."""
    return name.strip().casefold().rstrip("0123456789")


def _carried(shelf: Shelf, key: str, out: datetime) -> bool:
    """Whether a reel was carried off since it came out of the warmth: to its place, or to a deck."""
    kept = put_away(shelf).get(key)
    ran = any(one.pieces[0].started > out for one in played_of(shelf, key))
    return ran or (kept is not None and kept.at > out)


def shelf_order(place: str) -> tuple[bool, tuple[tuple[int, int, str], ...]]:
    """What places are sorted by: as one walks along them, A2 before A10; a place nobody knows last."""
    parts = re.findall(r"\d+|\D+", place.removeprefix(ON_SHELF).casefold())
    return place == NOWHERE, tuple((0, int(p), "") if p.isdecimal() else (1, 0, p) for p in parts)


def reels_to_look_at(shelf: Shelf) -> tuple[Reel, ...]:
    """Every reel that nobody has looked at, at hand and without mould, as one walks along the shelf."""
    found = [
        reel
        for reel in shelf.reels.values()
        if to_look_at(reel) and not (reel.set_aside or reel.chamber or stays_closed(reel))
    ]
    return tuple(sorted(found, key=lambda reel: shelf_order(reel.location or NOWHERE)))


def _warmed_by_plan(
    plan: Plan | None, key: str, at: datetime, out: datetime | None
) -> tuple[str, Member | None]:
    """The newest load of the plan that the reel is in, or was, at that moment.

    None of those that it left by the log: ``out`` is when it came out last.
    """
    found = [
        (item.start, item.chamber, member)
        for item in (plan.items if plan is not None else ())
        for member in item.members
        if member.reel == key and item.start < at and (out is None or out <= item.start)
    ]
    _, chamber, member = max(found, key=lambda one: one[0], default=(None, "", None))
    return chamber, member


def _beside(chamber: str, home: str, cool: datetime, at: datetime) -> tuple[str, str]:
    if at < cool:
        return f"beside chamber {chamber}", f"cools until {_moment(cool)}"
    return f"beside chamber {chamber}", f"cooled; else {home}"


def _last_out(shelf: Shelf, reel: Reel) -> tuple[str, datetime | None, datetime | None]:
    """The chamber that the reel came out of last, when, and until when it cools; none where no log tells."""
    course = shelf.studio.treatment(reel.width)
    found = [
        (
            member.out,
            log.chamber,
            log.cools(member, member.out, course.cool.number if course else Fraction(0)),
        )
        for log in loads_of(shelf).values()
        if (member := log.member(reel.key)) is not None and member.out is not None
    ]
    out, chamber, cools = max(found, default=(None, "", None))
    return chamber, out, cools


def _moment(at: datetime) -> str:
    return f"{day_text(at.date())} {at:%H:%M}"
