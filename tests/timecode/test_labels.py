"""Labels against ST 12-1 counting, libltc's own counting, and the `timecode` package."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from timecode import Timecode

from core.capture.timecode.labels import RATES, frame_number, label_of, rate_named, seconds_of
from core.errors import Unusable

DF = RATES["29.97 DF"]


@pytest.mark.parametrize(
    ("label", "number"),
    [
        # ST 12-1 drop-frame counting: 1798 labels in a minute that drops, 17 982 in ten minutes,
        # 107 892 in an hour, 2 589 408 in a day.
        ("00:00:59:29", 1799), ("00:01:00:02", 1800), ("00:09:59:29", 17981), ("00:10:00:00", 17982),
        ("01:00:00:00", 107892), ("10:00:00:00", 1078920), ("23:59:59:29", 2589407),
        ("09:16:06:22", 1000000), ("12:34:56:12", 1357534), ("01:01:00:02", 109692),
    ],
)  # fmt: skip
def test_drop_frame_labels_count_as_the_standard_says(label, number):
    assert frame_number(label, DF) == number
    assert label_of(number, DF) == label


def test_a_semicolon_is_read_and_a_colon_is_written():
    assert frame_number("00:01:00;02", DF) == 1800
    assert label_of(1800, DF) == "00:01:00:02"


@pytest.mark.parametrize("label", ["00:01:00:00", "00:01:00:01", "00:59:00:01"])
def test_dropped_labels_do_not_exist(label):
    with pytest.raises(ValueError, match="does not exist"):
        frame_number(label, DF)


@pytest.mark.parametrize("label", ["24:00:00:00", "00:60:00:00", "00:00:60:00", "00:00:00:30", "1:2:3:4", ""])
def test_labels_beyond_the_clock_are_refused(label):
    with pytest.raises(ValueError, match=r"beyond the clock|not a timecode label"):
        frame_number(label, RATES["30"])


def test_an_hour_of_drop_frame_is_3_6_ms_short_and_of_plain_29_97_is_3_6_s_long():
    assert seconds_of("01:00:00:00", DF) == Fraction("3599.9964")
    assert seconds_of("01:00:00:00", RATES["29.97"]) == Fraction("3603.6")


def test_midnight_comes_round():
    for rate in RATES.values():
        assert label_of(rate.frames_per_day, rate) == "00:00:00:00"
        assert label_of(-1, rate) == f"23:59:59:{rate.count - 1}"


def test_days_have_as_many_labels_as_libltc_and_the_standard_count():
    assert {name: rate.frames_per_day for name, rate in RATES.items()} == {
        "24": 2073600, "25": 2160000, "29.97": 2592000, "29.97 DF": 2589408, "30": 2592000,
    }  # fmt: skip


@given(st.sampled_from(sorted(RATES)), st.integers(0, 2589407))
def test_every_number_has_one_label_and_back(name, number):
    rate = RATES[name]
    number %= rate.frames_per_day
    assert frame_number(label_of(number, rate), rate) == number


@given(st.integers(0, 2589407))
def test_the_timecode_package_counts_drop_frame_alike(number):
    theirs = Timecode("29.97", frames=number + 1)
    assert str(theirs).replace(";", ":") == label_of(number, DF)


def test_an_unknown_rate_is_refused_with_those_that_there_are():
    with pytest.raises(Unusable, match=r"24, 25, 29\.97, 29\.97 DF, 30"):
        rate_named("23.98")
