"""The run sheet: planned and actual times, how late it runs, what will not fit."""

from dataclasses import replace
from fractions import Fraction

import pytest

from core.clock import Span, evening_of, later
from core.errors import Refused
from core.evening.afterwards.catch_up import unmarked
from core.evening.around.begins import switched_on
from core.evening.around.fetch import to_fetch
from core.evening.around.hours import without_helper
from core.evening.deck_fails import lies_there
from core.evening.tonight.before_pass import before_pass
from core.evening.tonight.hours_asked import outside_hours
from core.evening.tonight.patching import slow_first
from core.evening.tonight.projected import projected
from core.evening.tonight.runsheet import evening_span, planned_steps, run_sheet
from core.evening.tonight.sheet import RunSheet, Step, hour_of
from core.evening.tonight.steps import (
    finish_step,
    over_without_a_start,
    repeat_step,
    skip_step,
    start_step,
)
from core.evening.tonight.transfer import halt, press
from core.plan import Item, Member, Move, Plan, Touch
from core.quantities import Quantity
from core.studio.opening import opening


@pytest.fixture
def now(moment):
    return moment("2026-12-01T19:00")


@pytest.fixture
def shelf(shelf_of, make_reel):
    return shelf_of(
        make_reel("R-001", stage="conditioned"),
        make_reel("R-002", condition=("sticky",)),
        make_reel("R-003", stage="found"),
        make_reel("R-009", stage="conditioned"),
        make_reel("CAL-1", role="calibration"),
    )


@pytest.fixture
def plan(now):
    def at(minutes):
        return later(now, minutes=minutes)

    setup = (("speed", "15 ips"), ("eq", "NAB"), ("level", "250 nWb/m"), ("noise_reduction", ""))
    load = Item(
        "condition",
        at(90),
        at(580),
        chamber="C1",
        temperature="54 degC",
        members=(Member("R-002", at(570), at(1050), at(21000)),),
        touches=(Touch("load", at(90), at(100)), Touch("turn", at(210), at(220))),
    )
    items = (
        Item("align", at(0), at(40), deck="D1", setup=setup, calibration="CAL-1", full=True),
        Item("transfer", at(40), at(85), deck="D1", reel="R-001", passes=1),
        load,
        Item("identify", at(100), at(110), reel="R-003"),
        Item("transfer", at(110), at(155), deck="D1", reel="R-009", passes=1),
    )
    return Plan("x", at(0), at(20000), 0.0, "feasible", 1.0, 0.5, 0.5, items)


def other_setup(align):
    return replace(align, setup=(*align.setup[:1], ("eq", "IEC1"), *align.setup[2:]))


def by_kind(sheet, kind):
    return next(step for step in sheet.steps if step.kind == kind)


def test_an_evening_goes_on_past_midnight(moment):
    assert evening_of(moment("2026-12-02T01:30")) == evening_of(moment("2026-12-01T19:00"))
    assert evening_of(moment("2026-12-02T04:00")) != evening_of(moment("2026-12-01T19:00"))


def test_the_evening_starts_with_the_line_up(shelf, plan, now):
    sheet = run_sheet(shelf, plan, now)
    assert [step.kind for step in sheet.steps] == [
        "align",
        "transfer",
        "load",
        "identify",
        "transfer",
        "turn",
    ]
    assert sheet.current.kind == "align" and sheet.next_touch.kind == "load" and sheet.late_minutes == 0


def test_a_late_line_up_pushes_the_reels_but_not_the_load(shelf, plan, now):
    align = run_sheet(shelf, plan, now).current
    begun = start_step(shelf, align, later(now, minutes=20))
    sheet = run_sheet(begun, plan, later(now, minutes=30))
    assert sheet.current.state == "running"
    assert by_kind(sheet, "transfer").expected.start == later(now, minutes=60)
    assert sheet.late_minutes == 15  # five minutes of a pause before the last transfer take up the rest
    assert sheet.spare_minutes == 40  # to 22:30
    assert by_kind(sheet, "load").expected.start == later(now, minutes=90)


def test_what_no_longer_fits_the_loud_hours_is_said(shelf, plan, now):
    sheet = run_sheet(shelf, plan, later(now, minutes=60))
    assert [step.subject for step in sheet.will_not_fit] == ["R-009"]


def test_what_has_no_room_stands_behind_what_must_be_done_at_its_time(shelf, plan, now):
    """At 20:40 nothing was begun: R-009 has no loud time left, the turn of the load is due at its minute."""
    sheet = run_sheet(shelf, plan, later(now, minutes=100))
    rows = [step for step in sheet.steps if step.state == "waiting"]
    assert any(not step.fits for step in rows) and any(step.touch for step in rows)
    assert [step.fits for step in rows] == sorted((step.fits for step in rows), reverse=True)
    falls = [step.expected.start for step in rows if step.fits]
    assert falls == sorted(falls), "those with room go by time"


def test_a_look_that_ran_while_it_was_planned_once_more_is_one_row(shelf, plan, now):
    """Begun at its time; a plan made at 19:40 has it again at 20:45; told done at 20:44."""
    look = by_kind(run_sheet(shelf, plan, now), "identify")
    begun = start_step(shelf, look, later(now, minutes=30))
    seen = begun.with_reel(replace(begun.reel(look.subject), condition=("ok",)))
    done = finish_step(seen, look, later(now, minutes=104))
    (item,) = [one for one in plan.items if one.kind == "identify"]
    again = replace(item, start=later(now, minutes=105), end=later(now, minutes=115))
    sheet = run_sheet(done, replace(plan, items=(again,)), later(now, minutes=106))
    (row,) = [step for step in sheet.steps if step.kind == "identify"]
    assert row.state == "done" and row.finished == later(now, minutes=104)


def test_what_was_done_before_its_time_stands_where_it_was_done(shelf, plan, now):
    look = by_kind(run_sheet(shelf, plan, now), "identify")
    done = over_without_a_start(shelf, look, later(now, minutes=20))
    sheet = run_sheet(done, plan, later(now, minutes=60))
    rows = [step.kind for step in sheet.steps]
    assert rows[0] == "identify", "before the line-up that waits still at eight"


def test_finishing_a_line_up_lines_the_waiting_reels_up(shelf, plan, now):
    step = run_sheet(shelf, plan, now).current
    done = finish_step(start_step(shelf, step, now), step, later(now, minutes=35))
    assert done.reel("R-001").stage == "aligned"
    sheet = run_sheet(done, plan, later(now, minutes=36))
    assert by_kind(sheet, "align").state == "done" and sheet.current.subject == "R-001"


def test_a_line_up_planned_again_in_mid_evening_is_done_where_the_deck_stands(shelf, plan, now):
    step = run_sheet(shelf, plan, now).current
    done = finish_step(start_step(shelf, step, now), step, later(now, minutes=35))
    again = replace(plan.items[0], start=later(now, minutes=60), end=later(now, minutes=75), full=False)
    other = other_setup(again)
    sheet = run_sheet(done, replace(plan, items=(again,)), later(now, minutes=50))
    assert [one.state for one in sheet.steps if one.kind == "align"] == ["done"]
    # planned again while it ran: the new plan's line-up begins before this one ended
    early = replace(plan, items=(replace(again, start=later(now, minutes=10), end=later(now, minutes=50)),))
    assert [s.state for s in run_sheet(done, early, later(now, minutes=36)).steps] == ["done"]
    # and on another evening, the deck lined up since to something else, nothing of it is unmarked
    then = Span(later(now, hours=48), later(now, hours=49))
    since = finish_step(done, replace(step, key="x", planned=then, item=other_setup(step.item)), then.end)
    assert unmarked(since, early, later(now, hours=49)) == ()
    assert unmarked(shelf, early, later(now, hours=49)) != (), "a line-up that nobody made is"
    sheet = run_sheet(done, replace(plan, items=(other,)), later(now, minutes=50))
    assert [one.state for one in sheet.steps if one.kind == "align"] == ["done", "waiting"]
    back = replace(again, start=later(now, minutes=90), end=later(now, minutes=105))  # after another set-up
    sheet = run_sheet(done, replace(plan, items=(other, back)), later(now, minutes=50))
    assert [one.state for one in sheet.steps if one.kind == "align"] == ["done", "waiting", "waiting"]


def test_what_follows_a_line_up_that_stands_already_comes_sooner_by_its_minutes(shelf, plan, now):
    step = run_sheet(shelf, plan, now).current
    done = finish_step(start_step(shelf, step, now), step, later(now, minutes=35))
    align, transfer = plan.items[:2]
    again = replace(align, start=later(now, minutes=40), end=later(now, minutes=55), full=False)
    played = replace(transfer, start=later(now, minutes=55), end=later(now, minutes=100))
    sheet = run_sheet(done, replace(plan, items=(again, played)), later(now, minutes=36))
    assert by_kind(sheet, "transfer").expected.start == later(now, minutes=40)


def test_a_line_up_that_is_done_sooner_spares_its_minutes(shelf, plan, now):
    """Spare is time left against work left: the rows behind keep their times, but need not.

    19:20 to 20:05 R-001, 20:15 the look: R-009 waits for the load of 20:30 and ends 21:25, not 21:30.
    """
    sheet = run_sheet(shelf, plan, now)
    begun = start_step(shelf, sheet.current, now)
    done = finish_step(begun, sheet.current, later(now, minutes=20))
    then = run_sheet(done, plan, later(now, minutes=20))
    assert (then.late_minutes, then.spare_minutes) == (0, sheet.spare_minutes + 5)


def test_spare_is_never_more_than_the_clock_leaves(shelf, plan, now):
    """The look runs since 20:52, 10 min long; at 21:40 it runs still, and the bench ends at 22:30."""
    look = by_kind(run_sheet(shelf, plan, now), "identify")
    begun = start_step(shelf, look, later(now, minutes=112))
    alone = replace(plan, items=tuple(one for one in plan.items if one.kind == "identify"))
    assert run_sheet(begun, alone, later(now, minutes=160)).spare_minutes == 50


def test_what_waits_begins_after_what_runs_whatever_the_order(shelf, plan, now):
    sheet = run_sheet(shelf, plan, now)
    shelf = start_step(shelf, by_kind(sheet, "identify"), now)  # the line-up before it still waits
    sheet = run_sheet(shelf, plan, later(now, minutes=3))
    assert by_kind(sheet, "align").expected.start == later(now, minutes=10)
    assert sheet.late_minutes == 0  # the look is done early, and there is room before the last transfer
    assert (
        run_sheet(shelf, plan, later(now, minutes=30)).late_minutes == 35
    )  # lined up 20:10, R-001 waits for the load of 20:30, then 20:40 and 45 + 45 minutes, for 21:35


def test_nothing_is_verified_before_it_is_transferred(shelf, plan, now):
    look = Item("verify", later(now, minutes=85), later(now, minutes=95), reel="R-001")
    step = by_kind(run_sheet(shelf, replace(plan, items=(look,)), now), "verify")
    with pytest.raises(Refused, match="R-001 is not transferred yet"):
        start_step(shelf, step, now)


def test_a_finished_transfer_stays_on_the_sheet_when_the_plan_forgets_it(shelf, plan, now):
    align, transfer = run_sheet(shelf, plan, now).steps[:2]
    done = finish_step(finish_step(shelf, align, later(now, minutes=40)), transfer, later(now, minutes=85))
    assert done.reel("R-001").stage == "transferred"
    assert by_kind(run_sheet(done, None, later(now, minutes=90)), "transfer").state == "done"


def test_a_load_is_started_by_its_step_and_a_late_turn_is_logged(shelf, plan, now):
    sheet = run_sheet(shelf, plan, now)
    loaded = finish_step(shelf, by_kind(sheet, "load"), later(now, minutes=92), "up all night")
    assert loaded.reel("R-002").chamber == "C1"
    turn = by_kind(run_sheet(loaded, plan, later(now, minutes=230)), "turn")
    turned = finish_step(loaded, turn, later(now, minutes=235))
    touch = next(iter(turned.of_kind("load").values()))["touches"][-1]
    assert (touch["late_minutes"], touch["within_tolerance"]) == (25, False)


def test_a_skipped_step_keeps_its_reason_and_a_repeat_runs_again(shelf, plan, now):
    step = by_kind(run_sheet(shelf, plan, now), "identify")
    skipped = skip_step(shelf, step, now, "no light")
    assert by_kind(run_sheet(skipped, plan, now), "identify").because == "no light"
    again = repeat_step(skipped, step, later(now, minutes=5))
    states = {s.state for s in run_sheet(again, plan, now).steps if s.kind == "identify"}
    assert states == {"running", "skipped"}


def test_identifying_asks_for_what_the_gate_asks(shelf, plan, now, make_reel):
    bare = shelf.with_reel(make_reel("R-003", stage="found", condition=()))
    with pytest.raises(Refused, match="condition"):
        finish_step(bare, by_kind(run_sheet(bare, plan, now), "identify"), now)


def test_a_pass_that_ends_before_the_load_says_its_latest_start(shelf, plan, now):
    advice = before_pass(shelf, run_sheet(shelf, plan, now), "R-001", later(now, minutes=40))
    assert not advice.collides
    assert "latest start 19:56" in advice.says[2]
    assert advice.says[0] == "test it by hand first"  # a sound tape of a stock that nobody knows


def test_a_pass_that_meets_a_touch_is_finished_first(shelf, plan, now):
    advice = before_pass(shelf, run_sheet(shelf, plan, now), "R-001", later(now, minutes=80))
    assert advice.collides and "finish the pass" in " ".join(advice.says)


def test_a_disk_without_room_is_said_before_the_pass(shelf, plan, now):
    advice = before_pass(shelf, run_sheet(shelf, plan, now), "R-001", now, free_bytes=10**9)
    assert "no room: 33:20 takes 9.2 GB, 1.0 GB are free" in advice.says


def test_two_line_ups_of_one_deck_both_stay_while_the_first_runs(shelf, plan, now):
    other = replace(
        plan.items[0],
        start=later(now, minutes=110),
        end=later(now, minutes=150),
        setup=(("speed", "15 ips"), ("eq", "IEC1"), ("level", "320 nWb/m"), ("noise_reduction", "")),
    )
    back = replace(plan.items[0], start=later(now, minutes=160), end=later(now, minutes=200))
    both = replace(plan, items=(plan.items[0], other, back))
    begun = start_step(shelf, run_sheet(shelf, both, now).current, now)
    states = [one.state for one in run_sheet(begun, both, later(now, minutes=5)).steps if one.kind == "align"]
    assert states == ["running", "waiting", "waiting"]
    # planned again in mid-evening: what runs is told once, what follows another set-up stays
    again = replace(both, items=(replace(plan.items[0], start=later(now, minutes=10)), other, back))
    states = [
        one.state for one in run_sheet(begun, again, later(now, minutes=5)).steps if one.kind == "align"
    ]
    assert states == ["running", "waiting", "waiting"]


def test_a_stopped_transfer_that_was_moved_is_not_now_any_more(shelf, plan, now):
    step = next(one for one in run_sheet(shelf, plan, now).steps if one.subject == "R-001")
    shelf = press(shelf, step, now)
    shelf = halt(shelf, "R-001", later(now, minutes=12), "splice", step_too=False)
    running = run_sheet(shelf, plan, later(now, minutes=13)).current
    assert (running.subject, running.state) == ("R-001", "running")  # the plan still has it here
    repair = Item("repair", later(now, minutes=20), later(now, minutes=30), reel="R-001")
    moved = replace(plan.items[1], start=later(now, minutes=60), end=later(now, minutes=90))
    again = replace(plan, items=(repair, moved))
    sheet = run_sheet(shelf, again, later(now, minutes=15))
    assert [(one.kind, one.state) for one in sheet.steps] == [
        ("transfer", "skipped"),
        ("repair", "waiting"),
        ("transfer", "waiting"),
    ]
    assert sheet.steps[0].because == "stands at 12:00 (splice), goes on Tue 20:00"
    on = press(
        finish_step(shelf, sheet.steps[1], later(now, minutes=30)), sheet.steps[2], later(now, minutes=60)
    )
    sheet = run_sheet(on, again, later(now, minutes=61))
    assert [one.state for one in sheet.steps if one.kind == "transfer"] == ["skipped", "running"]
    assert len(on.of_kind("pass")) == 1 and len(on.of_kind("pass")["R-001 1"]["pieces"]) == 2


def test_nothing_is_heard_first_while_another_tape_runs(shelf, plan, now):
    step = next(one for one in run_sheet(shelf, plan, now).steps if one.subject == "R-001")
    heard = replace(plan, items=(Item("audition", now, later(now, minutes=10), reel="R-009"),))
    first = run_sheet(shelf, heard, now).steps[0]
    assert press(shelf, first, now), "a good case: nothing runs"
    with pytest.raises(Refused, match="pass 1 of R-001 is running: stop it first"):
        press(press(shelf, step, now), first, later(now, minutes=5))


def test_a_line_up_for_what_has_no_room_has_none_either_and_is_not_fetched_for(shelf, plan, now):
    """21:00: 40 minutes of line-up and 45 of tape end after 22:00, until when the deck may be loud."""
    late = later(now, minutes=120)
    sheet = run_sheet(shelf, plan, late)
    assert {one.kind for one in sheet.waiting if not one.fits and not one.touch} == {"align", "transfer"}
    look = by_kind(sheet, "identify")
    assert look.fits and f"{look.expected.start:%H:%M}" == "21:00"  # not behind the line-up
    assert {one.reel for one in to_fetch(shelf, None, sheet.steps, late)} == {"R-003"}
    assert not switched_on(shelf, sheet)


def test_looks_give_way_to_a_tape_that_has_room_only_before_them(shelf, plan, now):
    """Half an hour of looking, and 33 minutes of tape (45 with the hands) on a deck loud until 22:00."""

    def at(minutes):
        return later(now, minutes=minutes)

    look = Item("identify", at(0), at(10), reel="R-003")
    rest = (Item("verify", at(10), at(30), reel="R-009"), replace(plan.items[1], start=at(30), end=at(75)))
    late = replace(plan, items=(look, *rest))
    waits = run_sheet(shelf, late, at(138)).waiting
    assert [(one.kind, f"{one.expected.start:%H:%M}", one.fits) for one in waits] == [
        ("transfer", "21:18", True),
        ("identify", "22:03", True),
        ("verify", "22:13", False),
    ]
    # What has room before the tape stays there: no hour falls idle for looks that give way for nothing.
    waits = run_sheet(shelf, late, at(120)).waiting
    assert [(one.kind, f"{one.expected.start:%H:%M}", one.fits) for one in waits] == [
        ("identify", "21:00", True),
        ("transfer", "21:10", True),
        ("verify", "21:55", True),
    ]
    # Where there is room for all in the plan's order, that order stays.
    assert [one.kind for one in run_sheet(shelf, late, at(30)).waiting][-1] == "transfer"
    # A look at the tape itself is made before it plays.
    of_it = replace(late, items=(replace(look, reel="R-001"), *rest))
    found = shelf.with_reel(replace(shelf.reel("R-001"), stage="found"))
    assert [one.subject for one in run_sheet(found, of_it, at(130)).waiting][:2] == ["R-001", "R-001"]


def test_a_row_has_room_in_loud_time_where_the_key_that_starts_it_asks_nothing(shelf, plan, now):
    """One answer at both doors: 33 minutes of tape in loud time, not the 45 that the hands take."""
    tape = replace(plan, items=(replace(plan.items[1], start=later(now, minutes=120)),))
    for late in range(120, 165):
        at = later(now, minutes=late)
        (row,) = run_sheet(shelf, tape, at).waiting
        asks = [one for one in outside_hours(shelf, row, at) if one.hours == "loud"]
        assert row.fits == (not asks) == (late <= 147), late  # 21:27 and 33:20 are 22:00, to the minute
    # as many passes as it takes, with the winds between them
    capture = replace(shelf.studio.capture, inputs=shelf.reel("R-001").tracks // 2)
    two = replace(shelf, studio=replace(shelf.studio, capture=capture))
    at = later(now, minutes=120)
    (row,) = run_sheet(two, tape, at).waiting
    (asks,) = [one for one in outside_hours(two, row, at) if one.hours == "loud"]
    assert not row.fits and "D1 is loud until 22:09, and loud time ends 22:00" in asks.says


def test_after_a_step_comes_what_follows_it_and_not_the_first_that_waits(shelf, plan, now):
    sheet = run_sheet(shelf, plan, now)
    look = by_kind(sheet, "identify")
    done = finish_step(start_step(shelf, look, later(now, minutes=100)), look, later(now, minutes=110))
    sheet = run_sheet(done, plan, later(now, minutes=110))
    assert sheet.current.kind == "align"  # nobody has marked it
    assert sheet.after(look.key).subject == "R-009"
    early = finish_step(start_step(shelf, look, now), look, later(now, minutes=10))  # long before its time
    assert run_sheet(early, plan, later(now, minutes=10)).after(look.key).kind == "align"


def test_loud_time_and_helper_are_looked_at_when_a_step_starts(shelf, plan, now):
    sheet = run_sheet(shelf, plan, now)
    align = by_kind(sheet, "align")
    late = [one for one in outside_hours(shelf, align, later(now, minutes=165)) if one.hours == "loud"]
    assert [one.says for one in late] == ["D1 is loud until 22:25, and loud time ends 22:00."]
    assert not [one for one in outside_hours(shelf, align, now) if one.hours == "loud"]
    decks = tuple(replace(deck, setup_needs_helper=True) for deck in shelf.studio.decks)
    alone = replace(shelf, studio=replace(shelf.studio, decks=decks))
    if opening(shelf.studio, "helper", now, later(now, hours=3)):
        assert not outside_hours(alone, align, now)
        alone = without_helper(alone, now.date())
    (helper,) = [one for one in outside_hours(alone, align, now) if one.hours == "helper"]
    assert helper.says == "A full line-up of D1 wants a helper until 19:40, who is not expected now."
    assert outside_hours(shelf, by_kind(sheet, "identify"), later(now, hours=5)) == ()


def test_a_late_evening_keeps_its_order_and_the_cursor_goes_on_by_the_plan(shelf_of, make_reel, moment):
    """A line-up begun after its transfer was due stands before it, and the transfer follows it."""
    from core.plan import Item, Plan

    now = moment("2026-12-01T19:26")
    setup = (("speed", "15 ips"), ("eq", "NAB"), ("level", "250 nWb/m"), ("noise_reduction", ""))
    items = (
        Item("align", later(now, minutes=-16), later(now, minutes=-1), deck="D1", setup=setup),
        Item("transfer", later(now, minutes=-1), later(now, minutes=44), deck="D1", reel="R-001", passes=1),
        Item("verify", later(now, minutes=44), later(now, minutes=54), reel="R-001"),
    )
    plan = Plan("x", later(now, minutes=-30), later(now, hours=300), 0.0, "feasible", 1.0, 0.5, 0.5, items)
    shelf = shelf_of(make_reel("R-001", stage="conditioned"))
    line_up = run_sheet(shelf, plan, now).steps[0]
    shelf = start_step(shelf, line_up, now)
    then = later(now, minutes=16)
    shelf = finish_step(shelf, next(s for s in run_sheet(shelf, plan, then).steps if s.kind == "align"), then)
    sheet = run_sheet(shelf, plan, then)
    assert [step.kind for step in sheet.steps] == ["align", "transfer", "verify"]
    assert sheet.after(line_up.key).kind == "transfer"


def test_work_goes_around_a_touch_and_the_rows_stand_as_they_fall(shelf, plan, now):
    """At 20:25 the load is due in five minutes: hands come back to a line-up, a tape waits for the load."""
    sheet = run_sheet(shelf, plan, later(now, minutes=85))
    falls = [(one.kind, f"{one.expected.start:%H:%M}", one.fits) for one in sheet.steps[:4]]
    assert falls == [
        ("align", "20:25", True),  # until 21:15, the ten minutes at the chamber among them
        ("load", "20:30", True),
        ("transfer", "21:15", True),
        ("identify", "22:00", True),
    ]
    aligned = finish_step(shelf, by_kind(sheet, "align"), later(now, minutes=85))
    tape = by_kind(run_sheet(aligned, plan, later(now, minutes=85)), "transfer")
    assert f"{tape.expected.start:%H:%M}" == "20:40", "a tape that would run on past the load waits for it"
    short = replace(plan.items[1], end=later(now, minutes=55))  # fifteen minutes: over in time
    tape = by_kind(
        run_sheet(aligned, replace(plan, items=(short, plan.items[2])), later(now, minutes=85)), "transfer"
    )
    assert f"{tape.expected.start:%H:%M}" == "20:25"


def test_what_has_no_room_takes_none_and_what_rests_on_it_has_none(shelf, plan, now):
    check = Item("verify", later(now, minutes=155), later(now, minutes=165), reel="R-009")
    other = Item("identify", later(now, minutes=165), later(now, minutes=175), reel="R-003")
    late = replace(plan, items=(plan.items[4], check, other))  # a transfer, its verify, a look
    steps = run_sheet(shelf, late, later(now, minutes=150)).steps  # 21:30, loud until 22:00
    assert {one.kind: one.fits for one in steps} == {"transfer": False, "verify": False, "identify": True}
    assert (
        f"{by_kind(run_sheet(shelf, late, later(now, minutes=150)), 'identify').expected.start:%H:%M}"
        == "21:45"
    )


def test_a_load_that_is_late_takes_its_turns_with_it_or_is_said_to_have_no_room(shelf, plan, now):
    sheet = run_sheet(shelf, plan, later(now, minutes=100))  # ten minutes after the load was due
    assert f"{by_kind(sheet, 'load').expected.start:%H:%M}" == "20:40"
    assert f"{by_kind(sheet, 'turn').expected.start:%H:%M}" == "22:40", "not at the time of a load in time"
    warm = plan.items[2]
    cools = replace(
        warm,
        members=(replace(warm.members[0], out=later(now, minutes=105), cool_until=later(now, minutes=110)),),
    )
    tape = replace(plan.items[4], start=later(now, minutes=110), end=later(now, minutes=120), reel="R-002")
    hot = run_sheet(shelf, replace(plan, items=(cools, tape)), later(now, minutes=100))
    assert f"{by_kind(hot, 'transfer').expected.start:%H:%M}" == "21:00", "cooled ten minutes later, too"
    # the next load of that chamber waits until the late one is out
    second = replace(plan.items[2], start=later(now, minutes=590), end=later(now, minutes=700))
    load = (Touch("load", later(now, minutes=470), later(now, minutes=480)),)
    second = replace(second, start=load[0].start, end=later(now, minutes=500), touches=load)
    both = run_sheet(shelf, replace(plan, items=(plan.items[2], second)), later(now, minutes=100)).steps
    starts = [f"{one.expected.start:%a %H:%M}" for one in both if one.kind == "load"]
    assert starts == ["Tue 20:40", "Wed 04:50"]  # 20:30 to 04:40, ten minutes late
    home = [one for one in shelf.studio.hours if one.home]
    assert home and not by_kind(sheet, "load").fits, "nobody is at home until its end"
    awake = at_home_all_night(shelf)
    assert by_kind(run_sheet(awake, plan, later(now, minutes=100)), "load").fits


def at_home_all_night(shelf):
    """The shelf of somebody who is at home at any hour."""
    home = next(one for one in shelf.studio.hours if one.home)
    days = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
    always = replace(home, days=days, dates=(), from_minutes=0, to_minutes=1440)
    return replace(shelf, studio=replace(shelf.studio, hours=(*shelf.studio.hours, always)))


def test_of_two_late_loads_the_second_takes_its_turns_with_it_from_when_two_hands_load_it(shelf, plan, now):
    """Due at 20:30 and 20:35, ten minutes of touch each, a turn two hours behind: by hand from 20:40 on."""
    first = plan.items[2]
    touches = tuple(
        replace(one, start=later(one.start, minutes=5), end=later(one.end, minutes=5))
        for one in first.touches
    )
    start, end = later(first.start, minutes=5), later(first.end, minutes=5)
    second = replace(first, chamber="C2", touches=touches, start=start, end=end)
    both = tuple(planned_steps(replace(plan, items=(first, second)), evening_span(now.date(), now)))
    late = later(now, minutes=100)
    sheet = projected(RunSheet(now.date(), both, (), ()), at_home_all_night(shelf), late)
    falls = [(one.kind, one.subject, f"{one.expected.start:%H:%M}") for one in sheet.steps if one.touch]
    assert falls == [
        ("load", "C1", "20:40"),
        ("load", "C2", "20:50"),
        ("turn", "C1", "22:40"),
        ("turn", "C2", "22:50"),
    ]


def test_a_load_waits_until_the_one_that_runs_is_out_of_the_chamber(shelf, plan, now):
    """After minutes without heat the one inside comes out later than was planned."""
    out = Span(later(now, minutes=150), later(now, minutes=160))
    runs = Step("take out C1 late", "take out", "C1", out, reels=("R-009",))
    load = by_kind(run_sheet(shelf, plan, now, [runs]), "load")
    assert load.planned.start < out.end == load.expected.start
    assert by_kind(run_sheet(shelf, plan, now), "load").expected.start == load.planned.start


def test_what_has_no_room_any_more_tells_no_hour_that_is_past(shelf, plan, now):
    late = later(now, minutes=180)  # 22:00, the deck is loud until then
    without = [one for one in run_sheet(shelf, plan, late).waiting if not one.fits and not one.touch]
    assert {one.kind for one in without} == {"align", "transfer"}
    assert [hour_of(one, late) for one in without] == [None] * len(without)
    soon = later(now, minutes=150)  # 21:30: its 33 minutes of tape end after 22:00
    ahead = replace(plan, items=(replace(plan.items[-1], start=soon, end=later(soon, minutes=45)),))
    (step,) = [one for one in run_sheet(shelf, ahead, soon).waiting if not one.fits]
    assert hour_of(step, soon) == soon


def test_a_tape_that_came_out_late_or_will_is_played_once_it_has_cooled(shelf, plan, now):
    """Minutes without heat, or a late hand: its cooling ends later than the plan has it."""
    tape = shelf.reel("R-009")
    cools = shelf.studio.treatment(tape.width).cool.number
    planned = by_kind(run_sheet(shelf, plan, now), "transfer")
    assert planned.subject == "R-001" and planned.expected.start == later(now, minutes=40)
    warm = replace(tape, conditioned_at=later(now, hours=-cools, minutes=120))
    steps = run_sheet(shelf.with_reel(warm), plan, now).steps
    played = next(one for one in steps if (one.kind, one.subject) == ("transfer", "R-009"))
    assert played.planned.start == later(now, minutes=110) and played.expected.start == later(
        now, minutes=120
    )
    # and one that is still inside, to come out tonight
    out = Span(later(now, minutes=10), later(now, minutes=20))
    inside = Step("take out C1 late", "take out", "C1", out, reels=("R-009",))
    steps = run_sheet(shelf, plan, now, [inside]).steps
    played = next(one for one in steps if (one.kind, one.subject) == ("transfer", "R-009"))
    assert played.expected.start == later(now, hours=cools, minutes=10) and not played.fits


def test_a_look_at_a_tape_that_goes_into_the_heat_behind_it_has_its_room(shelf, plan, now):
    """It comes out the same evening and then cools: that holds nothing up which lies before its load."""

    def at(minutes):
        return later(now, minutes=minutes)

    load = next(one for one in plan.items if one.kind == "condition")
    out = replace(
        load,
        members=(replace(load.members[0], out=at(150)),),
        touches=(*load.touches[:1], Touch("take out", at(150), at(160))),
    )
    look, play = (Item("identify", at(20), at(30), reel="R-002"), replace(plan.items[1], reel="R-002"))
    play = replace(play, start=at(160), end=at(175))
    unseen = replace(shelf.reel("R-002"), stage="found", condition=())
    sheet = run_sheet(shelf.with_reel(unseen), replace(plan, items=(look, out, play)), now)
    seen, played = by_kind(sheet, "identify"), by_kind(sheet, "transfer")
    assert (seen.expected.start, seen.fits) == (at(20), True)
    assert played.expected.start > at(160) and not played.fits, "behind its load it cools"


def test_passes_that_are_still_to_be_played_are_work_that_is_left(shelf, plan, now):
    """Half as many inputs as tracks: two passes. When the first is over late, the second is to come."""
    from core.evening.tonight.transfer import transfer_of
    from core.reels.length import play_seconds

    two = shelf.reel("R-001")
    capture = replace(shelf.studio.capture, inputs=two.tracks // 2)
    shelf = replace(shelf, studio=replace(shelf.studio, capture=capture))
    verify = Item("verify", later(now, minutes=85), later(now, minutes=95), reel="R-001")
    plan = replace(plan, items=(replace(plan.items[1], start=now, end=later(now, minutes=85)), verify))
    step = run_sheet(shelf, plan, now).steps[0]
    whole = play_seconds(transfer_of(shelf, step).reel, shelf.studio) / 60
    shelf = press(shelf, step, now)
    over = later(now, minutes=80)
    shelf = press(shelf, run_sheet(shelf, plan, over).steps[0], over)
    sheet = run_sheet(shelf, plan, over)
    runs, behind = sheet.steps
    assert runs.state == "running" and behind.kind == "verify"
    wound = whole * two.speed.number / shelf.studio.decks[0].wind_speed.number
    assert behind.expected.start == later(over, minutes=whole + wound)
    assert sheet.late_minutes == round(80 + whole + wound - 85)
    # While it runs only what is left of it counts.
    shelf = press(shelf, runs, over)
    half = later(over, minutes=whole / 2)
    assert run_sheet(shelf, plan, half).steps[1].expected.start == later(over, minutes=whole)


def test_a_tape_between_its_passes_that_is_planned_elsewhere_now_is_over_for_tonight(shelf, plan, now):
    two = shelf.reel("R-001")
    capture = replace(shelf.studio.capture, inputs=two.tracks // 2)
    shelf = replace(shelf, studio=replace(shelf.studio, capture=capture))
    transfer = replace(plan.items[1], start=now, end=later(now, minutes=85))
    plan = replace(plan, items=(transfer, *plan.items[3:4]))
    shelf = press(shelf, run_sheet(shelf, plan, now).steps[0], now)
    over = later(now, minutes=34)
    shelf = press(shelf, run_sheet(shelf, plan, over).steps[0], over)
    assert run_sheet(shelf, plan, over).current.subject == "R-001", "as long as the plan has it here"
    week = replace(transfer, start=later(now, minutes=7 * 1440), end=later(now, minutes=7 * 1440 + 45))
    sheet = run_sheet(shelf, replace(plan, items=(week, *plan.items[1:])), later(now, minutes=40))
    (row,) = [one for one in sheet.steps if one.kind == "transfer"]
    assert (row.state, row.because) == ("skipped", "1 of 2 passes, goes on Tue 19:00")
    assert row.finished == over and sheet.current.kind == "identify"
    assert lies_there(shelf, "D1", over) == "R-001 is on D1: lift it off"


def test_what_follows_a_tape_that_runs_begins_when_it_is_over_and_its_path_is_clean(shelf, plan, now):
    """Its key starts the tape: threading and wind are over, and are not counted once more."""
    verify = Item("verify", later(now, minutes=50), later(now, minutes=60), reel="R-009")
    tape = replace(plan, items=(replace(plan.items[1], start=now, end=later(now, minutes=50)), verify))
    shelf = press(shelf, run_sheet(shelf, tape, now).steps[0], now)
    behind = by_kind(run_sheet(shelf, tape, later(now, minutes=20)), "verify")
    assert behind.expected.start == behind.planned.start, "nothing comes before its time"
    late = replace(tape, items=(tape.items[0], replace(verify, start=now, end=later(now, minutes=10))))
    behind = by_kind(run_sheet(shelf, late, later(now, minutes=20)), "verify")
    assert f"{behind.expected.start:%H:%M:%S}" == "19:33:20"
    treated = shelf.with_reel(replace(shelf.reel("R-001"), conditioned_at=later(now, hours=-20)))
    behind = by_kind(run_sheet(treated, late, later(now, minutes=20)), "verify")
    assert f"{behind.expected.start:%H:%M:%S}" == "19:38:20"


def test_a_wind_that_became_a_step_of_its_own_is_not_counted_in_its_tape_too(shelf, plan, now):
    """Wound at 60 ips, slower than the deck: the plan holds its minutes, 33:20 at 15 ips make 8:20."""
    slow = replace(shelf.studio.decks[0], wind_speed=Quantity("60 ips", Fraction(60)))
    shelf = replace(shelf, studio=replace(shelf.studio, decks=(slow, *shelf.studio.decks[1:])))
    shelf = shelf.with_reel(replace(shelf.reel("R-001"), wind="tails"))
    tape = replace(plan, items=(replace(plan.items[1], start=now, end=later(now, minutes=50)),))
    at = later(now, minutes=10)
    row = run_sheet(shelf, tape, at).steps[0]
    assert row.expected.minutes == 50
    wind = replace(row, key="wind", kind="wind", planned=Span(now, later(now, minutes=9)), state="waiting")
    begun = start_step(shelf, wind, at)
    sheet = run_sheet(begun, tape, later(at, minutes=1))
    assert sheet.current.kind == "wind" and sheet.late_minutes == 9, "as late as by hand: 10 + 9 + 40 for 50"
    done = finish_step(begun, replace(wind, started=at, state="running"), later(at, minutes=9))
    sheet = run_sheet(done, tape, later(at, minutes=9))
    (row,) = sheet.waiting
    assert row.expected == Span(later(at, minutes=9), later(at, minutes=49)) and sheet.late_minutes == 9


def test_looks_fill_the_minutes_in_which_a_late_tape_waits_for_a_touch(shelf, plan, now):
    """20:08: the tape would run on past the load of 20:30, so that it waits; the look has ten minutes."""
    align = run_sheet(shelf, plan, now).current
    aligned = finish_step(start_step(shelf, align, now), align, later(now, minutes=60))
    falls = [
        (one.kind, f"{one.expected.start:%H:%M}")
        for one in run_sheet(aligned, plan, later(now, minutes=68)).waiting
    ]
    assert falls[:3] == [("identify", "20:08"), ("load", "20:30"), ("transfer", "20:40")]
    # At its planned time nothing changes places: the plan has its own reasons for a pause.
    falls = [one.kind for one in run_sheet(aligned, plan, later(now, minutes=40)).waiting]
    assert falls[:3] == ["transfer", "load", "identify"]


def test_the_hands_minutes_at_the_chamber_are_work_that_is_left(shelf, plan, now):
    """19:50, nothing done: 40 + 45 + 10 + 10 + 45 minutes end 22:20, ten before the bench does."""
    sheet = run_sheet(shelf, plan, later(now, minutes=50))
    assert (sheet.late_minutes, sheet.spare_minutes) == (45, 10)


def test_what_a_plan_of_mid_evening_moves_keeps_its_row_and_begins_all_the_same(shelf, plan, now):
    """20:50: R-009's transfer is on Thursday now, its verify in no plan; the look stays where it is."""
    untouched, align = shelf, run_sheet(shelf, plan, now).steps[0]
    shelf = finish_step(shelf, align, later(now, minutes=40))
    at, thursday = later(now, minutes=110), later(now, minutes=2 * 1440)
    moved = replace(plan.items[4], start=thursday, end=later(thursday, minutes=45))
    moves = (
        Move("transfer", "R-009", plan.items[4].start, thursday, "to make room for others"),
        Move("verify", "R-009", later(now, minutes=155), None, "to make room for others"),
        Move("identify", "R-003", plan.items[3].start, plan.items[3].start, "why"),
    )
    anew = replace(plan, items=(*plan.items[:4], moved), start=at, moves=moves)
    rows = {(one.kind, one.subject): one for one in run_sheet(shelf, anew, at).steps}
    assert rows["transfer", "R-009"].because == "now Thu 3 Dec 19:00"
    assert rows["verify", "R-009"].because == "not in this plan"
    assert {one.state for key, one in rows.items() if key[1] == "R-009"} == {"moved"}
    assert rows["identify", "R-003"].state == "waiting"
    begun = start_step(shelf, rows["transfer", "R-009"], at)
    (row,) = [
        one for one in run_sheet(begun, anew, at).steps if one.subject == "R-009" and one.kind == "transfer"
    ]
    assert row.state == "running"
    # A plan that was made before anything of the evening began moves nothing of it.
    early = run_sheet(untouched, replace(anew, start=now), at).steps
    assert not [one for one in early if one.state == "moved"]
    late = run_sheet(untouched, anew, at).steps  # nothing begun, but it is the midst of the evening
    assert len([one for one in late if one.state == "moved"]) == 2


def test_what_ran_of_a_tape_that_was_heard_otherwise_keeps_its_row_once_it_waits_elsewhere(shelf, plan, now):
    from core.evening.tonight.heard_otherwise import heard_otherwise

    before, at = shelf.reel("R-001"), later(now, minutes=20)
    shelf = press(shelf, run_sheet(shelf, plan, now).steps[1], now)
    slow = replace(before, speed=Quantity("7.5 ips", Fraction(15, 2)))
    decks = [replace(one, speeds=(*one.speeds, slow.speed)) for one in shelf.studio.decks]
    shelf = replace(shelf, studio=replace(shelf.studio, decks=tuple(decks)))
    shelf = heard_otherwise(before, shelf.with_reel(slow), at)
    rows = [one for one in run_sheet(shelf, plan, at).steps if one.subject == "R-001"]
    assert [one.state for one in rows] == ["waiting"], "it waits as its own row"
    week = later(now, minutes=7 * 1440)
    moved = replace(plan.items[1], start=week, end=later(week, minutes=80))
    anew = replace(plan, items=(plan.items[0], moved, *plan.items[2:]))
    (row,) = [one for one in run_sheet(shelf, anew, at).steps if one.subject == "R-001"]
    assert (row.state, row.because) == ("skipped", "heard at 7.5 ips, not 15 ips") and row.started == now


def test_a_tape_that_is_wound_slowly_first_has_room_where_it_plays_behind_its_wind(shelf, plan, now):
    """33:20 of tape that is treated, tails out, on a fast deck: wound at play speed first."""
    slow = replace(shelf.studio.decks[0], wind_speed=Quantity("60 ips", Fraction(60)), gentle_wind_speed=None)
    shelf = replace(shelf, studio=replace(shelf.studio, decks=(slow, *shelf.studio.decks[1:])))
    treated = replace(shelf.reel("R-001"), wind="tails", conditioned_at=later(now, hours=-20))
    shelf = shelf.with_reel(treated)
    tape = replace(plan, items=(replace(plan.items[1], start=now, end=later(now, minutes=50)),))
    minutes = slow_first(shelf, run_sheet(shelf, tape, now).steps[0])
    rooms = [run_sheet(shelf, tape, later(now, minutes=late)).steps[0].fits for late in range(60, 150)]
    last = 180 - 33 - minutes  # the minute of the evening in which it begins to be over at 22:00
    assert minutes > 0 and rooms.index(False) + 60 == last + 1 and not any(rooms[last - 59 :])
