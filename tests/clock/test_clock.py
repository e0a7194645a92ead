"""Times against the IANA zone rules as Python's zoneinfo gives them, and PEP 495 for repeated hours."""

from datetime import UTC, date, datetime
from fractions import Fraction
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.clock import (
    Span,
    at_wall,
    clock_seconds,
    clock_text,
    days_later,
    days_to_reach,
    grid_ceiling,
    joined,
    later,
    minutes_between,
    read_time,
    write_time,
)
from core.zones import zone_of_town, zones_near

LISBON = ZoneInfo("Europe/Lisbon")
KOLKATA = ZoneInfo("Asia/Kolkata")


def test_eight_hours_over_the_spring_change_end_nine_clock_hours_later():
    start = at_wall(date(2027, 3, 27), 22 * 60, LISBON)
    assert write_time(later(start, hours=8)) == "2027-03-28T07:00+01:00"


def test_eight_hours_over_the_autumn_change_end_seven_clock_hours_later():
    start = at_wall(date(2026, 10, 24), 22 * 60, LISBON)
    assert write_time(later(start, hours=8)) == "2026-10-25T05:00+00:00"


def test_a_time_in_the_repeated_hour_is_its_first():
    assert (
        read_time("2026-10-25T01:30", LISBON).utcoffset() == datetime(2026, 7, 1, tzinfo=LISBON).utcoffset()
    )


def test_a_time_that_the_spring_change_skips_is_refused_in_a_file():
    with pytest.raises(ValueError, match="clock change skips"):
        read_time("2027-03-28T01:30", LISBON)


def test_an_opening_hour_that_the_change_skips_keeps_the_old_offset():
    assert at_wall(date(2027, 3, 28), 90, LISBON) == datetime(2027, 3, 28, 1, 30, tzinfo=UTC)


def test_an_offset_in_the_text_counts():
    assert write_time(read_time("2026-12-01T19:00+05:30", LISBON)) == "2026-12-01T13:30+00:00"


@pytest.mark.parametrize(
    "text", ["", "tomorrow", "2026-13-01T10:00", "2026-12-01", "2026-12-01T25:00", "9" * 80]
)
def test_what_is_no_time_is_refused_with_what_would_be_right(text):
    with pytest.raises(ValueError, match="a time as 2026-12-01T19:30"):
        read_time(text, LISBON)


def test_midnight_at_the_end_of_a_day_is_the_next_day():
    assert write_time(at_wall(date(2026, 12, 31), 1440, LISBON)) == "2027-01-01T00:00+00:00"


def test_the_grid_is_the_studios_clock_also_in_a_zone_of_half_hours():
    moment = datetime(2026, 12, 1, 13, 31, 20, tzinfo=UTC).astimezone(KOLKATA)
    assert write_time(grid_ceiling(moment, 30)) == "2026-12-01T19:30+05:30"


def test_fourteen_days_later_shows_the_same_clock_over_a_change():
    start = read_time("2026-10-20T19:00", LISBON)
    assert write_time(days_later(start, 14)) == "2026-11-03T19:00+00:00"


@given(st.integers(0, 10**6), st.integers(0, 10**5))
def test_later_and_minutes_between_agree(start_minutes, minutes):
    start = later(datetime(2026, 1, 1, tzinfo=LISBON), minutes=start_minutes)
    assert minutes_between(start, later(start, minutes=minutes)) == minutes


def test_spans_that_touch_become_one():
    a, b, c = (datetime(2026, 12, 1, hour, tzinfo=LISBON) for hour in (19, 20, 21))
    assert joined([Span(b, c), Span(a, b), Span(c, c)]) == (Span(a, c),)


@given(st.integers(0, 400_000))
def test_lengths_of_time_come_back_as_they_were_written(milliseconds):
    seconds = Fraction(milliseconds, 1000)
    assert clock_seconds(clock_text(seconds)) == seconds


@pytest.mark.parametrize("text", ["75", "1:75", "1:2:3:4", "-1:00", "1:75:00", "a:bc", ""])
def test_what_is_no_length_of_time_is_refused(text):
    with pytest.raises(ValueError, match="12:30"):
        clock_seconds(text)


def test_a_plan_made_anew_reaches_as_far_as_the_one_before():
    """14 days from Sunday 19:15 on; at 17:57 of Monday 13 more end before Sunday's 19:15."""
    until = datetime(2026, 12, 13, 19, 15, tzinfo=LISBON)
    for hour, days in ((17, 14), (20, 13)):
        start = datetime(2026, 11, 30, hour, 57, tzinfo=LISBON)
        assert days_to_reach(until, start) == days and days_later(start, days) >= until
    assert days_to_reach(until, until) == 1


def test_a_town_is_its_one_zone_and_a_country_tells_its_own():
    """As tables of the IANA zones have them: zone.tab and ISO 3166."""
    assert zone_of_town("Oslo") == "Europe/Oslo" and zone_of_town("new york") == "America/New_York"
    assert zone_of_town("Bergen") == "Bergen" and zone_of_town("UTC") == "UTC"
    for one in ("UK", "England", "Great Britain", "united kingdom", "Scotland", "Leeds, England"):
        assert zones_near(one)[0] == "Europe/London", one
    assert zones_near("USA")[0] == "America/New_York" and zones_near("the Netherlands") == [
        "Europe/Amsterdam"
    ]
    assert zones_near("Berlin, Germany")[0] == "Europe/Berlin"
    assert zones_near("GMT+1") == [] and zone_of_town("GMT+1") == "GMT+1"
    assert zones_near("Norway") == ["Europe/Oslo"] and zones_near("germany")[0] == "Europe/Berlin"
    assert zones_near("new zealand")[0] == "Pacific/Auckland" and zones_near("Bergen") == []
