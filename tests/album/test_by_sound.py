"""Two captures laid by sound: errors against known maps, other takes refused, two answers told.

The maps are functions of time; what is played along them is read by SciPy's splines (tests/support).
"""

from __future__ import annotations

import madeupsongs as songs
import numpy as np
import pytest
import scipy.signal

from core.album.sound.by_sound import Outcome, lay_by_sound
from core.album.sound.correlated import correlate
from core.album.sound.heard import Heard
from core.album.sound.spectra import WORK_HZ, spectra

RATE = 8_000
MAPS = {
    "a deck that sways and plays 2.1 % fast": songs.swaying(20, 1.021, 0.001, 40, 1.0),
    "a bounce varispeeded by 3 % down": songs.swaying(12, 0.97, 0.0005, 25, 0.3),
    "the same tape once more": songs.swaying(3.3, 1.0, 0.0, 30, 0.0),
}


def heard(sound: np.ndarray, seed: int = 1, snr: float = 10.0) -> Heard:
    return Heard.of(songs.in_noise(sound, RATE, seed, snr).astype(np.float32), RATE)


def errors_ms(outcome: Outcome, song) -> np.ndarray:
    """How far the nodes of a match lie from where the map put them."""
    assert outcome.match is not None, outcome.why
    return 1000 * (song(outcome.match.there) - outcome.match.here)[outcome.match.sure]


@pytest.mark.parametrize("which", MAPS)
def test_a_mix_is_found_and_followed_through_noise_and_equalisation(band, which):
    song = MAPS[which]
    mix = songs.mixed(band, 3)
    copy = songs.equalised(songs.played(mix, RATE, song, 75), RATE, 5)
    off = errors_ms(lay_by_sound(heard(mix, 1), heard(copy, 2)), song)
    assert len(off) > 65
    assert np.sqrt(np.mean(off**2)) < 0.1 and np.abs(off).max() < 0.5


def test_an_opposed_copy_is_found_and_said_to_be_opposed(band):
    song = MAPS["a deck that sways and plays 2.1 % fast"]
    outcome = lay_by_sound(heard(band["guitar"], 1), heard(-songs.played(band["guitar"], RATE, song, 75), 2))
    assert outcome.match is not None and outcome.match.polarity == -1 and "opposed" in outcome.match.says
    assert np.abs(errors_ms(outcome, song)).max() < 0.5


@pytest.mark.parametrize("part", ["voice", "organ"])
def test_no_node_of_a_voice_or_an_organ_alone_lies_a_pitch_period_off(band, part):
    song = MAPS["a deck that sways and plays 2.1 % fast"]
    outcome = lay_by_sound(heard(band[part], 1, 20), heard(songs.played(band[part], RATE, song, 75), 2, 20))
    assert np.abs(errors_ms(outcome, song)).max() < 1.0


def test_stretches_in_which_a_voice_rests_are_named(band):
    voice = band["voice"].copy()
    voice[40 * RATE : 52 * RATE] = 0
    song = MAPS["the same tape once more"]
    outcome = lay_by_sound(heard(voice, 1, 25), heard(songs.played(voice, RATE, song, 80), 2, 25))
    assert outcome.match is not None
    assert any(one < 41.5 and two > 50.5 for one, two in outcome.match.gaps)


@pytest.mark.parametrize("part", ["drums", "bass", "guitar"])
def test_another_take_to_the_same_click_is_refused(band, other_take, part):
    outcome = lay_by_sound(heard(band[part], 1, 30), heard(other_take[part], 2, 30))
    assert outcome.match is None and "sounds like" in outcome.why


def test_drums_to_a_click_find_their_own_bar(band):
    song = MAPS["a deck that sways and plays 2.1 % fast"]
    outcome = lay_by_sound(heard(band["drums"], 1), heard(songs.played(band["drums"], RATE, song, 75), 2))
    assert np.abs(errors_ms(outcome, song)).max() < 0.5


def test_of_a_loop_both_answers_are_told():
    loop = np.tile(songs.mixed(songs.band(8, RATE, 5), 5)[: 8 * RATE], 12)
    outcome = lay_by_sound(heard(loop, 1, 20), heard(loop[16 * RATE : 80 * RATE], 2, 20))
    assert outcome.match is not None and outcome.other is not None
    one, two = (np.interp(40, match.here, match.there) for match in (outcome.match, outcome.other))
    assert abs(abs(one - two) / 8 - round(abs(one - two) / 8)) < 0.01 and abs(one - two) > 7


@pytest.mark.parametrize(
    ("sound", "says"),
    [
        (np.zeros(30 * RATE), "silent"),
        (0.3 * np.sin(np.arange(30 * RATE) * 0.3), "a steady sound has no place"),
        (np.ones(2 * RATE), "only 2.0 s"),
    ],
)
def test_what_has_no_place_of_its_own_is_said(band, sound, says):
    other = Heard.of(sound.astype(np.float32), RATE)
    for outcome in (lay_by_sound(heard(band["guitar"]), other), lay_by_sound(other, heard(band["guitar"]))):
        assert outcome.match is None and says in outcome.why


def test_lags_of_white_noise_are_those_that_scipy_finds():
    """Against scipy.signal.correlate, of band-limited noise shifted by whole samples."""
    rng = np.random.default_rng(8)
    sos = scipy.signal.butter(4, [150, 2900], "band", fs=WORK_HZ, output="sos")
    sound = scipy.signal.sosfilt(sos, rng.standard_normal(6 * WORK_HZ)).astype(np.float32)
    later = np.concatenate((np.zeros(37, np.float32), sound))[: len(sound)]
    found = correlate(spectra(sound, 5), spectra(later, 5), 200)
    for second in (1, 2, 3):
        cut = slice(second * WORK_HZ, (second + 1) * WORK_HZ)
        full = scipy.signal.correlate(later[cut], sound[cut], "full", "fft")
        assert int(found.values[second].argmax()) - 200 == int(full.argmax()) - (WORK_HZ - 1) == 37


def test_a_part_buried_in_a_mix_of_eight_is_found_where_one_asks_for_it(band, other_take):
    song = songs.swaying(4.0, 1.011, 0.0005, 30, 1.0)
    mix = sum(track / np.std(track) for track in [*band.values(), other_take["guitar"], other_take["piano"]])
    heard_mix = heard(songs.played(mix / 8, RATE, song, 80), 2, 25)
    outcome = lay_by_sound(heard(band["drums"], 1, 25), heard_mix, buried=True)
    assert np.abs(errors_ms(outcome, song)).max() < 0.5
    assert lay_by_sound(heard(other_take["drums"], 1, 25), heard_mix, buried=True).match is None
