"""An evening that runs late is carried on: what was to be done in it is done in it, as far as it has room."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime, timedelta
from typing import Any

import pytest

from core.plan import Plan
from core.planning.bench.carry_on import carried_on, tapes_first
from core.planning.facts.reading import read_problem
from core.planning.plan_evenings import plan_evenings
from core.planning.replan import replan
from core.planning.rules.checker import violations
from core.planning.wishes.wishes import Wishes
from core.shelf import Shelf
from core.songs.song import Need, Song
from core.studio.studio import HoursRow


@pytest.fixture
def evening(shelf: Shelf, start: datetime, reel: Any) -> tuple[Shelf, Plan]:
    """Four sound reels, all of them to be played on the first evening behind one line-up."""
    reels = {f"R-{n}": reel(f"R-{n}") for n in range(1, 5)} | {"CAL": shelf.reels["CAL"]}
    sound = replace(shelf, reels=reels, songs={})
    plan = plan_evenings(sound, start, 7, effort=0.5)
    played = [item for item in plan.items if item.kind == "transfer"]
    assert len(played) == 4
    assert len({item.start.date() for item in played}) == 1
    return sound, plan


def test_what_is_late_comes_first_and_in_its_order(evening: tuple[Shelf, Plan]) -> None:
    shelf, plan = evening
    now = plan.items[0].start + timedelta(minutes=40)
    problem = read_problem(shelf, now, 7)
    draft = carried_on(problem, plan)
    assert draft is not None
    tonight = [step for step in draft.steps if step.start < 180]
    was = [(item.kind, *item.reels) for item in plan.items if item.kind != "align"]
    now_is = [(step.kind, problem.jobs[step.job].key) for step in tonight if step.job >= 0]
    assert [one for one in was if one in now_is] == now_is
    assert tonight[0].start == 0
    assert len([step for step in tonight if step.kind == "transfer"]) >= 3


def test_a_plan_made_anew_without_a_search_does_tonight_what_was_late(
    shelf: Shelf, start: datetime, reel: Any
) -> None:
    """Else what is not late keeps its hours, and the first of the evening goes to another one."""
    reels = {f"R-{n}": reel(f"R-{n}", stage="transferred") for n in range(20)}
    song = Song("S-1", "Tern", album="Low Water", priority=9, needs=(Need("R-7"),))
    shelf = replace(shelf, reels=reels, songs={"S-1": song})
    plan = plan_evenings(shelf, start, 7, seconds=0)
    assert plan.items[0].reels == ("R-7",)
    opened = plan.items[0].start
    new = replan(shelf, plan, opened + timedelta(minutes=40), seconds=0)
    assert not violations(shelf, new)
    assert next(item for item in new.items if item.reels == ("R-7",)).start.date() == opened.date()


def test_between_two_evenings_nothing_is_carried_on(evening: tuple[Shelf, Plan]) -> None:
    shelf, plan = evening
    assert carried_on(read_problem(shelf, plan.items[0].start - timedelta(hours=5), 7), plan) is None


def test_an_evening_that_was_added_is_used(shelf: Shelf, start: datetime, reel: Any) -> None:
    """A step that comes sooner in an evening for which nothing was told is no move that costs."""
    reels = {f"R-{n}": reel(f"R-{n}") for n in range(1, 7)} | {"CAL": shelf.reels["CAL"]}
    off = HoursRow((), (date(2026, 9, 8),), 0, 0, off=True)  # Tuesday
    studio = shelf.studio
    two = replace(shelf, reels=reels, songs={}, studio=replace(studio, hours=(*studio.hours, off)))
    plan = plan_evenings(two, start, 7, effort=0.5)
    assert {item.start.day for item in plan.items} == {7, 9}
    new = replan(
        replace(two, studio=studio),
        plan,
        start + timedelta(minutes=30),
        effort=0.5,
        wishes=Wishes(price=50.0),
    )
    assert 8 in {item.start.day for item in new.items if item.kind == "transfer"}


def test_looks_of_an_evening_give_way_to_its_tapes(evening: tuple[Shelf, Plan], reel: Any) -> None:
    """Ten minutes too many: a look goes to another evening, not a tape for which the deck is lined up."""
    shelf, plan = evening
    opened = min(item.start for item in plan.items)
    looks = {f"L-{n}": reel(f"L-{n}", stage="found") for n in range(2)}
    shelf = replace(shelf, reels={**shelf.reels, **looks})
    plan = plan_evenings(shelf, opened, 7, effort=0.5)
    first = {item.reels[0] for item in plan.items if item.kind == "transfer" and item.start.day == opened.day}
    new = replan(shelf, plan, opened + timedelta(minutes=5), effort=0.5)
    still = {item.reels[0] for item in new.items if item.kind == "transfer" and item.start.day == opened.day}
    assert still == first
    moved = [move for move in new.moves if move.now is None or move.now.day != opened.day]
    assert {move.kind for move in moved if move.was is not None and move.was.day == opened.day} <= {
        "identify"
    }


def test_an_evening_too_short_for_all_keeps_its_tapes_before_anything_was_searched(
    evening: tuple[Shelf, Plan], reel: Any
) -> None:
    """What is late is carried on with looks and verifies behind the tapes, each where there is room first."""
    shelf, plan = evening
    opened = min(item.start for item in plan.items)
    looks = {f"L-{n}": reel(f"L-{n}", stage="found") for n in range(3)}
    seen = {f"V-{n}": reel(f"V-{n}", stage="transferred") for n in range(3)}
    shelf = replace(shelf, reels={**shelf.reels, **looks, **seen})
    plan = plan_evenings(shelf, opened, 7, effort=0.5)

    def played(kept: Plan) -> set[str]:
        tonight = (item for item in kept.items if item.start.date() == opened.date())
        return {item.reel for item in tonight if item.kind == "transfer"}

    now = opened + timedelta(minutes=40)
    problem = read_problem(shelf, now, 7)
    draft = tapes_first(problem, plan)
    assert draft is not None
    tonight = {step.job for step in draft.steps if step.kind == "transfer" and step.start < 180}
    assert {problem.jobs[job].key for job in tonight} == played(plan)
    at_once = replan(shelf, plan, now, effort=0, wishes=Wishes(price=50.0))
    assert not violations(shelf, at_once) and played(at_once) == played(plan)
    tonight_is = [item.kind for item in at_once.items if item.start.date() == opened.date()]
    assert tonight_is[:2] == ["align", "transfer"], "what is loud before what is done at the table"
    gone = [move for move in at_once.moves if move.now is None or move.now.date() != opened.date()]
    assert {move.kind for move in gone if move.was and move.was.date() == opened.date()} <= {
        "identify",
        "verify",
    }
    before = opened - timedelta(hours=5)
    assert tapes_first(read_problem(shelf, before, 7), plan) is None


def test_what_left_the_evening_comes_back_when_there_is_room_again(
    evening: tuple[Shelf, Plan], reel: Any
) -> None:
    """The deck does not run, and looks fill the evening; then it runs, and its tapes are tonight's still."""
    shelf, plan = evening
    opened = min(item.start for item in plan.items)
    looks = {f"L-{n}": reel(f"L-{n}", stage="found") for n in range(3)}
    shelf = replace(shelf, reels={**shelf.reels, **looks})
    plan = plan_evenings(shelf, opened, 7, effort=0.5)
    tonight = opened.date()

    def played(kept: Plan) -> set[str]:
        return {one.reel for one in kept.items if one.kind == "transfer" and one.start.date() == tonight}

    now = opened + timedelta(minutes=10)
    off = replan(shelf, plan, now, effort=0.5, wishes=Wishes(no_deck=(("", tonight),)))
    assert not played(off) and any(one.start.date() == tonight for one in off.items)
    went = [one for one in off.moves if one.was is not None and one.was.date() == tonight]
    left = tuple((one.kind, one.reel, one.was) for one in went if one.was is not None)
    calm = Wishes(price=1e6)  # whatever moves costs more than it brings
    assert not played(replan(shelf, off, now, effort=0.5, wishes=calm))
    back = replan(shelf, off, now, effort=0.5, wishes=replace(calm, left=left))
    assert len(played(back)) >= 3 and not violations(shelf, back)
