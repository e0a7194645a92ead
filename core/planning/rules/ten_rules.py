"""The ten rules of a plan, one function each: a case in, a sentence for each wrong thing out."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import datetime, timedelta
from fractions import Fraction
from itertools import pairwise

from core.clock import days_later
from core.plan import Item
from core.planning.facts.jobs import part_minutes
from core.planning.rules.case import Case, minutes_of, named, utc
from core.quantities import Kind, Quantity, read_quantity
from core.reels import minutes, needs
from core.reels.reel import Reel
from core.shelf import Shelf
from core.standing.left_to_play import Transfer, to_play
from core.studio.setup import Setup, SetupKey
from core.studio.studio import Deck


def horizon(case: Case) -> Iterator[str]:
    """Everything lies in [from, until], and items on the grid of the studio's clock."""
    grid = case.shelf.studio.minutes.grid
    days = (case.plan.until.date() - case.plan.start.date()).days
    if utc(days_later(case.plan.start, days)) != case.until:
        yield f"the plan does not end whole days after {case.plan.start}"
    for item in case.plan.items:
        running = item.kind == "condition" and case.running(item)
        if running:
            continue
        if utc(item.start) < case.start or utc(item.end) > case.until or utc(item.end) < utc(item.start):
            yield f"{named(item)} lies outside the plan"
        if any(moment.minute % grid or moment.second for moment in (item.start, item.end)):
            yield f"{named(item)} is off the grid"
        if item.touches and utc(item.touches[-1].end) > case.until:
            yield f"{named(item)} is touched after the plan's end"


def one_person(case: Case) -> Iterator[str]:
    """Rule 1: one thing at a time; items inside one bench window, touches while someone is home."""
    spans: list[tuple[datetime, datetime, str, bool]] = []
    for item in case.bench:
        spans.append((utc(item.start), utc(item.end), named(item), False))
        if case.spans["bench"].holder(utc(item.start), utc(item.end)) is None:
            yield f"{named(item)} is not inside one bench window"
    for load in case.loads:
        running = case.running(load)
        for touch in load.touches:
            start, end = utc(touch.start), utc(touch.end)
            if start >= case.start:
                spans.append((start, end, f"{touch.do} of {named(load)}", running))
            if not running and case.spans["home"].holder(start, end) is None:
                yield f"{touch.do} of {named(load)} while nobody is home"
    busy = sorted(span for span in spans if span[0] < span[1])
    latest = None
    for span in busy:
        if latest is not None and span[0] < latest[1] and not (span[3] and latest[3]):
            yield f"{span[2]} overlaps {latest[2]}"
        if latest is None or span[1] > latest[1]:
            latest = span


def chamber(case: Case) -> Iterator[str]:
    """Rule 2: home from start to last touch, trays, one temperature, moments as the treatment makes them."""
    studio = case.shelf.studio
    for load in case.loads:
        facts = studio.chamber(load.chamber)
        reels = [case.shelf.reels[m.reel] for m in load.members if m.reel in case.shelf.reels]
        if facts is None or not reels or len(reels) != len(load.members):
            yield f"{named(load)} is in no chamber, or with reels that are not on the shelf"
            continue
        if any(case.treatment(reel) is None for reel in reels):
            yield f"{named(load)} holds a reel that has no treatment"
            continue
        yield from _moments(case, load, reels)
        if case.running(load):
            continue
        taken = [facts.trays_for(reel.width) if reel.width else None for reel in reels]
        if None in taken or sum(one or 0 for one in taken) > facts.trays:
            yield f"{named(load)} takes more trays than there are"
        if len({t.temperature.number for reel in reels if (t := case.treatment(reel))}) > 1:
            yield f"{named(load)} mixes temperatures"
        if case.spans["home"].holder(utc(load.start), utc(load.touches[-1].end)) is None:
            yield f"{named(load)} is not inside one stretch at home"
    for facts in studio.chambers:
        own = [load for load in case.loads if load.chamber == facts.id]
        own.sort(key=lambda load: utc(load.start))
        for before, after in pairwise(own):
            if before.touches and utc(after.start) < utc(before.touches[-1].end):
                yield f"{named(after)} starts before {named(before)} is done"


def _moments(case: Case, load: Item, reels: list[Reel]) -> Iterator[str]:
    from core.planning.facts.reading import touch_moments

    facts = case.shelf.studio.chamber(load.chamber)
    assert facts is not None
    outs = []
    for reel, member in zip(reels, load.members, strict=True):
        _, out, cool, playable = case.heat_of(load, reel)
        outs.append(out)
        if (utc(member.out), utc(member.cool_until), utc(member.playable_until)) != (out, cool, playable):
            yield f"{named(load)} takes {reel.key} out at the wrong time"
    start = utc(load.start)
    after = [int((out - start) / timedelta(minutes=1)) for out in outs]
    due = {
        (do, start + timedelta(minutes=minute))
        for do, minute in touch_moments(0, after, int(facts.turn_every.number * 60))
    }
    if case.running(load):
        due = {(do, at) for do, at in due if case.start <= at <= case.until}
    told = {(touch.do, utc(touch.start)) for touch in load.touches}
    if due != told and not (case.running(load) and told <= due):
        yield f"{named(load)} is not touched when it should be"
    if any(utc(t.end) - utc(t.start) != timedelta(minutes=facts.touch_minutes) for t in load.touches):
        yield f"{named(load)} has a touch of the wrong length"
    if utc(load.end) != max(outs):
        yield f"{named(load)} does not end with its last take-out"


def never_into_heat(case: Case) -> Iterator[str]:
    """Rule 3: polyester only, no vinegar, no mould; a barred reel is at most identified."""
    for load in case.loads:
        for member in load.members:
            reel = case.shelf.reels.get(member.reel)
            why = needs.never_heat(reel, case.own) if reel and not case.running(load) else None
            if why:
                yield f"{member.reel} in {named(load)}: {why}"
    for key, why in case.barred.items():
        reel = case.shelf.reels[key]
        heard = needs.to_be_heard(reel, case.shelf.studio)
        kinds = ("transfer", "verify") if heard else ("repair", "audition", "transfer", "verify")
        if any(case.of(kind, reel) for kind in kinds):
            yield f"{key} is worked on, but barred: {why}"
        if not heard and any(not case.running(load) for load in case.heats.get(key, ())):
            yield f"{key} is loaded, but barred: {why}"
        if "mould" in reel.condition and case.of("identify", reel):
            yield f"{key} has mould and is identified"


def conditioning(case: Case) -> Iterator[str]:
    """Rule 4: what is heated needs it, once; nothing is played uncooled or past its playable time."""
    studio, at = case.shelf.studio, case.plan.start
    for key, loads in case.heats.items():
        reel = case.shelf.reels.get(key)
        if reel is None or case.treatment(reel) is None:
            continue
        fresh = [load for load in loads if not case.running(load)]
        if len(loads) > 1 and not reel.calibration:
            yield f"{key} is conditioned {len(loads)} times"
        again = reel.key not in {m.reel for load in loads if case.running(load) for m in load.members}
        wanted = needs.needs_conditioning(reel, studio, at, case.own) or needs.may_be_conditioned_again(
            reel, studio, at, case.own
        )
        if fresh and not wanted and (again or not reel.calibration):
            yield f"{key} is conditioned without need"
        if fresh and needs.inspect_first(reel):
            yield f"{key} is conditioned before anyone inspected it"
        known = case.of("identify", reel)
        for load in fresh:
            if utc(load.start) < case.cooled(reel):
                yield f"{key} is loaded before it has cooled"
            if (needs.to_look_at(reel) and not known) or any(utc(i.end) > utc(load.start) for i in known):
                yield f"{key} is loaded before it is identified"
        for before, after in pairwise(sorted(loads, key=lambda load: utc(load.start))):
            if utc(after.start) < case.heat_of(before, reel)[2]:
                yield f"{key} is loaded again before it has cooled"
    for reel in case.shelf.transferable():
        yield from _played(case, reel)


def _played(case: Case, reel: Reel) -> Iterator[str]:
    studio = case.shelf.studio
    played = [item for kind in ("repair", "audition", "transfer") for item in case.of(kind, reel)]
    if not played:
        return
    loads = case.heats.get(reel.key, [])
    ready, last = case.cooled(reel), needs.playable_until(reel, studio)
    sticky = needs.sticky(reel, case.own)
    if loads and case.treatment(reel) is not None:
        _, _, ready, last = case.heat_of(loads[-1], reel)
    elif needs.needs_conditioning(reel, studio, case.plan.start, case.own):
        yield f"{reel.key} is played without its conditioning"
    for item in played:
        if utc(item.start) < ready:
            yield f"{named(item)} before the reel has cooled"
        if item.kind == "transfer" and sticky and last is not None and utc(item.end) > utc(last):
            yield f"{named(item)} after the reel's playable time"


def repair(case: Case) -> Iterator[str]:
    """Rule 5: joints are remade, once, before the reel is played."""
    for reel in case.shelf.transferable():
        repairs = case.of("repair", reel)
        due = needs.to_transfer(reel) and needs.needs_repair(reel)
        if len(repairs) > 1 or (repairs and not due):
            yield f"{reel.key} is repaired without need"
        for item in case.of("transfer", reel) + case.of("audition", reel):
            if due and not any(utc(done.end) <= utc(item.start) for done in repairs):
                yield f"{named(item)} before its repair"


def line_up(case: Case) -> Iterator[str]:
    """Rule 6: each transfer is behind a line-up to its set-up in its window, with a fit calibration reel."""
    read = read_before(case.shelf)
    for deck in case.shelf.studio.decks:
        stands = deck.lined_up.key if deck.lined_up else None
        window = None
        for item in case.by_deck.get(deck.id, ()):
            here = case.spans["bench"].holder(utc(item.start), utc(item.end))
            if item.kind == "align":
                setup = setup_key(item, read)
                if not item.full and stands != setup:
                    yield f"{named(item)} is a touch-up, but the deck stands on another set-up"
                helper = case.spans["helper"].holder(utc(item.start), utc(item.end))
                if item.full and deck.setup_needs_helper and helper is None:
                    yield f"{named(item)} without the helper"
                yield from _calibration(case, deck, item)
                stands, window = setup, here
            elif item.kind == "transfer":
                if window is None or window != here:
                    yield f"{named(item)} without a line-up in its window"
                elif all(one.reel.setup.key != stands for one in _parts(case, item)):
                    yield f"{named(item)} on the wrong set-up"


def setup_key(item: Item, read: Mapping[str, Quantity] = {}) -> SetupKey:
    """The set-up of an align, as it is compared. ``read``: quantities read before, by their text."""
    told = dict(item.setup)
    speed = _quantity(told.get("speed", ""), "speed", read)
    level = _quantity(told.get("level", ""), "flux", read)
    return Setup(speed, told.get("eq", ""), level, told.get("noise_reduction", "")).key


def _quantity(text: str, kind: Kind, read: Mapping[str, Quantity]) -> Quantity | None:
    return (read.get(text) or read_quantity(text, kind)) if text else None


def read_before(shelf: Shelf) -> dict[str, Quantity]:
    """Speeds and levels as the shelf has read them, so that their words need no unit library again."""
    decks = [deck.lined_up for deck in shelf.studio.decks if deck.lined_up]
    parts = [one.setup for key in shelf.reels for one in shelf.segments_of(key)]
    setups = [*decks, *parts, *(reel.setup for reel in shelf.reels.values())]
    return {str(one): one for setup in setups for one in (setup.speed, setup.level) if one is not None}


def _parts(case: Case, item: Item) -> tuple[Transfer, ...]:
    left = to_play(case.shelf, case.shelf.reels[item.reel])
    return tuple(one for one in left if one.name == item.segment)


def _calibration(case: Case, deck: Deck, item: Item) -> Iterator[str]:
    if not item.calibration:
        if deck.calibration_needed:
            yield f"{named(item)} names no calibration reel"
        return
    reel = case.shelf.reels.get(item.calibration)
    if reel is None or not reel.calibration or reel.width is None or not deck.takes_width(reel.width):
        yield f"{named(item)}: {item.calibration} is no calibration reel of this deck"
        return
    if {"vinegar", "mould"} & set(reel.condition):
        yield f"{named(item)}: {reel.key} has vinegar or mould"
    start, end = utc(item.start), utc(item.end)
    if needs.to_look_at(reel) and not any(utc(i.end) <= start for i in case.of("identify", reel)):
        yield f"{named(item)}: {reel.key} is not identified by then"
    heats = [case.heat_of(load, reel) for load in case.heats.get(reel.key, ())]
    if start < case.cooled(reel) or any(heat[0] < end and start < heat[2] for heat in heats):
        yield f"{named(item)}: {reel.key} is not at hand"
    done = [heat for heat in heats if heat[2] <= start]
    if needs.sticky(reel, case.own):
        last = done[-1][3] if done else needs.playable_until(reel, case.shelf.studio)
        lapsed = not done and needs.needs_conditioning(reel, case.shelf.studio, case.plan.start, case.own)
        if lapsed or (last is not None and end > utc(last)):
            yield f"{named(item)}: {reel.key} is not playable then"


def loud(case: Case) -> Iterator[str]:
    """Rule 7: a loud deck runs in loud time, and any deck for a first hearing."""
    decks = {deck.id for deck in case.shelf.studio.decks if deck.loud}
    for item in case.bench:
        bound = item.kind == "audition" or (item.kind in ("align", "transfer") and item.deck in decks)
        if bound and case.spans["loud"].holder(utc(item.start), utc(item.end)) is None:
            yield f"{named(item)} outside loud time"


def lengths(case: Case) -> Iterator[str]:
    """Rule 8: every item is as long as its reel, its deck and the handling make it."""
    for item in case.bench:
        due = _minutes_due(case, item)
        if minutes_of(item) not in due:
            yield f"{named(item)} is {minutes_of(item):g} minutes long, not {due or 'possible'}"


def _minutes_due(case: Case, item: Item) -> set[int]:
    studio = case.shelf.studio
    deck = studio.deck(item.deck)
    if item.kind == "align" and deck is not None:
        return {minutes.on_grid(Fraction(deck.setup_minutes if item.full else deck.touch_up_minutes), studio)}
    reel = case.shelf.reels.get(item.reel)
    if reel is None:
        return set()
    if item.kind == "identify":
        return {minutes.identify_minutes(studio)}
    if item.kind == "repair":
        return {minutes.repair_minutes(reel, studio)}
    if item.kind == "audition" and deck is not None and reel.width and deck.takes_width(reel.width):
        return {minutes.audition_minutes(reel, studio, own=case.own)}
    if item.kind == "verify":
        from core.planning.facts.jobs import whole_play

        return {minutes.verify_minutes(reel, studio, whole_play(case.shelf, reel))}
    due = set()
    for one in _parts(case, item) if item.kind == "transfer" and deck is not None else ():
        part = one.reel
        known = part.width and part.tracks and part.speed
        fits = known and deck and deck.takes(part.width, part.tracks, part.speed)  # type: ignore[arg-type]
        if deck and fits and item.passes == len(one.left):
            due.add(part_minutes(one, deck, studio, case.own, case.start))
    return due


def stages(case: Case) -> Iterator[str]:
    """Rule 9: what is done is not planned, what is planned comes once and in order."""
    for reel in case.shelf.reels.values():
        own = {kind: case.of(kind, reel) for kind in ("identify", "repair", "audition", "transfer", "verify")}
        if not any(own.values()):
            continue
        parts = len(to_play(case.shelf, reel))
        if any(len(items) > (parts if kind == "transfer" else 1) for kind, items in own.items()):
            yield f"{reel.key} has a step twice"
        if own["identify"] and not needs.to_look_at(reel):
            yield f"{reel.key} is identified again"
        if reel.calibration:
            if any(items for kind, items in own.items() if kind != "identify"):
                yield f"{reel.key} is a calibration reel and is only identified and conditioned"
            continue
        yield from _order(case, reel, own, parts)


def _order(case: Case, reel: Reel, own: dict[str, list[Item]], parts: int) -> Iterator[str]:
    played = own["repair"] + own["audition"] + own["transfer"]
    if played and (reel.past("transferred") or needs.inspect_first(reel)):
        yield f"{reel.key} is worked on, though it is {reel.stage} or nobody inspected it"
    known = [utc(item.end) for item in own["identify"]]
    for item in played:
        if reel.stage == "found" and not any(end <= utc(item.start) for end in known):
            yield f"{named(item)} before the reel is identified"
    hearing = case.shelf.studio.minutes.audition > 0 and reel.heard is None
    if own["audition"] and not hearing:
        yield f"{reel.key} is heard without need"
    for item in own["transfer"]:
        if hearing and not any(utc(done.end) <= utc(item.start) for done in own["audition"]):
            yield f"{named(item)} before it was heard"
    for item in own["verify"]:
        whole = len(own["transfer"]) == parts and all(utc(t.end) <= utc(item.start) for t in own["transfer"])
        if reel.stage == "verified" or (not reel.past("transferred") and not whole):
            yield f"{named(item)}, though it is not transferred or verified already"


def scored(case: Case) -> Iterator[str]:
    """Rule 10: the score, the songs and what is left over are what the items make them."""
    ends = {r.key: utc(i.end) for r in case.shelf.transferable() for i in case.of("verify", r)}
    hours = Fraction(0)
    for reel in case.shelf.transferable():
        if not reel.past("verified") and reel.key not in case.barred:
            hours += Fraction(1, 100) * _waited(case, ends.get(reel.key))
    for song in case.shelf.songs.values():
        reels = [case.shelf.reels[n.reel] for n in song.needs if n.reel in case.shelf.reels]
        if (
            song.album
            and not any(reel.key in case.barred for reel in reels)
            and len(reels) == len(song.needs)
        ):
            left = [reel.key for reel in reels if not reel.past("verified")]
            if any(key not in ends for key in left):
                hours += song.priority * _waited(case, None)
            elif left:
                hours += song.priority * _waited(case, max(ends[key] for key in left))
    if abs(float(hours) - case.plan.score) > 0.0002:
        yield f"the score is {float(hours):.4f}, not {case.plan.score}"
    if case.plan.bound > case.plan.score + 0.0002:
        yield f"the bound {case.plan.bound} is above the score {case.plan.score}"
    undone = {r.key for r in case.shelf.transferable() if not r.past("verified") and r.key not in ends}
    if {row.reel for row in case.plan.left_over} != undone:
        yield "what is left over is not what has work left"


def _waited(case: Case, end: datetime | None) -> Fraction:
    gone = (case.until - case.start) if end is None else (end - case.start)
    hours = Fraction(gone // timedelta(microseconds=1), 3_600_000_000)
    return hours * Fraction(3, 2) if end is None else hours


ALL = (
    horizon,
    one_person,
    chamber,
    never_into_heat,
    conditioning,
    repair,
    line_up,
    loud,
    lengths,
    stages,
    scored,
)
