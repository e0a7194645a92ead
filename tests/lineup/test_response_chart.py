"""The response as a chart in text: found and left at their decibels, the band that passes behind them."""

import pytest

from core.lineup.picture import ResponsePicture, worst_track
from tui.text.captures.response import response_lines
from tui.text.captures.response_chart import PLAIN, SIGNS, Marks, chart

LOW = ((50.0, -1.0), (1000.0, -0.5), (10_000.0, -1.0), (16_000.0, -2.0))
HIGH = ((50.0, 1.0), (1000.0, 0.5), (10_000.0, 1.0), (16_000.0, 1.0))
PICTURE = ResponsePicture(
    {1: ((50.0, 0.5), (1000.0, 1.5), (16_000.0, -9.0)), 2: ((1000.0, 0.1),)},
    {1: ((50.0, 0.5), (1000.0, 0.1), (16_000.0, -1.5)), 2: ((1000.0, 0.1),)},
    LOW,
    HIGH,
)


def at(lines: list[str], db: float) -> str:
    return lines[round((3.0 - db) / 0.5)][6:]


@pytest.mark.parametrize("marks", [SIGNS, PLAIN])
def test_a_reading_stands_at_its_decibel_and_its_tone(marks: Marks) -> None:
    lines = list(chart(PICTURE, 1, 78, marks))
    assert at(lines, 1.5).strip() == marks.found, "1.5 dB over lies outside of what passes"
    assert at(lines, 0).count(marks.left) == 1
    assert at(lines, 0.5).count(marks.both) == 1, "found and left at 50 Hz are the same"
    assert at(lines, -3).strip() == marks.under, "9 dB down lies beyond the edge"
    column = at(lines, 1.5).index(marks.found)
    assert lines[-1][6:].index("1k") in (column, column - 1)


def test_the_band_is_as_wide_as_the_tolerance() -> None:
    # National Library of Australia: 1 dB to 10 kHz, above it 1 dB over and 2 dB under; 1 kHz common practice.
    lines = list(chart(ResponsePicture({}, {2: ((1000.0, 9.0),)}, LOW, HIGH), 2, 78, PLAIN))
    assert at(lines, 1).startswith(":")
    assert at(lines, -2).rstrip().endswith(":") and not at(lines, -2).startswith(":")
    middle = lines[-1][6:].index("1k")
    assert at(lines, 1)[middle] == " "
    assert at(lines, 0.5)[middle] == ":"


@pytest.mark.parametrize("width", [60, 78, 118])
def test_no_line_is_wider_than_the_place(width: int) -> None:
    for role, line in response_lines(PICTURE, width):
        assert role != "plot" or len(line) <= width


def test_every_tone_of_many_has_a_column_of_its_own() -> None:
    tones = [31.5, 40, 50, 63, 80, 100, 125, 250, 500, 1000, 2000, 4000, 6300, 8000, 10_000, 12_500, 14_000,
             16_000, 18_000, 20_000]  # fmt: skip
    points = tuple((hz, 2.0) for hz in tones)
    band = tuple((hz, 1.0) for hz in tones)
    lines = list(
        chart(ResponsePicture({}, {1: points}, tuple((hz, -1.0) for hz in tones), band), 1, 78, PLAIN)
    )
    assert at(lines, 2).count("x") == len(tones)


def test_the_track_that_is_furthest_off_comes_first() -> None:
    assert worst_track(PICTURE) == 1
    heads = [line for role, line in response_lines(PICTURE) if role == "head"]
    assert heads[0].startswith("Track 1, the furthest off: at most found -9.0 dB at 16k; left -1.5 dB at 16k")
    assert heads[1].startswith("Track 2")
    assert [line for _, line in response_lines(ResponsePicture({}, {}, LOW, HIGH))] == [
        "No tone was read yet."
    ]
