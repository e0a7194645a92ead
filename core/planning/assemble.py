"""From a draft in minutes to a plan in moments: items, left over and why, songs, figures."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from fractions import Fraction
from math import floor

from core.clock import later
from core.conditioning.advisor import barred
from core.conditioning.loads.touch_moments import touch_moments
from core.plan import Item, LeftOver, Member, Plan, SongReady, Status, Touch
from core.planning.bench.draft import Draft, Load, Step, ends_of, score_of
from core.planning.facts.problem import Problem, RunningLoad
from core.quantities import Quantity
from core.reels.assumed import likely
from core.shelf import Shelf
from core.studio.setup import Setup

FOUR = 10_000


def assemble(
    shelf: Shelf,
    problem: Problem,
    draft: Draft,
    *,
    bound: Fraction,
    seconds: float,
    whys: dict[str, str],
    effort: str = "",
) -> Plan:
    """The plan that the draft makes; ``bound`` is exact and proven, ``whys`` are by reel."""
    score = round(float(score_of(problem, draft)), 4)
    proven = max(0.0, min(floor(bound * FOUR) / FOUR, score))
    ends = ends_of(draft)
    undone = {job.key for job in problem.work if job.index not in ends}
    finished = {job.key: problem.scale.moment(ends[job.index]) for job in problem.work if job.index in ends}
    nothing = not problem.work and not problem.never
    status: Status = "nothing to do" if nothing else "optimal" if proven >= score - 0.0002 else "feasible"
    return Plan(
        shelf=shelf.name,
        start=problem.scale.start,
        until=problem.scale.until,
        made_in_seconds=round(seconds, 3),
        status=status,
        score=score,
        bound=proven,
        gap=round((score - proven) / score, 6) if score else 0.0,
        items=items_of(problem, draft),
        left_over=_left_over(shelf, problem, undone, whys),
        songs=tuple(_song(shelf, key, finished, problem.scale.start) for key in shelf.songs),
        effort=effort,
        slack=float(problem.slack),
    )


def items_of(problem: Problem, draft: Draft) -> tuple[Item, ...]:
    """Every item, in order of time."""
    items = [_running(problem, load) for load in problem.running]
    items += [_load(problem, load) for load in draft.loads]
    tones = by_tones(problem, draft)
    items += [_step(problem, step, tones) for step in draft.steps]
    order = {"align": 0, "condition": -1}
    items.sort(
        key=lambda i: (i.start.timestamp(), i.end.timestamp(), order.get(i.kind, 1), i.reel, i.segment)
    )
    return tuple(items)


def by_tones(problem: Problem, draft: Draft) -> frozenset[Step]:
    """The line-ups that serve a reel which has tones: those right behind which it is transferred."""
    behind: dict[int, Step] = {}
    out = set()
    for step in draft.steps:
        if step.kind == "align":
            behind[step.deck] = step
        elif step.kind == "transfer" and problem.jobs[step.job].parts[step.part].tones:
            out.add(behind[step.deck])
    return frozenset(out)


def _step(problem: Problem, step: Step, tones: frozenset[Step]) -> Item:
    start, end = problem.scale.moment(step.start), problem.scale.moment(step.end)
    deck = problem.decks[step.deck].deck.id if step.deck >= 0 else ""
    if step.kind == "align":
        setup = setup_words(problem.setups[step.setup])
        reel = problem.jobs[step.calibration].key if step.calibration >= 0 else ""
        by = "" if reel else "tones" if step in tones else "as it stands"
        return Item("align", start, end, deck=deck, setup=setup, calibration=reel, full=step.full, by=by)
    if step.reel:
        return Item(step.kind, start, end, reel=step.reel)
    job = problem.jobs[step.job]
    if step.kind != "transfer":
        rests = job.rests if step.kind == "repair" else ()
        return Item(step.kind, start, end, reel=job.key, deck=deck, assumes=rests)
    part = job.parts[step.part]
    return Item(
        "transfer",
        start,
        end,
        reel=job.key,
        deck=deck,
        passes=part.passes,
        segment=part.name,
        assumes=part.rests,
    )


def setup_words(setup: Setup) -> tuple[tuple[str, str], ...]:
    """A set-up as the words of an align."""
    return (
        ("speed", str(setup.speed or "")),
        ("eq", setup.eq.strip()),
        ("level", str(setup.level or "")),
        ("noise_reduction", setup.noise_reduction.strip()),
    )


def _load(problem: Problem, load: Load) -> Item:
    scale, facts = problem.scale, problem.chambers[load.chamber]
    jobs = sorted((problem.jobs[index] for index in load.members), key=lambda job: (job.heat, job.key))
    moments = touch_moments(load.start, [load.start + job.heat for job in jobs], facts.turn_every)
    members = tuple(
        replace(
            _member(problem, job.key, job.reel.width, scale.moment(load.start + job.heat)), assumes=job.rests
        )
        for job in jobs
    )
    touches = tuple(Touch(do, scale.moment(at), scale.moment(at + facts.touch)) for do, at in moments)
    treatment = problem.studio.treatment(jobs[0].reel.width)
    return Item(
        "condition",
        scale.moment(load.start),
        max((m.out for m in members), key=lambda out: out.timestamp()),
        chamber=facts.chamber.id,
        temperature=str(treatment.temperature) if treatment else "",
        members=members,
        touches=touches,
    )


def _member(problem: Problem, key: str, width: Quantity | None, out: datetime) -> Member:
    treatment = problem.studio.treatment(width)
    assert treatment is not None
    cool = later(out, hours=treatment.cool.number)
    return Member(key, out, cool, later(out, hours=treatment.playable_days * 24))


def _running(problem: Problem, load: RunningLoad) -> Item:
    facts, scale = problem.chambers[load.chamber], problem.scale
    members = tuple(
        Member(key, scale.moment(out), scale.moment(cool), scale.moment(playable))
        for key, out, cool, playable in load.members
    )
    touches = tuple(
        Touch(do, scale.moment(at), scale.moment(at + facts.touch))
        for do, at in load.touches
        if at + facts.touch <= problem.end
    )
    return Item(
        "condition",
        scale.moment(load.loaded),
        scale.moment(load.end),
        chamber=facts.chamber.id,
        temperature=load.temperature,
        members=members,
        touches=touches,
    )


def _left_over(
    shelf: Shelf, problem: Problem, undone: set[str], whys: dict[str, str]
) -> tuple[LeftOver, ...]:
    out = []
    unheard = {job.key for job in problem.jobs if not job.calibration and not job.ends}
    for key in shelf.reels:
        if key in problem.barred:
            why = problem.barred[key]
            out.append(LeftOver(key, why, why))
        elif key in problem.inspect:
            out.append(LeftOver(key, _unlikely(shelf, problem, key)))
        elif key in unheard:
            why = "to be heard: its speed is not known"
            out.append(LeftOver(key, why, why))
        elif key in undone:
            out.append(LeftOver(key, whys.get(key, "the evenings are full before it")))
    return tuple(out)


def _unlikely(shelf: Shelf, problem: Problem, key: str) -> str:
    """Why a reel that nobody has inspected is looked at and left over."""
    own = shelf.own_stocks()
    found = likely(shelf.reels[key], shelf.studio, own)
    why = barred(shelf, found, problem.scale.start)
    return f"to be looked at first: {why or f'if it is {found.condition[0]}, nothing is planned with it'}"


def _song(shelf: Shelf, key: str, finished: dict[str, datetime], start: datetime) -> SongReady:
    reels = dict.fromkeys(need.reel for need in shelf.songs[key].needs)
    left = [one for one in reels if one not in shelf.reels or not shelf.reels[one].past("verified")]
    waits = tuple(one for one in left if one not in finished)
    if waits or not reels:
        return SongReady(key, None, waits)
    return SongReady(key, max((finished[one] for one in left), key=lambda t: t.timestamp(), default=start))
