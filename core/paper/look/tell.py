"""Steps and reels in words, as the work order and the calendar say them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import datetime

from core.conditioning.advisor import advice_of, barred, heat_of
from core.conditioning.alarms import alarm_of
from core.conditioning.beyond_published import chamber_first
from core.conditioning.hours_had import short_hours
from core.conditioning.loads.places import Standing
from core.conditioning.loads.trial import EmptyRun, is_first, trial_short
from core.conditioning.spreading.handled import handled
from core.conditioning.spreading.lies_apart import lies_apart
from core.conditioning.spreading.shared_air import look_in_short, to_be_looked_at
from core.conditioning.tell import test_words
from core.conditioning.warmth_in_doubt import warmth_in_doubt
from core.evening.around.unset import line_up_notes
from core.evening.playing.again import alarm
from core.evening.playing.left_lying import on_two_reels
from core.evening.tonight.line_ups import made_with, what_for
from core.evening.tonight.provisional import provisional_words
from core.evening.tonight.sheet import Step
from core.evening.warming.as_begun import at_its_time
from core.evening.warming.warm import warm_beside
from core.paper.look.line_order import said
from core.paper.look.run import runs_left
from core.paper.look.words import clock, short_moment, warmth, whole_seconds
from core.plan import Item, Plan
from core.reels.assumed import with_setup
from core.reels.length import Length, feet, length_of, play_seconds
from core.reels.needs import base_of, needs_conditioning, playable_until, sticky
from core.reels.pass_tracks import ranges
from core.reels.reel import Reel
from core.reels.winding import no_fast_wind, slow_minutes, slow_wind
from core.shelf import Shelf
from core.studio.setup import SETUP_NAMES, Setup
from core.words import counted, listed


def headline(step: Step, standing: Standing | None = None) -> str:
    """A step in one short line."""
    item = step.item
    names = listed([said(key) for key in step.reels])
    if step.kind == "load":
        return f"Load chamber {said(step.subject)}: {names}"
    if step.kind == "turn":
        return f"Turn chamber {said(step.subject)}: {names}"
    if step.kind == "take out":
        rest = [said(key) for key in standing.after] if standing and standing.turns else []
        return f"Take out of {said(step.subject)}: {names}" + (f"; turn {listed(rest)}" if rest else "")
    if step.kind == "align":
        setup = said(item.setup_told) if item and item.setup_told else "its set-up"
        return f"Line up {said(step.subject)} to {setup}"
    part = f", part {said(item.segment)}" if item and item.segment else ""
    verbs = {
        "identify": "Identify",
        "repair": "Repair",
        "audition": "Hear for the first time",
        "transfer": "Transfer",
        "verify": "Verify",
    }
    return f"{verbs.get(step.kind, step.kind)} {said(step.subject)}{part}"


def details(shelf: Shelf, step: Step, plan: Plan, empty: Iterable[EmptyRun]) -> tuple[str, ...]:
    """What else the person must know at that step, a short line each; what it only assumes comes last.

    ``empty`` are the chambers' empty runs of that evening.
    """
    item = step.item
    rests = (
        provisional_words(item) if item is not None and step.kind in ("load", "repair", "transfer") else ""
    )
    cools = at_its_time(shelf, plan, item, step.planned.start) if item is not None else ""
    first = [f"! {said(cools)}"] if cools else []
    return (*first, *_details(shelf, step, plan, empty), *([said(rests)] if rests else []))


def _of_load(shelf: Shelf, plan: Plan, item: Item) -> tuple[str, ...]:
    """The set point; before a chamber's first load the empty run, of which more stands with its places."""
    empty = trial_short(shelf, item.chamber) if is_first(shelf, plan, item) else ""
    seen = [f"! {said(f'{key} {look}')}" for key in item.reels if (look := look_in_short(shelf, key))]
    wiped = [f"! {said(one)}" for one in chamber_first(shelf, item.chamber)]
    return (f"at {warmth(item.temperature)}", *([empty] if empty else []), *wiped, *seen)


def _details(shelf: Shelf, step: Step, plan: Plan, empty: Iterable[EmptyRun]) -> tuple[str, ...]:
    item = step.item
    if item is None or step.touch:
        return _of_load(shelf, plan, item) if item is not None and step.kind == "load" else ()
    if step.kind == "align":
        return _of_align(shelf, plan, item)
    reel = shelf.reels.get(step.subject)
    if reel is None:
        return ("not on the shelf any more",)
    what, care = said(reel.box_label or reel.contents or "box says nothing"), handled(shelf, reel.key)
    if step.kind == "identify":
        return (what, *([f"! {said(care)}"] if care else []), *([said(reel.notes)] if reel.notes else []))
    if step.kind == "repair":
        joints = (
            f"{counted(reel.splices, 'splice or leader joint', 'splices and leader joints')}"
            if reel.splices
            else ""
        )
        beside = warm_beside(shelf, plan, item.start, item.end, empty)
        told = (what, joints or "splices and leader joints, as found")
        look = to_be_looked_at(shelf, reel)
        asks = (care, f"{reel.key} {look}" if look else "", beside)
        return (*told, *(f"! {said(one)}" for one in asks if one))
    if step.kind == "verify":
        share = float(shelf.studio.minutes.listen_share)
        play = play_seconds(reel, shelf.studio)
        listen = f", listen to about {whole_seconds(float(play) * share)}" if play and share else ""
        return (what, f"check the files{listen}")
    return (what, *_in_doubt(shelf, plan, item, reel), *_of_playing(shelf, item, reel))


def _in_doubt(shelf: Shelf, plan: Plan, item: Item, reel: Reel) -> Iterator[str]:
    """That its warmth is in doubt, where no load of the plan warms it before it plays."""
    loads = (one for one in plan.items if one.kind == "condition" and reel.key in one.reels)
    doubt = "" if any(one.start < item.start for one in loads) else warmth_in_doubt(shelf, reel)
    if doubt:
        yield f"! {said(doubt)}"


def _of_align(shelf: Shelf, plan: Plan, item: Item) -> tuple[str, ...]:
    kind = "full line-up" if item.full else "touch-up"
    purpose, tape = what_for(shelf, plan, item), shelf.reels.get(item.calibration)
    first = tape is not None and advice_of(shelf, tape, item.start).word == "test first"
    test = f"{item.calibration}: test it by hand first" if first else ""
    notes = line_up_notes(shelf, plan, beside=True).get(id(item), ())
    return (
        f"{kind}, {said(made_with(shelf, plan, item))}",
        *_which_deck(shelf, item.deck),
        *(said(one) for one in (purpose, test, *notes) if one),
    )


def _which_deck(shelf: Shelf, deck: str) -> Iterator[str]:
    """Which deck its key is, for somebody who has only the paper; nothing where there is but one."""
    found = shelf.studio.deck(deck)
    if found is not None and len(shelf.studio.decks) > 1:
        widths = listed([str(width) for width in found.widths])
        yield f"{said(deck)} is the deck for {widths}, {counted(found.tracks, 'track')}"


def _of_playing(shelf: Shelf, item: Item, reel: Reel) -> Iterator[str]:
    yield (
        f"on {said(item.deck)}, {counted(item.passes, 'pass', 'passes')}"
        if item.passes
        else f"on {said(item.deck)}"
    )
    if look := to_be_looked_at(shelf, reel):
        yield f"! {said(look)}"
    if item.kind == "transfer":
        runs = runs_left(shelf, item, reel)
        flung = slow_minutes(reel, shelf.studio, shelf.own_stocks())
        for number, run in enumerate(runs):
            # which way an unseen reel lies is not known, so that its time for winding is only kept free
            ifs = [] if number or reel.wind else ["it lies tails out"]
            if run.kind == "wind" and flung:  # planned is the time of a fast wind, which must not be
                told = no_fast_wind(reel, shelf.studio, shelf.own_stocks())  # when it is made: see the reel
                again = f"wind {run.again} slowly, no fast winding: not planned" if run.again else ""
                yield again or (f"wind back, {told}" if number else told)
                continue
            asked = f", if {' and '.join(ifs)}" if ifs else ""
            span = f"{clock(run.start, offset_of=item.start)} to {clock(run.end, offset_of=item.start)}"
            goes_on = f" goes on from {run.stands}, no wind" if run.stands else f" {run.again}".rstrip()
            yield (
                f"pass {run.number}{goes_on}, tracks {ranges(run.tracks)}: {span}"
                if run.kind == "pass"
                else f"wind {run.again or f'back{asked}'}: {span}"
            )


def facts(shelf: Shelf, reel: Reel) -> str:
    """A reel's facts on one line: format, set-up, stock, length, play time, wind."""
    studio = shelf.studio
    length, play = length_of(reel, studio), play_seconds(reel, studio)
    setup = (reel if reel.calibration else with_setup(reel, studio)).setup
    known = any(setup.words().values())
    guess = "" if reel.calibration else _how_told(reel, setup)
    unknown = setup.told.removeprefix(str(setup)) if known else ""  # that is not known, and not assumed
    parts = [
        " ".join(filter(None, (str(reel.width or ""), counted(reel.tracks, "track") if reel.tracks else ""))),
        f"{said(str(setup) if known else setup.told)}{guess}{unknown}",
        said(reel.stock),
        base if (base := base_of(reel, shelf.own_stocks())) != "unknown" else "base not known",
        _long(length),
        f"plays {whole_seconds(play)}" if play is not None else "",
        f"{reel.wind} out" if reel.wind else "wind not known",
    ]
    return " · ".join(part for part in parts if part)


def _how_told(reel: Reel, setup: Setup) -> str:
    """Behind a set-up: that nobody heard yet what was told of it, and what of it the studio assumes alone."""
    told, full = reel.setup.words(), setup.words()
    likely = [called for name, called in SETUP_NAMES.items() if full[name] and not told[name]]
    heard = reel.heard is not None or not any(told.values())
    parts = [*([] if heard else ["not heard yet"]), *([f"{listed(likely)} assumed"] if likely else [])]
    return f" ({'; '.join(parts)})" if parts else ""


def _long(length: Length | None) -> str:
    if length is None:
        return "length not known"
    if length.source == "assumed":
        _, _, holds = length.how.partition("; ")
        return f"{feet(length.inches)} assumed, {said(holds) or 'nothing tells its length'}"
    return feet(length.inches) if length.source == "length" else f"{feet(length.inches)} ({said(length.how)})"


def warnings(
    shelf: Shelf, plan: Plan | None, reel: Reel, at: datetime, *, short: bool = False, plays: bool = True
) -> tuple[str, ...]:
    """What to watch for with that reel from that moment on, a line each; loud ones first.

    ``plays``: false of a tape that is only warmed or mended then, and wound on another evening.
    ``short``: what the studio could do about a slow wind stands above already.
    """
    apart = on_two_reels(shelf, reel.key)
    says: list[str | None] = [*on_box(shelf, reel, at), f"{apart}: fetch both" if apart else None]
    if sticky(reel, shelf.own_stocks()) and heat_of(shelf, reel, at).never is None:
        says.append(_sticky_told(shelf, plan, reel, at))
    runs = barred(shelf, reel, at) is None  # what may not go on a deck is not wound there either
    slow = slow_wind(reel, shelf.studio, shelf.own_stocks(), short=short) if runs and plays else None
    if reel.splices or "splices" in reel.condition:
        joints = counted(reel.splices, "joint") if reel.splices else "joints"
        says.append(f"{joints} to watch{f'; {slow}' if slow else ': no fast winding over them'}")
    else:
        says.append(slow)
    if "edge" in reel.condition:
        says.append("edge damage: low tension, watch the guides")
    return tuple(said(one) for one in says if one)


def on_box(shelf: Shelf, reel: Reel, at: datetime) -> tuple[str, ...]:
    """What a reel's box says loudly: an alarm, the hours it had, that heat is forbidden, why it waits."""
    says = [alarm_of(shelf, reel.key) or alarm(shelf, reel) or "", _hours_told(shelf, reel)]
    says.append(to_be_looked_at(shelf, reel))
    why, no_heat = barred(shelf, reel, at), heat_of(shelf, reel, at).never
    if no_heat is not None:
        says.append(f"NO HEAT: {no_heat}")
    told = advice_of(shelf, reel, at)
    look = f"look first: {told.because}" if told.word == "look first" and not reel.past("transferred") else ""
    says += [_test_told(shelf, reel, at), (why if why != no_heat else "") if why else look]
    apart = lies_apart(reel)
    says += [f"lay it {apart}"] if apart else []
    return tuple(said(one) for one in says if one)


def _sticky_told(shelf: Shelf, plan: Plan | None, reel: Reel, at: datetime) -> str:
    warm_first = needs_conditioning(reel, shelf.studio, at, shelf.own_stocks())
    planned = member_end(plan, reel.key) if plan is not None else None
    ends = planned or playable_until(reel, shelf.studio)
    if ends is None and not warm_first:
        return "sticky, and no take-out is written: who knows how long it plays; if it sheds, stop and clean"
    if ends is None or (planned is None and warm_first):
        return "sticky: never played before it was warmed and has cooled"
    first = "once warmed and cooled, " if warm_first else ""
    careful = "stop, clean, do not force it" if not warm_first else "stop and clean"
    return f"{first}playable until {short_moment(ends)}; if it squeals or sheds: {careful}"


def _hours_told(shelf: Shelf, reel: Reel) -> str:
    """Of a tape that came out of the warmth too early, wherever it is played: the hours that it had."""
    short = short_hours(shelf, reel)
    return f"it {short.says}: look at the outermost turns before it runs" if short else ""


def _test_told(shelf: Shelf, reel: Reel, at: datetime) -> str:
    """That a tape is to be tried by hand before it runs, until that was done."""
    return "" if reel.past("transferred") else test_words(advice_of(shelf, reel, at))


def member_end(plan: Plan, key: str) -> datetime | None:
    """When a reel that this plan warms stops being playable; None if it is not warmed, or only comes out."""
    if any(one.reel == key and one.barred_by for one in plan.left_over):
        return None
    return next((m.playable_until for item in plan.items for m in item.members if m.reel == key), None)
