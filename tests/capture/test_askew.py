"""A tape that runs askew for a while: told by the closed form, and quiet where nothing is to be told."""

import numpy as np
import pytest
import soundfile
from lostcontact import apart, late_seconds

from core.capture.check import check_capture
from core.capture.faults.askew import _usual
from core.capture.weighing.facts import ReelFacts, StudioFacts

RATE = 32000
SECONDS = 60


def two_tracks(minutes: float, seed: int = 1, shared: float = 0.3) -> list[np.ndarray]:
    """Noise that both share and some of their own; the second is late from 20 to 35 s by s tan(a) / v."""
    dice = np.random.default_rng(seed)
    sound, one, two = (0.1 * dice.standard_normal(SECONDS * RATE) for _ in range(3))
    at = np.arange(sound.size) / RATE
    late = apart(sound, RATE, late_seconds(minutes, 0.125))
    bump = ((at >= 20) & (at < 35)).astype(float)
    return [sound + shared * one, 0.6 * (sound * (1 - bump) + late * bump + shared * two)]


def askew(path, tracks, width=0.25):
    soundfile.write(path, np.clip(np.stack(tracks, axis=1), -1, 1), RATE, "PCM_16")
    reel = ReelFacts("R", 2, speed_ips=15.0, width_inches=width)
    return [one for one in check_capture(reel, StudioFacts(), [path]).findings if one.kind == "askew"]


def test_a_tape_that_turns_by_three_minutes_is_told_where_and_by_how_much(tmp_path):
    """s tan(a) / v: middles an eighth of an inch apart at 15 in/s, 3 minutes of arc are 7.27 microseconds."""
    assert late_seconds(3.0, 0.125) == pytest.approx(7.27e-6, abs=0.01e-6)
    (found,) = askew(tmp_path / "a.wav", two_tracks(-3.0))
    assert found.start == pytest.approx(20, abs=5) and found.end == pytest.approx(35, abs=5)
    assert float(found.says.split("up to ")[1].split()[0]) == pytest.approx(3.0, abs=0.3)
    assert found.weight == "remark" and "by tracks 1 to 2" in found.says


@pytest.mark.parametrize(
    ("minutes", "shared", "width"), [(0.0, 0.3, 0.25), (3.0, 30.0, 0.25), (3.0, 0.3, None)]
)
def test_a_straight_tape_and_tracks_that_share_nothing_and_an_unknown_width_tell_nothing(
    tmp_path, minutes, shared, width
):
    made = two_tracks(minutes, 2, shared)
    assert askew(tmp_path / "a.wav", [track / max(1.0, shared) for track in made], width) == []


def test_a_few_low_partials_that_both_tracks_share_tell_it_too(tmp_path):
    """A bass of 98 Hz, its partials up to 900 Hz, and hiss: nothing that is shared lies above 1 kHz."""
    at, dice = np.arange(SECONDS * RATE) / RATE, np.random.default_rng(4)
    bass = sum(0.2 / number * np.sin(2 * np.pi * 98 * number * at + number) for number in range(1, 10))
    bass *= 0.6 + 0.4 * np.sin(2 * np.pi * 1.7 * at)
    late = apart(bass, RATE, late_seconds(3.0, 0.125))
    bump = ((at >= 20) & (at < 35)).astype(float)
    one, two = (10 ** (-66 / 20) * dice.standard_normal(at.size) for _ in range(2))
    (found,) = askew(tmp_path / "a.wav", [bass + one, 0.6 * (bass * (1 - bump) + late * bump) + two])
    assert found.start == pytest.approx(20, abs=5) and found.end == pytest.approx(35, abs=5)
    assert float(found.says.split("up to ")[1].split()[0]) == pytest.approx(3.0, abs=0.5)


def test_what_is_usual_is_told_without_the_third_of_a_pass_that_is_askew(rng):
    late = 0.1 * rng.standard_normal(60)
    late[20:40] += 3.0
    usual, wider = _usual(late, np.full(60, 0.1))
    assert usual == pytest.approx(0.0, abs=0.06) and wider < 1.3
    # By the middle of all of them a part of what is askew would pass for usual, and for sway.
    assert 1.4826 * np.median(np.abs(late - np.median(late))) > 0.14
