"""To which bench window work belongs that is begun before it opens."""

from dataclasses import replace

import pytest

from core.studio.opening import bench_window
from core.studio.studio import HoursRow


@pytest.fixture
def two_a_day(studio):
    """A Saturday with half an hour between two windows."""
    morning = HoursRow(("sat",), (), 10 * 60, 13 * 60, bench=True)
    return replace(studio, hours=(morning, HoursRow(("sat",), (), 13 * 60 + 30, 18 * 60, bench=True)))


@pytest.mark.parametrize(
    ("at", "since", "until"),
    [
        ("08:59", None, None),
        ("09:00", "09:00", "13:00"),
        ("12:59", "09:00", "13:00"),
        ("13:10", "13:00", "18:00"),  # not in the window that was over then
        ("17:59", "13:00", "18:00"),
        ("18:10", None, None),
    ],
)
def test_work_belongs_to_the_window_that_is_open_or_opens_within_the_hour(
    two_a_day, moment, at, since, until
):
    window = bench_window(two_a_day, moment(f"2026-12-05T{at}"))
    told = (f"{window.start:%H:%M}", f"{window.end:%H:%M}") if window else (None, None)
    assert told == (since, until)
