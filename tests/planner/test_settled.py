"""Within an evening a plan is as a person would have it: early, without waiting, a pause in a long day."""

from dataclasses import replace
from datetime import timedelta
from fractions import Fraction
from itertools import pairwise

import pytest
from planonce import plan_evenings

from core.planning.bench.calibration import with_calibrations
from core.planning.bench.draft import Draft, Load, Step, cost, make_draft, ties
from core.planning.bench.follow import draft_of_plan
from core.planning.facts.reading import read_problem
from core.planning.replan import replan
from core.planning.settling.loads import in_one_load
from core.planning.settling.looks import looked_before
from core.planning.settling.settle import settled, settled_anew
from core.studio.studio import Comfort, HoursRow

WEEK = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")


@pytest.fixture
def comfortable(shelf):
    return replace(shelf, studio=replace(shelf.studio, comfort=Comfort()))


def minutes_apart(items):
    return [int((b.start - a.end) / timedelta(minutes=1)) for a, b in pairwise(items)]


def test_an_evening_starts_at_once_and_nothing_in_it_waits(comfortable, start):
    plan = plan_evenings(comfortable, start, 7, effort=1)
    bench = [item for item in plan.items if item.kind != "condition"]
    for day in {item.start.date() for item in bench}:
        own = [item for item in bench if item.start.date() == day]
        assert (own[0].start.hour, own[0].start.minute) == (19, 0)
        assert set(minutes_apart(own)) <= {0}


def test_the_last_tenth_of_an_evening_stays_free(comfortable, start, reel):
    full = comfortable.with_reel(*[reel(f"T-{n}") for n in range(20)])
    plan = plan_evenings(full, start, 7, effort=1)
    ends = [item.end for item in plan.items if item.kind != "condition"]
    assert (
        max(end.hour * 60 + end.minute for end in ends) <= 22 * 60 - 20
    )  # a tenth of three hours, on the grid


def test_a_long_day_has_a_quarter_of_an_hour_free_in_the_middle(comfortable, start, reel):
    long = (HoursRow(WEEK, (), 9 * 60, 21 * 60, bench=True, home=True),)
    studio = replace(comfortable.studio, hours=long, comfort=replace(Comfort(), slack=Fraction(0)))
    full = replace(comfortable, studio=studio).with_reel(*[reel(f"T-{n}") for n in range(12)])
    plan = plan_evenings(full, start.replace(hour=8), 1, effort=1)
    bench = sorted((i for i in plan.items if i.kind != "condition"), key=lambda i: i.start)
    assert sum((i.end - i.start).total_seconds() for i in bench) > 5 * 3600
    assert any(gap >= 15 for gap in minutes_apart(bench))


def test_a_load_starts_early_rather_than_late(comfortable, start):
    plan = plan_evenings(comfortable, start, 14, effort=1)
    load = next(item for item in plan.items if item.kind == "condition")
    assert (load.start.hour, load.start.minute) == (9, 0)


def _later(plan, kinds, minutes):
    """The plan with every item of those kinds so many minutes later."""
    late = timedelta(minutes=minutes)
    items = (replace(i, start=i.start + late, end=i.end + late) if i.kind in kinds else i for i in plan.items)
    return replace(plan, items=tuple(items))


@pytest.mark.parametrize(("later", "stays"), [(55, True), (90, False)])
def test_planned_again_an_hour_of_waiting_is_not_kept(comfortable, start, later, stays):
    """What was told stays to the minute, unless an hour or more would be waited for nothing."""
    alone = replace(comfortable, reels={key: comfortable.reels[key] for key in ("R-1", "CAL")}, songs={})
    fresh = plan_evenings(alone, start, 7, effort=0.1)
    new = replan(alone, _later(fresh, ("transfer", "verify"), later), start, effort=0.1)
    assert {i.kind: i.start for i in new.items}["transfer"] == next(
        i.start + timedelta(minutes=later * stays) for i in fresh.items if i.kind == "transfer"
    )
    assert {move.why for move in new.moves} == (set() if stays else {"there is room for it sooner"})


@pytest.mark.parametrize("behind", [("transfer", "verify"), ("transfer", "verify", "align")])
def test_planned_again_a_hole_in_an_evening_is_not_closed_by_moving_all_behind_it(
    comfortable, start, reel, behind
):
    """Two tapes would move for seventy minutes; the deck is lined up when it plays, which moves neither."""
    some = (comfortable.reels["CAL"], reel("R-1"), reel("R-3"))
    two = replace(comfortable, reels={one.key: one for one in some}, songs={})
    two = replace(two, studio=replace(two.studio, comfort=replace(Comfort(), slack=Fraction(0))))
    late = _later(plan_evenings(two, start, 1, effort=0.1), behind, 70)
    new = replan(two, late, start, effort=0.1)
    assert new.moves == ()
    at = {item.kind: item for item in reversed(new.items)}  # the first of each kind
    assert at["align"].end == at["transfer"].start


@pytest.mark.parametrize("behind", [("transfer", "verify"), ("transfer", "verify", "align")])
def test_planned_again_a_deck_is_lined_up_right_before_it_plays(comfortable, start, behind):
    alone = replace(comfortable, reels={key: comfortable.reels[key] for key in ("R-1", "CAL")}, songs={})
    kept = _later(plan_evenings(alone, start, 7, effort=0.1), behind, 90)
    at = {item.kind: (item.start, item.end) for item in replan(alone, kept, start, effort=0.1).items}
    assert at["align"][1] == at["transfer"][0]
    assert at["transfer"][1] == at["verify"][0]


def test_other_work_is_done_before_or_behind_a_line_up_and_its_reel_not_between(comfortable, start, reel):
    ready = comfortable.reels["CAL"], reel("R-1"), *(reel(f"V-{n}", stage="transferred") for n in range(7))
    full = replace(comfortable, reels={one.key: one for one in ready}, songs={})
    fresh = plan_evenings(full, start, 2, effort=0.1)
    order = ["align", *(f"verify V-{n}" for n in range(7)), "transfer R-1", "verify R-1"]
    items, at = [], fresh.items[0].start
    for item in sorted(fresh.items, key=lambda i: order.index(f"{i.kind} {i.reel or ''}".strip())):
        items.append(replace(item, start=at, end=at + (item.end - item.start)))
        at = items[-1].end
    kept = replace(fresh, items=tuple(items))
    found = {(i.kind, i.reel): i for i in replan(full, kept, start, effort=0.1).items}
    assert len(found) == len(kept.items) == 10
    lined, played = (next(i for i in found.values() if i.kind == kind) for kind in ("align", "transfer"))
    assert lined.end == played.start


def test_planned_again_a_new_load_starts_early_and_a_kept_one_waits_an_hour_at_most(comfortable, start):
    problem = read_problem(comfortable, start, 14)
    draft = draft_of_plan(problem, plan_evenings(comfortable, start, 14, effort=1))
    (load,) = draft.loads
    for later, kept_stays in ((45, True), (120, False)):
        late = replace(draft, loads=(replace(load, start=load.start + later),))
        anew = settled_anew(problem, Draft(), late, lambda new, old: cost(problem, new) <= cost(problem, old))
        assert anew.loads == draft.loads
        assert (settled_anew(problem, late, late, lambda new, old: True).loads == late.loads) is kept_stays


def test_the_helper_does_not_wait_for_a_line_up_that_stands_for_hours_all_the_same(
    comfortable, start, with_helper, reel
):
    """The helper goes at a quarter to eight, the tape has cooled at nine: lined up as soon as they come."""
    helped = with_helper(comfortable, ())
    row = HoursRow(("mon",), (), 19 * 60, 19 * 60 + 45, helper=True)
    cooling = reel("R-1", condition=("sticky",), stage="conditioned", conditioned_at=start.replace(hour=17))
    comfort = replace(Comfort(), slack=Fraction(0))
    studio = replace(helped.studio, hours=(*helped.studio.hours, row), comfort=comfort)
    song = replace(helped.songs["S-1"], needs=helped.songs["S-1"].needs[:1])
    reels = {"R-1": cooling, "CAL": helped.reels["CAL"]}
    shelf = replace(helped, studio=studio, songs={"S-1": song}, reels=reels)
    plan = plan_evenings(shelf, start, 1, effort=0.1)
    at = {item.kind: (item.start.hour, item.start.minute) for item in plan.items}
    assert at["transfer"] == (21, 0) and at["align"] == (19, 0)


def test_two_loads_are_made_one_where_its_chamber_holds_all_of_both(comfortable, start, reel):
    two = comfortable.with_reel(reel("R-4", condition=("sticky",)))
    problem = read_problem(two, start, 14)
    draft = draft_of_plan(problem, plan_evenings(two, start, 14, effort=0.5))
    (load,) = draft.loads
    one, other = load.members
    apart = make_draft(
        list(draft.steps),
        [replace(load, members=(one,)), replace(load, start=load.start + 250, members=(other,))],
    )

    def no_worse(new, old):
        return cost(problem, new) <= cost(problem, old)

    assert in_one_load(problem, apart, no_worse).loads in ((load,), (replace(load, start=load.start + 250),))
    assert in_one_load(problem, apart, lambda new, old: False) == apart
    narrow = replace(problem, chambers=tuple(replace(facts, trays=1) for facts in problem.chambers))
    assert in_one_load(narrow, apart, no_worse) == apart


def test_what_slack_costs_can_be_asked(comfortable, start, reel):
    from core.planning.answers.changes import with_slack
    from core.planning.answers.whatif import what_if

    full = comfortable.with_reel(*[reel(f"T-{n}") for n in range(20)])
    (told,) = what_if(full, start, 7, {"slack 0%": with_slack(Fraction(0))}, effort=1)
    assert told.saved > 0 and len(told.no_longer_left) > len(told.now_left)


def test_a_calibration_reel_is_looked_at_an_evening_before_it_serves_where_that_costs_nothing(
    comfortable, start, reel
):
    """Looked at and used on Wednesday; Tuesday has work of its own, or none."""
    unseen = replace(comfortable.reels["CAL"], stage="found", condition=())
    shelf = replace(comfortable, reels={"CAL": unseen, "R-1": reel("R-1")}, songs={})
    shelf = shelf.with_reel(reel("V-1", stage="transferred"))
    problem = read_problem(shelf, start + timedelta(days=1), 3)
    draft = draft_of_plan(problem, plan_evenings(shelf, start + timedelta(days=1), 3, effort=0.1))
    first, night = {"V-1"}, 1440
    steps = [
        step
        if problem.jobs[step.job].key in first and step.job >= 0
        else replace(step, start=step.start + night, end=step.end + night)
        for step in draft.steps
    ]
    late = with_calibrations(problem, make_draft(steps, []))
    used = ties(problem, late)[1]
    calm = looked_before(
        problem,
        late,
        lambda new, old: (cost(problem, new), ties(problem, new)) <= (cost(problem, old), ties(problem, old)),
    )
    (look,) = [step for step in calm.steps if step.kind == "identify"]
    align = next(step for step in calm.steps if step.kind == "align")
    assert look.start < 6 * 60 < align.start and ties(problem, calm)[1] == used == 2
    alone = replace(late, steps=tuple(step for step in late.steps if step.kind != "verify" or step.job < 0))
    assert looked_before(problem, alone, lambda new, old: ties(problem, new) <= ties(problem, old)) == alone


def _cooled_at_five(comfortable, start, *days):
    """Bench days from nine until then, one after another; a sticky reel for each, no calibration reel."""
    rows = zip(("sat", "sun"), days, strict=False)
    hours = tuple(HoursRow((row,), (), 9 * 60, day, bench=True, home=True) for row, day in rows)
    studio = replace(comfortable.studio, hours=hours, comfort=replace(Comfort(), slack=Fraction(0)))
    sticky = [replace(comfortable.reels["R-2"], key=f"R-{n}") for n in range(len(days))]
    shelf = replace(comfortable, studio=studio, reels={one.key: one for one in sticky}, songs={})
    return read_problem(shelf, start + timedelta(days=5, hours=-7), len(days))


def _lined_up_too_soon(problem):
    """Each reel warm from nine of its day, lined up for at half past four, played when cooled at five."""
    steps, loads = [], []
    for job, window in zip(problem.jobs, problem.windows, strict=True):
        at = window.start + 8 * 60
        over = at + job.parts[0].minutes[0]
        steps += [
            Step("align", at - 30, at, -1, 0, 0, job.parts[0].setup, True),
            Step("transfer", at, over, job.index, 0),
            Step("verify", over, over + job.verify, job.index),
        ]
        loads.append(Load(0, window.start, (job.index,)))
    return make_draft(steps, loads)


@pytest.mark.parametrize(
    ("days", "lined"),
    [((20 * 60,), [0]), ((17 * 60 + 45,), [-30]), ((20 * 60, 17 * 60 + 45), [0, -30])],
)
def test_a_line_up_that_no_calibration_reel_serves_waits_for_its_tape(comfortable, start, days, lined):
    """What only the tape's own programme can set is set by it, on each day that has the room."""
    problem = _cooled_at_five(comfortable, start, *days)
    draft = _lined_up_too_soon(problem)
    new = settled(problem, draft)
    aligns = [step.start for step in new.steps if step.kind == "align"]
    cooled = [window.start + 8 * 60 for window in problem.windows]
    assert [at - five for at, five in zip(aligns, cooled, strict=True)] == lined
    assert cost(problem, new) <= cost(problem, draft)


@pytest.mark.parametrize(("busy", "lined"), [(False, 2), (True, 1)])
def test_a_line_up_ahead_is_made_on_the_last_evening_with_room(comfortable, start, reel, busy, lined):
    """Made on Monday for Thursday's touch-up; the evenings between have work, Wednesday room unless busy."""
    long = [reel(f"V-{n}", stage="transferred", length=reel("x").length) for n in range(30)]
    ready = (comfortable.reels["R-1"], *long)
    shelf = replace(comfortable, reels={one.key: one for one in ready}, songs={})
    problem = read_problem(shelf, start, 4)
    at = [window.start for window in problem.windows]
    one, verifies = problem.jobs[0], [job for job in problem.jobs if job.key != "R-1"]
    part, minutes = one.parts[0], verifies[0].verify
    full = Step("align", at[0], at[0] + 30, -1, 0, 0, part.setup, True)
    steps = [
        full,
        Step("align", at[3], at[3] + 10, -1, 0, 0, part.setup),
        Step("transfer", at[3] + 10, at[3] + 10 + part.minutes[0], one.index, 0),
    ]
    steps.append(Step("verify", steps[-1].end, steps[-1].end + one.verify, one.index))
    nights = [1] + [2] * ((problem.windows[2].minutes - 20) // minutes if busy else 1)
    moments = {night: at[night] for night in nights}
    for night, job in zip(nights, verifies, strict=False):
        steps.append(Step("verify", moments[night], moments[night] + minutes, job.index))
        moments[night] += minutes
    new = settled(problem, make_draft(steps, []))
    first = next(step for step in new.steps if step.kind == "align")
    window = problem.windows[lined]
    assert window.start <= first.start <= window.end and first.full


def test_a_look_that_fills_time_and_stays_where_it_was_is_no_move(
    comfortable, start, reel, standing_on, with_helper
):
    waits = [reel(f"T-{n}", stage="found", condition=()) for n in range(3)]
    shelf = with_helper(standing_on(comfortable.with_reel(*waits), "NAB"), ())  # who never comes
    kept = plan_evenings(shelf, start, 7, effort=0.3)
    looks = {(one.reel, one.start) for one in kept.items if one.kind == "identify" and one.reel[0] == "T"}
    assert looks, "what is left over is looked at"
    again = replan(shelf, kept, start + timedelta(minutes=10), effort=0)
    assert looks <= {(one.reel, one.start) for one in again.items}
    assert not [one for one in again.moves if one.was == one.now], again.moves
