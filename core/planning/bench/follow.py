"""Following a plan that is there: its items entered again, at their own times or as soon after as they fit.

Used for planning anew after a mishap (what still fits stays where it was), for playing a plan against
evenings that go differently, and for asking what one rule less would allow.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence, Set
from dataclasses import replace
from typing import Literal

from core.plan import Item, Kind, Plan
from core.planning.bench.diary import Diary, Fit
from core.planning.bench.draft import Draft, Load, Step, ends_of, make_draft
from core.planning.bench.enter_loads import LoadOption, enter_load, joins, new_start
from core.planning.bench.enter_transfers import MISSING, NONE_NEEDED, calibrated
from core.planning.bench.fill import home_of
from core.planning.bench.lists import Order, enter_jobs, prelude
from core.planning.bench.orders import smith
from core.planning.facts.problem import Job, Problem, Stretch
from core.planning.rules.setups import as_setup

ROUNDS = 6


def draft_of_plan(problem: Problem, plan: Plan, since: int = 0) -> Draft:
    """What of a plan lies ahead in this problem, in its minutes and indices.

    ``since``: steps from that minute on, before the plan's start, that are left to be done come along.
    """
    place = {job.key: job.index for job in problem.jobs}
    decks = {facts.deck.id: index for index, facts in enumerate(problem.decks)}
    chambers = {facts.chamber.id: index for index, facts in enumerate(problem.chambers)}
    keys = {setup.key: index for index, setup in enumerate(problem.setups)}
    read = {str(one): one for s in problem.setups for one in (s.speed, s.level) if one is not None}
    steps: list[Step] = []
    loads: list[Load] = []
    for item in plan.items:
        start, end = problem.scale.exact(item.start), problem.scale.exact(item.end)
        first = since if since < 0 and item.kind != "condition" else problem.now
        if start < first or end > problem.end or start.denominator != 1:
            continue
        if item.kind == "condition" and item.chamber in chambers:
            members = tuple(
                place[key] for key in item.reels if key in place and problem.jobs[place[key]].warmth != "no"
            )
            if members:
                loads.append(Load(chambers[item.chamber], int(start), members))
        elif item.kind == "align" and item.deck in decks:
            setup = keys.get(as_setup(item, read).key, -1)
            if setup >= 0:
                deck = decks[item.deck]
                steps.append(Step("align", int(start), int(end), -1, deck, 0, setup, item.full))
        elif item.reel in place:
            part = part_of(problem.jobs[place[item.reel]], item)
            if part < 0 or not is_left(problem.jobs[place[item.reel]], item.kind):
                continue
            deck = decks.get(item.deck, -1)
            steps.append(Step(item.kind, int(start), int(end), place[item.reel], deck, part))
    return make_draft(steps, loads)


def behind_unset(problem: Problem, draft: Draft) -> dict[Step, int]:
    """By line-up that no calibration reel serves, the job that is played right behind it.

    Its heads are set by that tape: by its tones, or azimuth and balance by its programme.
    """
    found: dict[Step, int] = {}
    last: dict[int, Step] = {}
    for step in draft.steps:
        if step.kind == "align":
            last[step.deck] = step
        align = last.pop(step.deck, None) if step.kind == "transfer" else None
        if align is not None and align.calibration < 0 and not problem.decks[align.deck].needed(align.setup):
            found[align] = step.job
    return found


_BEFORE: dict[Kind, tuple[Literal["repair", "audition"], ...]] = {
    "audition": ("repair",),
    "transfer": ("repair", "audition"),
}


def is_left(job: Job, kind: Kind) -> bool:
    """True if such a step is left of the reel; one that is done is no part of what lies ahead."""
    left = {"identify": job.look, "repair": job.repair > 0, "audition": job.audition > 0}
    return left.get(kind, not job.calibration)


def next_of(old: Draft, look: Step) -> int:
    """When the next thing is done with the tape that is looked at there."""
    starts = [step.start for step in old.steps if step.job == look.job and step.kind != "identify"]
    starts += [load.start for load in old.loads if look.job in load.members]
    return min(starts, default=1 << 40)


def part_of(job: Job, item: Item) -> int:
    """Which transfer of the reel it is; below nought where that part of the tape is done already."""
    if item.kind != "transfer":
        return 0
    return next((index for index, part in enumerate(job.parts) if part.name == item.segment), -1)


def follow(problem: Problem, old: Draft, *, exact: bool) -> Draft:
    """The old draft's items as far as they fit, then whole every reel that no longer does, then new ones."""
    return followed(problem, old, exact=exact).draft()


def followed(
    problem: Problem,
    old: Draft,
    *,
    exact: bool,
    early: Set[int] = frozenset(),
    behind: Sequence[Step] = (),
) -> Diary:
    """The diary after following; see ``follow``. In the windows ``early`` each as soon as it fits.

    Looks and verifies ``behind`` wait till all else is entered, and then are as soon as there is room.
    """
    skip: set[int] = set()
    for _ in range(ROUNDS):
        walk = walked(problem, old, skip, exact=exact, early=early, behind=behind)
        missed = walk.missed(old)
        if not missed:
            break
        skip |= missed
    else:
        walk = walked(problem, old, skip, exact=exact, early=early, behind=behind)
    done = ends_of(walk.diary.draft())
    late = sorted(ends_of(old).items(), key=lambda pair: (pair[1], pair[0]))
    order = [job for job, _ in late if job not in done and job in skip]
    known = set(order) | set(done)
    order += [job for job in smith(problem, share=True) if job not in known]
    prelude(walk.diary)
    enter_jobs(walk.diary, Order(tuple(order), 1.0))
    return walk.diary


def walked(
    problem: Problem,
    old: Draft,
    skip: set[int],
    *,
    exact: bool,
    early: Set[int] = frozenset(),
    behind: Sequence[Step] = (),
) -> Walk:
    """One pass through the whole of the old draft but for the reels that are skipped."""
    walk = Walk(problem, skip, exact=exact, early=early)
    looks = [step for step in behind if step.kind == "identify"]
    walk.done.update({(step.job, "identify", 0): step.start for step in looks})  # till it has its place
    waits = set(behind)
    walk.through(replace(old, steps=tuple(step for step in old.steps if step not in waits)))
    for step in behind:
        walk.as_soon_as_it_fits(step, old)
    return walk


class Walk:
    """One pass through an old draft in order of time.

    Each item is entered at its own time or as soon after as it fits; with ``exact`` at its own or not at all,
    but in the windows ``early`` as soon in its window as it fits. The line-ups that ``wait`` are made there
    when the tape of that job may run.
    """

    def __init__(
        self,
        problem: Problem,
        skip: set[int],
        *,
        exact: bool = False,
        early: Set[int] = frozenset(),
        wait: Mapping[Step, int] = {},
    ) -> None:
        self.problem = problem
        self.skip = skip
        self.exact = exact
        self.early = early
        self.wait = wait
        self.diary = Diary(problem)
        self.done: dict[tuple[int, Kind, int], int] = {}
        self.warm: dict[int, tuple[int, int]] = {}  # job -> cool until, playable until

    def through(self, old: Draft) -> None:
        """Enters what fits."""
        things: list[tuple[int, int, Step | Load]] = [(s.start, 1, s) for s in old.steps]
        things += [(load.start, 0, load) for load in old.loads]
        for _, _, thing in sorted(things, key=lambda one: one[:2]):
            if isinstance(thing, Load):
                self._load(thing)
            elif thing.kind == "align":
                self._align(thing)
            elif thing.job >= 0 and thing.job not in self.skip:
                self._step(thing)

    def as_soon_as_it_fits(self, step: Step, old: Draft) -> None:
        """Enters a look or a verify where there is room first; a look that would come too late nowhere."""
        job = self.problem.jobs[step.job]
        minutes, first = self._minutes(job, step), self._ready(job, step.kind)
        if step.job in self.skip or minutes is None or first < 0:
            return
        for window, edges in enumerate(self.problem.windows):
            start = self.diary.gap(window, max(first, edges.start), minutes, ((edges.start, edges.end),))
            if start < 0:
                continue
            new = step.entered(start, start + minutes, full=step.full, calibration=step.calibration)
            if step.kind == "verify" or self.diary.after_look(job, new.end) <= next_of(old, step):
                self.diary.enter_step(new, window)
                self.done[step.job, step.kind, step.part] = new.end
                return
            break
        self.done.pop((step.job, "verify", 0), None)  # what rests on it is missed

    def missed(self, old: Draft) -> set[int]:
        """Reels that were in the old draft, and whose verify is still wanted and could not be entered.

        One that is only warmed in it counts: what it was to be warmed for lies past the end by now.
        """
        there = {s.job for s in old.steps if s.job >= 0}.union(*(load.members for load in old.loads))
        wanted = {
            job for job in there if self.problem.jobs[job].ends and not self.problem.jobs[job].calibration
        }
        return {job for job in wanted - self.skip if (job, "verify", 0) not in self.done}

    def _load(self, load: Load) -> None:
        entry = None
        for index in load.members:
            job = self.problem.jobs[index]
            known = self._known(job)
            if index in self.skip or job.warmth == "no" or known < 0 or max(known, job.ready) > load.start:
                continue
            if load.chamber >= len(self.diary.loads) or not job.trays[load.chamber]:
                continue
            try:
                home = home_of(self.problem, load.start)
            except StopIteration:
                continue
            if entry is None:
                if new_start(self.diary, job, load.chamber, home, load.start) != load.start:
                    continue
            elif not joins(self.diary, job, entry):
                continue
            option = LoadOption(load.start + job.heat, load.start, load.chamber, home, entry)
            enter_load(self.diary, job, option)
            entry = next(e for e in self.diary.loads[load.chamber] if e.start == load.start)
            self.warm[index] = (option.out + job.cool, option.out + job.playable)

    def _align(self, step: Step) -> None:
        window = self.diary.window_at(step.start)
        facts = self.problem.decks[step.deck]
        if window < 0:
            return
        row = self.diary.aligns[step.deck]
        if row and self.diary.was_made(row[-1]) and row[-1].setup == step.setup and window == 0:
            return  # it stands so: another one would be for nothing
        stands = row[-1].setup if row else facts.stands_on
        full = step.full or stands != step.setup
        minutes = facts.full if full else facts.touch_up
        runs = facts.full_runs[window] if full else facts.runs[window]
        first = max(self._first(step, window), self._may_run(step, window))
        ends = [s.end for s in self.diary.decked[step.deck] if s.end > first]
        start, calibration = self._lined_up(step, window, max([first, *ends]), minutes, runs)
        if start < 0 or self._moved(step, window, start):
            return
        calibration = calibration if calibration != NONE_NEEDED else -1
        new = step.entered(start, start + minutes, full=full, calibration=calibration)
        self.diary.enter_step(new, window)

    def _lined_up(
        self, step: Step, window: int, first: int, minutes: int, runs: tuple[Stretch, ...]
    ) -> tuple[int, int]:
        """When such a line-up may be from then on, and by what; not before a calibration reel is fit."""
        facts = self.problem.decks[step.deck]
        while (start := self.diary.gap(window, first, minutes, runs)) >= 0:
            calibration = calibrated(self.diary, facts, step.setup, start, start + minutes)
            if calibration != MISSING:
                return start, calibration
            soon = [f.first for c in facts.needed(step.setup) for f in self.diary.fits[c] if f.first > start]
            if not soon:
                break
            first = min(soon)
        return -1, MISSING

    def _step(self, step: Step) -> None:
        job, diary = self.problem.jobs[step.job], self.diary
        window = diary.window_at(step.start)
        first = self._ready(job, step.kind)
        if window < 0 or first < 0:
            return
        edges = self.problem.windows[window]
        runs, minutes, last = ((edges.start, edges.end),), self._minutes(job, step), 1 << 40
        if minutes is None or (
            job.windows is not None and step.kind == "transfer" and window not in job.windows
        ):
            return
        if step.kind == "audition":
            runs = self.problem.hearing_runs[window]  # type: ignore[assignment]
        if step.kind == "transfer":
            runs = self.problem.decks[step.deck].runs[window]  # type: ignore[assignment]
            aligns = [a for a in diary.aligns[step.deck] if a.start >= edges.start and a.end <= edges.end]
            if not aligns or aligns[-1].setup != job.parts[step.part].setup:
                return
            first = max(first, aligns[-1].end)
            lapse = self.warm[step.job][1] if step.job in self.warm else job.lapse
            last = lapse if lapse is not None else last
        start = diary.gap(window, max(first, self._first(step, window)), minutes, runs, last)
        if start < 0 or self._moved(step, window, start):
            return
        new = step.entered(start, start + minutes, full=step.full, calibration=step.calibration)
        diary.enter_step(new, window)
        self.done[step.job, step.kind, step.part] = new.end
        if step.kind == "identify" and job.calibration and job.warmth != "must":
            last = 1 << 40 if job.lapse is None else job.lapse
            diary.fits[job.index] = [Fit(max(new.end, job.ready), last)]

    def _first(self, step: Step, window: int) -> int:
        return self.problem.windows[window].start if window in self.early else step.start

    def _may_run(self, align: Step, window: int) -> int:
        """From when the tape may run for which that line-up waits; 0 for one that waits for none."""
        index = self.wait.get(align)
        if index is None or window not in self.early:
            return 0
        job = self.problem.jobs[index]
        return max(self._known(job), self.warm[index][0] if index in self.warm else job.ready)

    def _moved(self, step: Step, window: int, start: int) -> bool:
        """True for a step that would not be at its own time where it must be."""
        return self.exact and window not in self.early and start != step.start

    def _minutes(self, job: Job, step: Step) -> int | None:
        if step.kind == "transfer":
            fits = step.part < len(job.parts) and step.deck >= 0
            return job.parts[step.part].minutes[step.deck] if fits else None
        if step.kind == "identify":
            return job.identify if job.look else None
        known = {"repair": job.repair, "audition": job.audition}
        if step.kind == "verify":
            return None if job.calibration else job.verify
        return known.get(step.kind) or None

    def _known(self, job: Job) -> int:
        """From when what comes behind its look may be; -1 while it is not looked at."""
        if not job.look:
            return 0
        end = self.done.get((job.index, "identify", 0))
        return -1 if end is None else self.diary.after_look(job, end)

    def _ready(self, job: Job, kind: Kind) -> int:
        """From when the step may be entered; -1 while something before it is missing."""
        known = self._known(job)
        if kind == "identify":
            return job.look_from
        if kind == "verify":
            ends = [self.done.get((job.index, "transfer", part), -1) for part in range(len(job.parts))]
            if known < 0 or min(ends, default=0) < 0:
                return -1
            return max([known, *ends]) if ends else max(known, job.ready)
        cool = job.ready
        if job.warmth == "must" or job.index in self.warm:
            if job.index not in self.warm:
                return -1
            cool = self.warm[job.index][0]
        if known < 0:
            return -1
        before = _BEFORE.get(kind, ())
        for one in before:
            if getattr(job, one) and (job.index, one, 0) not in self.done:
                return -1
            cool = max(cool, self.done.get((job.index, one, 0), 0))
        return max(known, cool)
