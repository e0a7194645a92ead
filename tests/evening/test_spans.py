"""A song is ready by a verified span only where the span holds what the song needs."""

from fractions import Fraction

import pytest

from core.clock import later
from core.evening.playing.passes import end_pass, start_pass
from core.evening.playing.spans import covered
from core.songs.song import Need, Song


@pytest.fixture
def captured(shelf_of, make_reel, moment):
    now = moment("2026-12-01T20:00")
    shelf = start_pass(
        shelf_of(make_reel(stage="aligned")), "R-001", 1, now, span="5:00-10:00", because="the end is torn"
    )
    return end_pass(shelf, "R-001 1", later(now, minutes=5))


@pytest.mark.parametrize(("start", "end", "ready"), [(310, 590, True), (290, 500, False), (310, 610, False)])
def test_a_checked_span_makes_the_song_inside_it_ready(captured, start, end, ready):
    checked = captured.with_record("check", "1", {"reel": "R-001", "pass": 1, "verdict": "remarks"})
    song = Song("S", needs=(Need("R-001", Fraction(start), Fraction(end)),))
    assert covered(checked, song) is ready
    assert not covered(captured, song)


def test_a_song_that_needs_the_whole_reel_waits(captured):
    checked = captured.with_record("check", "1", {"reel": "R-001", "pass": 1, "verdict": "pass"})
    assert not covered(checked, Song("S", needs=(Need("R-001"),)))
