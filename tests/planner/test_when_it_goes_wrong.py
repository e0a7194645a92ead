"""Wishes, planning anew, reasons, what-ifs and promises."""

from dataclasses import replace
from datetime import date, timedelta

import pytest
from planonce import plan_evenings

from core.planning.answers.because import why_reel, why_song
from core.planning.answers.changes import another_evening, helper_on, more_trays
from core.planning.answers.simulate import Odds, simulate
from core.planning.answers.whatif import what_if
from core.planning.replan import replan
from core.planning.rules.checker import violations
from core.planning.wishes.wishes import Pin, Wishes


def day_of(plan, kind, reel):
    return next(i.start.date() for i in plan.items if i.kind == kind and i.reel == reel)


def test_a_pinned_reel_is_transferred_on_its_day(shelf, start):
    wish = Wishes(pins=(Pin("R-1", date(2026, 9, 9)),))
    plan = plan_evenings(shelf, start, 14, effort=1, wishes=wish)
    assert day_of(plan, "transfer", "R-1") == date(2026, 9, 9)
    assert violations(shelf, plan) == ()


def test_a_banned_day_is_kept_free_of_the_reel(shelf, start):
    wish = Wishes(pins=(Pin("R-1", date(2026, 9, 7), never=True),))
    plan = plan_evenings(shelf, start, 14, effort=1, wishes=wish)
    assert day_of(plan, "transfer", "R-1") != date(2026, 9, 7)


def test_a_wish_that_cannot_be_met_is_told(shelf, start):
    wish = Wishes(pins=(Pin("R-1", date(2026, 9, 11)),))  # a Friday without bench time
    plan = plan_evenings(shelf, start, 14, effort=1, wishes=wish)
    assert any("R-1" in sentence and "wish not met" in sentence for sentence in plan.moved)


def test_no_chamber_on_a_day_moves_the_load(shelf, start):
    free = plan_evenings(shelf, start, 14, effort=1)
    day = next(i.start.date() for i in free.items if i.kind == "condition")
    plan = plan_evenings(shelf, start, 14, effort=1, wishes=Wishes(no_chamber=(day,)))
    assert all(i.start.date() != day for i in plan.items if i.kind == "condition")


def test_slack_leaves_the_end_of_every_evening_free(shelf, start):
    plan = plan_evenings(shelf, start, 14, effort=1, wishes=Wishes(slack=0.25))
    bench = [i for i in plan.items if i.kind != "condition"]
    assert bench and all((i.end.hour, i.end.minute) <= (21, 15) for i in bench)


def test_slack_is_a_share():
    with pytest.raises(ValueError, match="share"):
        Wishes(slack=1.5)


def test_planning_anew_on_an_unchanged_shelf_moves_nothing(shelf, start):
    plan = plan_evenings(shelf, start, 14, effort=1)
    again = replan(shelf, plan, start, effort=1)
    assert again.moved == ()
    assert [(i.kind, i.reel, i.start) for i in again.items] == [(i.kind, i.reel, i.start) for i in plan.items]


def test_a_failed_transfer_is_planned_anew_and_told(shelf, start):
    plan = plan_evenings(shelf, start, 14, effort=1)
    first = next(i for i in plan.items if i.kind == "transfer")
    later = first.end + timedelta(days=1)
    fresh = replan(shelf, plan, later.replace(hour=16, minute=0), effort=1)
    assert any(i.kind == "transfer" and i.reel == first.reel for i in fresh.items)
    assert violations(shelf, fresh) == ()


def test_the_helper_is_the_reason_where_only_the_helper_is_missing(shelf, start, with_helper):
    away = with_helper(shelf, ())
    plan = plan_evenings(away, start, 7, effort=1)
    because = why_reel(away, plan, "R-1")
    assert because.rule == "helper"
    assert "helper" in because.says


def test_a_song_wished_for_too_soon_gets_a_reason_for_every_late_reel(shelf, start):
    plan = plan_evenings(shelf, start, 14, effort=1)
    reasons = why_song(shelf, plan, "S-1", date(2026, 9, 8))
    assert [one.what for one in reasons] == ["R-2"]  # it is warmed at the weekend
    assert all(one.says for one in reasons)


def test_what_ifs_are_compared_best_first(shelf, start):
    changes = {
        "fridays": another_evening(("fri",), 1140, 1320),
        "four trays": more_trays("C1", 4),
        "helper": helper_on(("mon",)),
    }
    tried = what_if(shelf, start, 14, changes, effort=0.5)
    assert sorted(one.name for one in tried) == sorted(changes)
    assert [one.saved for one in tried] == sorted((one.saved for one in tried), reverse=True)


def test_nothing_goes_wrong_where_the_odds_are_nought(shelf, start):
    plan = plan_evenings(shelf, start, 14, effort=1)
    sure = Odds(runs_over=0, helper_away=0, longer_treatment=0)
    for promise in simulate(shelf, plan, runs=5, odds=sure):
        assert promise.on_time == 1.0
        assert promise.promised == promise.planned


def test_promises_are_seeded_and_never_before_the_plan(shelf, start):
    plan = plan_evenings(shelf, start, 14, effort=1)
    one, two = simulate(shelf, plan, runs=20, seed=7), simulate(shelf, plan, runs=20, seed=7)
    assert one == two
    assert all(p.promised is None or p.planned is None or p.promised >= p.planned for p in one)


def test_a_song_that_waits_for_a_barred_reel_is_promised_nothing(shelf, start):
    barred = shelf.with_reel(replace(shelf.reels["R-3"], condition=("mould",)))
    plan = plan_evenings(barred, start, 14, effort=1)
    promise = next(p for p in simulate(barred, plan, runs=3) if p.song == "S-2")
    assert promise.promised is None


def test_where_no_song_has_a_date_to_hold_nothing_is_played(shelf, start):
    def asked() -> bool:
        raise AssertionError("an evening was played")

    plan = replace(plan_evenings(shelf, start, 14, effort=0), songs=())
    assert simulate(shelf, plan, stop=asked) == ()
    with pytest.raises(AssertionError, match="played"):
        simulate(shelf, plan_evenings(shelf, start, 14, effort=1), stop=asked)


def test_however_short_the_time_a_song_is_not_left_waiting_where_its_reel_has_room(shelf, start, reel):
    """R-1 was to play on Thursday behind a line-up of its own; Monday's plays R-9 and leaves hours free."""
    alike = replace(shelf, reels={"CAL": shelf.reels["CAL"], "R-1": reel("R-1"), "R-9": reel("R-9")})
    song = replace(shelf.songs["S-1"], needs=shelf.songs["S-1"].needs[:1])
    alike = replace(alike, songs={"S-1": song})
    fresh = plan_evenings(alike, start, 7, effort=0.1)
    lined = next(item for item in fresh.items if item.kind == "align")
    nights = timedelta(days=3)
    own = [item for item in fresh.items if item.reel == "R-1"]
    touched = replace(lined, full=False, end=lined.start + timedelta(minutes=10))
    late = [replace(one, start=one.start + nights, end=one.end + nights) for one in (touched, *own)]
    kept = replace(fresh, items=tuple([one for one in fresh.items if one.reel != "R-1"] + late))
    again = replan(alike, kept, start, effort=1, stop=lambda: True)  # no time is left to search
    assert next(i.start.date() for i in again.items if i.reel == "R-1") == start.date()
    assert sum(item.kind == "align" for item in again.items) == 1
