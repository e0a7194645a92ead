"""Dates, stretches of time and counts in words."""

from datetime import date
from fractions import Fraction

import pytest

from core.words import counted, date_text, day_text, hours_text, often


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
