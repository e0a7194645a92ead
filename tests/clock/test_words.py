"""Dates, stretches of time and counts in words."""

from datetime import date, timedelta
from fractions import Fraction

import pytest

from core.words import counted, date_text, day_text, hours_text, often, written_day


def test_a_date_in_a_sentence_has_no_leading_nought():
    assert (day_text(date(2026, 12, 1)), date_text(date(2026, 12, 1))) == ("Tue 1 Dec", "1 Dec")


@pytest.mark.parametrize(
    ("minutes", "words"),
    [
        (0, "0 min"),
        (45, "45 min"),
        (60, "1 h"),
        (90, "1 h 30"),
        (Fraction(125, 2), "1 h 02"),
        (485, "8 h 05"),
    ],
)
def test_stretches_of_time(minutes, words):
    assert hours_text(minutes) == words


def test_one_of_a_thing_is_said_as_one():
    assert (counted(1, "reel"), counted(0, "reel"), counted(2, "pass", "passes")) == (
        "1 reel",
        "0 reels",
        "2 passes",
    )
    assert (often(1), often(6)) == ("once", "6 times")


@pytest.mark.parametrize(
    ("text", "means"),
    [
        ("29 Nov", date(2027, 11, 29)), ("Tue 1 Dec", date(2026, 12, 1)), ("24 december", date(2026, 12, 24)),
        ("Sun 29 Nov 2026", date(2026, 11, 29)), ("29 Feb", date(2028, 2, 29)), ("Mon 1 Dec", None),
        ("31 Nov", None), ("1 xyz", None), ("Dec", None), ("", None),
    ],
)  # fmt: skip
def test_a_date_is_read_as_it_is_written(text: str, means: date | None) -> None:
    assert written_day(text, date(2026, 12, 1)) == means
    for days in range(400):
        day = date(2026, 12, 1) + timedelta(days=days)
        assert written_day(day_text(day), day) == day
