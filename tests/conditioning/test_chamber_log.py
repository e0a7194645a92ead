"""The log of a chamber load: flags, broken-off loads, weights, trial runs, what worked."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from fractions import Fraction

import orjson
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.clock import later
from core.conditioning.loads.chamber_flags import (
    drying,
    flags,
    next_step,
    playable_days_left,
    trial_needed,
    trial_verdict,
    turns_due,
)
from core.conditioning.loads.chamber_log import (
    BEHAVED,
    ChamberLog,
    Gap,
    Member,
    Reading,
    from_record,
    times_treated,
    to_record,
)
from core.conditioning.loads.what_worked import what_worked
from core.tape.treatments import programme

START = datetime(2026, 12, 5, 9, 0, tzinfo=UTC)
COURSE = programme(54, 8, turn_hours=2, cool_hours=8, playable_days=14)
LOAD = ChamberLog("C1", START, (Member("R-1", Fraction(8)), Member("R-2", Fraction(4))), 54, Fraction(2))


def after(hours: float) -> datetime:
    return later(START, hours=Fraction(hours))


def read(hours: float, celsius: float, place: str = "") -> Reading:
    return Reading(after(hours), celsius, place)


def test_turns_are_due_every_two_hours_while_a_reel_stays_in() -> None:
    # common practice: turned and moved every two hours; at eight hours the last comes out
    assert turns_due(LOAD, COURSE, after(24)) == (after(2), after(4), after(6))


def test_a_reading_above_its_limit_is_flagged_and_one_above_the_hard_stop_more() -> None:
    log = replace(LOAD, readings=(read(1, 54), read(2, 57), read(3, 60)), turns=(after(2),))
    assert [(one.kind, one.at) for one in flags(log, COURSE, after(3))] == [
        ("over", after(2)),
        ("hard stop", after(3)),
    ]


def test_a_chamber_that_warms_up_is_not_cold_yet() -> None:
    log = replace(LOAD, readings=(read(0.25, 30), read(1.5, 48)))
    assert [one.kind for one in flags(log, COURSE, after(1.6))] == ["under"]


def test_turns_done_late_and_not_at_all() -> None:
    log = replace(LOAD, turns=(after(2.1), after(5)))
    found = flags(log, COURSE, after(7))
    assert [(one.kind, one.at) for one in found] == [("turn late", after(4)), ("turn missed", after(6))]
    assert "60 min" in found[0].says


def test_a_turn_is_not_missed_before_its_time_is_over() -> None:
    assert flags(LOAD, COURSE, after(2.4)) == ()
    assert [one.kind for one in flags(LOAD, COURSE, after(2.6))] == ["turn missed"]


def test_no_turn_is_due_once_all_are_out_or_it_was_broken_off() -> None:
    out = tuple(replace(one, out=after(3)) for one in LOAD.members)
    assert turns_due(replace(LOAD, members=out), COURSE, after(24)) == (after(2),)
    assert turns_due(replace(LOAD, broken_off=after(3)), COURSE, after(24)) == (after(2),)


def test_a_broken_off_load_tells_each_reel_its_next_step() -> None:
    log = replace(LOAD, broken_off=after(5), why="power")
    assert "done" in next_step(log, "R-2", COURSE, after(6))
    assert "give it the 3 h that are left" in next_step(log, "R-1", COURSE, after(5.5))
    assert "whole 8 h again" in next_step(log, "R-1", COURSE, after(9))
    assert next_step(LOAD, "R-1", COURSE, after(9)) == ""
    assert next_step(log, "R-9", COURSE, after(9)) == ""


def test_hours_had_stop_with_the_load() -> None:
    log = replace(LOAD, broken_off=after(5))
    assert log.hours_had("R-1", after(20)) == 5
    assert LOAD.hours_had("R-1", after(3)) == 3
    assert LOAD.hours_had("R-9", after(3)) == 0


def test_hours_are_elapsed_hours_over_a_clock_change() -> None:
    from zoneinfo import ZoneInfo

    start = datetime(2026, 10, 24, 20, 0, tzinfo=ZoneInfo("Europe/Lisbon"))
    log = ChamberLog("C1", start, (Member("R-1", Fraction(8)),))
    assert log.planned_out(log.members[0]) == datetime(2026, 10, 25, 3, 0, tzinfo=ZoneInfo("Europe/Lisbon"))


def test_days_left_to_play_it() -> None:
    # the maker: copy within one to two weeks (UNESCO study, 1997)
    assert playable_days_left(START, COURSE, START + timedelta(days=10)) == 4
    assert playable_days_left(START, COURSE, START + timedelta(days=15)) == -1


@pytest.mark.parametrize(
    ("before", "afterwards", "word"),
    [(1500, 1494, "6 g (0.40 %)"), (1500, 1499.5, "hardly"), (1500, 1503, "heavier"), (None, 1500, "")],
)
def test_the_scale_hints(before: float | None, afterwards: float, word: str) -> None:
    said = drying(Member("R-1", before_g=before, after_g=afterwards))
    assert word in said
    assert bool(said) == bool(word)


def test_an_empty_run_with_a_second_thermometer_comes_before_the_first_load() -> None:
    trial = ChamberLog("C1", START, (), 54, readings=(read(1, 54, "top"), read(2, 53, "bottom")))
    assert trial_needed([], "C1")
    assert trial_needed([LOAD, replace(trial, chamber="C2")], "C1")
    assert trial_needed([replace(trial, readings=trial.readings[:1])], "C1")
    assert not trial_needed([trial], "C1")
    assert trial_verdict(trial, COURSE) == ()


def test_a_chamber_with_a_hot_corner_is_told() -> None:
    trial = ChamberLog("C1", START, (), 54, readings=(read(1, 54, "top"), read(2, 59, "bottom")))
    said = " ".join(trial_verdict(trial, COURSE))
    assert "differ by 5.0 °C" in said
    assert "turn it down" in said
    assert "second thermometer" in " ".join(trial_verdict(replace(trial, readings=()), COURSE))


def test_treatments_and_those_that_did_not_help_are_counted() -> None:
    stopped = replace(LOAD, members=(Member("R-1", Fraction(8), behaved="stopped"),))
    assert times_treated([LOAD, stopped], "R-1") == (2, 1)
    assert times_treated([LOAD], "R-9") == (0, 0)


def test_which_programme_worked_on_which_stock() -> None:
    ran = [("R-1", "clean heads"), ("R-2", "some shed"), ("R-3", "stopped"), ("R-4", "")]
    log = ChamberLog("C1", START, tuple(Member(r, Fraction(8), behaved=b) for r, b in ran), 54)  # type: ignore[arg-type]
    rows = what_worked([log], {"R-1": "3M 226", "R-2": "3M 226"})
    assert [(r.stock, r.clean_heads, r.some_shed, r.stopped, r.tried) for r in rows] == [
        ("3M 226", 1, 1, 0, 2),
        ("unknown stock", 0, 0, 1, 1),
    ]


def test_the_bare_record_of_a_load_that_just_began_is_read() -> None:
    log = from_record({"chamber": "C1", "at": "2026-12-05T09:00+00:00", "reels": ["R-1"]})
    assert (log.chamber, log.at, log.members) == ("C1", START, (Member("R-1"),))
    assert flags(log, COURSE, after(2.4)) == ()


moments = st.datetimes(datetime(2026, 1, 1), datetime(2027, 1, 1)).map(
    lambda at: at.replace(microsecond=0, tzinfo=UTC)
)


@settings(deadline=None)
@given(
    log=st.builds(
        ChamberLog,
        chamber=st.text(min_size=1, max_size=5),
        at=moments,
        members=st.lists(
            st.builds(
                Member,
                reel=st.text(min_size=1, max_size=4),
                hours=st.one_of(st.none(), st.fractions(1, 72, max_denominator=12)),
                out=st.one_of(st.none(), moments),
                before_g=st.one_of(st.none(), st.floats(1, 5000)),
                after_g=st.one_of(st.none(), st.floats(1, 5000)),
                behaved=st.sampled_from(BEHAVED),
            ),
            max_size=3,
            unique_by=lambda one: one.reel,
        ).map(tuple),
        celsius=st.one_of(st.none(), st.floats(20, 60)),
        turn_hours=st.one_of(st.none(), st.just(Fraction(3, 2))),
        readings=st.lists(
            st.builds(Reading, moments, st.floats(-10, 90), st.text(max_size=4)), max_size=3
        ).map(tuple),
        turns=st.lists(moments, max_size=3).map(tuple),
        broken_off=st.one_of(st.none(), moments),
        why=st.text(max_size=9),
        gaps=st.lists(st.builds(Gap, moments, moments, st.text(max_size=4)), max_size=2).map(tuple),
    )
)
def test_a_log_comes_back_from_its_record(log: ChamberLog) -> None:
    assert from_record(orjson.loads(orjson.dumps(to_record(log)))) == log


def test_a_word_that_is_no_way_to_run_is_refused() -> None:
    with pytest.raises(ValueError):
        Member("R-1", behaved="fine")  # type: ignore[arg-type]
