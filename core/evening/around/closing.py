"""The closing look: what is put back, left and switched off before one leaves, and what comes next."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from datetime import datetime

from core.clock import evening_of
from core.conditioning.box_asked import boxes_meanwhile
from core.conditioning.lies_off import lies_off
from core.conditioning.loads.left_inside import left_inside
from core.conditioning.on_deck import must_not_run
from core.conditioning.spreading.dirty_path import dirty_paths
from core.conditioning.spreading.lies_apart import lies_apart
from core.conditioning.spreading.shared_air import mouldy_chamber
from core.conditioning.told.out_ahead import out_ahead
from core.evening.around.closing_look import HANDS, PERHAPS, Closing, PutBack
from core.evening.around.fetch import wanted_reels
from core.evening.around.put_back import back_since
from core.evening.around.told_of_load import empty_before
from core.evening.around.where_it_lies import (
    NOWHERE,
    cooled_beside,
    home_of,
    put_apart,
    shelf_order,
    where_it_lies,
)
from core.evening.moved_since import moved_since
from core.evening.playing.from_the_tail import lies_after
from core.evening.playing.left_lying import left_lying, ran_out_before
from core.evening.playing.passes import where_tape_is
from core.evening.tonight.helper import needs_helper
from core.evening.tonight.runsheet import evening_span, planned_steps
from core.evening.tonight.sheet import WIND, Step
from core.evening.tonight.steps import part_of, words
from core.evening.warming.as_begun import full_until
from core.evening.warming.warm import empty_runs_tonight, until_of, warm_at
from core.logbook.on_decks import runs
from core.logbook.steps import taken
from core.moved import moved_words
from core.plan import Plan
from core.shelf import Shelf
from core.standing.kept_checks import checks_of
from core.standing.of_plan.still import left_of_plan
from core.standing.proof import files_to_turn, no_second_copy
from core.words import day_text, ended, listed

_DECK = ("align", "transfer", "audition", "wind")
_IN_PART = "wound in part: both reels as they lie"


def closing(
    shelf: Shelf,
    plan: Plan | None,
    steps: Sequence[Step],
    at: datetime,
    *,
    touches: Sequence[Step] = (),
    as_planned: bool = False,
) -> Closing:
    """The closing look of an evening whose steps these are, at the moment ``at``.

    ``as_planned`` is for what is printed before: it tells the evening as if every step had been done as
    planned, ``at`` being the end of the last one. Otherwise only what was really begun or done is told, and
    ``touches`` are the next ones of the loads that run, as the shelf tells them.
    """
    steps = _as_logged(shelf, steps) if as_planned else steps
    worked = [
        step for step in steps if as_planned or step.started or (step.finished and step.state == "done")
    ]
    left: Plan | None = None  # what is struck does not come
    moved: tuple[str, ...] = ()
    if plan is not None:
        left = left_of_plan(shelf, plan, None if as_planned else at)[0]
        moved = tuple(_moved(shelf, plan, left, steps, at, as_planned=as_planned))
    begun = plan if as_planned else None  # a load that was planned and never began warms nothing
    back = list(_put_back(shelf, begun, worked, at, as_planned=as_planned))
    if not as_planned:
        back += _left_lying(shelf, at, {one.reel for one in back})
        back += _ran_besides(shelf, at, {one.reel for one in back})
    if worked and not as_planned:
        back += _cooled(shelf, at, {one.reel for one in back})
        back += _not_played(shelf, plan, steps, at, {one.reel for one in back})
    lying = {} if as_planned else left_inside(shelf)
    back = [one for one in back if one.reel not in lying]
    boxes = () if as_planned else boxes_meanwhile(shelf).values()
    ahead = () if as_planned else out_ahead(shelf, at)
    off = () if as_planned else (one.says(at) for one in lies_off(shelf))  # on paper the order's head has it
    return Closing(
        tuple(sorted(back, key=lambda one: (one.tape == PERHAPS, shelf_order(one.place), one.reel))),
        (*boxes, *ahead, *off, *_leave(shelf, begun, worked, at)),
        tuple(_home(shelf, begun, at)),
        tuple(_files(shelf, worked, as_planned=as_planned)),
        moved,
        tuple(_coming(shelf, left, at, () if as_planned else touches, as_planned=as_planned)),
    )


def _as_logged(shelf: Shelf, steps: Sequence[Step]) -> list[Step]:
    """The planned steps, those that are done with what the log tells of them: paper may come later."""
    log = taken(shelf)
    done = {step.key: log[step.key] for step in steps if step.key in log and log[step.key].state == "done"}
    return [
        replace(one, state="done", started=done[one.key].started, finished=done[one.key].finished)
        if one.key in done
        else one
        for one in steps
    ]


def _put_back(
    shelf: Shelf, plan: Plan | None, worked: Iterable[Step], at: datetime, *, as_planned: bool
) -> Iterator[PutBack]:
    told: dict[str, PutBack] = {}
    for step in worked:
        keys = wanted_reels(step) if step.kind in HANDS else step.reels if step.kind != "verify" else ()
        for key in keys:
            lies = where_it_lies(shelf, plan, key, at)
            reel = shelf.reels.get(key)
            apart = put_apart(shelf, reel) if reel is not None else ""
            home = home_of(shelf, reel) if reel is not None else NOWHERE
            cooled = not lies.aside.startswith("cools")
            if not lies.chamber and cooled:
                since = None if as_planned else back_since(shelf, key, at)
                ahead = as_planned and not step.handled
                lay = told[key].tape if key in told else ""  # a joint remade since leaves it as it lay
                told[key] = PutBack(key, home, _tape(shelf, step, key, as_planned=ahead) or lay, since)
            elif key not in told:
                # What is a danger to other tapes does not cool among them.
                told[key] = PutBack(key, lies.place if lies.chamber else apart or lies.place, lies.aside)
    yield from told.values()


def _left_lying(shelf: Shelf, at: datetime, known: set[str]) -> Iterator[PutBack]:
    """What lies on a deck: its pass was laid aside, stopped on an earlier evening, or ran out unattended."""
    both = (one for one in left_lying(shelf, at) if not one.out)
    for one in (*both, *ran_out_before(shelf, at)):
        reel = shelf.reel(one.reel)
        if one.reel not in known:
            tape = _IN_PART if one.wind else one.out or f"({where_tape_is(shelf, one.reel)})"
            yield PutBack(one.reel, home_of(shelf, reel), tape)


def _ran_besides(shelf: Shelf, at: datetime, known: set[str]) -> Iterator[PutBack]:
    """What ran on a deck that evening by no step of it: its tones were captured or read, or it was told."""
    zone = shelf.studio.zone
    ran = (one for one in runs(shelf) if one.at <= at)
    keys = [one.reel for one in ran if evening_of(one.at.astimezone(zone)) == evening_of(at.astimezone(zone))]
    for key in dict.fromkeys(keys):
        reel = shelf.reels.get(key)
        if reel is not None and key not in known and not reel.chamber:
            yield PutBack(key, home_of(shelf, reel), "", back_since(shelf, key, at))


def _cooled(shelf: Shelf, at: datetime, known: set[str]) -> Iterator[PutBack]:
    """What lies beside a chamber, has cooled, and belongs elsewhere."""
    for key, reel in shelf.reels.items():
        if key not in known and (beside := cooled_beside(shelf, key, at)):
            since = back_since(shelf, key, at)
            yield PutBack(key, home_of(shelf, reel), f"from beside chamber {beside}", since)


def _not_played(
    shelf: Shelf, plan: Plan | None, steps: Iterable[Step], at: datetime, known: set[str]
) -> Iterator[PutBack]:
    """What stood on tonight's list to be fetched and was left or moved to another evening."""
    left = [one for one in steps if one.state in ("waiting", "skipped") and not one.started]
    keys = [key for one in left if one.kind in (*HANDS, "load") for key in wanted_reels(one)]
    for move in moved_since(shelf, plan).moves if plan is not None else ():
        if move.was is not None and move.kind in HANDS and evening_of(move.was) == evening_of(at):
            keys.append(move.reel)
    for key in dict.fromkeys(keys):
        reel = shelf.reels.get(key)
        if reel is None or key in known or reel.chamber or where_it_lies(shelf, None, key, at).aside:
            continue
        yield PutBack(key, home_of(shelf, reel), PERHAPS, back_since(shelf, key, at))


def _tape(shelf: Shelf, step: Step, key: str, *, as_planned: bool) -> str:
    """How the tape is left: a calibration tape and a played one tails out, a stopped one where it stands."""
    reel = shelf.reels.get(key)
    ran = step.kind in ("align", "audition") and not as_planned
    began = step.started or step.planned.start
    if reel is not None and ran and (lies_apart(reel) or must_not_run(shelf, reel, began)):
        return "both reels as they lie, not wound"
    if step.kind == "align":
        return "wound tails out"
    if step.kind == WIND:
        return "heads out, wound slowly" if step.state == "done" else _IN_PART
    if step.kind != "transfer":
        return ""
    where = None if as_planned else where_tape_is(shelf, key)
    if where and where.startswith(("stands", "on the deck")):
        return f"({where})"
    if not as_planned and lies_after(shelf, key) == "heads":
        return "heads out: wound at play speed, tails out"
    return "tails out"


def _leave(shelf: Shelf, plan: Plan | None, worked: Sequence[Step], at: datetime) -> Iterator[str]:
    decks = dict.fromkeys(
        step.item.deck or step.subject for step in worked if step.kind in _DECK and step.item is not None
    )
    dirty = dirty_paths(shelf)
    for deck in decks:
        path = ended(dirty[deck].says).removeprefix(f"{deck}'s ") if deck in dirty else "path cleaned"
        yield f"{deck}: {path}{' Then' if deck in dirty else ','} cover on, power off"
    yield from (one.says for deck, one in dirty.items() if deck not in decks)
    warm = {one.chamber for one in warm_at(shelf, plan, at)}
    yield from filter(None, (mouldy_chamber(shelf, one.id) for one in shelf.studio.chambers))
    for chamber in dict.fromkeys(step.subject for step in worked if step.touch):
        if chamber not in warm:
            yield f"{chamber}: switched off and unplugged, door open"
    for chamber, _ in empty_runs_tonight(shelf, at):
        yield f"{chamber}: its empty run over, switched off and unplugged, door open"


def _home(shelf: Shelf, plan: Plan | None, at: datetime) -> Iterator[str]:
    for one in warm_at(shelf, plan, at):
        until = f"until {_day(at, one.until)} {one.until:%H:%M}" if one.until else "till the last reel is out"
        if one.until is not None and one.until <= at:
            until = f"till all is out, which was due {_day(at, one.until)} {one.until:%H:%M}: take it out now"
        yield f"{one.chamber} is warm: somebody stays home and awake {until}"
    for chamber, since in empty_runs_tonight(shelf, at):
        began = f"{since.astimezone(at.tzinfo):%H:%M}"
        yield f"{chamber} is warm, its empty run since {began}: somebody stays till it is switched off"


def _files(shelf: Shelf, worked: Iterable[Step], *, as_planned: bool) -> Iterator[str]:
    tonight = list(dict.fromkeys(step.subject for step in worked if step.kind == "transfer"))
    if as_planned:
        if tonight:
            yield f"a second copy of {listed(tonight)} in another place, compared"
        turn = [key for key in tonight if key in shelf.reels and files_to_turn(shelf, key)]
        if turn:
            yield f"played backwards, their files still to be turned round: {_some(turn)}"
        return
    here = [key for key in dict.fromkeys([*tonight, *_captured(shelf)]) if key in shelf.reels]
    unchecked = [key for key in here if not checks_of(shelf, key)]
    if unchecked:
        yield f"not checked yet, so in one place only for all we know: {_some(unchecked)}"
    backwards = [reel.key for reel in shelf.transferable() if files_to_turn(shelf, reel.key)]
    if backwards:
        yield f"played backwards, their files still to be turned round: {_some(backwards)}"
    lacking = [reel.key for reel in shelf.transferable() if no_second_copy(shelf, reel.key)]
    if lacking:
        yield f"no second copy compared: {_some(lacking)}"


def _captured(shelf: Shelf) -> Iterator[str]:
    """What was transferred on any evening that was worked with this shelf, the newest first."""
    made = [one for one in taken(shelf).values() if one.kind == "transfer" and one.state == "done"]
    for one in sorted(made, key=lambda one: one.planned, reverse=True):
        reel = shelf.reels.get(one.subject)
        if reel is not None and reel.past("transferred"):
            yield one.subject


def _moved(
    shelf: Shelf, plan: Plan, left: Plan, steps: Sequence[Step], at: datetime, *, as_planned: bool
) -> Iterator[str]:
    """What was to be done tonight and was not, with the reason and where it is now; on paper, what came.

    What the plans of tonight moved, the newest word of each step, stands on both.
    """
    if as_planned:
        yield from moved_since(shelf, plan).sentences(evening_of(at), only=True)
        return
    alike: dict[str, list[str]] = {}
    for step in steps:
        if step.state not in ("skipped", "struck", "waiting") or (step.touch and step.state == "waiting"):
            continue
        if any(_begun_again(step, one) or _told_by(step, one) for one in steps):
            continue
        why = step.because or ("not begun" if step.state == "waiting" else "left out")
        alike.setdefault(f"{why}; {_now_planned(left, step, at)}", []).append(_short(step, steps))
    for tail, named in alike.items():
        yield f"{listed(named)}: {tail}"
    if plan.made_at is not None and evening_of(plan.made_at) == evening_of(at):
        told = {f" of {step.subject}:" for step in steps if step.state in ("skipped", "struck")}
        own = {one for tonight in (None, evening_of(at)) for one in moved_words(plan.moves, tonight)}
        unmet = (one for one in plan.moved if one not in own)
        lines = (*unmet, *moved_since(shelf, plan).sentences(evening_of(at)))
        yield from (one for one in lines if not any(reel in one for reel in told))


def _begun_again(step: Step, other: Step) -> bool:
    """True for a step that was stopped and is done by ``other`` tonight, or runs: nothing of it is moved."""
    if step.state not in ("skipped", "struck") or other.state not in ("done", "running"):
        return False
    behind = step.finished is None or other.finished is None or other.finished >= step.finished
    return _alike(step, other) and behind


def _told_by(step: Step, other: Step) -> bool:
    """True for a step that waits again since it was stopped: that row tells what became of it."""
    stopped = other.state == "skipped" and other.started is not None and other.key != step.key
    return step.state == "waiting" and stopped and _alike(step, other)


def _alike(step: Step, other: Step) -> bool:
    same = step.item is None or other.item is None or other.item.setup == step.item.setup
    return same and (other.kind, other.subject, part_of(other)) == (step.kind, step.subject, part_of(step))


def _short(step: Step, steps: Sequence[Step]) -> str:
    """The step, a line-up with its set-up only where its deck has several."""
    others = (one for one in steps if (one.kind, one.subject) == (step.kind, step.subject))
    several = any(not _alike(step, one) for one in others)
    return f"line up {step.subject}" if step.kind == "align" and not several else words(step)


def _now_planned(plan: Plan, step: Step, at: datetime) -> str:
    """When the kept plan has that step after this evening, or that it has not."""
    over = evening_span(evening_of(at), at).end
    room = "there is room tonight, else " if step.state == "waiting" and step.fits and step.expected else ""
    for item in sorted(plan.items, key=lambda one: one.start):
        same = (item.deck if item.kind == "align" else item.reel) == step.subject
        lined = step.item if item.kind == "align" else None  # a touch-up rests on the whole one, and is none
        alike = lined is None or (item.setup == lined.setup and (item.full or not lined.full))
        if item.kind == step.kind and same and alike and item.start >= over:
            return f"{room or 'now '}{day_text(item.start.date())} {item.start:%H:%M}"
    if step.state == "struck":
        return "not planned any more"
    return f"{room}plan again"


def _coming(
    shelf: Shelf, plan: Plan | None, at: datetime, touches: Sequence[Step], *, as_planned: bool
) -> Iterator[str]:
    """The first touch and the first work after this evening, and until when somebody must be home for it."""
    ahead = [step for step in _ahead(plan, at) if as_planned or not _under_way(shelf, step, at)]
    ahead += touches
    ahead.sort(key=lambda step: (not step.urgent, not _is_out_late(step, at), step.planned.start))
    touch = next((step for step in ahead if step.touch), None)
    work = next((s for s in ahead if not s.touch and evening_of(s.planned.start) > evening_of(at)), None)
    told: list[tuple[datetime, str]] = []
    if touch is not None:
        start = touch.planned.start
        due = "now, was due " if start <= at and not touch.urgent else ""
        when = "now" if touch.urgent else f"{due}{_day(at, start)} {start:%H:%M}"
        said = f"{words(touch)} {when}: {', '.join(touch.reels)}"
        if touch.kind == "load" and touch.item is not None:
            until = until_of(touch.item)
            said += f"; somebody home until {_day(at, until)} {until:%H:%M}"
            said += empty_before(shelf, plan, touch.item, at)
            full = full_until(shelf, touch.item)
            said += f"; {full}" if full else ""
        told.append((start, said))
    if work is not None:
        start = work.planned.start
        helped = work.item is not None and needs_helper(shelf, work.item)
        said = f"{words(work)} {_day(at, start)} {start:%H:%M}" + ("; the helper comes" if helped else "")
        told.append((start, said))
    yield from (said for _, said in sorted(told))


def _is_out_late(step: Step, at: datetime) -> bool:
    """True for a take-out that is due: it comes before a turn that was left out."""
    return step.kind == "take out" and step.planned.start <= at


def _ahead(plan: Plan | None, at: datetime) -> list[Step]:
    """Every step of the plan after that moment."""
    if plan is None:
        return []
    starts = [item.start for item in plan.items if item.kind != "condition"]
    starts += [one.start for item in plan.items for one in item.touches]
    days = {evening_of(start) for start in starts if start > at}
    steps = (step for day in days for step in planned_steps(plan, evening_span(day, at)))
    return [step for step in steps if step.planned.start > at]


def _under_way(shelf: Shelf, step: Step, at: datetime) -> bool:
    """True for a touch of a load that has begun, by the plan or with one of its reels: the shelf tells it."""
    if not step.touch or step.item is None:
        return False
    inside = {reel.key for reel in shelf.reels.values() if reel.chamber == step.subject}
    return step.item.start <= at or any(member.reel in inside for member in step.item.members)


def _day(at: datetime, moment: datetime) -> str:
    """Behind midnight the evening of the day before goes on: then today would be read as that one."""
    today = at.date() == moment.date() == evening_of(at)
    return "today" if today else day_text(moment.date())


def _some(keys: Sequence[str]) -> str:
    return ", ".join(keys[:6]) + (f" and {len(keys) - 6} more" if len(keys) > 6 else "")
