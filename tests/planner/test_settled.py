"""Within an evening a plan is as a person would have it: early, without waiting, a pause in a long day."""

from dataclasses import replace
from datetime import timedelta
from fractions import Fraction
from itertools import pairwise

import pytest

from core.planning.plan_evenings import plan_evenings
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


def test_what_slack_costs_can_be_asked(comfortable, start, reel):
    from core.planning.answers.whatif import what_if, with_slack

    full = comfortable.with_reel(*[reel(f"T-{n}") for n in range(20)])
    (told,) = what_if(full, start, 7, {"slack 0%": with_slack(Fraction(0))}, effort=1)
    assert told.saved > 0 and len(told.no_longer_left) > len(told.now_left)
