"""No bound is above a score that some plan has: least scores of small shelves, theorems.

Those of the shelves that are planned anyway are held beside their plans, in ``test_planner_small_shelves.py``
and ``test_planner_troubles.py``.
"""

from dataclasses import replace
from datetime import datetime, timedelta
from fractions import Fraction
from pathlib import Path

import pytest
import reelsearch
import reelsmall
import reeltheorems
import reeltroubles
from reelbounds import ROUNDED, beginning, bounds_of
from reeljudge_files import read_shelf

from core.planning.bench.draft import Draft, ends_of, score_of
from core.planning.bounds.carried import carried
from core.planning.bounds.songs_bound import relaxed_songs
from core.planning.bounds.whole_bound import Allowed, Evenings, whole_bound
from core.planning.by_evenings import bound_whole
from core.planning.incumbent import Incumbent
from core.planning.proving_songs import first_evenings, proven_songs
from core.planning.search import search
from core.planning.solver.cheaper import Cheaper
from core.planning.solver.solver import Budget
from core.planning.time_left import Clock

SEEDS = 2
OVERDUE = (("chamber", 29), ("chamber", 50), ("calibration", 27))
HELPED = (36, 50, 60)
IN_TURN = (("found", 21), ("night", 13), ("plain", 21))
LATER = ((10, 0), (95, 0), (1500, 0), (1500, -1))  # minutes later, and days longer


@pytest.mark.parametrize(("family", "seed"), OVERDUE)
def test_no_bound_is_above_the_least_score_where_a_load_is_past_its_hours(
    family: str, seed: int, tmp_path: Path
) -> None:
    """The tape is to come out at once and is left over: the search of all plans leaves it, too."""
    so_far, least = _held(family, seed, tmp_path)
    assert any(job.waits for job in so_far.base.jobs)
    search(so_far, 1, by_effort=True, stop=None)
    assert score_of(so_far.base, so_far.best) >= least - ROUNDED


@pytest.mark.parametrize("seed", HELPED)
def test_no_bound_is_above_the_least_score_where_the_helpers_hours_are_few(seed: int, tmp_path: Path) -> None:
    """Shelves whose least score lies below what the rows tell where a touch-up does not count in them."""
    _held("helper", seed, tmp_path)


@pytest.mark.parametrize(("family", "seed"), IN_TURN)
def test_the_bound_is_the_least_score_where_a_deck_is_lined_up_to_one_thing_after_another(
    family: str, seed: int, tmp_path: Path
) -> None:
    """A touch-up serves only what the deck stands on still, helper or not."""
    so_far, least = _held(family, seed, tmp_path)
    bound = whole_bound(so_far.base, Fraction(0), Allowed(None, 20)).bound
    assert bound is not None and bound >= least - ROUNDED


def test_two_long_warmings_do_not_fit_into_a_day_where_a_short_one_does_besides(tmp_path: Path) -> None:
    """One tray, someone home twelve hours a day, two tapes that want eight hours and one that wants three.

    Both songs of weight 9 wait for one of the long ones: one of them is there on the second evening at best,
    35 hours from the beginning, and the other on the first, after 11.
    """
    known = reeltheorems.warmed_in_turn(tmp_path)
    so_far = beginning(known.folder, reeltheorems.START, known.days)
    bound = whole_bound(so_far.base, Fraction(0), Allowed(None, 20)).bound
    assert bound is not None and bound >= known.expected
    search(so_far, 2, by_effort=True, stop=None)
    assert bound <= score_of(so_far.base, so_far.best) + ROUNDED


@pytest.mark.parametrize("build", [reeltheorems.warmed_apart, reeltheorems.looked_at_and_warmed])
def test_a_day_holds_no_two_temperatures_and_no_load_before_its_looks(build, tmp_path: Path) -> None:
    """Either shelf has room for both tapes on one day but for that; what a plan comes to is no lower."""
    known = build(tmp_path)
    so_far = beginning(known.folder, reeltheorems.START, known.days)
    bound = whole_bound(so_far.base, Fraction(0), Allowed(None, 20)).bound
    assert bound is not None and bound >= known.expected
    search(so_far, 2, by_effort=True, stop=None)
    assert len(ends_of(so_far.best)) == 2
    assert bound <= score_of(so_far.base, so_far.best) + Fraction(1, 10**6)


def test_an_evening_holds_no_more_than_has_an_order_in_it(tmp_path: Path) -> None:
    """By its minutes the first evening holds all three tapes; behind its line-up there is room for one."""
    known = reeltheorems.lined_up_late(tmp_path)
    so_far = beginning(known.folder, reeltheorems.START, known.days)
    evenings = Evenings.of(so_far.base, Fraction(0))
    least = evenings.least(Allowed(None, 50))
    assert least.bound is not None and least.bound < known.expected
    while evenings.bar_without_order(least):
        least = evenings.least(Allowed(None, 50))
    assert least.bound is not None and least.bound >= known.expected
    search(so_far, 2, by_effort=True, stop=None)
    assert len(ends_of(so_far.best)) == 3
    assert least.bound <= score_of(so_far.base, so_far.best) + ROUNDED


def _held(family: str, seed: int, folder: Path) -> tuple[Incumbent, Fraction]:
    """A small shelf and its least score, above which no bound is."""
    small = reelsmall.small_shelf(folder, family, seed)
    until = (datetime.fromisoformat(small.start) + timedelta(days=small.days)).isoformat()
    least, _ = reelsearch.least(read_shelf(small.folder), small.start, until)
    so_far = beginning(small.folder, small.start, small.days)
    assert max(bounds_of(so_far)) <= Fraction(least) + ROUNDED, seed
    return so_far, Fraction(least)


@pytest.mark.parametrize("family", reelsmall.FAMILIES)
def test_the_least_score_carried_to_a_later_beginning_is_no_higher_than_the_least_from_there(
    family: str, tmp_path: Path
) -> None:
    """The strongest bound that there can be, the least score itself, taken to later beginnings."""
    held = 0
    for seed in range(SEEDS):
        small = reelsmall.small_shelf(tmp_path / str(seed), family, seed)
        case, zone = read_shelf(small.folder), beginning(small.folder, small.start, small.days)
        first, days = datetime.fromisoformat(small.start), timedelta(days=small.days)
        least, _ = reelsearch.least(case, small.start, (first + days).isoformat())
        plan = zone.plan_of(zone.best)
        known = replace(plan, bound=float(int(least * 10_000)) / 10_000)
        for minutes, end in LATER:
            start = first + timedelta(minutes=minutes)
            later = beginning(small.folder, start.isoformat(), small.days + end)
            bound = carried(later.shelf, known, later.base)
            if bound is None:
                continue
            until = (start + days + timedelta(days=end)).isoformat()
            there, _ = reelsearch.least(case, start.isoformat(), until)
            assert bound <= there + ROUNDED, (seed, minutes, end)
            held += 1
    assert held >= SEEDS


def test_songs_of_many_reels_are_proven_in_the_evenings_that_they_need(tmp_path: Path) -> None:
    """Sixty reels in eight weeks: a second of work, where in parts the same rows tell a seventh less."""
    made = reeltroubles.troubled_shelf(tmp_path, "60", 1, comfort=True)
    so_far = beginning(made.folder, made.start, made.days)
    score, parts = score_of(so_far.base, so_far.best), relaxed_songs(so_far.base, 60.0)
    evenings = first_evenings(so_far.base, so_far.best)
    assert evenings < len(so_far.base.windows)
    proof = proven_songs(so_far.base, evenings, Budget(60.0, 1.0), score)
    assert proof.solved and proof.least.bound is not None and parts is not None
    assert parts * Fraction(7, 6) < proof.least.bound < score


@pytest.mark.parametrize("build", reeltheorems.ALL)
def test_no_bound_is_above_a_theorems_score(build, tmp_path: Path) -> None:
    known = build(tmp_path)
    so_far = beginning(known.folder, reeltheorems.START, known.days)
    assert max(bounds_of(so_far)) <= Fraction(known.expected) + ROUNDED


def test_evenings_that_are_filled_to_the_minute_are_bounded_near_their_score(tmp_path: Path) -> None:
    known = reeltheorems.bins(tmp_path)
    so_far = beginning(known.folder, reeltheorems.START, known.days)
    assert max(bounds_of(so_far)) >= Fraction(known.expected) * Fraction(9, 10)


@pytest.mark.parametrize("family", ("songs", "helper", "chamber", "looks"))
def test_what_is_barred_of_evenings_bars_no_best_plan(family: str, tmp_path: Path) -> None:
    """Begun from no plan at all: each better one is found by its evenings, and nothing is barred wrongly."""
    found = 0
    for seed in range(100, 103):
        small = reelsmall.small_shelf(tmp_path / str(seed), family, seed)
        until = (datetime.fromisoformat(small.start) + timedelta(days=small.days)).isoformat()
        least, _ = reelsearch.least(read_shelf(small.folder), small.start, until)
        so_far = beginning(small.folder, small.start, small.days)
        if not (so_far.base.comfort.marks and so_far.base.work and so_far.base.windows):
            continue
        so_far.best, so_far.clock = Draft(), Clock(8.0, True, None)
        bound_whole(so_far, 1.0, Fraction(0))
        assert so_far.bound <= Fraction(least) + ROUNDED, seed
        assert score_of(so_far.base, so_far.best) >= Fraction(least) - ROUNDED, seed
        assert so_far.refused == []
        found += so_far.closed()
    assert found


def test_evenings_of_the_best_plan_are_never_barred(tmp_path: Path) -> None:
    """Asked of dearer plans than the best: it is found. Of cheaper ones: some of its evenings bar it."""
    small = reelsmall.small_shelf(tmp_path, "songs", 100)
    so_far = beginning(small.folder, small.start, small.days)
    search(so_far, 2, by_effort=True, stop=None)
    problem, best = so_far.base, score_of(so_far.base, so_far.best)
    assert so_far.closed()
    ends = ends_of(so_far.best)
    by = {job: next(w.index for w in problem.windows if end <= w.end) for job, end in ends.items()}
    last = Evenings.of(problem, Fraction(0)).last
    dearer = Cheaper.than(problem, so_far.best, best + 100, lambda: 60.0)
    found = dearer.with_reels_by(by, last, 1.0).draft
    assert found is not None and score_of(problem, found) == best  # at once the cheapest, not any cheaper one
    barred = Cheaper.than(problem, so_far.best, best, lambda: 60.0).with_reels_by(by, last, 1.0).barred
    assert barred
    assert all(by[job] <= evening for job, evening in barred)
    dearer.below(best)  # asked of plans that are cheaper still, it bars them too
    assert dearer.with_reels_by(by, last, 1.0).barred


def test_no_bound_follows_while_evenings_are_set_aside(tmp_path: Path) -> None:
    small = reelsmall.small_shelf(tmp_path, "songs", 100)
    evenings = Evenings.of(beginning(small.folder, small.start, small.days).base, Fraction(0))
    before = evenings.least(Allowed(None, 20))
    assert before.bound is not None and before.evenings
    evenings.set_aside(before.evenings)
    meanwhile = evenings.least(Allowed(None, 20))
    assert meanwhile.bound is None and meanwhile.evenings != before.evenings
    evenings.all_again()
    assert evenings.least(Allowed(None, 20)).bound == before.bound
