"""Parts of a tape, passes of earlier evenings, a tape that stands on the way: what the planner is told."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from fractions import Fraction
from typing import Any

import pytest

from core.clock import Span
from core.evening.mark import mark
from core.evening.playing.passes import passes_of
from core.evening.playing.spans import verified_spans
from core.evening.tonight.sheet import Step
from core.evening.tonight.steps import finish_step, repeat_step
from core.evening.tonight.transfer import halt, next_act, press
from core.plan import Item
from core.planning.facts.jobs import Bench, Setups, job_of
from core.planning.facts.timescale import Timescale
from core.reels.reel import Segment
from core.standing.gates import unmet
from core.standing.left_to_play import to_play, transfers
from core.studio.setup import Setup


@pytest.fixture
def now(moment: Any) -> Any:
    return moment("2026-12-01T19:00")


@pytest.fixture
def in_parts(shelf_of: Any, make_reel: Any) -> Any:
    """A reel of 33:20 whose second half runs at 30 ips: 0:00-15:00 at 15 ips, 15:00-20:00 at 30 ips."""
    reel = make_reel(stage="conditioned", speed=None, wind="heads")
    fast, slow = make_reel(speed="30 ips").speed, make_reel(speed="15 ips").speed
    parts = (
        Segment("R-001", Fraction(0), Fraction(900), Setup(slow, "NAB", reel.level), "Songs"),
        Segment("R-001", Fraction(900), Fraction(1200), Setup(fast, "NAB", reel.level), "Jingle"),
    )
    return replace(shelf_of(reel), segments=parts)


@pytest.fixture
def two_passes(shelf_of: Any, make_reel: Any) -> Any:
    """Sixteen tracks on eight inputs."""
    shelf = shelf_of(make_reel(stage="conditioned"))
    capture = replace(shelf.studio.capture, inputs=8)
    return replace(shelf, studio=replace(shelf.studio, capture=capture))


def step_of(now: Any, part: str = "", minutes: int = 60, after: int = 0) -> Step:
    start = now + timedelta(minutes=after)
    item = Item(
        "transfer", start, start + timedelta(minutes=minutes), reel="R-001", deck="D1", passes=1, segment=part
    )
    return Step(f"transfer R-001 {part}", "transfer", "R-001", Span(item.start, item.end), item=item)


def run(shelf: Any, step: Step, at: Any, minutes: float) -> Any:
    """Starts the step's tape and ends it after so many minutes."""
    running = press(shelf, step, at)
    return press(running, replace(step, state="running", started=at), at + timedelta(minutes=minutes))


def planned(shelf: Any, at: Any) -> Any:
    """The reel's job as the planner reads it."""
    bench = Bench(shelf, Timescale.of(at, 14, 5), {}, {})
    return job_of(bench, Setups(), 0, shelf.reel("R-001"))


def test_one_part_done_leaves_the_reel_waiting_for_the_other(in_parts: Any, now: Any) -> None:
    half = run(in_parts, step_of(now, "Songs"), now, 15)
    assert half.reel("R-001").stage == "conditioned"
    assert [one.name for one in to_play(half, half.reel("R-001"))] == ["Jingle"]
    assert [part.name for part in planned(half, now + timedelta(hours=1)).parts] == ["Jingle"]
    whole = run(half, step_of(now, "Jingle", after=20), now + timedelta(minutes=20), 5)
    assert (whole.reel("R-001").stage, whole.reel("R-001").wind) == ("transferred", "tails")
    assert [p["span"] for p in whole.of_kind("pass").values()] == [[0.0, 900.0], [900.0, 1200.0]]


def test_parts_may_be_done_in_any_order(in_parts: Any, now: Any) -> None:
    half = run(in_parts, step_of(now, "Jingle"), now, 5)
    assert [one.name for one in to_play(half, half.reel("R-001"))] == ["Songs"]
    assert list(half.of_kind("pass")) == ["R-001 2"]  # each part has its number, whenever it is played
    assert run(half, step_of(now, "Songs"), now, 15).reel("R-001").stage == "transferred"


def test_the_clock_of_a_part_begins_where_the_part_does(in_parts: Any, now: Any) -> None:
    (tape,) = passes_of(press(in_parts, step_of(now, "Jingle"), now), now + timedelta(minutes=2))
    assert (tape.position, tape.left, tape.part) == (1020.0, 180.0, "Jingle")


def test_a_part_that_is_checked_is_a_verified_span(in_parts: Any, now: Any) -> None:
    half = run(in_parts, step_of(now, "Jingle"), now, 5)
    checked = half.with_record("check", "c", {"reel": "R-001", "pass": 2, "verdict": "pass"})
    assert verified_spans(checked, "R-001") == ((900.0, 1200.0),)
    assert verified_spans(half, "R-001") == ()


def test_the_gate_asks_every_part_for_its_set_up(in_parts: Any, now: Any) -> None:
    assert unmet(in_parts, in_parts.reel("R-001"), "transferred", now) is None
    blank = replace(
        in_parts, segments=(in_parts.segments[0], replace(in_parts.segments[1], setup=Setup(None)))
    )
    assert unmet(blank, blank.reel("R-001"), "transferred", now) == "not known: speed"


def test_a_line_up_to_a_part_aligns_the_reel(in_parts: Any, now: Any) -> None:
    from core.evening.mark import line_up

    deck = in_parts.studio.decks[0]
    assert line_up(in_parts, deck, in_parts.segments[1].setup, now).reel("R-001").stage == "aligned"
    half = run(in_parts, step_of(now, "Jingle"), now, 5)
    assert line_up(half, deck, in_parts.segments[1].setup, now).reel("R-001").stage == "conditioned"


def test_a_pass_of_tuesday_is_not_planned_again(two_passes: Any, now: Any) -> None:
    whole = planned(two_passes, now).parts[0]
    # 2500 ft at 15 ips play 33:20; at 180 ips they wind in 2:46.7; load 5: 5 + 2 x (33.33 + 2.78) = 77.2
    assert (whole.passes, whole.minutes) == (2, (80,))
    tuesday = run(two_passes, step_of(now), now, 33)
    assert tuesday.reel("R-001").stage == "conditioned"
    left = planned(tuesday, now + timedelta(days=1)).parts[0]
    assert (left.passes, left.minutes) == (1, (45,))  # 5 + 33.33 + 2.78 = 41.1
    thursday = now + timedelta(days=2)
    done = run(tuesday, step_of(thursday), thursday, 34)
    assert done.reel("R-001").stage == "transferred"
    assert [one["pass"] for one in done.of_kind("pass").values()] == [1, 2]


def test_a_tape_stopped_at_half_is_planned_from_there(shelf_of: Any, make_reel: Any, now: Any) -> None:
    shelf = shelf_of(make_reel(stage="conditioned"))
    running = press(shelf, step_of(now), now)
    stopped = halt(running, "R-001", now + timedelta(minutes=12, seconds=31), "squeal")
    left = planned(stopped, now + timedelta(days=1)).parts[0]
    # 33:20 - 12:31 + 0:10 back = 20:59, and 5 to thread: 26 minutes, no wind before it
    assert (left.passes, left.minutes) == (1, (30,))
    (one,) = transfers(stopped, stopped.reel("R-001"))
    assert one.to_run(now + timedelta(days=1)) == Fraction(20 * 60 + 59)


def test_what_the_planner_reads_passes_its_checker(two_passes: Any, now: Any) -> None:
    from core.planning.plan_evenings import plan_evenings
    from core.planning.rules.checker import violations

    cal = replace(two_passes.reel("R-001"), key="CAL-1", role="calibration")
    shelf = run(two_passes.with_reel(cal), step_of(now), now, 33)
    later = now + timedelta(days=1)
    plan = plan_evenings(shelf, later, 7, seconds=0)
    (item,) = [one for one in plan.items if one.kind == "transfer"]
    assert (item.passes, item.end - item.start) == (1, timedelta(minutes=45))
    assert violations(shelf, plan) == ()


def test_a_transfer_taken_back_is_played_whole_again(two_passes: Any, now: Any) -> None:
    done = run(run(two_passes, step_of(now), now, 33), step_of(now), now + timedelta(minutes=40), 33)
    assert done.reel("R-001").stage == "transferred"
    back = mark(done, "R-001", "conditioned", now + timedelta(days=1), "the disk was lost")
    assert planned(back, now + timedelta(days=1)).parts[0].passes == 2
    assert passes_of(back, now) == ()
    assert {one["void"] for one in back.of_kind("pass").values()} == {"the disk was lost"}
    step = step_of(now + timedelta(days=1))
    assert next_act(back, replace(step, state="running"), now + timedelta(days=1)) == "start pass"


def test_records_of_an_earlier_time_do_not_keep_a_reel_from_the_plan(two_passes: Any, now: Any) -> None:
    done = run(run(two_passes, step_of(now), now, 33), step_of(now), now + timedelta(minutes=40), 33)
    imported = done.with_reel(replace(done.reel("R-001"), stage="identified"))
    assert planned(imported, now).parts[0].passes == 2


def test_a_step_done_once_more_plays_its_passes_again(shelf_of: Any, make_reel: Any, now: Any) -> None:
    shelf = shelf_of(make_reel(stage="conditioned"))
    done = run(shelf, step_of(now), now, 33)
    at = now + timedelta(minutes=40)
    again = repeat_step(done, replace(step_of(now), state="done"), at)
    step = replace(step_of(now), key="again", state="running", started=at)
    assert next_act(again, step, at) == "start pass"
    twice = press(press(again, step, at), step, at + timedelta(minutes=33))
    assert sorted(one["state"] for one in twice.of_kind("pass").values()) == ["done", "done"]


def test_a_step_finished_without_a_pass_still_marks_the_whole_reel(
    shelf_of: Any, make_reel: Any, now: Any
) -> None:
    shelf = shelf_of(make_reel(stage="conditioned"))
    assert finish_step(shelf, step_of(now), now).reel("R-001").stage == "transferred"
