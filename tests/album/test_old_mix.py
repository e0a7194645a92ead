"""What an old mix holds that no captured track has: by the measure, at the command line, on the screen."""

from __future__ import annotations

import csv

import madeupsongs as songs
import numpy as np
import pytest
import scipy.ndimage
import scipy.signal
import soundfile

from core.album.sound.unexplained import left_over, unexplained

RATE = 8_000
LAID_MIX = songs.swaying(12.5, 0.981, 0.001, 30, 1.0)


def with_part(mix: np.ndarray, part: np.ndarray, low: float, high: float, decibels: float) -> np.ndarray:
    """The mix with a part between two seconds, so many decibels beside the level of the whole."""
    at = np.arange(len(mix)) / RATE
    level = np.std(mix) / np.std(part[: len(mix)]) * 10 ** (decibels / 20)
    return mix + ((at > low) & (at < high)) * level * part[: len(mix)]


def treated(mix: np.ndarray, seed: int) -> np.ndarray:
    """Through a room, a compressor and a desk's equaliser."""
    rng = np.random.default_rng(seed)
    tail = rng.standard_normal(RATE) * np.exp(-np.arange(RATE) / (0.25 * RATE))
    mix = mix + 0.2 * scipy.signal.fftconvolve(mix, tail / np.sqrt((tail**2).sum()))[: len(mix)]
    level = np.sqrt(scipy.ndimage.uniform_filter1d(mix**2, RATE // 20))
    mix = mix * np.minimum(1, (np.percentile(level, 60) / np.maximum(level, 1e-9)) ** 0.5)
    return songs.equalised(mix, RATE, seed)


@pytest.mark.parametrize("part", ["voice", "organ"])
def test_a_part_that_no_track_has_stands_out_of_a_treated_mix_and_nothing_else_does(band, other_take, part):
    tracks = np.float32(list(band.values()))
    mix = songs.mixed(band, 3)
    plain = unexplained(*left_over(np.float32(treated(mix, 5)), tracks))
    assert plain.tells and plain.stretches == ()
    holds = treated(with_part(mix, other_take[part], 40, 60, -8), 5)
    told = unexplained(*left_over(np.float32(holds), tracks))
    assert told.stretches and all(a >= 35 and b <= 65 for a, b, _ in told.stretches)
    assert sum(b - a for a, b, _ in told.stretches) > 10


def test_of_a_mix_of_another_song_nothing_is_told_by_places(band, other_take):
    told = unexplained(*left_over(np.float32(songs.mixed(other_take, 1)), np.float32(list(band.values()))))
    assert not told.tells and told.stretches == ()


@pytest.fixture
def mixed(run, shelf, band, other_take, tmp_path):
    """The shelf whose mix has an organ between its seconds 30 and 46 that is on no tape; tied by sound."""
    mix = 0.8 * band["drums"] + 0.6 * band["guitar"] + 0.9 * band["bass"]
    played = songs.played(mix, RATE, LAID_MIX, 75)
    holds = treated(with_part(played, other_take["organ"], 30, 46, -6), 8)
    noise = 1e-4 * np.random.default_rng(4).standard_normal((len(holds), 2))
    soundfile.write(tmp_path / "old.wav", 0.5 * np.stack([holds, -holds], 1) + noise, RATE, "PCM_24")
    assert run("check", "R-3", tmp_path / "old.wav").status in (0, 1)
    return shelf


def test_it_is_a_remark_on_the_song_and_a_marker_of_its_copies_and_one_undo(run, mixed):
    refused = run("oldmix", "S-1")
    assert refused.status == 1 and "R-3 lies in no sure place: reelturn tie R-1 R-3" in refused.err
    assert run("tie", "R-1", "R-3").status == 0
    told = run("oldmix", "Low Tide")
    assert told.status == 0 and "R-3 0:" in told.out and "listen" in told.out
    assert told.out.count("\n") == 1
    record = run("oldmix", "S-1", "R-3", "--json").json
    ((first, last, share),) = record["stretches"]
    assert 26 <= first <= 33 and 43 <= last <= 50 and share > 2 * record["floor"]
    opened = run("parts", "S-1", "--json").json["open"]
    assert sum("something may sound" in line for line in opened) == 1
    assert run("lay", "S-1", "--out", "laid").status == 0
    with open(mixed / "laid" / "markers.csv", newline="", encoding="utf-8") as file:
        rows = list(csv.reader(file))
    assert any("something may sound here" in cell for row in rows for cell in row)
    assert run("undo").status == run("undo").status == 0
    opened = run("parts", "S-1", "--json").json["open"]
    assert not any("something may sound" in line for line in opened)


def test_what_was_looked_at_before_other_captures_is_not_told_as_if_it_held(run, mixed, captures):
    assert run("tie", "R-1", "R-3").status == run("oldmix", "S-1").status == 0
    assert run("check", "R-2", captures / "one.wav", "--tracks", "1-3").status in (0, 1, 2)
    before = run("parts", "S-1", "--json").json["open"]
    assert run("check", "R-2", captures / "other.wav", "--tracks", "1-2").status in (0, 1)
    opened = run("parts", "S-1", "--json").json["open"]
    assert any("was looked at before other captures" in line for line in opened), before


@pytest.mark.parametrize(
    ("words", "says"),
    [(("S-2",), "no mix of it is captured"), (("S-1", "R-4"), "R-4 is no captured tape of it"),
     (("S-9",), "no song 'S-9'")],
)  # fmt: skip
def test_what_cannot_be_looked_at_is_said_in_a_line(run, shelf, words, says):
    refused = run("oldmix", *words)
    assert refused.status == 1 and says in refused.err and refused.err.count("\n") == 1
