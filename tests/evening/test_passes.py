"""A pass runs with the tape: where it stands, why it stopped, what was noted."""

from dataclasses import replace
from fractions import Fraction

import pytest

from core.clock import later
from core.errors import Refused
from core.evening.playing.passes import (
    drop_note,
    end_pass,
    go_on,
    notes_of,
    passes_of,
    place,
    reword_note,
    standing,
    start_pass,
    stop_pass,
)


@pytest.fixture
def now(moment):
    return moment("2026-12-01T20:00")


@pytest.fixture
def running(shelf_of, make_reel, now):
    return start_pass(shelf_of(make_reel(stage="aligned")), "R-001", 1, now)


def test_a_pass_runs_with_the_clock(running, now):
    one = passes_of(running, later(now, minutes=10))[0]
    assert (one.state, one.position, one.total, one.left) == ("running", 600, 2000, 1400)


def test_a_stopped_reel_stands_where_it_stopped_overnight(running, now):
    stopped = stop_pass(running, "R-001 1", later(now, minutes=12, hours=0), "clean heads")
    one = passes_of(stopped, later(now, hours=20))[0]
    assert standing(one) == "stopped at 12:00 of 33:20 (clean heads)"


@pytest.mark.parametrize(
    ("seconds", "words"),
    [
        (2000, "33:20 of 33:20"),
        (2001, "33:21, 0:01 over the estimate"),
        (2068, "34:28, 1:08 over the estimate"),
    ],
)
def test_a_tape_past_its_estimate_says_by_how_much(running, now, seconds, words):
    assert place(passes_of(running, later(now, minutes=Fraction(seconds, 60)))[0]) == words


def test_a_span_says_where_it_ends_and_how_far_past_it_the_tape_is(shelf_of, make_reel, now):
    shelf = shelf_of(make_reel(stage="aligned"))
    begun = start_pass(shelf, "R-001", 1, now, span="3:00-4:00", because="a dropout")
    assert place(passes_of(begun, later(now, minutes=Fraction(1, 2)))[0]) == "3:30, to 4:00"
    assert place(passes_of(begun, later(now, minutes=2))[0]) == "5:00, 1:00 past 4:00"


def test_a_tape_of_unknown_length_says_only_where_it_is(running, now):
    unknown = replace(passes_of(running, later(now, minutes=10))[0], total=0.0)
    assert place(unknown) == "10:00"


def test_going_on_starts_a_piece_some_seconds_earlier(running, now):
    stopped = stop_pass(running, "R-001 1", later(now, minutes=12), "power")
    on = go_on(stopped, "R-001 1", later(now, minutes=20))
    one = passes_of(on, later(now, minutes=21))[0]
    assert (one.position, one.pieces, one.state) == (720 - 10 + 60, 2, "running")


def test_a_note_is_stamped_at_the_key_and_worded_later(running, now):
    noted = drop_note(running, "R-001 1", later(now, minutes=5))
    noted = drop_note(noted, "R-001 1", later(now, minutes=6), "dropout")
    worded = reword_note(noted, "R-001 1 1", kind="song start", words="count-in")
    assert [(note.seconds, note.kind, note.words) for _, note in notes_of(worded, "R-001")] == [
        (300.0, "song start", "count-in"),
        (360.0, "dropout", ""),
    ]


def test_the_whole_reel_is_the_rule(shelf_of, make_reel, now):
    shelf = shelf_of(make_reel(stage="aligned"))
    with pytest.raises(Refused, match="takes a reason"):
        start_pass(shelf, "R-001", 1, now, span="12:30-16:45")
    one = passes_of(start_pass(shelf, "R-001", 1, now, span="12:30-16:45", because="the rest is lost"), now)[
        0
    ]
    assert (one.position, one.left) == (750, 255)


@pytest.mark.parametrize("span", ["16:45-12:30", "12:30", "a-b"])
def test_a_span_that_makes_no_sense_is_refused(shelf_of, make_reel, now, span):
    with pytest.raises(Refused, match="span"):
        start_pass(shelf_of(make_reel()), "R-001", 1, now, span=span, because="x")


def test_one_deck_one_pass_at_a_time(running, now, make_reel):
    with pytest.raises(Refused, match="is running"):
        start_pass(running.with_reel(make_reel("R-002")), "R-002", 1, now)


def test_a_reel_that_is_not_warmed_does_not_run(shelf_of, make_reel, now):
    with pytest.raises(Refused, match="not warmed yet"):
        start_pass(shelf_of(make_reel(condition=("sticky",))), "R-001", 1, now)


def test_a_pass_ends_at_the_end(running, now):
    assert passes_of(end_pass(running, "R-001 1", later(now, minutes=34)), now)[0].state == "done"
