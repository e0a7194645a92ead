"""Dozens of places that may be dropouts and hardly one that is: one line says that it cannot be told."""

import pytest

from core.capture.told.dropouts import _Place, _told_apart, _untold
from core.capture.weighing.facts import ReelFacts
from core.capture.weighing.places import PassMaker
from core.capture.weighing.verdict import thresholds_with

RATE = 48000


@pytest.fixture
def make():
    """A minute of 24 tracks."""
    return PassMaker(ReelFacts("R", 24), tuple(range(1, 25)), RATE, 60 * RATE, thresholds_with(None))


def places(count, *, sure):
    return [_Place(at % 24, at * 30000, at * 30000 + 2400, 15.0, 0.01 * at, sure=sure) for at in range(count)]


def test_of_dozens_in_a_minute_the_likeliest_are_told_and_the_others_are_one_line(make):
    told, rest = _told_apart(places(74, sure=False), make)
    assert [round(one.grade, 2) for one in told] == [0.71, 0.72, 0.73]
    line = _untold(rest, make)
    assert line.weight == "note" and len(rest) == 71
    assert "as may 70 more places on 24 tracks" in line.says and "cannot be told" in line.says
    assert (line.track, line.start) == (rest[0].channel + 1, rest[0].start / RATE)


def test_where_many_are_sure_or_few_a_minute_each_is_told(make):
    shed = places(60, sure=False) + places(30, sure=True)
    assert _told_apart(shed, make) == (shed, [])
    assert _told_apart(places(24, sure=False), make)[1] == []
    an_hour = PassMaker(make.reel, make.tracks, RATE, 3600 * RATE, make.thresholds)
    assert _told_apart(places(74, sure=False), an_hour)[1] == []
