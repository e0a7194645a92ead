"""What evenings teach: threading told from pass times, cleaning after treated tapes, line-ups by set-up."""

from __future__ import annotations

from typing import Any

import pytest

from core.clock import later, write_time
from core.evening.learnt import give_back, learnt, take_in


@pytest.fixture
def now(moment: Any) -> Any:
    return moment("2026-11-02T19:00")


def step(shelf: Any, kind: str, subject: str, start: Any, minutes: float, **more: Any) -> Any:
    """The shelf with a step that was done."""
    end = later(start, minutes=minutes)
    record = {
        "kind": kind, "subject": subject, "state": "done", "planned": [write_time(start), write_time(end)],
        "started": write_time(start), "finished": write_time(end), **more,
    }  # fmt: skip
    return shelf.with_record("actual", f"{kind} {subject} {write_time(start)}", record)


def transferred(shelf: Any, reel: str, start: Any, *, threading: float, after: float, stop: float = 0) -> Any:
    """A line-up, then a tape threaded, run for 33:20 and put away, with a stop for cleaning on the way."""
    shelf = step(shelf, "align", "D1", later(start, minutes=-15), 15, full=False, setup={"speed": "15 ips"})
    began = later(start, minutes=threading)
    ended = later(began, minutes=33 + stop)
    record = {
        "reel": reel, "pass": 1, "state": "done", "total": 2000.0,
        "pieces": [{"from": 0.0, "started": write_time(began), "to": 2000.0, "stopped": write_time(ended)}],
    }  # fmt: skip
    shelf = shelf.with_record("pass", f"{reel} {write_time(start)}", record)
    return step(shelf, "transfer", reel, began, 33 + stop + after)


def found(shelf: Any) -> dict[str, Any]:
    return {one.name: one for one in learnt(shelf)}


def test_threading_is_told_from_the_step_before_and_stops_do_not_count(
    shelf_of: Any, make_reel: Any, now: Any
) -> None:
    shelf = shelf_of(make_reel(wind="heads"))  # no wind before or after
    for day, stop in enumerate((0, 12, 0, 25, 0)):
        shelf = transferred(shelf, "R-001", later(now, hours=24 * day), threading=6, after=2, stop=stop)
    one = found(shelf)["load"]
    assert (one.minutes, one.times) == (8, 5)


def test_a_treated_tape_teaches_what_cleaning_takes(shelf_of: Any, make_reel: Any, now: Any) -> None:
    shelf = shelf_of(make_reel(condition=("sticky",), wind="heads"))
    for day in range(5):
        shelf = transferred(shelf, "R-001", later(now, hours=24 * day), threading=6, after=8)
    # 14 minutes around the tape, of which the studio's file says 5 are threading
    assert found(shelf)["clean"].minutes == 9
    assert "load" not in found(shelf)


def test_a_rest_before_the_tape_is_not_threading(shelf_of: Any, make_reel: Any, now: Any) -> None:
    shelf = transferred(shelf_of(make_reel()), "R-001", now, threading=45, after=2)
    assert "load" not in found(shelf)


def test_line_ups_are_told_by_deck_and_set_up(shelf_of: Any, make_reel: Any, now: Any) -> None:
    shelf = shelf_of(make_reel())
    for day, (setup, took) in enumerate((("15 ips", 44), ("15 ips", 46), ("30 ips", 60), ("30 ips", 62))):
        at = later(now, hours=24 * day)
        shelf = step(shelf, "align", "D1", at, took, full=True, setup={"speed": setup, "eq": "NAB"})
    one = found(shelf)["D1:line-up"]
    assert (one.minutes, one.times, one.planned) == (53, 4, 40)
    assert one.by_setup == (("15 ips NAB", 45, 2), ("30 ips NAB", 61, 2))


def test_a_joint_and_a_verify_are_learnt(shelf_of: Any, make_reel: Any, now: Any) -> None:
    shelf = step(shelf_of(make_reel()), "repair", "R-001", now, 24, joints=4)
    shelf = step(shelf, "verify", "R-001", later(now, minutes=30), 9.333)
    told = found(shelf)
    assert told["splice"].minutes == 6
    assert told["verify"].minutes == pytest.approx(6.0, abs=0.05)  # 33:20 listened to for a tenth: 3:20


def test_what_was_taken_in_is_given_back_however_often_it_was_taken_in(
    shelf_of: Any, make_reel: Any, now: Any
) -> None:
    shelf = shelf_of(make_reel())
    for day in range(6):
        shelf = step(shelf, "align", "D1", later(now, hours=24 * day), 50, full=True)
    once = take_in(shelf, found(shelf)["D1:line-up"])
    twice = take_in(once, found(once)["D1:line-up"])
    assert twice.studio.decks[0].setup_minutes == 50
    back = give_back(twice, found(twice)["D1:line-up"])
    assert back.studio.decks[0].setup_minutes == 40
    assert back.of_kind("setting") == {}
