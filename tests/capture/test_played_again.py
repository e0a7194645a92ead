"""A tape played again from a minute: the new file takes over there, at the check and elsewhere."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
import soundfile
from lostcontact import spaced
from scipy.signal import firwin2, oaconvolve

from core.capture.check import check_capture
from core.capture.pieces.pass_sound import PassSound
from core.capture.weighing.facts import ReelFacts, StudioFacts
from core.findings import Check

RATE, LONG, SINCE = 16000, 190, 41.5


@pytest.fixture(scope="module")
def tape() -> np.ndarray:
    """Two tracks of noise that falls with frequency and is struck anew at uneven times, as music is."""
    dice, size = np.random.default_rng(5), LONG * RATE
    hertz = np.array([0, 60, 200, 1000, 8000])
    shape = firwin2(511, hertz / 8000, [0, 1, 1, 0.3, 0.08])
    tracks = []
    for _ in range(2):
        strokes = np.zeros(size)
        strokes[np.cumsum(dice.integers(RATE // 6, RATE, 3 * LONG))[: 2 * LONG] % size] = 1.0
        level = oaconvolve(strokes, np.exp(-np.arange(RATE) / RATE * 4))[:size]
        tracks.append(0.1 * level * oaconvolve(dice.standard_normal(size), shape, "same"))
    return np.stack(tracks)


def pieces(tape: np.ndarray, folder: Path, since: float, until: float = LONG) -> list[Path]:
    """The tape dulled from 60 s on, and once more from ``since``, over hiss of its own; 0.02 % faster."""
    dice = np.random.default_rng(9)
    dull = np.stack([spaced(track, RATE, 3.0) for track in tape])
    first = np.concatenate((tape[:, : 60 * RATE], dull[:, 60 * RATE :]), axis=1)
    at = np.arange(since * RATE, until * RATE - 2, 1.0002)
    again = np.stack([np.interp(at, np.arange(tape.shape[1]), track) for track in tape])
    paths = [folder / "first.wav", folder / "again.wav"]
    for path, sound in zip(paths, (first, again), strict=True):
        sound = sound + 2e-4 * dice.standard_normal(sound.shape)
        soundfile.write(path, sound.T, RATE, "PCM_24")
    return paths


def checked(paths: list[Path]) -> Check:
    return check_capture(ReelFacts("R", 2, speed_ips=15.0), StudioFacts(), paths)


def test_the_new_piece_takes_over_ten_seconds_behind_its_begin(tape: np.ndarray, tmp_path: Path) -> None:
    paths = pieces(tape, tmp_path, SINCE)
    check = checked(paths)
    (join,) = (one for one in check.findings if one.kind == "join")
    assert join.says.startswith(
        "Piece 2 plays again what the one before holds from 0:41.5 on and takes over at"
    )
    assert join.weight == "note" and (join.start, join.end) == pytest.approx((SINCE, SINCE + 10), abs=0.01)
    assert check.seconds == pytest.approx(LONG, abs=0.1)
    assert all(file.sha256 and file.state == "whole" for file in check.files)
    assert not [one for one in check.findings if one.kind == "dull"]
    sound = PassSound(paths, check.tracks)
    assert sound.frames == round(check.seconds * RATE)
    got = sound.floats([1], 120 * RATE, 120 * RATE + 3000)[0]
    near = tape[0, 119 * RATE : 121 * RATE]
    shifts = [np.corrcoef(got, near[at : at + 3000])[0, 1] for at in range(RATE - 1500, RATE + 1500)]
    assert max(shifts) > 0.9  # the clean one; the dulled is another


def test_what_was_stopped_before_the_end_does_not_take_over(tape: np.ndarray, tmp_path: Path) -> None:
    """Behind it only the first capture has the tape: it is a remark, and nothing is left out."""
    check = checked(pieces(tape, tmp_path, SINCE, 100))
    assert not any("plays again" in one.says for one in check.findings)
    assert check.verdict == "remarks"


def test_another_tape_is_no_second_pass(tape: np.ndarray, tmp_path: Path) -> None:
    first, again = pieces(tape, tmp_path, SINCE)
    other = 0.02 * np.random.default_rng(3).standard_normal((150 * RATE, 2))
    soundfile.write(again, other, RATE, "PCM_24")
    assert not any("plays again" in one.says for one in checked([first, again]).findings)
