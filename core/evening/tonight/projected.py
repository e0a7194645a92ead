"""Where the steps of an evening that are left now fall, by how much all of it is late, and what is spare."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import datetime
from fractions import Fraction

from core.clock import Span, later, minutes_between
from core.conditioning.advisor import advisor
from core.evening.tonight.hours_asked import lacking, wanted
from core.evening.tonight.patching import handling_after, minutes_of, minutes_to_run, slow_first, wind_minutes
from core.evening.tonight.sheet import OVER, PLAYS, RunSheet, Step, in_order
from core.evening.tonight.transfer import transfer_of
from core.evening.warming.nobody_home import away_from_home
from core.logbook.running import TABLE
from core.plan import Item
from core.reels.needs import cool_until
from core.shelf import Shelf
from core.tape.where import figure


def projected(sheet: RunSheet, shelf: Shelf, now: datetime) -> RunSheet:
    """The sheet with what is still to come laid after what runs now, in the order in which it then falls.

    Touches keep their moment; those of a load that is late itself are late with it. What has no room any more
    takes none from what is behind it, and what rests on it has none either; such rows come last. How late the
    evening runs is told by the work left against the time that was planned for it: what is late at the start
    and has room behind it is not late. Looks give way where a line-up or a tape, held to the helper's or to
    loud hours, has room only before them.
    """
    touches = list(_touches(sheet, shelf, now))
    work = _laid(sheet, shelf, now, touches)
    if any(one.kind not in _ANY_TIME and not one.fits for one in work):
        work = _looks_give_way(sheet, shelf, now, touches, work)
    laid = {step.key: step for step in (*touches, *work)}
    shown = (laid.get(one.key, one) for one in sheet.steps)
    steps = sorted(shown, key=lambda one: (one.state == "waiting" and not one.fits, in_order(one, now)))
    late = _late(list(_all_of_it(sheet, now, shelf, touches)))
    spare = _spare(sheet, list(_all_of_it(sheet, now, shelf, touches, soonest=True)))
    winds = sum(wind_minutes(shelf, one) for one in sheet.waiting)
    spare = None if spare is None else spare - winds
    return replace(sheet, steps=tuple(steps), late_minutes=late, spare_minutes=spare, wind_minutes=winds)


def _laid(sheet: RunSheet, shelf: Shelf, now: datetime, touches: Sequence[Step]) -> list[Step]:
    """The work in the sheet's order, without the line-ups that would then be for nothing."""
    work = list(_work(sheet, shelf, now, touches))
    idle = _for_nothing(work)
    return list(_work(sheet, shelf, now, touches, idle)) if idle else work


def _looks_give_way(
    sheet: RunSheet, shelf: Shelf, now: datetime, touches: Sequence[Step], work: list[Step]
) -> list[Step]:
    """The work with as many looks behind all else as give the most of it room; as it is where none do."""
    looks, best = _may_give_way(sheet.steps), work
    for many in range(1, len(looks) + 1):
        last = looks[-many:]
        steps = tuple(sorted(sheet.steps, key=lambda one: one.key in last))
        behind = _laid(replace(sheet, steps=steps), shelf, now, touches)
        best = behind if _room(behind) > _room(best) else best
    return best


def _room(work: Sequence[Step]) -> tuple[int, int]:
    """How many line-ups, tapes and repairs have room, then how many of all."""
    fits = [one for one in work if one.fits]
    return sum(one.kind not in _ANY_TIME for one in fits), len(fits)


def _may_give_way(steps: Sequence[Step]) -> list[str]:
    """The looks and verifies that wait, in their order, but for looks that something rests on."""
    rests_on = {
        key for one in steps if one.kind not in _ANY_TIME and one.item is not None
        for key in (*one.reels, one.subject, one.item.calibration)
    }  # fmt: skip
    return [
        one.key for one in steps
        if one.state == "waiting" and one.kind in _ANY_TIME
        and not (one.kind == "identify" and one.subject in rests_on)
    ]  # fmt: skip


def _touches(sheet: RunSheet, shelf: Shelf, now: datetime) -> Iterator[Step]:
    """The touches that wait: at their moment, or by as much later as the load that they belong to.

    What is overdue goes first, one after the other: two hands do one at a time.
    """
    late, free = _late_loads(sheet, now), now
    for step in sheet.steps:
        if not step.touch or step.state != "waiting":
            continue
        by = late.get((step.subject, step.item.start)) if step.item is not None else None
        start = max(later(step.planned.start, minutes=by or 0), free if step.planned.start < now else now)
        free = later(start, minutes=_length(step)) if step.planned.start < now else free
        fits = by is None or step.item is None or _watched(shelf, step.item, by)
        yield replace(step, expected=Span(start, later(start, minutes=_length(step))), fits=fits)


def _late_loads(sheet: RunSheet, now: datetime) -> dict[tuple[str, datetime], Fraction]:
    """By how many minutes each load that waits is late: by now, or since one before it still is inside.

    Two hands load one chamber at a time.
    """
    hands: list[Span] = []
    late: dict[tuple[str, datetime], Fraction] = {}
    empty = _emptied(sheet)  # when the load that runs, or the last one that is late, leaves its chamber
    loads = (one for one in sheet.steps if one.kind == "load" and one.state == "waiting")
    for one in sorted(loads, key=lambda one: one.planned.start):
        start = max(one.planned.start, now, empty.get(one.subject, now))
        start = next((busy.end for busy in hands if busy.start <= start < busy.end), start)
        hands = sorted([*hands, Span(start, later(start, minutes=_length(one)))], key=lambda busy: busy.start)
        if one.item is not None and start > one.planned.start:
            by = late[one.subject, one.item.start] = minutes_between(one.planned.start, start)
            empty[one.subject] = later(one.item.end, minutes=by)
    return late


def _emptied(sheet: RunSheet) -> dict[str, datetime]:
    """When the loads that run leave their chambers, as the shelf tells their touches."""
    out: dict[str, datetime] = {}
    for step in sheet.steps:
        if step.touch and step.state == "waiting" and step.item is None:
            out[step.subject] = max(out.get(step.subject, step.planned.end), step.planned.end)
    return out


def _cooled(sheet: RunSheet, shelf: Shelf, now: datetime, touches: Sequence[Step]) -> dict[str, datetime]:
    """From when on reels are at hand again: of late loads, still to come out tonight, or out already."""
    late = _late_loads(sheet, now)
    at_hand = {
        member.reel: later(member.cool_until, minutes=late[one.subject, one.item.start])
        for one in sheet.steps
        if one.kind == "load" and one.item is not None and (one.subject, one.item.start) in late
        for member in one.item.members
    }
    for key in {one.subject for one in sheet.steps} & set(shelf.reels):
        reel, out = shelf.reels[key], _out(key, touches)
        if out is None:
            until = advisor(shelf).cools_until(reel, now)
        else:
            until = cool_until(replace(reel, conditioned_at=out), shelf.studio)
        if until is not None:
            at_hand[key] = max(until, at_hand.get(key, until))
    return at_hand


def _out(key: str, touches: Sequence[Step]) -> datetime | None:
    """When that reel comes out of its chamber tonight, as the touches that wait now fall."""
    mine = (one.expected for one in touches if one.kind == "take out" and key in one.reels)
    return max((span.start for span in mine if span is not None), default=None)


def _ready(
    sheet: RunSheet, shelf: Shelf, step: Step, cooled: Mapping[str, datetime], now: datetime
) -> datetime:
    """From when on the step's reel is at hand: as it lies now where the step comes before its load."""
    loads = (one for one in sheet.steps if one.kind == "load" and one.state == "waiting")
    if not any(step.subject in one.reels and step.planned.start < one.planned.start for one in loads):
        return cooled.get(step.subject, now)
    reel = shelf.reels.get(step.subject)
    return (advisor(shelf).cools_until(reel, now) if reel is not None else None) or now


def _watched(shelf: Shelf, load: Item, by: Fraction) -> bool:
    """Whether somebody is home for a load that is late by so much, by the rule that is asked as it begins."""
    chamber, reels = (
        shelf.studio.chamber(load.chamber),
        [shelf.reel(k) for k in load.reels if k in shelf.reels],
    )
    start = later(load.start, minutes=by).replace(second=0, microsecond=0)
    return chamber is None or not away_from_home(shelf, chamber, reels, start)


def _for_nothing(work: Sequence[Step]) -> frozenset[str]:
    """The line-ups that have room, while no transfer has any that was to be played on them."""
    idle: set[str] = set()
    for place, step in enumerate(work):
        if step.kind != "align" or step.state != "waiting" or not step.fits:
            continue
        behind = [one for one in work[place + 1 :] if one.item and one.item.deck == step.subject]
        over = next((n for n, one in enumerate(behind) if one.kind == "align"), len(behind))
        plays = [one for one in behind[:over] if one.kind == "transfer"]
        if plays and not any(one.fits for one in plays):
            idle.add(step.key)
    return frozenset(idle)


def _work(
    sheet: RunSheet,
    shelf: Shelf,
    now: datetime,
    touches: Sequence[Step],
    idle: frozenset[str] = frozenset(),
) -> Iterator[Step]:
    """The rest, one after the other and around the touches; those that are ``idle`` have no room.

    What looks or listens comes before its time where it has no room then, or a late tape waits for a touch. A
    slow wind that no plan holds comes before its tape: it runs by itself, and a touch falls into it.
    """
    free, without = _free(sheet, now, shelf), set[str]()  # reels, and decks, of which a step has no room
    cooled, early = _cooled(sheet, shelf, now, touches), set[str]()
    around = sorted((one.expected for one in touches if one.expected and one.fits), key=lambda one: one.start)
    rest = [
        one for one in sheet.steps if one.state not in OVER and not (one.touch and one.state == "waiting")
    ]
    while rest:
        step = rest.pop(0)
        if step.state == "running":
            yield replace(step, expected=_runs(sheet, step, now, shelf))
            continue
        ready = _ready(sheet, shelf, step, cooled, now)
        planned = now if step.key in early else _due(sheet, step)
        wind, takes = wind_minutes(shelf, step), minutes_of(shelf, step)
        begins = max(planned, free, now, ready)
        start, end = _between(step, takes, later(begins, minutes=wind), around)
        start = begins if wind else start
        waits = step.kind in PLAYS and step.planned.start < begins < start
        fills = _fills(shelf, rest, cooled, _until_next(begins, around)) if waits else None
        if fills is not None:
            early.add(fills.key)
            rest = [fills, step, *(one for one in rest if one is not fills)]
            continue
        fits = _fits(sheet, shelf, step, start, end, max(wind, slow_first(shelf, step)))
        sooner = _between(step, takes, max(free, now), around)
        if not fits and step.kind in _ANY_TIME and _fits(sheet, shelf, step, *sooner):
            (start, end), fits = sooner, True
        fits = fits and not _rests_on(step) & without and step.key not in idle
        if fits:
            free = max(free, end)
            without -= {step.subject} if step.kind == "align" else set()
        else:
            without.add(step.subject)
        yield replace(step, expected=Span(start, end), fits=fits)


def _due(sheet: RunSheet, step: Step) -> datetime:
    """When it was to begin, less the line-ups before it in its bench window that need not be made."""
    at = step.planned.start
    window = next((one for one in sheet.bench if one.start <= at < one.end), None)
    before = (
        one for one in sheet.standing if window is not None and window.start <= one.start and one.end <= at
    )
    return later(at, minutes=-sum(one.minutes for one in before))


def _until_next(at: datetime, touches: Sequence[Span]) -> Fraction:
    """Minutes until the next touch; nought in one, or where none is to come."""
    coming = next((one for one in touches if one.end > at), None)
    return max(Fraction(0), minutes_between(at, coming.start)) if coming is not None else Fraction(0)


def _rests_on(step: Step) -> set[str]:
    """The reel and the deck of a step: where one of them has no room, it has none either."""
    return {step.subject, step.item.deck if step.item is not None else ""}


def _fills(
    shelf: Shelf, rest: Sequence[Step], cooled: Mapping[str, datetime], minutes: Fraction
) -> Step | None:
    """The next look or listening that goes into so many idle minutes; None where none does."""
    for step in rest:
        reel = shelf.reels.get(step.subject)
        if reel is None or step.kind not in _ANY_TIME or step.state != "waiting":
            continue
        at_hand = reel.stage == "transferred" if step.kind == "verify" else step.subject not in cooled
        if at_hand and minutes_of(shelf, step) <= minutes:
            return step
    return None


def _between(
    step: Step, takes: Fraction, start: datetime, touches: Sequence[Span]
) -> tuple[datetime, datetime]:
    """From when to when work of so many minutes then goes: hands come back to it, a tape waits for a touch.

    A tape that is over within the minutes by which a touch may be late runs before it.
    """
    end = later(start, minutes=takes)
    for touch in touches:
        if touch.end <= start or touch.start >= end:
            continue
        inside = touch.start > start
        ends_in_time = minutes_between(touch.start, end) <= figure("heat.touch_late_minutes")
        if inside and (step.kind not in PLAYS or ends_in_time):
            end = later(end, minutes=touch.minutes)
        else:
            start = touch.end
            end = later(start, minutes=takes)
    return start, end


def _all_of_it(
    sheet: RunSheet, now: datetime, shelf: Shelf, touches: Sequence[Step], *, soonest: bool = False
) -> Iterator[Step]:
    """All that is left laid in its order, the hands' minutes at chambers with it, as if there were room.

    No step before its planned time; with ``soonest`` as soon as its tape is at hand, at the bench. A tape
    waits for a touch as its row does, and looks and verifies go into such a pause.
    """
    idle = Fraction(0)
    free, cooled = _free(sheet, now, shelf), _cooled(sheet, shelf, now, touches)
    around = sorted((one.expected for one in touches if one.expected), key=lambda one: one.start)
    for step in sheet.steps:
        if step.state in OVER or (step.touch and step.state == "waiting"):
            continue
        runs = _runs(sheet, step, now, shelf)
        start, end = runs.start, max(runs.end, now)  # what runs past its time is not over sooner than now
        if step.state != "running":
            begins = max(free, now, _ready(sheet, shelf, step, cooled, now))
            begins = _at_the_bench(sheet, begins) if soonest else max(begins, _due(sheet, step))
            takes = minutes_of(shelf, step)
            if takes <= idle and _fills(shelf, [step], cooled, idle) is not None:
                idle -= takes
                continue
            start, end = _between(step, takes, begins, around)
            if step.kind in PLAYS:
                hands = (one.minutes for one in around if begins <= one.start and one.end <= start)
                idle += max(Fraction(0), minutes_between(begins, start) - sum(hands))
        free = max(free, end)
        yield replace(step, expected=Span(start, end))


def _at_the_bench(sheet: RunSheet, at: datetime) -> datetime:
    """That moment, or when the next bench window opens."""
    return next((max(at, span.start) for span in sheet.bench if at < span.end), at)


def _late(steps: list[Step]) -> int:
    """Minutes by which the work left ends after its planned end."""
    work = [one for one in steps if not one.touch and one.expected is not None]
    if not work:
        return 0
    return max(0, round(minutes_between(max(one.planned.end for one in work), _over(work))))


def _spare(sheet: RunSheet, steps: list[Step]) -> int | None:
    """Minutes of the bench window behind the work left, one step after another; None where there is none."""
    work = [one for one in steps if not one.touch and one.expected is not None]
    if not work or not sheet.bench:
        return None
    ends = _over(work)
    window = next((span for span in sheet.bench if ends <= span.end), sheet.bench[-1])
    return round(minutes_between(ends, window.end))


def _over(work: list[Step]) -> datetime:
    return max(one.expected.end for one in work if one.expected is not None)


def _free(sheet: RunSheet, now: datetime, shelf: Shelf) -> datetime:
    """When the hands are free of what runs."""
    doing = [one for one in sheet.steps if one.state == "running" and not one.touch]
    return max((_runs(sheet, one, now, shelf).end for one in doing), default=now)


def _runs(sheet: RunSheet, step: Step, now: datetime, shelf: Shelf) -> Span:
    """When a step that runs does: a tape that stands goes on behind the repair, look or verify that runs."""
    ends = _ends(step, now, shelf)
    table = [one for one in sheet.steps if one.state == "running" and one.kind in TABLE]
    if step.kind != "transfer" or step.state != "running" or not table or step.subject not in shelf.reels:
        return Span(step.started or now, ends)
    tape = transfer_of(shelf, step).stands
    if tape is None or tape.state != "stopped":
        return Span(step.started or now, ends)
    goes_on = max(now, *(_ends(one, now, shelf) for one in table))
    return Span(goes_on, later(goes_on, minutes=minutes_between(now, ends)))


def _length(step: Step) -> Fraction:
    return minutes_between(step.planned.start, step.planned.end)


def _ends(step: Step, now: datetime, shelf: Shelf) -> datetime:
    """When a step that runs ends: by its planned length; a tape by what is still to run, and its cleaning."""
    left = minutes_to_run(shelf, step, now)
    if left is None:
        return later(step.started or now, minutes=_length(step))
    return later(now, minutes=left + handling_after(shelf, step))


#: Steps that rest on nothing but what is done before them.
_ANY_TIME = ("identify", "verify")


def _fits(sheet: RunSheet, shelf: Shelf, step: Step, start: datetime, end: datetime, wind: int = 0) -> bool:
    """Whether there is room for it then; to the minute, so that who is on time is not late by seconds.

    All of it at the bench; loud time and helper by the rule that is asked as it starts, behind a slow wind.
    """
    first, last = (at.replace(second=0, microsecond=0) for at in (start, end))
    if not any(span.holds(first, last) for span in sheet.bench):
        return False
    return not lacking(shelf, wanted(shelf, step, later(start, minutes=wind), end))
