"""What is fetched for an evening: each reel once, place by place, and where a warmed one lies."""

import itertools
from dataclasses import replace

import pytest

from core.clock import later
from core.evening.around.fetch import by_place, to_fetch
from core.evening.around.where_it_lies import NOWHERE, shelf_order, where_it_lies
from core.evening.playing.passes import start_pass, stop_pass
from core.evening.tonight.runsheet import evening_span, planned_steps
from core.evening.warming.load import load
from core.evening.warming.take_out import take_out
from core.plan import Item, Member, Plan, Touch


@pytest.fixture
def now(moment):
    return moment("2026-12-01T19:00")


@pytest.fixture
def shelf(shelf_of, make_reel):
    return shelf_of(
        make_reel("R-001", stage="conditioned", location="A10"),
        make_reel("R-002", condition=("sticky",), location="A2"),
        make_reel("R-003", stage="found"),
        make_reel("CAL-1", role="calibration", location="A2"),
    )


@pytest.fixture
def plan(now):
    def at(minutes):
        return later(now, minutes=minutes)

    setup = (("speed", "15 ips"), ("eq", "NAB"), ("level", "250 nWb/m"), ("noise_reduction", ""))
    warm = Item(
        "condition",
        at(5),
        at(575),
        chamber="C1",
        temperature="54 degC",
        members=(Member("R-002", at(485), at(965), at(21000)),),
        touches=(Touch("load", at(5), at(15)), Touch("turn", at(125), at(135))),
    )
    items = (
        warm,
        Item("align", at(15), at(55), deck="D1", setup=setup, calibration="CAL-1", full=True),
        Item("transfer", at(55), at(100), deck="D1", reel="R-001", passes=1),
        Item("identify", at(100), at(110), reel="R-003"),
        Item("verify", at(110), at(120), reel="R-001"),
    )
    return Plan("x", at(0), at(20000), 0.0, "feasible", 1.0, 0.5, 0.5, items)


MORNING = "Wed 2 Dec 03:00"


def steps_of(plan, now):
    return list(planned_steps(plan, evening_span(now.date(), now)))


def test_every_reel_is_fetched_once_along_the_shelf(shelf, plan, now):
    fetched = by_place(to_fetch(shelf, plan, steps_of(plan, now), now))
    told = {place: [(one.reel, one.uses) for one in rows] for place, rows in fetched.items()}
    assert list(told) == ["A2", "A10", NOWHERE]  # as one walks: A2 before A10
    assert told["A2"] == [("R-002", ("warm",)), ("CAL-1", ("line up",))]
    assert told["A10"] == [("R-001", ("transfer",))]
    assert told[NOWHERE] == [("R-003", ("look at",))]


def test_what_is_done_or_only_turned_is_not_fetched(shelf, plan, now):
    steps = [replace(one, state="done") if one.kind == "transfer" else one for one in steps_of(plan, now)]
    assert "R-001" not in {one.reel for one in to_fetch(shelf, plan, steps, now)}
    only = [one for one in steps_of(plan, now) if one.kind in ("turn", "verify")]
    assert to_fetch(shelf, plan, only, now) == ()


def test_a_planned_load_tells_where_its_reel_lies_before_in_and_after(shelf, plan, now):
    def lies(minutes):
        return where_it_lies(shelf, plan, "R-002", later(now, minutes=minutes))

    assert lies(0).place == "A2"
    assert (lies(60).place, lies(60).chamber) == ("in chamber C1", "C1")
    assert (lies(600).place, lies(600).aside) == ("beside chamber C1", "cools until Wed 2 Dec 11:05")
    assert lies(970).aside == "cooled; else A2"


def test_a_reel_taken_out_early_cools_as_its_log_tells_and_not_as_was_planned(shelf, plan, now):
    began = load(shelf, "C1", ["R-002"], later(now, minutes=50), "someone stays up")
    out = take_out(began, "R-002", later(now, hours=2, minutes=50))
    lies = where_it_lies(out, plan, "R-002", later(now, hours=4))
    assert (lies.place, lies.aside) == ("beside chamber C1", "cools until Tue 1 Dec 23:50")


def test_a_load_whose_chamber_is_full_says_until_when_at_every_door(shelf, plan, now):
    """R-003 is in C1 from 19:00 on, for eight hours; R-002 was to go in at 19:05."""
    from core.evening.around.closing import closing
    from core.evening.tonight.runsheet import evening_span, planned_steps
    from core.paper.evening.calendar import calendar
    from core.paper.look.tell import details

    full = load(shelf, "C1", ["R-003"], now, "someone stays up")
    step = next(one for one in steps_of(plan, now) if one.kind == "load")
    told = f"not before {MORNING}, C1 is full till then"
    assert f"! {told}" in details(full, step, plan, ())
    turn = next(
        one for one in planned_steps(plan, evening_span(step.planned.start.date(), now)) if one.kind == "turn"
    )
    told_of_turn = f"! not by the clock: 2 h after its load went in, which is {told}"
    assert told_of_turn in details(full, turn, plan, ()), "it counts from there, and rings by the plan"
    assert told in calendar(full, plan, now).decode().replace("\r\n ", "").replace("\\", "")
    assert told in " ".join(closing(full, plan, (), later(now, minutes=2)).coming)
    assert not [one for one in details(shelf, step, plan, ()) if "full" in one]


def test_a_real_load_tells_the_same_from_its_log(shelf, now):
    shelf = load(shelf, "C1", ["R-002"], now, "someone stays up")
    inside = where_it_lies(shelf, None, "R-002", later(now, hours=1))
    assert inside.chamber == "C1"
    early = take_out(shelf, "R-002", later(now, hours=1))  # after one of its eight hours
    lies = where_it_lies(early, None, "R-002", later(now, minutes=90))
    assert lies.place == "beside chamber C1" and lies.aside.startswith("cools until")
    cooled = where_it_lies(early, None, "R-002", later(now, hours=2))
    assert cooled.aside == "cooled; else A2", "it cools as long as it was warm"
    warm = replace(early.reel("R-002"), stage="conditioned", conditioned_at=later(now, hours=1))
    plays = start_pass(early.with_reel(warm), "R-002", 1, later(now, hours=20))
    ran = stop_pass(plays, "R-002 1", later(now, hours=20, minutes=9), "sheds")
    stopped = where_it_lies(ran, None, "R-002", later(now, hours=40))
    assert "chamber" not in stopped.place and "on two reels" in stopped.aside, "it ran since"


def test_places_sort_as_one_walks_whatever_the_order_they_come_in():
    places = ["A1", "A2", "A10", "B1", NOWHERE]
    for some in itertools.permutations(places):
        assert sorted(some, key=shelf_order) == places
