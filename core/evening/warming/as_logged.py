"""After an edit by hand: what stands in a chamber's log stands above a cell that was emptied.

A tape that came out an hour ago cools, and one that was in the heat leaves it now, whatever the row says.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import datetime

from core.clock import later, minutes_between
from core.conditioning.alarms import alarm_of
from core.conditioning.base_look import look_asked
from core.conditioning.beyond_published import chamber_first
from core.conditioning.hours_had import FOUL, kept_at_word, short_hours
from core.conditioning.loads.chamber_log import ChamberLog, Member, to_record
from core.conditioning.loads.kept_loads import changed_member, load_of, loads_of
from core.conditioning.loads.trial import trial_words
from core.conditioning.spreading.shared_air import to_be_looked_at
from core.evening.warming.load import reason_asked
from core.evening.warming.retimed import hours_kept
from core.logbook.passes import played_of
from core.logbook.running import running
from core.reels.needs import cool_until, sticky, undated
from core.reels.reel import Reel
from core.shelf import Shelf
from core.words import hours_text

#: What comes within so many minutes is as good as now.
_SOON_MINUTES = 15


def as_logged(before: Shelf, after: Shelf, at: datetime) -> Shelf:
    """The shelf after an edit of reels, its take-outs kept as the chambers' logs have them."""
    after = hours_kept(before, _at_your_word(before, never_warmed(before, after), at))
    if not after.of_kind("load") and not any(reel.chamber for reel in before.reels.values()):
        return after
    for key in _changed(before, after):
        was, now = before.reels[key], after.reels[key]
        if now.chamber and not was.chamber and _came_out(after, now):
            after = after.with_reel(_kept_out(was, now))
        elif was.chamber and not now.chamber:
            after = _out_by_hand(before, after, was, now, at)
        elif was.chamber:
            after = after.with_reel(_as_in_the_heat(was, now))
        elif _against_its_load(after, was, now):
            after = after.with_reel(_as_it_was(was, now))
        elif was.conditioned_at and _before_the_log(was, now):
            out = _logged(after, was)
            after = after.with_reel(replace(now, conditioned_at=out)) if out is not None else after
    return after


def _at_your_word(before: Shelf, after: Shelf, at: datetime) -> Shelf:
    """The shelf that remembers of a take-out typed ahead of its time that it is a word alone."""
    for key in _changed(before, after):
        reel = after.reels[key]
        if reel.conditioned_at is not None and reel.conditioned_at > at and not reel.chamber:
            after = kept_at_word(after, reel)
    return after


def _came_out(shelf: Shelf, now: Reel) -> bool:
    """True for a tape that is said to be in a load which it left by the log: an old list tells it so."""
    log = loads_of(shelf).get(load_of(shelf, now) or "")
    member = log.member(now.key) if log is not None else None
    return member is not None and member.out is not None


def _kept_out(was: Reel, now: Reel) -> Reel:
    """The reel as it is since its take-out, whatever else the list says of it."""
    kept = replace(now, chamber="", loaded_at=None, stage=was.stage)
    return replace(kept, conditioned_at=was.conditioned_at, playable_until=was.playable_until)


def _against_its_load(shelf: Shelf, was: Reel, now: Reel) -> bool:
    """True for a take-out, or a stage resting on warmth, that the last load of that tape does not bear out.

    It left that load too early; what is told is from before it, or is no later warmth than that one.
    """
    last = _last_load(shelf, now.key)
    if last is None or not last[0].too_short(last[1]):
        return False
    log, member = last
    told, out = now.conditioned_at, member.out or log.broken_off
    if told is not None and told != was.conditioned_at and told < _begun(log):
        return True
    claims = now.past("conditioned") and not was.past("conditioned")
    return claims and out is not None and (told is None or told < later(out, minutes=1))


def _last_load(shelf: Shelf, key: str) -> tuple[ChamberLog, Member] | None:
    mine = [(log, one) for log in loads_of(shelf).values() if (one := log.member(key)) is not None]
    return mine[-1] if mine else None


def _begun(log: ChamberLog) -> datetime:
    return log.at.replace(second=0, microsecond=0)


def _as_it_was(was: Reel, now: Reel) -> Reel:
    """The reel with the warmth that it had before an old list told another."""
    stage = was.stage if now.past("conditioned") and not now.past("transferred") else now.stage
    return replace(now, stage=stage, conditioned_at=was.conditioned_at, playable_until=was.playable_until)


def _before_the_log(was: Reel, now: Reel) -> bool:
    """True for a tape that counts as warmed, and whose take-out is empty, or before the one it had."""
    typed, had = now.conditioned_at, was.conditioned_at
    return now.past("conditioned") and (typed is None or (had is not None and typed < had))


def _as_in_the_heat(was: Reel, now: Reel) -> Reel:
    """The reel without a take-out, or a stage that rests on warmth, while it is in there."""
    stage = was.stage if now.past("conditioned") and not now.past("transferred") else now.stage
    if (stage, now.conditioned_at) == (now.stage, was.conditioned_at):
        return now
    had = was.conditioned_at, was.playable_until
    return replace(now, stage=stage, conditioned_at=had[0], playable_until=had[1])


def never_warmed(before: Shelf, after: Shelf) -> Shelf:
    """The shelf on which a sound tape that was marked further without any warmth, and is sticky now, waits.

    Its stage said that none was needed: nobody gave a word for any.
    """
    own, was_own = after.own_stocks(), before.own_stocks()
    for key in _changed(before, after):
        was, now = before.reels[key], after.reels[key]
        sick = undated(now, after.studio, own) and not sticky(was, was_own)
        if sick and was.past("conditioned") and key not in after.of_kind("at word"):
            after = after.with_reel(replace(now, stage="identified"))
    return after


def told_of_warmth(before: Shelf, after: Shelf, now: datetime) -> Iterator[str]:
    """What is said as an edit is made: warmth by a word, none, or ahead; a tape that plays again."""
    ran_before, runs = running(before), running(after)
    for key in _changed(before, after, new=True):
        if key in ran_before and key not in runs:
            yield f"{key}: its pass is laid aside: stop the tape now, and wind it back before it plays again"
        reel, was = after.reels[key], before.reels.get(key)
        sound = was is not None and was.conditioned_at is None and not sticky(was, before.own_stocks())
        if was is not None and sound and was.past("conditioned") and _waits(after, reel):
            yield f"{key}: it was marked {was.stage} without any warmth: it waits for it now, as identified"
        if was is not None and was.past("transferred") and not reel.past("transferred"):
            ran = [one.last.started for one in played_of(after, key) if one.state == "done"]
            last = f" (it ran {max(ran).astimezone(after.studio.zone):%a %d %b %H:%M})" if ran else ""
            yield f"{key}: it was {was.stage}{last}, and is {reel.stage} by this: it is played once more"
        short = short_hours(after, reel)
        if short is not None and (was is None or short_hours(before, was) != short):
            yield f"{key}: it {short.says}"
        if (
            was is not None
            and reel.tried in FOUL
            and was.tried != reel.tried
            and reel.conditioned_at is not None
        ):
            yield f"{key}: it left {reel.tried} though it was warmed: warm it again before it runs"
        if was is not None and reel.chamber and reel.width != was.width and reel.treatment_hours is not None:
            yield f"{key}, in {reel.chamber} now, keeps its {reel.treatment_hours.text} of warmth"
        yield from _told_ahead(after, was, reel, now)
        if was is not None and reel.chamber and not was.chamber and reel.loaded_at is not None:
            yield from _told_into_heat(before, after, was, reel.loaded_at)
    yield from _told_of_chambers(before, after)


def _told_of_chambers(before: Shelf, after: Shelf) -> Iterator[str]:
    """What a load would have asked, or said, of a chamber into which columns put a tape."""
    went = [after.reels[key] for key in _changed(before, after, new=True)]
    chambers = (one.chamber for one in went if one.chamber and one.loaded_at is not None)
    for chamber in dict.fromkeys(chambers):
        inside = (one.key for one in after.reels.values() if one.chamber == chamber)
        if all(key in before.reels and before.reels[key].chamber == chamber for key in inside):
            continue
        yield from filter(None, (*chamber_first(before, chamber), trial_words(after, chamber)))


def _told_ahead(shelf: Shelf, was: Reel | None, reel: Reel, now: datetime) -> Iterator[str]:
    """That a take-out, or a load, was typed as of a moment that is still to come."""
    for name, what, done in (("conditioned_at", "take-out", "done"), ("loaded_at", "load", "begun")):
        at = getattr(reel, name)
        if at is None or (was is not None and getattr(was, name) == at):
            continue
        minutes = minutes_between(now, at)
        if minutes > _SOON_MINUTES:
            told = f"{at.astimezone(shelf.studio.zone):%a %d %b %Y %H:%M} is {hours_text(minutes)} ahead"
            yield f"{reel.key}: its {what} {told}, and counts as {done} then: was that meant?"


def _told_into_heat(before: Shelf, after: Shelf, was: Reel, at: datetime) -> Iterator[str]:
    """What a load would have asked, or said, of a tape that its columns put into the heat."""
    why = reason_asked(before, was, at) if alarm_of(after, was.key) is None else None
    if why is not None:
        yield f"{was.key}: {why}"
    look = to_be_looked_at(before, was)
    if look:
        yield f"{was.key} {look}"
    if look_asked(before, was):
        yield f"{was.key}: nobody has seen its base, and it is in the heat: see it before it is warm"


def _waits(shelf: Shelf, reel: Reel) -> bool:
    """True for a sticky tape that is looked at and not warmed."""
    return reel.stage == "identified" and sticky(reel, shelf.own_stocks())


def kept_by_log(before: Shelf, edited: Shelf, after: Shelf) -> Iterator[str]:
    """A sentence for every take-out that an edit put otherwise than the chamber's log has it."""
    for key in _changed(before, after, new=False, also=edited):
        given, reel = edited.reels[key], after.reels[key]
        if given.chamber and not reel.chamber:
            where = f"chamber {given.chamber} by the chamber's log"
            yield f"{key}: it is out of {where}: it does not go in again by this"
        if reel.chamber and (given.stage, given.conditioned_at) != (reel.stage, reel.conditioned_at):
            yield f"{key}: it is in chamber {reel.chamber}: its take-out and stage are told when it is out"
        last = _last_load(after, key)
        old = given.conditioned_at if last and given.conditioned_at and not reel.conditioned_at else None
        if old is not None and last is not None and old < _begun(last[0]) and not reel.chamber:
            told = f"{old.astimezone(after.studio.zone):%a %d %b %H:%M}"
            yield f"{key}: the take-out of {told} is from before its last load: it counts for nothing"
        elif given.past("conditioned") and not reel.past("conditioned") and not reel.chamber:
            mark = f"`reelturn mark {key} conditioned --because` says that it was warmed elsewhere"
            yield from (f"{key}: it {short.says}: it stays {reel.stage}; {mark}"
                        for short in [short_hours(after, reel)] if short is not None)  # fmt: skip
        if reel.conditioned_at is None or given.conditioned_at == reel.conditioned_at or reel.chamber:
            continue
        zone, cools = after.studio.zone, cool_until(reel, after.studio)
        until = f", it cools until {cools.astimezone(zone):%a %d %b %H:%M}" if cools is not None else ""
        out = f"{reel.conditioned_at.astimezone(zone):%a %d %b %H:%M}"
        yield (
            f"{key}: its take-out {out} stands in the chamber's log{until}; "
            f"`reelturn mark {key} identified --because` says that it counts for nothing"
        )


def _changed(before: Shelf, after: Shelf, *, new: bool = False, also: Shelf | None = None) -> Iterator[str]:
    """The reels that an edit touched, those that it brought with ``new``."""
    for key, reel in after.reels.items():
        was = before.reels.get(key)
        touched = was is not reel or (also is not None and also.reels.get(key) is not was)
        if touched and (was is not None or new):
            yield key


def _out_by_hand(before: Shelf, after: Shelf, was: Reel, now: Reel, at: datetime) -> Shelf:
    """Out of its load at the moment that was given, else now; cooling from then where it counts as warmed.

    A take-out from before that load began is an old list's, of an earlier one: it tells nothing of this. A
    load that its reels alone spoke of has a log from here on, so that what it gave is not forgotten.
    """
    load = load_of(before, was)
    if load is None:
        return after
    if load not in after.of_kind("load"):
        after = after.with_record("load", load, to_record(loads_of(before)[load]))
    told = now.conditioned_at if now.conditioned_at != was.conditioned_at else None
    if told is not None and told < _begun(loads_of(before)[load]):
        told, now = None, _as_it_was(was, now)
        after = after.with_reel(now)
    moment = told or at.replace(second=0, microsecond=0)
    after = changed_member(after, load, was.key, lambda member: replace(member, out=member.out or moment))
    log = loads_of(after)[load]
    member = log.member(was.key)
    if member is not None and log.too_short(member):
        return after.with_reel(_as_it_was(was, now))  # its hours were too few: no treatment
    counts = now.past("conditioned") and not now.past("transferred") and now.conditioned_at is None
    return after.with_reel(replace(now, conditioned_at=moment)) if counts else after


def _logged(shelf: Shelf, was: Reel) -> datetime | None:
    """The take-out that the newest log of that reel tells, where it is the one that was written with it."""
    logs = [one for log in loads_of(shelf).values() if (one := log.member(was.key)) is not None]
    out = logs[-1].out if logs else None
    same = out is not None and was.conditioned_at is not None and abs(out - was.conditioned_at).seconds < 60
    return was.conditioned_at if same else None
