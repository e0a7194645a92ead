"""A problem with one rule less, whole and in small steps: what each says of a reel, and what would do."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from datetime import timedelta

from core.planning.answers.remedy import Change, ChangeKind, Relaxed, Remedy
from core.planning.facts import said
from core.planning.facts.problem import DeckFacts, Home, Job, Problem, Window
from core.planning.facts.unseen import unseen, unseen_words
from core.planning.wishes.wished import day_of, minute_at
from core.words import day_text, hours_text

HALF_HOUR = 30
FROM, TO = 8 * 60, 23 * 60  # a day at home, as one would offer it


def relaxed(problem: Problem, job: Job, waiting: Sequence[Job], last: int) -> Iterator[Relaxed]:
    """Every rule that could stand in this reel's way, one at a time; steps lie before minute ``last``.

    ``waiting``: the reels that are left over with it.
    """
    taking = [d for d in range(len(problem.decks)) if any(p.minutes[d] is not None for p in job.parts)]
    helped = [d for d in taking if problem.decks[d].deck.setup_needs_helper]
    if helped:
        yield _helper(problem, job, waiting, helped, last)
    loud = [d for d in taking if problem.decks[d].deck.loud]
    if loud:
        yield _loud(problem, loud, last)
    if job.warmth != "no":
        yield _trays(problem, job)
        yield _home(problem, job, last)
    if job.lapse is not None or job.warmth == "must":
        yield _playable(problem, job)
    setups = {part.setup for part in job.parts}
    if any(problem.decks[d].needed(setup) for d in taking for setup in setups):
        yield _calibration(problem, taking, setups)


def _with_decks(problem: Problem, decks: Sequence[int], change: Callable[[DeckFacts], DeckFacts]) -> Problem:
    new = (change(facts) if d in decks else facts for d, facts in enumerate(problem.decks))
    return replace(problem, decks=tuple(new))


def _before(problem: Problem, last: int) -> Iterator[Window]:
    return (window for window in problem.windows if window.start < last)


def _helper(problem: Problem, job: Job, waiting: Sequence[Job], decks: list[int], last: int) -> Relaxed:
    setups = {part.setup for part in job.parts}
    same = [other for other in waiting if any(part.setup in setups for part in other.parts)]
    names = " and ".join(str(problem.setups[one]) for one in sorted(setups))
    there = [w for w in problem.windows if any(problem.decks[d].full_runs[w.index] for d in decks)]
    days, every = ([day_of(problem, w.start) for w in some] for some in (there, problem.windows))
    comes = f"comes {said.only_on(days, every)} only"
    who = f"who {comes}" if there else "who does not come in these days"
    if len(same) > 1:
        why = f"{len(same)} reels of this set-up ({names}) need the helper, {who}"
    else:
        why = f"its line-up ({names}) needs the helper, {who}"

    def steps() -> Iterator[Remedy]:
        for window in _before(problem, last):

            def come(facts: DeckFacts, at: int = window.index) -> DeckFacts:
                full = tuple(facts.runs[w] if w == at else run for w, run in enumerate(facts.full_runs))
                return replace(facts, full_runs=full)

            new = _with_decks(problem, decks, come)
            if new.decks != problem.decks:
                change = _on(problem, "helper", window.start, window.over)
                yield Remedy(_helper_on(problem, window, there), new, change)

    whole = _with_decks(problem, decks, lambda facts: replace(facts, full_runs=facts.runs))
    return Relaxed("helper", why, whole, steps)


def _helper_on(problem: Problem, window: Window, there: Sequence[Window]) -> str:
    """The helper in that evening, in words; by its hours where they come for a part of it anyway."""
    on = day_text(day_of(problem, window.start))
    if window in there:
        first, last = (problem.scale.moment(minute) for minute in (window.start, window.over))
        return f"the helper from {first:%H:%M} to {last:%H:%M} on {on}"
    return f"the helper on {on}{' as well' if there else ''}"


def _loud(problem: Problem, decks: list[int], last: int) -> Relaxed:
    ends = [facts.runs[w.index][-1][1] for facts, w in _short(problem, decks)]
    until = f"{problem.scale.moment(ends[0]):%H:%M}" if ends else ""
    names = said.listed([problem.decks[d].deck.id for d in decks])
    why = f"{names} may run only in loud hours{f', until {until}' if until else ''}, and these are taken"

    def louder(facts: DeckFacts, at: Window | None = None, end: int = 0) -> DeckFacts:
        def run(w: Window) -> tuple[tuple[int, int], ...]:
            if at is None:
                return ((w.start, w.end),)
            return ((w.start, end),) if w.index == at.index else facts.runs[w.index]

        runs = tuple(run(w) for w in problem.windows)
        return replace(facts, runs=runs, full_runs=facts.full_runs if facts.deck.setup_needs_helper else runs)

    def steps() -> Iterator[Remedy]:
        for window in _before(problem, last):
            ends = [f.runs[window.index][-1][1] for f, w in _short(problem, decks) if w.index == window.index]
            for end in range(min(ends, default=window.end) + HALF_HOUR, window.end + HALF_HOUR, HALF_HOUR):
                new = _with_decks(problem, decks, lambda f, w=window, e=end: louder(f, w, min(e, w.end)))  # type: ignore[misc]
                clock, day = problem.scale.moment(min(end, window.end)), day_of(problem, window.start)
                change = _on(problem, "loud", window.start, min(end, window.end))
                yield Remedy(f"loud hours until {clock:%H:%M} on {day_text(day)}", new, change)

    return Relaxed("loud hours", why, _with_decks(problem, decks, louder), steps)


def _short(problem: Problem, decks: list[int]) -> Iterator[tuple[DeckFacts, Window]]:
    """Decks and windows in which the deck must be quiet before the evening ends."""
    for d in decks:
        facts = problem.decks[d]
        for window in problem.windows:
            run = facts.runs[window.index]
            if run and run[-1][1] < window.end:
                yield facts, window


def _trays(problem: Problem, job: Job) -> Relaxed:
    fitting = [c for c, trays in enumerate(job.trays) if trays]

    def more(count: int, only: int | None = None) -> Problem:
        chambers = (
            replace(facts, trays=facts.trays + count) if c in fitting and only in (None, c) else facts
            for c, facts in enumerate(problem.chambers)
        )
        return replace(problem, chambers=tuple(chambers))

    def steps() -> Iterator[Remedy]:
        for c in fitting:
            facts = problem.chambers[c]
            for count in range(1, 2 * max(job.trays) + 1):
                there = facts.chamber.trays
                words = f"{there + count} trays in {facts.chamber.id} in place of {there}"
                change = Change("trays", count=there + count, keys=(facts.chamber.id,))
                yield Remedy(words, more(count, c), change)

    why = "the chamber's trays are taken whenever it could go in"
    return Relaxed("trays", why, more(sum(j.trays[c] for j in problem.jobs for c in fitting)), steps)


def _home(problem: Problem, job: Job, last: int) -> Relaxed:
    free = "free in time" if last <= problem.end else "free"
    why = f"it is warmed for {hours_text(job.heat)} with someone home, and no stretch that long is {free}"

    def steps() -> Iterator[Remedy]:
        start, touch = problem.scale.start, max(facts.touch for facts in problem.chambers)
        days = (start + timedelta(days=n) for n in range((problem.scale.until - start).days + 1))
        for one in (moment.date() for moment in days):
            whole = job.heat + touch > TO - FROM
            first = minute_at(problem, one, 0 if whole else FROM)
            end = min(problem.end, minute_at(problem, one, 2 * 1440 if whole else TO))
            if first >= last or end - first < job.heat + touch:
                continue
            if any(h.first <= first and first + job.heat + touch <= h.end for h in problem.homes):
                continue
            new = _joined(problem.homes, Home(first, end, end))
            clock = problem.scale.moment(first), problem.scale.moment(first + job.heat + touch)
            words = f"someone home on {day_text(one)} from {clock[0]:%H:%M} to {clock[1]:%H:%M}"
            last_touch = first + job.heat + touch
            yield Remedy(words, replace(problem, homes=new), _on(problem, "home", first, last_touch))

    whole = replace(problem, homes=(Home(0, problem.end, problem.end),))
    return Relaxed("home", why, whole, steps)


def _joined(homes: tuple[Home, ...], new: Home) -> tuple[Home, ...]:
    out = []
    for home in homes:
        if home.end >= new.first and home.first <= new.end:
            new = Home(min(home.first, new.first), max(home.last, new.last), max(home.end, new.end))
        else:
            out.append(home)
    return tuple(sorted((*out, new), key=lambda home: home.first))


def _playable(problem: Problem, job: Job) -> Relaxed:
    if job.lapse is not None and job.warmth != "must":
        ends = said.moment(problem.scale.moment(job.lapse))
        why = f"its playable time ends on {ends}, and no evening before that has room for it"
    else:
        days = job.playable / 1440
        why = f"no evening with room lies within the {days:g} days for which it can be played once warmed"
    jobs = tuple(lasting(j) if j.index == job.index else j for j in problem.jobs)
    return Relaxed("playable days", why, replace(problem, jobs=jobs), lambda: iter(()))


def lasting(job: Job) -> Job:
    """The reel as if it could be played for good once it can be played at all."""
    return (
        replace(job, playable=job.playable + 1_000_000) if job.warmth == "must" else replace(job, lapse=None)
    )


def _calibration(problem: Problem, decks: list[int], setups: set[int]) -> Relaxed:
    using = sorted({c for d in decks for x in setups for c in problem.decks[d].needed(x)})
    deck = said.listed([problem.decks[d].deck.id for d in decks])
    states = said.listed([f"{problem.jobs[c].key} {_state(problem, problem.jobs[c])}" for c in using])
    why = f"{deck} cannot be lined up in time: {states}"
    fit = {c: _fit(problem.jobs[c]) for c in using}
    free = replace(problem, jobs=tuple(fit.get(job.index, job) for job in problem.jobs))
    remedy = "a calibration reel that is fit at once"
    if blind := [problem.jobs[c] for c in using if unseen(problem.jobs[c])]:
        why = f"{deck} cannot be lined up yet: {unseen_words([job.key for job in blind])}"
        remedy = f"{blind[0].identify} minutes of looking at {blind[0].key}, then planning again,"
    elif waits := [problem.jobs[c] for c in using if problem.jobs[c].waits]:
        why = f"{deck} cannot be lined up yet: {'; '.join(f'{job.key} {job.waits}' for job in waits)}"
        remedy = f"looking at {waits[0].key}, then planning again,"
    change = Change("fit", keys=tuple(problem.jobs[c].key for c in using))
    return Relaxed("calibration", why, free, lambda: iter((Remedy(remedy, free, change),)))


def _on(problem: Problem, kind: ChangeKind, first: int, last: int) -> Change:
    """A change of the hours of the date on which minute ``first`` lies, up to minute ``last``."""
    day, begin = day_of(problem, first), problem.scale.moment(first)
    minutes = begin.hour * 60 + begin.minute
    return Change(kind, day, minutes, minutes + last - first)


def _state(problem: Problem, job: Job) -> str:
    """What a calibration reel waits for."""
    if job.warmth == "must":
        return f"must be warmed first ({hours_text(job.heat)} and {hours_text(job.cool)} of cooling)"
    if job.look:
        return "must be identified first"
    if job.lapse is not None:
        return f"is playable until {said.moment(problem.scale.moment(job.lapse))}"
    return "is at hand"


def _fit(job: Job) -> Job:
    return replace(job, warmth="no", lapse=None, look=False, assumed=False, identify=0, ready=0)
