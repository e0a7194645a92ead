"""Print-through: told where a copy runs ahead by a turn of a pack that shrinks, not where it keeps time."""

from __future__ import annotations

import re

import numpy as np
import pytest
import soundfile
from capturedkinds import RATE, hiss, played

from core.album.levels import levels_of
from core.capture.check import check_capture
from core.capture.prints.bands import step
from core.capture.prints.echo import Copy
from core.capture.prints.heard import LIKELY, SURE, Printed, of_one_pack
from core.capture.prints.onsets import onsets
from core.capture.prints.pack import lags_of, one_pack, pack_inches, steady, turn_seconds
from core.capture.weighing.facts import ReelFacts, StudioFacts


def told(path, early, only=slice(None), music=None):
    """Findings in a track that begins anew every 14 s, with what comes `early(seconds)` later before it.

    With `only` the copy is there in that stretch alone.
    """
    at = np.arange(46 * RATE) / RATE
    if music is None:
        music = 4 * hiss(1, at.size) * played(1, at) ** 0.5
    music = music * (at % 14 >= 4)
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


def chord(seconds):
    """Four steady tones: their phases agree at very many lags."""
    at = np.arange(int(seconds * RATE)) / RATE
    return sum(0.1 * np.sin(2 * np.pi * hertz * at) for hertz in (440, 554.4, 659.3, 880))


def test_a_copy_of_steady_tones_is_told_by_where_it_begins_in_every_band(tmp_path):
    turns = lambda at: np.sqrt(2.0**2 - 4 * np.pi * 50e-6 / (7.5 * 0.0254) * at)  # noqa: E731
    found = told(tmp_path / "a.wav", turns, music=chord(46))
    assert [round(one.end) for one in found] == [4, 18, 32]
    for one in found:
        turn = float(re.findall(r"([0-9.]+) s before", one.says)[0])
        assert turn == pytest.approx(float(turns(one.end - turn)), rel=0.01)


def quiet_before(copy, seconds=4.0):
    """A chord that begins after quiet, at 9,600 Hz: the quiet holds `copy` of it, by level in time."""
    rate, begins = 9600, int((3 + seconds) * 9600)
    at = np.arange(begins + 5 * rate) / rate
    tones = sum(0.1 * np.sin(2 * np.pi * hertz * at) for hertz in (441, 661, 1102))
    level = np.where(at >= begins / rate, 1.0, copy(at - begins / rate))
    sound = level * tones + 6e-4 * np.random.default_rng(3).standard_normal(at.size)
    return step(sound.astype(np.float32), float(rate), begins, seconds, (0.4, 3.0), 15.0)


def test_the_quiet_tells_the_turn_of_a_copy_and_how_much_weaker_it_is():
    found = quiet_before(lambda at: 10 ** (-44 / 20) * (at >= -1.3))
    assert found is not None and found.tells
    assert found.lag == pytest.approx(1.3, abs=0.01)
    # 44 dB weaker at 1,102 Hz; the fewer turns of a wave, the weaker is print, and here it is not.
    assert found.level_db == pytest.approx(-44, abs=6)


def test_hiss_alone_tells_no_copy_and_neither_do_tones_that_stay_or_fade():
    assert quiet_before(lambda at: 0 * at) is None
    stays, fades = (quiet_before(lambda at: 10 ** (-44 / 20) + 0 * at),
                    quiet_before(lambda at: 10 ** (-30 / 20) * np.exp(-(at + 4))))  # fmt: skip
    assert stays is None or not stays.tells
    assert fades is None or not fades.tells


def begins_of(sound):
    """Where a track is told to begin: 3 s of hiss of -64 dBFS, then that sound."""
    at = np.arange(8 * RATE) / RATE - 3
    track = np.where(at >= 0, sound(at), 0) + 10 ** (-64 / 20) * np.random.default_rng(5).standard_normal(
        at.size
    )
    return [round(one.seconds, 1) for one in onsets(levels_of(track.astype(np.float32), RATE))]


def test_low_sound_soft_sound_and_a_click_before_a_rest_begin_as_well():
    low = lambda at: 0.05 * np.sin(2 * np.pi * 220 * at)  # noqa: E731
    assert begins_of(low) == [3.0]
    assert begins_of(lambda at: np.minimum(at / 0.4, 1) * low(at)) == [pytest.approx(3.1, abs=0.11)]
    # A stroke, and the sound itself 0.6 s later: the quiet ends with the stroke.
    assert begins_of(lambda at: (1 * (at < 0.1) + 9 * (at > 0.6)) * 0.3 * low(at))[:1] == [3.0]
    assert begins_of(lambda at: 0 * at) == []


def may_be(seconds, lag, likeness, *, by_bands=False):
    return Printed(seconds, Copy(lag, lag / 2, likeness, 0, -45.0), by_bands=by_bands)


def test_one_place_of_many_tells_it_where_phases_and_strength_agree():
    phases, strength = may_be(3.0, 1.500, LIKELY), may_be(3.0, 1.501, SURE, by_bands=True)
    assert of_one_pack([[phases, strength], [], [], []], 15.0) == [strength]
    assert of_one_pack([[may_be(3.0, 1.5, 2 * SURE)], [], [], []], 15.0) == []
    assert of_one_pack([[strength], [], [], []], 15.0) == []
    assert of_one_pack([[may_be(3.0, 1.7, LIKELY), strength], [], [], []], 15.0) == []


def test_what_hardly_tells_it_counts_where_another_place_tells_the_same_pack():
    # 54 micrometres at 15 in/s: the square of a turn falls by 4 pi t / v = 1.78e-3 s a second.
    sure, faint = may_be(3.0, 1.500, SURE), may_be(41.0, (2.25 - 1.78e-3 * 38) ** 0.5, LIKELY, by_bands=True)
    assert of_one_pack([[sure], [], [faint]], 15.0) == [sure, faint]
    assert of_one_pack([[], [], [faint]], 15.0) == []


def test_places_so_near_that_a_loop_would_not_show_tell_none():
    near = [[may_be(at, 0.733, SURE)] for at in (16.7, 19.2)]
    assert of_one_pack([*near, []], 15.0) == []


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
