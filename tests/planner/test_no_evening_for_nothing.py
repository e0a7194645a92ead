"""No evening, no warmth and no late hour for what can be had without."""

from dataclasses import replace
from datetime import timedelta

import pytest

from core.planning.answers.relaxing import relaxed
from core.planning.at_no_cost.fewer_evenings import in_fewer_evenings
from core.planning.bench.calibration import tidy
from core.planning.bench.draft import Draft, Load, Step, cost, make_draft, tied_minutes, ties
from core.planning.facts.reading import read_problem
from core.planning.plan_evenings import plan_evenings
from core.planning.settling.loads import in_one_load, loads_early
from core.planning.settling.settle import settled
from core.studio.studio import Comfort, HoursRow

NIGHT = 1440


@pytest.fixture
def comfortable(shelf):
    return replace(shelf, studio=replace(shelf.studio, comfort=Comfort()))


def _rank(problem, draft):
    return (cost(problem, draft), *ties(problem, draft))


def _with_looks(problem, looks):
    """The plan of R-1 on the second evening, and looks at those times."""
    job = {one.key: one for one in problem.jobs}
    one, at = job["R-1"], problem.windows[1].start
    part = one.parts[0]
    steps = [
        Step("align", at, at + 30, -1, 0, 0, part.setup, True, job["CAL"].index),
        Step("transfer", at + 30, at + 30 + part.minutes[0], one.index, 0),
        Step("verify", at + 120, at + 130, one.index),
    ]
    steps += [Step("identify", start, start + 10, job[key].index) for key, start in looks.items()]
    return make_draft(steps, [])


@pytest.mark.parametrize("nights", [0, 2])
def test_a_look_rides_along_with_an_evening_that_has_work(comfortable, start, reel, nights):
    """On an evening before or behind it, alone; the evening of R-1 has room."""
    shelf = replace(comfortable, songs={}).with_reel(reel("R-3", stage="found", condition=()))
    problem = read_problem(shelf, start, 7)
    looked = _with_looks(problem, {"R-3": problem.windows[nights].start})
    fewer = in_fewer_evenings(problem, looked, lambda new, old: _rank(problem, new) <= _rank(problem, old))
    assert ties(problem, looked)[1] == 2 and ties(problem, fewer)[1] == 1
    (look,) = [step for step in fewer.steps if step.kind == "identify"]
    assert problem.windows[1].start <= look.start and look.end <= problem.windows[1].end


def test_a_look_stays_before_the_load_that_waits_for_it(comfortable, start, reel):
    """It was on the only evening before the load: the one with work lies behind."""
    shelf = replace(comfortable, songs={}).with_reel(reel("R-3", stage="found", condition=("sticky",)))
    problem = read_problem(shelf, start, 7)
    job = next(one for one in problem.jobs if one.key == "R-3")
    looked = _with_looks(problem, {"R-3": problem.windows[0].start})
    loaded = Draft(looked.steps, (Load(0, problem.windows[1].start, (job.index,)),))
    assert in_fewer_evenings(problem, loaded, lambda new, old: True) == loaded


def test_looks_at_reels_that_go_no_further_begin_no_evening(comfortable, start, reel):
    """Three acetate reels that smell of vinegar: their looks stand where R-1 plays, on one evening."""
    barred = {"base": "acetate", "condition": (), "signs": ("vinegar",), "stage": "found"}
    reels = {"R-1": comfortable.reels["R-1"], "CAL": comfortable.reels["CAL"]}
    shelf = replace(comfortable, reels=reels, songs={}).with_reel(
        *[reel(f"V-{n}", **barred) for n in range(3)]
    )
    busy = HoursRow((), (start.date(),), 19 * 60, 19 * 60 + 20, bench=True, home=True)
    shelf = replace(shelf, studio=replace(shelf.studio, hours=(*shelf.studio.hours, busy)))
    plan = plan_evenings(shelf, start, 7, effort=0.1)
    looks = {item.reel: item.start.date() for item in plan.items if item.kind == "identify"}
    played = next(item.start.date() for item in plan.items if item.kind == "transfer")
    assert played != start.date() and looks == {f"V-{n}": played for n in range(3)}


def test_a_calibration_reel_is_warmed_once_where_that_serves_all_its_line_ups(comfortable, start):
    """Warmed on the Saturday, needed on the Monday behind it, playable five days: no second load."""
    sticky = replace(comfortable.reels["CAL"], condition=("sticky",))
    shelf = replace(comfortable, songs={}, reels={"R-1": comfortable.reels["R-1"], "CAL": sticky})
    problem = read_problem(shelf, start, 14)
    cal = next(job for job in problem.jobs if job.calibration)
    alone = _with_looks(problem, {})
    steps = [replace(s, start=s.start + 6 * NIGHT, end=s.end + 6 * NIGHT) for s in alone.steps]
    at = steps[0].start - 2 * NIGHT - 10 * 60
    loads = [
        Load(0, at, (cal.index,)),
        Load(0, at + NIGHT, (cal.index,)),
        Load(0, at + 7 * NIGHT, (cal.index,)),
    ]
    once = tidy(problem, make_draft(steps, loads))
    assert len(once.loads) == 1 and [step.calibration for step in once.steps if step.kind == "align"] == [
        cal.index
    ]
    needless = tidy(problem, make_draft(steps, loads[2:]))
    assert [step.calibration for step in needless.steps if step.kind == "align"] == [-1]


def test_a_load_begins_between_two_steps_that_give_way(comfortable, start, reel):
    """Loud until ten, and full of deck work until then; the splices behind it can wait ten minutes."""
    day = HoursRow(("sat",), (), 9 * 60, 23 * 60, bench=True, home=True, loud_until_minutes=10 * 60)
    studio = replace(
        comfortable.studio, hours=(day,), decks=(replace(comfortable.studio.decks[0], loud=True),)
    )
    shelf = replace(comfortable, studio=studio, songs={})
    shelf = shelf.with_reel(reel("R-3", condition=("splices",), splices=100))
    problem = read_problem(shelf, start, 14)
    job = {one.key: one for one in problem.jobs}
    at, part = problem.windows[0].start, job["R-1"].parts[0]
    played = at + 30 + part.minutes[0]
    steps = [
        Step("align", at, at + 30, -1, 0, 0, part.setup, True, job["CAL"].index),
        Step("transfer", at + 30, played, job["R-1"].index, 0),
        Step("repair", played + 5, played + 305, job["R-3"].index),
    ]
    late = make_draft(steps, [Load(0, played + 305, (job["R-2"].index,))])
    (load,) = settled(problem, late).loads
    assert load.start == problem.scale.up(played)


def test_the_helper_who_comes_for_a_part_of_a_day_is_asked_for_by_the_hour(comfortable, start, with_helper):
    """Mondays from 19 to 20: what would do is the helper for the whole of it, and not 'on Monday as well'."""
    shelf = with_helper(comfortable, ())
    hour = HoursRow(("mon",), (), 19 * 60, 20 * 60, helper=True)
    shelf = replace(shelf, studio=replace(shelf.studio, hours=(*shelf.studio.hours, hour)))
    problem = read_problem(shelf, start, 7)
    job = next(one for one in problem.jobs if one.key == "R-1")
    helper = next(one for one in relaxed(problem, job, [job], problem.end) if one.rule == "helper")
    words = [remedy.words for remedy in helper.steps()]
    assert words[0] == "the helper from 19:00 to 22:00 on Mon 7 Sep"
    assert words[1] == "the helper on Tue 8 Sep as well"


def _saturday(comfortable, start, reels, chambers=(), before=None):
    """The problem of a Saturday from nine to eight, someone home to midnight, with those reels and chambers.

    ``before``: hours at home before those of the bench, from which the plan then begins.
    """
    day = HoursRow(("sat",), (), 9 * 60, 20 * 60, bench=True, home=True)
    late = HoursRow(("sat", "sun"), (), 9 * 60, 24 * 60, home=True)
    hours = (day, late, *((before,) if before else ()))
    studio = replace(comfortable.studio, hours=hours, chambers=chambers or comfortable.studio.chambers)
    shelf = replace(comfortable, studio=studio, songs={}, reels={one.key: one for one in reels})
    problem = read_problem(shelf, start + timedelta(days=5, hours=-9 if before else -7), 9)
    return problem, {job.key: job for job in problem.jobs}


def _played(job, at, calibration=-1):
    """Lined up then, played and verified behind that."""
    part = job.parts[0]
    over = at + 30 + part.minutes[0]
    return [
        Step("align", at, at + 30, -1, 0, 0, part.setup, True, calibration),
        Step("transfer", at + 30, over, job.index, 0),
        Step("verify", over, over + job.verify, job.index),
    ]


def test_a_day_on_which_a_calibration_reel_cools_is_settled_too(comfortable, start):
    """Warmed from nine, at hand at five: the line-up by it waits for that, and not for an hour beyond."""
    sticky = replace(comfortable.reels["CAL"], condition=("sticky",))
    problem, job = _saturday(comfortable, start, (sticky, comfortable.reels["R-1"]))
    steps = _played(job["R-1"], 8 * 60 + 30, job["CAL"].index)
    new = settled(problem, make_draft(steps, [Load(0, 0, (job["CAL"].index,))]))
    assert [step.start for step in new.steps if step.kind == "align"] == [8 * 60]


def test_a_load_goes_in_behind_a_touch_of_the_other_chamber_and_a_repair_gives_way(comfortable, start, reel):
    """The first chamber is empty at ten past one, the other one's take-out is over ten minutes later."""
    first = comfortable.studio.chambers[0]
    sticky = [reel(f"R-{n}", condition=("sticky",)) for n in (2, 4, 5)]
    dry = reel("R-6", condition=("splices",), splices=30)
    problem, job = _saturday(comfortable, start, (*sticky, dry), (first, replace(first, id="C2")))
    repair = Step("repair", 260, 260 + job["R-6"].repair, job["R-6"].index)
    loads = [Load(0, 0, (job["R-2"].index,)), Load(1, 10, (job["R-4"].index,))]
    draft = make_draft([repair], [*loads, Load(0, repair.end, (job["R-5"].index,))])
    assert loads_early(problem, draft).loads == (*loads, Load(0, 260, (job["R-5"].index,)))


def test_a_load_goes_in_when_it_ties_nobody_rather_than_sooner(comfortable, start):
    """Someone is home from seven and at the bench from nine: four hours from nine cost nobody a morning."""
    row = HoursRow(("sat",), (), 7 * 60, 9 * 60, home=True)
    problem, job = _saturday(comfortable, start, (comfortable.reels["R-2"],), before=row)
    late = Draft((), (Load(0, 10 * 60, (job["R-2"].index,)),))
    (load,) = loads_early(problem, late).loads
    assert load.start == 2 * 60 and tied_minutes(problem, Draft((), (load,))) == 0


def test_a_lone_calibration_reel_rides_along_with_a_load_of_another_day(comfortable, start):
    """Saturday's load has a tray free: nobody stays at home all Sunday for a tape that serves later."""
    sticky = replace(comfortable.reels["CAL"], condition=("sticky",))
    reels = (sticky, comfortable.reels["R-1"], comfortable.reels["R-2"])
    problem, job = _saturday(comfortable, start, reels)
    draft = make_draft([], [Load(0, 0, (job["R-2"].index,)), Load(0, NIGHT, (job["CAL"].index,))])
    joined = in_one_load(problem, draft, lambda new, old: _rank(problem, new) <= _rank(problem, old))
    (load,) = joined.loads
    assert load.start == 0 and set(load.members) == {job["R-2"].index, job["CAL"].index}
    full = replace(problem, chambers=tuple(replace(facts, trays=1) for facts in problem.chambers))
    assert in_one_load(full, draft, lambda new, old: True) == draft
