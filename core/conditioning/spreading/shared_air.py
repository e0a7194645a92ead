"""A tape that is to be looked at: it was beside mould, after it on a deck, or too hot; or its box warns."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import replace
from datetime import datetime

from core.clock import minutes_between
from core.conditioning.advisor import advisor
from core.conditioning.box_asked import box_answered, box_asked, boxes_meanwhile
from core.conditioning.loads.chamber_log import ChamberLog
from core.conditioning.loads.degrees import degrees_of
from core.conditioning.loads.kept_loads import lain_by_word, loads_of
from core.conditioning.spreading.ran_over import ran_over
from core.errors import Refused
from core.logbook.places import LookedAfter, boxmates
from core.logbook.steps import DeckPath
from core.logbook.typed import entries, with_entry
from core.reels.reel import Reel
from core.shelf import Shelf
from core.tape.where import figure
from core.words import listed


def to_be_looked_at(shelf: Shelf, reel: Reel) -> str:
    """That it is to be looked at before it runs: mould near it, heat, words on its box; empty for most."""
    return near_mould(shelf, reel) or _too_hot(shelf, reel) or box_asked(shelf, reel)


def look_in_short(shelf: Shelf, key: str) -> str:
    """The same in short, to follow that key: ``lay in C1 at 62 °C``, ``says "mold" on its box``."""
    reel = shelf.reels.get(key)
    return to_be_looked_at(shelf, reel).partition(":")[0] if reel is not None else ""


def near_mould(shelf: Shelf, reel: Reel) -> str:
    """What it lay beside in the heat, or ran after, that has mould, until it was looked at; empty for most.

    Spores stay on a tape that is captured, too.
    """
    over = ran_over(shelf, reel)
    if over or "mould" in reel.troubles:
        return over
    beside = [
        member.reel
        for log in advisor(shelf).loads
        if not log.trial and log.member(reel.key) is not None and not _looked_since(shelf, reel, log)
        for member in log.members
        if _has_mould(shelf, member.reel)
    ]
    beside += _told_beside(shelf, reel)
    boxed = [] if beside else _in_one_box(shelf, reel)
    if not beside and not boxed:
        return ""
    near = list(dict.fromkeys(beside or boxed))
    named, have = listed(near), "have" if len(near) > 1 else "has"
    lay = "was beside" if beside else "lay in one box with"
    return (
        f"{lay} {named}, which {have} mould: look at it, with gloves and a mask, before it is played or "
        f"put beside others (`reelturn tonight looked {reel.key}` when it is clean)"
    )


def _in_one_box(shelf: Shelf, reel: Reel) -> list[str]:
    """What with mould lay in one box with that reel, and nobody looked at it since they were told apart."""
    looked = entries(shelf, LookedAfter).get(reel.key)
    since = looked.at if looked is not None else None
    mates = boxmates(shelf, reel.key)
    return [key for key, at in mates.items() if _has_mould(shelf, key) and (since is None or since < at)]


def _too_hot(shelf: Shelf, reel: Reel) -> str:
    """That it lay in a chamber at the hard stop or above, and nobody looked at it since; empty for others."""
    if reel.chamber or reel.past("transferred"):
        return ""
    stop, told = figure("heat.hard_stop_c"), degrees_of(shelf)
    for log in reversed(advisor(shelf).loads):
        mine = log.member(reel.key)
        if log.trial or mine is None or _looked_since(shelf, reel, log, heat=True):
            continue
        out = mine.out or log.broken_off
        read = {(one.at, one.place): one.celsius for one in log.readings if out is None or one.at <= out}
        worst = max(read.values(), default=0.0)
        if worst >= stop:
            return (
                f"lay in {log.chamber} at {told.text(worst)}: let it cool and look at it before it is played "
                f"(`reelturn tonight looked {reel.key}` when it is sound)"
            )
    return ""


#: Hours within which what lay in one chamber counts as having lain there together.
_TOGETHER_HOURS = 24


def _told_beside(shelf: Shelf, reel: Reel) -> list[str]:
    """What is told afterwards to have lain in a chamber about the time at which that reel was in there."""
    told = [one for one in lain_by_word(shelf) if one[2] != reel.key and _has_mould(shelf, one[2])]
    if not told:
        return []
    looked = entries(shelf, LookedAfter).get(reel.key)
    mine = [(log.chamber, log.at) for log in advisor(shelf).loads if log.member(reel.key) is not None]
    mine += [(chamber, at) for chamber, at, key in lain_by_word(shelf) if key == reel.key]
    return [
        key
        for chamber, at, key in told
        for where, when in mine
        if where == chamber and abs(minutes_between(when, at)) <= 60 * _TOGETHER_HOURS
        if looked is None or looked.at is None or looked.at < max(when, at)
    ]


def _looked_since(shelf: Shelf, reel: Reel, log: ChamberLog, *, heat: bool = False) -> bool:
    """Whether somebody looked at that reel for mould, or what heat did, after it came out of that load."""
    looked, mine = entries(shelf, LookedAfter).get(reel.key), log.member(reel.key)
    if looked is None:
        return False
    out = mine.out if mine is not None else None
    seen = (looked.at, looked.heat) if heat else (looked.at,)
    return any(at is not None and at >= (out or log.broken_off or log.at) for at in seen)


def looked_after(shelf: Shelf, key: str, at: datetime) -> Shelf:
    """The shelf with that reel looked at, and found clean, at that moment; Refused where it is not asked.

    Where mould or heat is asked about, what its box warns of is asked next; in the heat nothing else is.
    """
    reel = shelf.reel(key)
    if reel.chamber and key in boxes_meanwhile(shelf):
        return box_answered(shelf, key, warmed=True)
    if reel.chamber:
        raise Refused(f"{key} is in chamber {reel.chamber}: it is looked at when it is out")
    mould = near_mould(shelf, reel)
    if not mould and not _too_hot(shelf, reel):
        if box_asked(shelf, reel):
            return box_answered(shelf, key)
        raise Refused(
            f"{key} was near no mould, nor too hot, and its box asks nothing: nothing is to be seen"
        )
    before = entries(shelf, LookedAfter).get(key) or LookedAfter(key)
    return with_entry(shelf, key, replace(before, at=at) if mould else replace(before, heat=at))


def mouldy_chamber(shelf: Shelf, chamber: str) -> str:
    """That a tape with mould lay in that chamber and it was not wiped since; empty for any other."""
    kept = entries(shelf, DeckPath)
    wiped = kept[chamber].at if chamber in kept else None
    for where, at, key in lain_by_word(shelf):
        if where == chamber and _has_mould(shelf, key) and (wiped is None or wiped < at):
            return _wipe(chamber, [key])
    for log in [*loads_of(shelf).values()][::-1]:
        if log.chamber != chamber or (wiped is not None and wiped >= log.at):
            continue
        mouldy = [one.reel for one in log.members if _has_mould(shelf, one.reel)]
        if mouldy:
            return _wipe(chamber, mouldy)
    return ""


def _wipe(chamber: str, mouldy: list[str]) -> str:
    named, have = listed(mouldy), "have" if len(mouldy) > 1 else "has"
    return (
        f"{chamber} held {named}, which {have} mould: wipe and air it, with gloves and a mask, "
        f"before anything else goes in (`reelturn tonight wiped {chamber}` when it is)"
    )


def _has_mould(shelf: Shelf, key: str) -> bool:
    reel = shelf.reels.get(key)
    had = reel.troubles if reel is not None else shelf.of_kind("gone").get(key, {}).get("troubles", ())
    return "mould" in had


def kept_of_gone(shelf: Shelf, keys: Collection[str]) -> Shelf:
    """The shelf that goes on knowing of mould on those reels when they are not on it any more."""
    for key in keys:
        if _has_mould(shelf, key):
            shelf = shelf.with_record("gone", key, {"troubles": ["mould"]})
    return shelf
