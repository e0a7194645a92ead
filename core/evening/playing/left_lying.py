"""Tapes that lie on a deck: on both its reels, or run out with nobody there.

A pass is laid aside when its tape is heard at another speed than its box said, or is to be played once more:
it lies so until it is wound back. One that was stopped on an earlier evening goes on from where it stands: it
lies on its deck until it is lifted off, both reels together. So does one that ran out with nobody there.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import datetime

from core.clock import clock_text, evening_of
from core.conditioning.advisor import advice_of
from core.conditioning.spreading.dirty_path import path_lines, wiped
from core.conditioning.spreading.lies_apart import lies_apart
from core.errors import Refused
from core.evening.playing.left_winding import left_winding, wound_on
from core.evening.playing.lying import LeftLying
from core.logbook.passes import Holds, PlayedPass, pass_key, played
from core.logbook.places import put_away
from core.logbook.typed import with_entry
from core.plan import Item, Plan
from core.reels.needs import needs_conditioning
from core.shelf import Shelf
from core.words import ended


def left_lying(shelf: Shelf, at: datetime) -> Iterator[LeftLying]:
    """Every tape that lies so at that moment: nothing of it ran since, nor was it put into its place.

    One that was stopped in that very evening is in one's hands still, and is not told, unless it does not
    go on: it is barred, or warmed first.
    """
    yield from (one for one, off in _ran_out(shelf, at) if not off and not _ran_since(shelf, one))
    yield from (one for one in left_winding(shelf, at) if not _ran_since(shelf, one))
    for lies in _lying(shelf):
        stood = lies.since.astimezone(shelf.studio.zone)
        stays = not lies.goes_on or lies.warm or bool(lies.barred)
        earlier = evening_of(stood) < evening_of(at.astimezone(shelf.studio.zone))
        if stays or earlier:
            yield replace(lies, stands=earlier)


def ran_out_before(shelf: Shelf, at: datetime) -> Iterator[LeftLying]:
    """What ran out unattended on an earlier evening and is not put back, be it lifted off tonight or not."""
    evening = evening_of(at.astimezone(shelf.studio.zone))
    for lies, _ in _ran_out(shelf, at):
        began = (moment for _, deck, moment in _began(shelf) if deck == lies.deck and moment > lies.since)
        if not any(evening_of(moment.astimezone(shelf.studio.zone)) < evening for moment in began):
            yield lies


def _ran_out(shelf: Shelf, at: datetime) -> Iterator[tuple[LeftLying, bool]]:
    """What ran out unattended on an earlier evening and is not in its place, and if it is off its deck."""
    for reel, one in _newest_pass(shelf).items():
        tape, stood = shelf.reels[reel], one.last.stopped
        if one.state != "done" or one.holds not in ("deck", "off") or stood is None or tape.chamber:
            continue
        stood, back = stood.astimezone(shelf.studio.zone), put_away(shelf).get(reel)
        warmed = tape.conditioned_at is not None and tape.conditioned_at > stood
        told = evening_of(stood) < evening_of(at.astimezone(shelf.studio.zone))
        if told and not warmed and not (back and back.at >= stood):
            lies = LeftLying(reel, _deck(shelf, reel, stood), stood, one.last.to or 0.0, "it ran out")
            out = "heads out" if one.backwards else "tails out"
            yield replace(lies, apart=lies_apart(tape), out=out), one.holds == "off"


def _lying(shelf: Shelf) -> Iterator[LeftLying]:
    for reel, one in _newest(shelf).items():
        stood = one.last.stopped or one.last.started
        back = put_away(shelf).get(reel)
        if one.state != "stopped" or not one.last.to or one.holds == "own" or (back and back.at >= stood):
            continue
        tape = shelf.reels[reel]
        if tape.chamber or (tape.conditioned_at is not None and tape.conditioned_at > stood):
            continue  # it was lifted off to be warmed
        apart = lies_apart(tape)
        told = advice_of(shelf, tape, stood)
        why = (told.barred_by if told.word not in ("warm", "test first") else None) or ""
        lies = LeftLying(
            reel, _deck(shelf, reel, stood), stood, one.last.to, one.void, not one.void, why, apart,
            not why and needs_conditioning(tape, shelf.studio, stood, shelf.own_stocks()),
        )  # fmt: skip
        if one.void and _ran_since(shelf, lies):
            lies = replace(lies, deck="")  # lifted off, both its reels together
        off = one.holds == "off"
        if (one.void and not (off and (why or lies.warm))) or (
            lies.deck and not off and not _ran_since(shelf, lies)
        ):
            yield lies


def on_two_reels(shelf: Shelf, reel: str) -> str:
    """``stands at 14:50, on two reels`` of a tape that was stopped on its way; empty for any other."""
    tape = shelf.reels.get(reel)
    mine = [one for one in played(shelf).values() if one.reel == reel]
    if tape is None or tape.past("transferred") or not mine:
        return ""
    newest = max(mine, key=lambda one: one.last.started)
    if newest.state != "stopped" or not newest.last.to or newest.holds == "own":
        return ""
    return f"stands at {clock_text(int(newest.last.to))}, on two reels"


def deck_lines(shelf: Shelf, at: datetime, plan: Plan | None = None) -> tuple[str, ...]:
    """What is to be done at the decks before anything else: paths to be wiped, tapes to be wound back.

    With a plan it is told as it will be then: a tape is off its deck once the plan has used one of the two.
    """
    used = [one for one in plan.items if one.start < at] if plan is not None else []
    lies = (
        one
        for one in left_lying(shelf, at)
        if not any(one.since < item.start and _uses(item, one) for item in used)
    )
    return (*path_lines(shelf), *(ended(one.says) for one in lies))


def lies_on(shelf: Shelf, plan: Plan | None, key: str, at: datetime) -> LeftLying | None:
    """That tape where it lies on a deck at that moment of the plan, also one stopped that evening; else None.

    It is off its deck once something else began there, or the plan has used one of the two.
    """
    out = (one for one, off in _ran_out(shelf, at) if not off and not _ran_since(shelf, one))
    there = (one for one in (*_lying(shelf), *out) if one.reel == key and one.deck)
    lies = next(there, None)
    used = [one for one in plan.items if lies.since < one.start < at] if plan and lies else []
    return lies if lies is not None and not any(_uses(item, lies) for item in used) else None


def _uses(item: Item, lies: LeftLying) -> bool:
    if item.kind == "condition":
        return lies.reel in item.reels
    return bool(item.deck) and (lies.deck == item.deck or lies.reel == item.reel)


def left_on(shelf: Shelf, deck: str, reel: str, at: datetime) -> LeftLying | None:
    """The tape that still lies on that deck, or ``reel`` itself wherever it lies, when something begins.

    One that was stopped in that very evening too: another tape finds no room on the deck.
    """
    lies = list(left_lying(shelf, at)) if deck else []
    mine = (one for one in lies if one.reel == reel and not (one.goes_on or one.out))
    stands = (one for one in _lying(shelf) if one.since <= at) if deck else ()
    holds = (one for one in (*lies, *stands) if one.deck == deck and one.reel != reel)
    there = (one for one in holds if not _ran_since(shelf, one))
    return next(mine, None) or next(there, None)


def stood_apart(one: PlayedPass) -> bool:
    """True for a pass that was laid aside before its end, be it wound back since or not."""
    return bool(one.void) and one.state == "stopped" and (one.last.to or 0.0) > 0


def wound_back(shelf: Shelf, reel: str) -> Shelf:
    """The shelf with that tape wound back onto its own reel; Refused where it does not lie on both.

    One whose slow wind was stopped is wound on to its head.
    """
    wound = wound_on(shelf, reel)
    if wound is not None:
        return wound
    one = _newest(shelf).get(reel)
    if one is None or one.state != "stopped" or not one.last.to or one.holds == "own":
        raise Refused(f"{reel} does not lie on both reels: nothing of it is to be wound back")
    return _held(shelf, one, "own")


def lifted_off(shelf: Shelf, reel: str) -> Shelf:
    """The shelf with both reels of that tape off their deck; Refused where it does not lie so."""
    wound = wound_on(shelf, reel, lifted=True)
    if wound is not None:
        return wound
    done = _newest_pass(shelf).get(reel)
    if done is not None and (done.state, done.holds) == ("done", "deck"):
        return with_entry(shelf, pass_key(reel, done.number), replace(done, holds="off"))
    one, lies = _newest(shelf).get(reel), next((one for one in _lying(shelf) if one.reel == reel), None)
    if one is None or lies is None:
        raise Refused(f"{reel} lies on no deck with both reels: there is nothing to lift off")
    if not lies.lifted:
        raise Refused(f"{reel} does not go on from there: wind it back (`reelturn tonight wound {reel}`)")
    return _held(shelf, one, "off")


def wiped_bare(shelf: Shelf, deck: str, at: datetime) -> Shelf:
    """The shelf with that deck's path wiped; Refused while a tape that was left there lies on it."""
    lies = next((one for one in left_lying(shelf, at) if one.deck == deck), None)
    if lies is not None:
        act = "lifted" if lies.lifted else "wound"
        raise Refused(
            f"{deck} is not wiped while {lies.reel} lies on it: take it off first (`reelturn tonight {act} "
            f"{lies.reel}`)"
        )
    return wiped(shelf, deck, at)


def cleared(shelf: Shelf, lies: LeftLying) -> Shelf:
    """The shelf with that done which frees the deck of the tape: wound back, or lifted off to go on later."""
    return (lifted_off if lies.lifted else wound_back)(shelf, lies.reel)


def _held(shelf: Shelf, newest: PlayedPass, holds: Holds) -> Shelf:
    """The shelf with that tape held so: as its newest pass, all that were laid aside, or those that go on."""
    for key, one in played(shelf).items():
        alike = one.reel == newest.reel and one.state == "stopped" and bool(one.void) == bool(newest.void)
        if alike and one.last.to:
            shelf = with_entry(shelf, key, replace(one, holds=holds))
    return shelf


def _newest(shelf: Shelf) -> dict[str, PlayedPass]:
    """By reel that is not transferred, its newest pass, whether it counts or not."""
    return {key: one for key, one in _newest_pass(shelf).items() if not shelf.reels[key].past("transferred")}


def _newest_pass(shelf: Shelf) -> dict[str, PlayedPass]:
    """By reel, its newest pass of those that may lie on a deck; looked at raw, since most are long over."""
    found: dict[str, PlayedPass] = {}
    for key, record in shelf.of_kind("pass").items():
        reel = shelf.reels.get(str(record.get("reel", "")))
        if reel is None or (reel.past("transferred") and record.get("holds") not in ("deck", "off")):
            continue
        one = played(shelf)[key]
        if reel.key not in found or one.last.started >= found[reel.key].last.started:
            found[reel.key] = one
    return found


def _deck(shelf: Shelf, reel: str, stood: datetime) -> str:
    """The deck on which that reel ran last before it stood."""
    ran = [(at, deck) for key, deck, at in _began(shelf) if key == reel and at <= stood]
    return max(ran, default=(stood, ""))[1]


def _ran_since(shelf: Shelf, lies: LeftLying) -> bool:
    """Whether anything began on its deck after it stood: then it was lifted off."""
    return any(deck == lies.deck and at > lies.since for _, deck, at in _began(shelf))


def _began(shelf: Shelf) -> Iterator[tuple[str, str, datetime]]:
    """Reel, deck and moment of everything that began on a deck; looked at raw, since most of it is over."""
    for one in shelf.of_kind("actual").values():
        align = one.get("kind") == "align"
        deck, reel = one.get("subject" if align else "deck"), one.get("calibration" if align else "subject")
        if deck and one.get("started"):
            yield str(reel or ""), str(deck), datetime.fromisoformat(str(one["started"]))
