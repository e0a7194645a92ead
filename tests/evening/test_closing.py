"""The closing look: by the plan before the evening, and by what was really done after it."""

from dataclasses import replace
from datetime import timedelta

import pytest

from core.clock import later
from core.evening.around.closing import closing
from core.evening.around.put_back import put_back
from core.evening.around.where_it_lies import where_it_lies
from core.evening.playing.passes import start_pass, stop_pass
from core.evening.tonight.runsheet import evening_span, planned_steps, run_sheet
from core.evening.tonight.steps import finish_step, skip_step, start_step
from core.evening.tonight.transfer import press, stop_line_up
from core.evening.warming.load import load
from core.evening.warming.nobody_home import away_from_home
from core.evening.warming.take_out import take_out
from core.evening.warming.warm import warm_at
from core.plan import Item, Member, Move, Plan, Touch


@pytest.fixture
def now(moment):
    return moment("2026-12-01T19:00")


@pytest.fixture
def shelf(shelf_of, make_reel):
    return shelf_of(
        make_reel("R-001", stage="conditioned", location="A10"),
        make_reel("R-002", condition=("sticky",), location="A2"),
        make_reel("R-003", stage="found", location="B1"),
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
        members=(Member("R-002", at(565), at(1045), at(21000)),),
        touches=(
            Touch("load", at(5), at(15)),
            Touch("turn", at(125), at(135)),
            Touch("take out", at(565), at(575)),
        ),
    )
    items = (
        warm,
        Item("align", at(15), at(55), deck="D1", setup=setup, calibration="CAL-1", full=True),
        Item("transfer", at(55), at(100), deck="D1", reel="R-001", passes=1),
        Item("identify", at(100), at(110), reel="R-003"),
        Item("transfer", at(2 * 1440), at(2 * 1440 + 45), deck="D1", reel="R-002", passes=1),
    )
    return Plan("x", at(0), at(20000), 0.0, "feasible", 1.0, 0.5, 0.5, items)


def steps_of(plan, now):
    return list(planned_steps(plan, evening_span(now.date(), now)))


def as_planned(shelf, plan, now):
    steps = steps_of(plan, now)
    return closing(shelf, plan, steps, later(now, minutes=140), as_planned=True)


def test_paper_tells_the_evening_as_if_all_were_done(shelf, plan, now):
    look = as_planned(shelf, plan, now)
    assert look.put_back == (
        "A2: CAL-1 wound tails out",
        "A10: R-001 tails out",
        "B1: R-003",
        "in chamber C1: R-002 out Wed 2 Dec 04:25",
    )
    assert look.leave == ("D1: path cleaned, cover on, power off",)  # the chamber is warm: it stays on
    assert look.home == ("C1 is warm: somebody stays home and awake until Wed 2 Dec 04:35",)
    assert look.files == ("a second copy of R-001 in another place, compared",)
    assert look.coming == (
        "take out chamber C1 Wed 2 Dec 04:25: R-002",
        "transfer R-002 Thu 3 Dec 19:00",
    )


def test_behind_midnight_what_comes_next_is_told_by_its_day(shelf, plan, now):
    """The order is headed with the evening's date: its own today is over, and the next day is not it."""
    steps = steps_of(plan, now)
    for minutes in (
        180,
        400,
    ):  # 22:00, when the next touch is on the next date; 01:40, when it is on the same
        look = closing(shelf, plan, steps, later(now, minutes=minutes), as_planned=True)
        assert look.coming[0] == "take out chamber C1 Wed 2 Dec 04:25: R-002"


def test_a_chamber_whose_load_is_over_is_switched_off(shelf, plan, now):
    load_item = replace(plan.items[0], touches=plan.items[0].touches[:1], end=later(now, minutes=15))
    member = replace(load_item.members[0], out=later(now, minutes=15))
    short = replace(plan, items=(replace(load_item, members=(member,)), *plan.items[1:]))
    look = as_planned(shelf, short, now)
    assert "C1: switched off and unplugged, door open" in look.leave
    assert look.home == ()


def test_really_done_tells_what_was_in_the_hands_and_what_may_have_been_fetched(shelf, plan, now):
    steps = {one.kind: one for one in steps_of(plan, now)}
    done = finish_step(start_step(shelf, steps["align"], now), steps["align"], later(now, minutes=30))
    done = skip_step(done, steps["transfer"], later(now, minutes=31), "the helper left")
    at = later(now, minutes=40)
    look = closing(done, plan, run_sheet(done, plan, at).steps, at)
    assert look.put_back == (
        "A2: CAL-1 wound tails out; R-002 if it was fetched",  # the load never began
        "A10: R-001 if it was fetched",
        "B1: R-003 if it was fetched",
    )
    moved = replace(
        plan, items=plan.items[1:2], moves=(Move("transfer", "R-001", at, at + timedelta(1), "x"),)
    )
    assert (
        "A10: R-001 if it was fetched" in closing(done, moved, run_sheet(done, moved, at).steps, at).put_back
    )
    assert look.leave == ("D1: path cleaned, cover on, power off",)
    assert "transfer R-001: the helper left; plan again" in look.moved
    assert "identify R-003: not begun; there is room tonight, else plan again" in look.moved
    (seen,) = [one for one in plan.items if (one.kind, one.reel) == ("identify", "R-003")]
    again = replace(seen, start=seen.start + timedelta(1), end=seen.end + timedelta(1))
    twice = replace(plan, items=(*plan.items, again))  # what waits tonight is not told as another evening's
    told = closing(done, twice, run_sheet(done, twice, at).steps, at).moved
    assert any(
        one.startswith("identify R-003: not begun; there is room tonight, else Wed 2 Dec") for one in told
    )


def test_what_lies_cooled_beside_a_chamber_is_put_back_too(shelf, plan, now):
    """R-002 came out of C1 three days ago; tonight only the line-up was made."""
    began = load(shelf, "C1", ["R-002"], now - timedelta(days=3), "someone stays up")
    out = take_out(began, "R-002", now - timedelta(days=3) + timedelta(hours=9))
    align = next(one for one in steps_of(plan, now) if one.kind == "align")
    done = finish_step(start_step(out, align, now), align, later(now, minutes=30))
    at = later(now, minutes=40)

    def told(shelf, at):
        return closing(shelf, plan, run_sheet(shelf, plan, at).steps, at).put_back

    assert told(done, at)[0] == "A2: CAL-1 wound tails out; R-002 from beside chamber C1"
    ticked = put_back(done, ["R-002"], at)
    assert "R-002 from beside chamber C1 (back 19:40)" in told(ticked, at)[0]
    cools = take_out(load(shelf, "C1", ["R-002"], now - timedelta(hours=9), "x"), "R-002", now)
    assert "from beside" not in " ".join(told(finish_step(start_step(cools, align, now), align, at), at))


def test_a_tape_that_stands_on_a_deck_lies_there_until_something_else_ran(shelf, plan, now):
    """R-001 was stopped at 18:00 of D1; its place on the shelf is empty."""
    steps = {one.kind: one for one in steps_of(plan, now)}
    began = start_pass(start_step(shelf, steps["transfer"], now, "as it is"), "R-001", 1, now)
    stands = stop_pass(began, "R-001 1", later(now, minutes=18), "stopped")
    lies = where_it_lies(stands, None, "R-001", later(now, minutes=20))
    assert (lies.place, lies.aside) == ("on D1", "stands at 18:00, on two reels")
    over = start_step(stands, steps["align"], later(now, minutes=30), "it is off")
    assert where_it_lies(over, None, "R-001", later(now, minutes=40)).place == "A10"


def test_a_load_that_runs_says_until_when_somebody_is_home(shelf, now):
    began = load(shelf, "C1", ["R-002"], now, "someone stays up")
    (one,) = warm_at(began, None, later(now, hours=1))
    assert (one.chamber, one.until) == ("C1", later(now, minutes=8 * 60 + 10))
    look = closing(began, None, (), later(now, hours=1))
    assert look.home == ("C1 is warm: somebody stays home and awake until Wed 2 Dec 03:10",)


def test_what_was_planned_and_never_begun_warms_nothing_and_what_was_stopped_is_put_back(shelf, plan, now):
    from core.evening.tonight.runsheet import run_sheet as sheet_of

    plays = next(one for one in planned_steps(plan, evening_span(now.date(), now)) if one.kind == "transfer")
    began = start_step(shelf, plays, later(now, minutes=55))
    running = next(one for one in sheet_of(began, plan, later(now, minutes=60)).steps if one.key == plays.key)
    left = skip_step(began, running, later(now, minutes=70), "it squeals")
    looked = left.with_reel(replace(left.reel("R-003"), stage="identified"))  # on another evening
    at = later(now, minutes=120)
    look = closing(looked, plan, sheet_of(looked, plan, at).steps, at)
    assert not look.home, "the load of 19:05 never went in"
    assert [(one.reel, one.tape) for one in look.back if one.reel == "R-001"] == [("R-001", "tails out")]
    assert "R-003" not in [one.reel for one in look.back]
    planned = closing(shelf, plan, sheet_of(shelf, plan, now).steps, later(now, minutes=120), as_planned=True)
    assert planned.home and len(planned.back) > 1, "on paper the evening is told as planned"


def test_the_hours_in_which_nobody_is_home_are_named_and_no_others(shelf, now):
    chamber, reels = shelf.studio.chambers[0], [shelf.reel("R-002")]
    home = replace(shelf.studio.hours[0], dates=(now.date(),), days=(), home=True)
    home = replace(home, from_minutes=19 * 60 + 2, to_minutes=23 * 60)
    there = replace(shelf, studio=replace(shelf.studio, hours=(home,)))
    said = away_from_home(there, chamber, reels, now)
    assert said.startswith("by the hours nobody is home Tue 19:00 to Tue 19:02 and Tue 23:00 to Wed 03:")
    all_day = replace(home, from_minutes=0, to_minutes=24 * 60)
    day_after = replace(all_day, dates=(later(now, hours=24).date(),))
    watched = replace(shelf, studio=replace(shelf.studio, hours=(all_day, day_after)))
    assert away_from_home(watched, chamber, reels, now) == ""


def test_what_was_verified_by_word_alone_still_lies_in_one_place_for_all_we_know(shelf, plan, now):
    """Named at every closing look until a check is kept: also when the tape was played on another evening."""
    (step,) = [one for one in steps_of(plan, now) if one.kind == "transfer"]
    done = finish_step(start_step(shelf, step, now), step, later(now, minutes=60))
    heard = done.with_reel(replace(done.reel("R-001"), stage="verified"))
    days_after = later(now, minutes=2 * 24 * 60)
    assert closing(heard, plan, [], days_after).files == (
        "not checked yet, so in one place only for all we know: R-001",
    )
    checked = heard.with_record(
        "check", "R-001 1", {"reel": "R-001", "pass": 1, "at": "2026-12-01T21:00:00Z"}
    )
    assert not any("not checked" in line for line in closing(checked, plan, [], days_after).files)
    typed = shelf.with_reel(replace(shelf.reel("R-001"), stage="verified"))
    assert closing(typed, plan, [], days_after).files == ()


def test_the_empty_run_is_told_before_the_first_load_and_before_no_later_one(shelf, plan, now):
    """Nobody ran C1 empty. Its load is the first of the plan; one two days later is not."""
    before = later(now, minutes=-24 * 60)
    (coming,) = [line for line in closing(shelf, plan, [], before).coming if "load chamber C1" in line]
    assert "before it the chamber's empty run" in coming
    again = replace(
        plan.items[0],
        start=later(now, minutes=2 * 24 * 60),
        touches=(Touch("load", later(now, minutes=2 * 24 * 60), later(now, minutes=2 * 24 * 60 + 10)),),
    )
    both = replace(
        plan, items=(replace(plan.items[0], touches=plan.items[0].touches[:1]), *plan.items[1:], again)
    )
    (coming,) = [line for line in as_planned(shelf, both, now).coming if "load chamber C1" in line]
    assert "empty run" not in coming


def test_a_line_up_that_was_stopped_and_then_done_tonight_has_not_moved(shelf, plan, now):
    """The plan has another line-up of that deck on another day; tonight's was done at its second press."""
    steps = {one.kind: one for one in steps_of(plan, now)}
    ahead = later(now, minutes=2 * 1440 - 60)
    again = replace(plan.items[1], start=ahead, end=later(ahead, minutes=40))
    plan = replace(plan, items=(*plan.items, again))
    started = press(shelf, steps["align"], now)
    stopped = stop_line_up(started, later(now, minutes=1), "stopped")
    at = later(now, minutes=180)

    def told(shelf):
        look = closing(shelf, plan, run_sheet(shelf, plan, at).steps, at)
        return [line for line in look.moved if "line up D1" in line]

    assert told(stopped) == ["line up D1: stopped; now Thu 3 Dec 18:00"], (
        "the row that waits again is no other"
    )
    begun = press(stopped, steps["align"], later(now, minutes=2))
    (runs,) = [one for one in run_sheet(begun, plan, at).steps if one.state == "running"]
    assert told(press(begun, runs, later(now, minutes=20))) == []


def test_line_ups_of_one_deck_are_told_apart_and_a_touch_up_is_no_whole_one(shelf, plan, now):
    """Two set-ups on one deck, none of them begun; Thursday has but the touch-up of the first."""
    full = plan.items[1]
    setup = (("speed", "15 ips"), ("eq", "IEC1"), ("level", "320 nWb/m"), ("noise_reduction", ""))
    other = replace(full, start=later(now, minutes=110), end=later(now, minutes=150), setup=setup)
    ahead = later(now, minutes=2 * 1440 - 60)
    touch_up = replace(full, start=ahead, end=later(ahead, minutes=15), full=False)
    plan = replace(plan, items=(*plan.items, other, touch_up))
    at = later(now, minutes=200)
    look = closing(shelf, plan, run_sheet(shelf, plan, at).steps, at)
    lines = " | ".join(look.moved)
    assert "line up D1 to 15 ips NAB 250 nWb/m" in lines and "line up D1 to 15 ips IEC1 320 nWb/m" in lines
    assert "18:00" not in lines, "nobody lined it up: Thursday's touch-up is not where it went"
