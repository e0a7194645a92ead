"""Chamber loads in a solver model: members, start, touches, cooling, playable days."""

from __future__ import annotations

from core.planning.bench.calibration import wanted_calibrations
from core.planning.bench.enter_loads import offsets
from core.planning.facts.problem import ChamberFacts, Job
from core.planning.solver.model_parts import Expr, JobVar, LoadVar
from core.planning.solver.variables import Model, after_look


def add_loads(model: Model) -> None:
    """Loads that may be made, their members, and all that follows for the reels in them."""
    asking = _asking(model)
    for chamber in range(len(model.problem.chambers)):
        for home in sorted(model.region.homes):
            _loads_in(model, chamber, home, [job for job in asking if job.trays[chamber]])
    _chambers(model)
    for var in model.jobs.values():
        _link(model, var)


def _asking(model: Model) -> list[Job]:
    """Reels that may go into a load that is free: those that wait for one, or may be warmed again."""
    out = []
    for var in model.jobs.values():
        job, ground = var.job, model.ground
        if job.warmth == "no":
            continue
        stays = ground.frozen_load(job)
        if stays is not None:
            var.warmed, var.heat_start = 1, stays.start // model.grid
            continue
        plays = [step for (kind, _), step in var.steps.items() if kind == "transfer" and step.cells]
        if job.warmth == "must" or job.index in ground.load_of or plays:
            out.append(job)
    if model.region.whole:
        out += _calibrations(model)
    return out


def _calibrations(model: Model) -> list[Job]:
    """Calibration reels that may have to be warmed: those of decks that have none for the whole plan."""
    jobs = [model.problem.jobs[c] for c in wanted_calibrations(model.problem)]
    return [job for job in jobs if job.warmth != "no" and any(job.trays)]


def count_loads(model: Model, facts: ChamberFacts, home: int, jobs: list[Job], there: int) -> int:
    """How many loads can start in a stretch at home; ``there`` are made in the draft."""
    if not jobs:
        return 0
    edges = model.problem.homes[home]
    shortest = min(job.heat for job in jobs)
    if edges.first + shortest + facts.touch > min(edges.end, model.problem.end):
        return 0
    span = min(edges.last, edges.end - shortest - facts.touch) - edges.first
    asking = 100 if any(job.calibration for job in jobs) else len(jobs)
    count = min(asking, 1 + span // max(model.grid, shortest + facts.touch))
    if count > 3 and not model.exact:
        model.complete = False
        return max(3, min(count, there))
    return count


def _loads_in(model: Model, chamber: int, home: int, jobs: list[Job]) -> None:
    facts = model.problem.chambers[chamber]
    before: LoadVar | None = None
    was = [
        load
        for load in model.ground.draft.loads
        if load.chamber == chamber and not model.ground.load_stays(load) and _home(model, load.start) == home
    ]
    for place in range(count_loads(model, facts, home, jobs, len(was))):
        load = _load(model, chamber, home, jobs, f"load {chamber} {home} {place}")
        if load is None:
            return
        old = was[place] if place < len(was) else None
        model.hint(load.there, int(old is not None))
        for index, literal in load.members.items():
            model.hint(literal, int(old is not None and index in old.members))
        heats = {model.problem.jobs[index].heat // model.grid for index in old.members} if old else set()
        for heat, literal in load.heats.items():
            model.hint(literal, int(heat in heats))
        if old is not None:
            model.hint(load.start, old.start // model.grid)
        if before is not None:
            model.cp.add(load.there <= before.there)
            model.cp.add(load.start > before.start).only_enforce_if(load.there)
        before = load
        model.loads.append(load)


def _home(model: Model, start: int) -> int:
    from core.planning.bench.fill import home_of

    return home_of(model.problem, start)


def _load(model: Model, chamber: int, home: int, jobs: list[Job], name: str) -> LoadVar | None:
    cp, grid, problem = model.cp, model.grid, model.problem
    facts, edges = problem.chambers[chamber], problem.homes[home]
    ends = min(edges.end, problem.end)
    shortest = min(job.heat for job in jobs)
    first = -(-max(edges.first, facts.busy_until) // grid)
    last = min(edges.last, ends - facts.touch - shortest) // grid
    if first > last:
        return None
    start = cp.new_int_var(first, last, name)
    there = model.flag(f"{name} there")
    members = {job.index: model.flag(f"{name} with {job.key}") for job in jobs}
    heats: dict[int, Expr] = {}
    for heat in sorted({job.heat for job in jobs}):
        wanted = model.flag(f"{name} for {heat}")
        heats[heat // grid] = wanted
        having = [members[job.index] for job in jobs if job.heat == heat]
        for literal in having:
            cp.add_implication(literal, wanted)
        cp.add(wanted <= sum(having))
        cp.add_implication(wanted, there)
        cp.add(start <= (ends - facts.touch - heat) // grid).only_enforce_if(wanted)
    cp.add(there <= sum(members.values()))
    cp.add(sum(job.trays[chamber] * members[job.index] for job in jobs) <= facts.trays)
    _temperatures(model, jobs, members, name)
    _touches(model, facts, start, there, heats, name)
    return LoadVar(chamber, home, start, there, heats, members, first, last)


def _temperatures(model: Model, jobs: list[Job], members: dict[int, Expr], name: str) -> None:
    known = sorted({job.temperature for job in jobs})
    if len(known) < 2:
        return
    at = {one: model.flag(f"{name} at {one}") for one in known}
    model.cp.add_at_most_one(at.values())
    for job in jobs:
        model.cp.add_implication(members[job.index], at[job.temperature])


def _touches(
    model: Model, facts: ChamberFacts, start: Expr, there: Expr, heats: dict[int, Expr], name: str
) -> None:
    """The load itself, turns while any reel stays in, and each taking out take the operator."""
    size = -(-facts.touch // model.grid)
    if size <= 0:
        return
    turn = facts.turn_every // model.grid
    for offset in offsets(list(heats), turn):
        longer = [literal for heat, literal in heats.items() if heat > offset]
        if offset == 0:
            literal = there
        else:
            wanting = ([heats[offset]] if offset in heats else []) + (
                longer if turn and offset % turn == 0 else []
            )
            if len(wanting) == 1:
                literal = wanting[0]
            else:
                literal = model.flag(f"{name} touched at {offset}")
                for one in wanting:
                    model.cp.add_implication(one, literal)
        model.operator.append(
            model.cp.new_optional_fixed_size_interval_var(
                start + offset, size, literal, f"{name} touch {offset}"
            )
        )


def _chambers(model: Model) -> None:
    """One load at a time in a chamber, from its start to the end of its last touch."""
    for chamber in range(len(model.problem.chambers)):
        own = [load for load in model.loads if load.chamber == chamber]
        if own:
            _one_at_a_time(model, chamber, own)


def _one_at_a_time(model: Model, chamber: int, own: list[LoadVar]) -> None:
    cp, grid, facts = model.cp, model.grid, model.problem.chambers[chamber]
    touch = -(-facts.touch // grid)
    rows = []
    for place, load in enumerate(own):
        longest = max(load.heats)
        size = cp.new_int_var(0, longest + touch, f"chamber {chamber} {place} size")
        for heat, literal in load.heats.items():
            cp.add(size >= heat + touch).only_enforce_if(literal)
        model.hint(
            size, max([h + touch for h, wanted in load.heats.items() if _hinted(model, wanted)], default=0)
        )
        end = cp.new_int_var(
            0, (model.problem.end + 2880) // grid + longest, f"chamber {chamber} {place} end"
        )
        cp.add(end == load.start + size)
        rows.append(
            cp.new_optional_interval_var(load.start, size, end, load.there, f"chamber {chamber} {place}")
        )
    for stays in model.ground.draft.loads:
        if stays.chamber == chamber and model.ground.load_stays(stays):
            heat = max(model.problem.jobs[index].heat for index in stays.members) // grid
            rows.append(cp.new_fixed_size_interval_var(stays.start // grid, heat + touch, ""))
    if len(rows) > 1:
        cp.add_no_overlap(rows)


def _hinted(model: Model, literal: Expr) -> bool:
    return literal.index in model.hints and bool(model.hints[literal.index][1])


def _link(model: Model, var: JobVar) -> None:
    """A reel that must be warmed is in one load; what is done with it afterwards waits for its cooling."""
    cp, job = model.cp, var.job
    if job.warmth == "no" or var.heat_start is not None:
        if var.heat_start is not None:
            _after_heat(model, var, var.heat_start, None)
        return
    members = {
        place: load.members[job.index] for place, load in enumerate(model.loads) if job.index in load.members
    }
    if job.warmth == "must":
        cp.add(sum(members.values()) == var.done)
        var.warmed = var.done
    elif members:
        var.warmed = model.flag(f"{job.key} warmed")
        model.hint(var.warmed, int(job.index in model.ground.load_of))
        cp.add(sum(members.values()) == var.warmed)
        cp.add(var.warmed <= var.done)
        if not any(kind == "transfer" and step.cells for (kind, _), step in var.steps.items()):
            cp.add(var.warmed == 1)
    for place, literal in members.items():
        load = model.loads[place]
        known = var.steps.get(("identify", 0))
        first = -(-job.ready // model.grid)
        if first > 0:
            cp.add(load.start >= first).only_enforce_if(literal)
        if known is not None:
            cp.add(load.start >= after_look(model, job, known)).only_enforce_if(literal)
        _after_heat(model, var, load.start, literal)
    _by_window(model, var, members)


def _after_heat(model: Model, var: JobVar, start: Expr, literal: Expr | None) -> None:
    job, grid = var.job, model.grid
    cooled = (job.heat + job.cool) // grid
    lasts = (job.heat + job.playable) // grid
    when = [literal] if literal is not None else [] if isinstance(var.done, int) else [var.done]
    for (kind, _), step in var.steps.items():
        if kind not in ("repair", "audition", "transfer"):
            continue
        if isinstance(step.start, int) and isinstance(start, int):
            continue
        rows = [step.start >= start + cooled]
        if kind == "transfer":
            rows.append(step.end <= start + lasts)
        for row in rows:
            added = model.cp.add(row)
            if when:
                added.only_enforce_if(*when)


def _by_window(model: Model, var: JobVar, members: dict[int, Expr]) -> None:
    """By window: a reel is played by then only if its load can have cooled by then; helps the bound."""
    job, problem = var.job, model.problem
    if job.warmth != "must" or not members:
        return
    for (kind, _), step in var.steps.items():
        if kind != "transfer" or not step.cells:
            continue
        played = step.windows()
        size = step.size * model.grid if isinstance(step.size, int) else 0
        for window in sorted(played):
            latest = problem.windows[window].end - size
            could = [
                literal
                for place, literal in members.items()
                if problem.homes[model.loads[place].home].first + job.heat + job.cool <= latest
            ]
            if len(could) < len(members):
                model.cp.add(sum(played[w] for w in played if w <= window) <= sum(could))
