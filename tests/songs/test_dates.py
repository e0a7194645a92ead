"""Dates as written: EDTF's own examples, and what people write on sheets, with every reading kept."""

from __future__ import annotations

from datetime import date

import pytest

from core.songs.written.dates import certainly_before, nearest_days, read_date


# Examples of the Extended Date/Time Format specification (Library of Congress, 2019), levels 0 and 1.
@pytest.mark.parametrize(
    ("text", "first", "last"),
    [
        ("1985-04-12", date(1985, 4, 12), date(1985, 4, 12)),
        ("1985-04", date(1985, 4, 1), date(1985, 4, 30)),
        ("1985", date(1985, 1, 1), date(1985, 12, 31)),
        ("1964/2008", date(1964, 1, 1), date(2008, 12, 31)),
        ("2004-06/2006-08", date(2004, 6, 1), date(2006, 8, 31)),
        ("2004-02-01/2005-02-08", date(2004, 2, 1), date(2005, 2, 8)),
        ("2001-21", date(2001, 3, 1), date(2001, 5, 31)),
        ("1984?", date(1984, 1, 1), date(1984, 12, 31)),
        ("2004-06~", date(2004, 6, 1), date(2004, 6, 30)),
        ("201X", date(2010, 1, 1), date(2019, 12, 31)),
        ("2004-06-11%", date(2004, 6, 11), date(2004, 6, 11)),
        ("2004-XX", date(2004, 1, 1), date(2004, 12, 31)),
        ("1985-04-XX", date(1985, 4, 1), date(1985, 4, 30)),
        ("1985-XX-XX", date(1985, 1, 1), date(1985, 12, 31)),
        ("1985-04-12/..", date(1985, 4, 12), date.max),
        ("../1985-04-12", date.min, date(1985, 4, 12)),
        ("1985/", date(1985, 1, 1), date.max),
    ],
)
def test_the_formats_own_examples(text, first, last):
    (found,) = read_date(text)
    assert (found.first, found.last, found.edtf) == (first, last, text)


@pytest.mark.parametrize(
    ("text", "readings"),
    [
        ("1.2.80", ["1980-02-01", "1980-01-02"]),
        ("2.11.80", ["1980-11-02", "1980-02-11"]),
        ("31.5.1981", ["1981-05-31"]),
        ("winter 1979/80", ["1979-12/1980-02"]),
        ("autumn 80", ["1980-23"]),
        ("spring 1981", ["1981-21"]),
        ("May 1982", ["1982-05"]),
        ("3rd May '82", ["1982-05-03"]),
        ("May 3, 1982", ["1982-05-03"]),
        ("c. 1980", ["1980~"]),
        ("2001-34", ["2001-34", "2001/2034"]),  # the format's second quarter, and what people write
        ("1979-80", ["1979/1980"]),
        ("1980s", ["198X"]),
        ("the 80s", ["198X"]),
        ("Fri 1.2.80", ["1980-02-01"]),  # the second of January was a Wednesday
        ("Wednesday, 1/2/80", ["1980-01-02"]),
        ("Sunday 1.2.80", ["1980-02-01", "1980-01-02"]),  # neither was
        ("1.-3.2.80", ["1980-02-01/1980-02-03"]),
        ("12/13 May 1981", ["1981-05-12/1981-05-13"]),
        ("early 1980", ["1980-37"]),
        ("late '79", ["1979-39"]),
        ("Sept 1981", ["1981-09"]),
        ("mayhem 80", []),
        ("1985-04-12T23:20:30Z", ["1985-04-12"]),
        ("after the flood", []),
        ("30.2.80", []),
        ("0000", []),
    ],
)
def test_what_people_write(text, readings):
    assert [one.edtf for one in read_date(text)] == readings


def test_before_holds_only_by_every_reading():
    assert certainly_before("1979", "1.2.80") and not certainly_before("20.1.80", "1.2.80")
    assert nearest_days("31.1.80", "1.2.80") == 1 and nearest_days("?", "1980") is None
