"""Line-ups in a solver model: slots by deck and window, what a deck stands on, what plays behind."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from core.planning.bench.draft import Step
from core.planning.facts.problem import Job, Stretch
from core.planning.solver.constraints import domain_of
from core.planning.solver.model_parts import Expr, JobVar, Slot, StepVar
from core.planning.solver.variables import Model


def add_line_ups(model: Model) -> None:
    """Slots, the chain of set-ups on each deck, and every transfer behind a line-up to its own."""
    for deck in range(len(model.problem.decks)):
        wanted = _wanted(model, deck)
        if not wanted:
            continue
        for window in sorted(model.region.windows):
            slots = _slots(model, deck, window, wanted)
            if slots:
                model.slots[deck, window] = slots
        _stands(model, deck, wanted)
    for var in model.jobs.values():
        for (kind, part), step in var.steps.items():
            if kind == "transfer" and step.cells:
                _behind(model, var, part, step)


def _wanted(model: Model, deck: int) -> list[int]:
    """Set-ups that matter on the deck: those of reels that may move, and those that what stays wants."""
    setups = set()
    for var in model.jobs.values():
        for (kind, part), step in var.steps.items():
            if kind == "transfer" and step.cells and var.job.parts[part].minutes[deck] is not None:
                setups.add(var.job.parts[part].setup)
    if setups or not model.region.whole:
        setups |= {s.setup for s in model.ground.draft.steps if s.kind == "align" and s.deck == deck}
    return sorted(setups)


def _shortest(model: Model, deck: int) -> list[int]:
    """Minutes of the transfers that may run on the deck, shortest first."""
    out = []
    for var in model.jobs.values():
        for (kind, part), step in var.steps.items():
            minutes = var.job.parts[part].minutes[deck] if kind == "transfer" else None
            if minutes is not None and step.cells:
                out.append(minutes)
    return sorted(out)


def count_slots(model: Model, deck: int, window: int, wanted: list[int]) -> int:
    """How many line-ups can be of use in a window: each but the last has a transfer behind it.

    Two that follow one another are to different set-ups, so that all but the first are full ones and lie in
    the runs for those.
    """
    facts = model.problem.decks[deck]
    room = sum(b - a for a, b in facts.runs[window])
    for_full = sum(b - a for a, b in facts.full_runs[window])
    first = min(facts.touch_up, facts.full)
    count, used, full_used = 1, first, 0
    there = len(aligns_in(model, deck, window))
    if len(wanted) < 2:
        return max(1, there)
    for minutes in _shortest(model, deck):
        used += minutes + facts.full
        full_used += facts.full
        if used > room or full_used > for_full:
            break
        count += 1
    cap = max(len(wanted) + 1, there)
    if count > cap and not model.exact:
        model.complete = False
        return cap
    if count > 12:
        model.complete = False
    return max(min(count, 12), there)


def _slots(model: Model, deck: int, window: int, wanted: list[int]) -> list[Slot]:
    facts = model.problem.decks[deck]
    fits = {x: fit_stretches(model, deck, x) for x in wanted}
    fulls = {x: _starts(model, facts.full_runs[window], facts.full, fits[x]) for x in wanted}
    touches = {x: _starts(model, facts.runs[window], facts.touch_up, fits[x]) for x in wanted}
    full_at = [one for starts in fulls.values() for one in starts]
    touch_at = [one for starts in touches.values() for one in starts]
    if not full_at and not touch_at:
        return []
    cp = model.cp
    out: list[Slot] = []
    sizes = facts.full // model.grid, facts.touch_up // model.grid
    for place in range(count_slots(model, deck, window, wanted)):
        name = f"line-up {deck} {window} {place}"
        start = cp.new_int_var_from_domain(domain_of(full_at + touch_at), name)
        full, touch = model.flag(f"{name} full"), model.flag(f"{name} touch")
        full_to = {x: model.flag(f"{name} full to {x}") for x in wanted if fulls[x]}
        touch_to = {x: model.flag(f"{name} touch to {x}") for x in wanted if touches[x]}
        for to, starts in ((full_to, fulls), (touch_to, touches)):
            for x, literal in to.items():
                if fits[x] is not None:
                    cp.add_linear_expression_in_domain(start, domain_of(starts[x])).only_enforce_if(literal)
        cp.add(sum(full_to.values()) == full)
        cp.add(sum(touch_to.values()) == touch)
        cp.add_at_most_one(full, touch)
        if full_at:
            cp.add_linear_expression_in_domain(start, domain_of(full_at)).only_enforce_if(full)
        if touch_at:
            cp.add_linear_expression_in_domain(start, domain_of(touch_at)).only_enforce_if(touch)
        slot = Slot(deck, window, start, full, touch, full_to, touch_to, sizes)
        if out or not _is_made(model, slot, touches):
            model.operator.append(cp.new_optional_fixed_size_interval_var(start, sizes[0], full, f"{name} f"))
            model.operator.append(
                cp.new_optional_fixed_size_interval_var(start, sizes[1], touch, f"{name} t")
            )
        if out:
            before = out[-1]
            cp.add(full + touch <= before.full + before.touch_up)
            for x in wanted:
                cp.add(before.on(x) + slot.on(x) <= 1)
            cp.add(start >= before.end).only_enforce_if(full)
            cp.add(start >= before.end).only_enforce_if(touch)
        out.append(slot)
    _hint_slots(model, deck, window, out)
    return out


def _is_made(model: Model, slot: Slot, touches: Mapping[int, Sequence[Stretch]]) -> bool:
    """True for the line-up with which the plan begins, held where it is: nobody works on it any more."""
    mine = (one for one in model.problem.made if one.deck == slot.deck and slot.window == 0)
    made = next((one for one in mine if one.setup in slot.touch_to), None)
    if made is None:
        return False
    at = made.start // model.grid
    if not any(first <= at <= last for first, last in touches[made.setup]):
        return False
    model.cp.add(slot.start == at)
    model.cp.add(slot.touch_to[made.setup] == 1)
    return True


def _hint_slots(model: Model, deck: int, window: int, slots: list[Slot]) -> None:
    aligns = aligns_in(model, deck, window)
    for place, slot in enumerate(slots):
        step = aligns[place] if place < len(aligns) else None
        for flag, is_full in ((slot.full, True), (slot.touch_up, False)):
            model.hint(flag, int(step is not None and step.full == is_full))
        for to, is_full in ((slot.full_to, True), (slot.touch_to, False)):
            for x, literal in to.items():
                model.hint(literal, int(step is not None and step.full == is_full and step.setup == x))
        if step is not None:
            model.hint(slot.start, step.start // model.grid)


def aligns_in(model: Model, deck: int, window: int) -> list[Step]:
    """The draft's line-ups of a deck in a window, in order."""
    window_of = model.ground.window_of
    return [
        s for s in model.ground.draft.steps if s.kind == "align" and s.deck == deck and window_of[s] == window
    ]


def _starts(
    model: Model, runs: tuple[Stretch, ...], minutes: int, fits: list[Stretch] | None
) -> list[tuple[int, int]]:
    grid, out = model.grid, []
    for a, b in runs:
        for first, last in fits if fits is not None else [(a, b)]:
            begin, end = -(-max(a, first) // grid), (min(b, last) - minutes) // grid
            if begin <= end:
                out.append((begin, end))
    return out


def fit_stretches(model: Model, deck: int, setup: int) -> list[Stretch] | None:
    """When a calibration reel is there for a line-up; None for always, or where the model itself decides."""
    from core.planning.bench.calibration import always_there, stretches

    if always_there(model.problem, deck, setup) or model.region.whole:
        return None
    return stretches(model.problem, model.ground.draft, deck, setup)


def _stands(model: Model, deck: int, wanted: list[int]) -> None:
    """What the deck stands on from line-up to line-up; a touch-up needs its own set-up there before."""
    cp, problem = model.cp, model.problem
    first = min(model.region.windows)
    last = max(model.region.windows)
    by_window: dict[int, list[Step]] = {}
    for step in model.ground.draft.steps:
        if step.kind == "align" and step.deck == deck:
            by_window.setdefault(model.ground.window_of[step], []).append(step)
    on: dict[int, Expr] = {x: int(x == problem.decks[deck].stands_on) for x in wanted}
    for window in sorted(by_window):
        if window < first:
            on = {x: int(x == by_window[window][-1].setup) for x in wanted}
    for window in range(first, len(problem.windows)):
        if window in model.region.windows:
            for slot in model.slots.get((deck, window), []):
                on = _next(model, slot, on, wanted)
            continue
        for step in by_window.get(window, ()):
            if not step.full:
                cp.add(on.get(step.setup, 0) >= 1)
            on = {x: int(x == step.setup) for x in wanted}
            if window > last:
                return


def _next(model: Model, slot: Slot, on: dict[int, Expr], wanted: list[int]) -> dict[int, Expr]:
    cp = model.cp
    for x, literal in slot.touch_to.items():
        cp.add(literal <= on[x])
    out: dict[int, Expr] = {}
    for x in wanted:
        stands = model.flag(f"deck {slot.deck} in {slot.window} on {x}")
        cp.add(stands <= slot.on(x) + on[x])
        cp.add(stands + slot.full + slot.touch_up <= 1 + slot.on(x))
        out[x] = stands
    cp.add(sum(out.values()) <= 1)
    return out


def _behind(model: Model, var: JobVar, part: int, step: StepVar) -> None:
    """The transfer stands behind a slot that lines up to its set-up, and before the next one."""
    cp = model.cp
    setup = var.job.parts[part].setup
    places = sorted({(deck, window) for deck, window, _ in step.cells})
    for deck, window in places:
        cells = [step.cells[cell] for cell in step.cells if cell[:2] == (deck, window)]
        slots = model.slots.get((deck, window), [])
        if not slots:
            cp.add(sum(cells) == 0)
            continue
        chosen = []
        for place, slot in enumerate(slots):
            if len(slots) == 1 and len(cells) == 1:
                literal = cells[0]
            else:
                literal = model.flag(f"{var.job.key} {part} behind {deck} {window} {place}")
            chosen.append(literal)
            model.behind[var.job.index, part, deck, window, place] = literal
            cp.add(literal <= slot.on(setup))
            cp.add(step.start >= slot.end).only_enforce_if(literal)
            if place + 1 < len(slots):
                later = slots[place + 1]
                for there in (later.full, later.touch_up):
                    cp.add(step.end <= later.start).only_enforce_if(literal, there)
        if chosen != cells:
            cp.add(sum(chosen) == sum(cells))
            _hint_behind(model, var.job, part, deck, window, chosen)


def _hint_behind(model: Model, job: Job, part: int, deck: int, window: int, chosen: list[Expr]) -> None:
    was = model.ground.steps.get((job.index, "transfer", part))
    aligns = aligns_in(model, deck, window)
    before = -1
    if was is not None and was.deck == deck and model.ground.window_of[was] == window:
        before = sum(1 for align in aligns if align.end <= was.start) - 1
    for place, literal in enumerate(chosen):
        model.hint(literal, int(place == before))
