"""Treble that goes along a pass: told where all tracks follow Wallace's law, not where music only changes."""

from itertools import islice

import numpy as np
import pytest
import soundfile
from lostcontact import spaced, spacing_loss_db
from realsound import RATE, recordings, with_hiss

from core.capture.check import check_capture
from core.capture.faults.spacing import growth, loss_a_micrometre
from core.capture.measures.spectra import EDGES_HZ
from core.capture.weighing.facts import ReelFacts, StudioFacts

STEP = 0.34
MIDDLES = np.sqrt(np.array(EDGES_HZ[:-1], float) * np.array(EDGES_HZ[1:]))


def playing(tracks, seconds, seed, change_at=None):
    """Spectra of made-up playing, in dB: chords that come and go, cymbals that stop at a moment if given."""
    dice = np.random.default_rng(seed)
    moments = int(seconds / STEP)
    rows = np.empty((tracks, moments, len(MIDDLES)))
    for track in range(tracks):
        colours = (
            -20 - 6 * np.log2(MIDDLES / 500) * dice.uniform(0.3, 1.0) + dice.normal(0, 4, (5, len(MIDDLES)))
        )
        rows[track] = colours[dice.integers(5, size=moments)] + dice.normal(0, 3, (moments, len(MIDDLES)))
    if change_at is not None:
        rows[0, int(change_at / STEP) :, 6:] -= 12
    return rows


def halves(rows):
    return np.clip(np.round(-2 * rows), 0, 254).astype(np.uint8)


def with_spacing(rows, course, ips):
    """The rows through a spacing that takes this course, in micrometres by moment."""
    return rows - spacing_loss_db(MIDDLES, 1.0, ips) * course[None, :, None]


def test_a_micrometre_costs_what_wallace_found():
    """54.6 d/λ: at 15 in/s a micrometre costs 1.43 dB at 10 kHz, and half as much at 30 in/s."""
    wanted = spacing_loss_db(MIDDLES[5:], 1.0) - spacing_loss_db(np.array([720.0]), 1.0)
    assert loss_a_micrometre(15.0) == pytest.approx(wanted)
    assert loss_a_micrometre(30.0) == pytest.approx(wanted / 2)


@pytest.mark.parametrize("ips", [7.5, 15.0, 30.0])
def test_a_spacing_that_grows_is_told_with_its_size_and_when_it_began(ips):
    rows = playing(8, 400, 1)
    at = np.arange(rows.shape[1]) * STEP
    grown = growth(halves(with_spacing(rows, 2.5 * np.clip((at - 150) / 250, 0, 1), ips)), STEP, ips)
    assert grown.micrometres == pytest.approx(2.5, abs=0.4)
    assert grown.began == pytest.approx(150, abs=45)
    assert grown.micrometres > 4 * grown.error and grown.agree > 0.9


def test_cymbals_that_stop_on_one_track_are_no_spacing():
    grown = growth(halves(playing(8, 400, 2, change_at=200)), STEP, 15.0)
    assert grown.micrometres < 4 * grown.error or grown.micrometres < 0.7 or grown.agree < 0.7


@pytest.mark.parametrize("rows", [
    np.full((4, 1000, 12), 255, np.uint8),
    np.full((4, 1000, 12), 60, np.uint8),
    np.zeros((1, 20, 12), np.uint8),
    np.zeros((0, 1000, 12), np.uint8),
])  # fmt: skip
def test_silence_one_note_and_a_short_capture_tell_nothing(rows):
    grown = growth(rows, STEP, 15.0)
    assert grown is None or grown.micrometres < 0.7


@pytest.fixture(scope="module")
def loops():
    laid = (sound for kind, _, sound in recordings("held", 100.0) if kind == "loops")
    found = list(islice(laid, 4))
    if len(found) < 4:
        pytest.skip("recordings of real music are not installed (sonic-pi-samples)")
    return [with_hiss(sound, -66.0, number) for number, sound in enumerate(found)]


def dull(path, tracks):
    return [one for one in checked(path, tracks).findings if one.kind in ("dull", "one side")]


def checked(path, tracks):
    soundfile.write(path, np.stack(tracks, axis=1), RATE, "PCM_24")
    return check_capture(ReelFacts("R", len(tracks), speed_ips=15.0), StudioFacts(), [path])


def test_real_music_through_dirty_heads_sends_the_person_to_the_minute(loops, tmp_path):
    """From 40 s on the spacing grows to 3 micrometres: blended from filters by Wallace's law."""
    at = np.arange(len(loops[0])) / RATE
    share = np.clip((at - 40) / 60, 0, 1)
    through = []
    for sound in loops:
        half, whole = spaced(sound, RATE, 1.5), spaced(sound, RATE, 3.0)
        first, second = np.clip(2 * share, 0, 1), np.clip(2 * share - 1, 0, 1)
        through.append((sound * (1 - first) + half * (first - second) + whole * second).astype(np.float32))
    check = checked(tmp_path / "dull.wav", through)
    found = [one for one in check.findings if one.kind in ("dull", "one side")]
    assert [one.kind for one in found] == ["dull"]
    along = list(check.strip.spacings.values())  # of three parts
    truth = [3.0 * float(part.mean()) for part in np.array_split(share, 3)]
    assert along == pytest.approx([one - truth[0] for one in truth], abs=0.4)
    assert not check.strip.speeds
    lanes = np.array([list(lane) for lane in check.strip.treble], float)
    lanes[lanes == 255] = np.nan
    assert np.nanmean(lanes[:, -800:]) < np.nanmean(lanes[:, :800]) - 4  # two decibels, at the least
    assert found[0].start == pytest.approx(40, abs=20)
    assert found[0].weight == "remark" and "Clean, and play again from" in found[0].says
    said = float(found[0].says.split("dirty heads: ")[1].split()[0])
    assert said == pytest.approx(3.0, abs=0.7)


def test_real_music_left_clean_is_not_dull(loops, tmp_path):
    assert dull(tmp_path / "clean.wav", loops) == []
