"""Dips that come again in time are played: they are told as before, and nobody listens to them."""

import numpy as np
import pytest
import soundfile

from core.capture.check import check_capture
from core.capture.faults.dips.again import comes_again
from core.capture.faults.dips.dip import Dip
from core.capture.faults.dips.dips import MOST_UNHEARD, Dips
from core.capture.faults.dips.sound import Around
from core.capture.weighing.facts import ReelFacts, StudioFacts

RATE = 48000


def a_dip(start: int, fell: float, frames: int = 2400) -> Dip:
    bands = np.concatenate((np.full(16, fell), np.zeros(16))).astype(np.float32)
    return Dip(0, start, start + frames, fell, -40.0, -20.0, np.zeros(1), bands, 0.0)


def some_dips(count: int) -> list[Dip]:
    dice = np.random.default_rng(4)
    return [a_dip(int(at), float(fell)) for at, fell in zip(
        dice.integers(0, 60 * RATE, count), dice.choice((10.0, 17.0, 24.0), count), strict=True)]  # fmt: skip


def test_some_are_asked_about_as_all_are():
    dips, rows = some_dips(40), [3, 7, 21, 39]
    for every, some in zip(comes_again(dips, RATE), comes_again(dips, RATE, rows), strict=True):
        assert every[rows].tolist() == some.tolist()


def test_more_dips_never_make_a_no_of_a_yes():
    dips = some_dips(60)
    for fewer, more in zip(comes_again(dips[:30], RATE), comes_again(dips, RATE, range(30)), strict=True):
        assert not np.any(fewer & ~more) and np.any(more)


@pytest.fixture
def heard(monkeypatch):
    """How often somebody listened."""
    told: list[int] = []
    listens = Around.features

    def counted(self: Around, start: int, stop: int) -> np.ndarray:
        told.append(start)
        return listens(self, start, stop)

    monkeypatch.setattr(Around, "features", counted)
    return told


def drops(path, sound):
    soundfile.write(path, sound, RATE, "PCM_24")
    found = check_capture(ReelFacts("R", 1), StudioFacts(), [path]).findings
    return [(round(one.start, 1), one.weight) for one in found if one.kind == "dropout"]


def a_tone(seconds: int, gaps) -> np.ndarray:
    """Notes that wander in pitch, over hiss, with gaps of 50 ms by 20 dB."""
    at = np.arange(seconds * RATE) / RATE
    dice = np.random.default_rng(1)
    sound = 0.2 * sum(np.sin(2 * np.pi * (311 * k * at + 0.4 * np.sin(9 * at))) for k in (1, 2, 3))
    for start in gaps:
        sound[int(start * RATE) : int((start + 0.05) * RATE)] *= 0.1
    return sound / 3 + 3e-4 * dice.standard_normal(len(at))


def test_nobody_listens_to_a_rest_in_every_bar(tmp_path, heard):
    """The one fall beside them, longer by far, is listened to."""
    gaps = np.arange(1.0, 39.0, 2.0)
    sound = a_tone(40, gaps)
    sound[int(20.3 * RATE) : int(20.55 * RATE)] *= 0.1
    drops(tmp_path / "bars.wav", sound)
    assert len(heard) <= 4 and any(abs(at / RATE - 20.3) < 0.02 for at in heard)


def test_it_does_not_matter_how_many_may_wait(tmp_path, monkeypatch):
    dice = np.random.default_rng(2)
    sound = a_tone(60, np.cumsum(dice.uniform(0.3, 0.9, 90)))
    every = drops(tmp_path / "a.wav", sound)
    monkeypatch.setattr("core.capture.faults.dips.dips.MOST_UNHEARD", 0)
    assert drops(tmp_path / "b.wav", sound) == every and MOST_UNHEARD


def test_where_points_are_set_all_are_described(tmp_path, monkeypatch):
    monkeypatch.setattr(Dips, "sparing", False)
    assert drops(tmp_path / "c.wav", a_tone(6, [2.0, 3.3]))
