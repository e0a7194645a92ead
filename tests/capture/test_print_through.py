"""Print-through: told where a copy runs ahead by a turn of a pack that shrinks, not where it keeps time."""

from __future__ import annotations

import re

import numpy as np
import pytest
import soundfile
from capturedkinds import RATE, hiss, played

from core.capture.check import check_capture
from core.capture.prints.pack import lags_of, one_pack, pack_inches, steady, turn_seconds
from core.capture.weighing.facts import ReelFacts, StudioFacts


def told(path, early, only=slice(None)):
    """Findings in a track that begins anew every 14 s, with what comes `early(seconds)` later before it.

    With `only` the copy is there in that stretch alone.
    """
    at = np.arange(46 * RATE) / RATE
    music = 4 * hiss(1, at.size) * played(1, at) ** 0.5 * (at % 14 >= 4)
    ahead = at * RATE + np.asarray(early(at)) * RATE
    faint = np.zeros(at.size)
    faint[only] = 10 ** (-46 / 20) * np.interp(ahead, np.arange(at.size), music, right=0)[only]
    soundfile.write(path, 0.3 * (music + faint) + 10 ** (-70 / 20) / 0.05 * hiss(5, at.size), RATE, "PCM_24")
    found = check_capture(ReelFacts("R", 1, speed_ips=7.5), StudioFacts(), [path]).findings
    return [one for one in found if one.kind == "print-through"]


def test_a_copy_ahead_by_the_turns_of_one_pack_is_told_at_each_place_with_its_level(tmp_path):
    turns = lambda at: np.sqrt(2.0**2 - 4 * np.pi * 50e-6 / (7.5 * 0.0254) * at)  # noqa: E731
    found = told(tmp_path / "a.wav", turns)
    assert [round(one.end) for one in found] == [4, 18, 32]
    for one in found:
        turn, weaker = (float(re.findall(sign, one.says)[0]) for sign in (r"([0-9.]+) s before", r"(\d+) dB"))
        assert turn == pytest.approx(float(turns(one.end - turn)), abs=0.012)
        assert weaker == pytest.approx(46, abs=3)
        assert one.start == pytest.approx(one.end - turn, abs=0.02)


def test_a_copy_that_keeps_its_time_while_the_pack_shrinks_is_in_the_music(tmp_path):
    assert told(tmp_path / "a.wav", lambda at: 2.0 + 0 * at) == []


def test_one_of_many_places_that_tells_it_alone_is_chance(tmp_path):
    """A tape that prints does so before every begin after quiet."""
    assert told(tmp_path / "a.wav", lambda at: 2.0 - 1e-3 * at, slice(10 * RATE, 20 * RATE)) == []


def test_a_turn_is_the_rim_of_the_pack_over_the_speed():
    # 10.5 in at 15 in/s: pi x 10.5 / 15 = 2.199 s; a hub of 4.5 in: 0.942 s.
    assert turn_seconds(10.5, 15) == pytest.approx(2.199, abs=0.001)
    assert turn_seconds(4.5, 15) == pytest.approx(0.942, abs=0.001)
    assert pack_inches(turn_seconds(8.0, 7.5), 7.5) == pytest.approx(8.0)
    low, high = lags_of((4.5, 10.5), 15)
    assert low < 0.942 and high > 2.199


def test_turns_of_one_pack_follow_from_its_length_and_thickness():
    # L = pi (D^2 - d^2) / (4 t): from 10 in to 4.5 in at 2 mil 2609.8 ft, 34.80 min at 15 in/s.
    first, last = (0.0, turn_seconds(10, 15)), (34.80 * 60, turn_seconds(4.5, 15))
    assert one_pack(first, last, 15)
    assert not one_pack(first, (60.0, first[1]), 15)
    shrinks = [(float(at), float(np.sqrt(2.0 - 1.6e-3 * at))) for at in (0, 20, 40, 60)]
    assert steady(shrinks) and not steady([*shrinks[:3], (60.0, 1.40)])
