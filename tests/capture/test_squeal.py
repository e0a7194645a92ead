"""A tape that squeals, as physics has it; and tones that stay for another reason."""

import numpy as np
import pytest
import soundfile
from squeals import lateness, pitch, swayed, voice

from core.capture.check import check_capture
from core.capture.timecode.encode import timecode
from core.capture.timecode.labels import rate_named
from core.capture.weighing.facts import ReelFacts, StudioFacts

RATE = 32000
SECONDS = 70
AT = np.arange(SECONDS * RATE) / RATE


def music(number: int) -> np.ndarray:
    """A new level four times a second, a pause from 30 to 34 s, over hiss of -66 dBFS."""
    dice = np.random.default_rng(number)
    levels = 10 ** (dice.uniform(-30, 0, SECONDS * 4 + 1) / 20)
    made = 0.1 * dice.standard_normal(AT.size) * levels[(AT * 4).astype(int)] * (np.abs(AT - 32) > 2)
    return made + hiss(number)


def hiss(number: int) -> np.ndarray:
    """White noise of -66 dBFS."""
    return 10 ** (-66 / 20) * np.random.default_rng((number, 1)).standard_normal(AT.size)


def told(path, tracks, **more):
    soundfile.write(path, np.clip(np.stack(tracks, axis=1), -1, 1), RATE, "PCM_24")
    reel = ReelFacts("R", len(tracks), speed_ips=15.0, **more)
    found = check_capture(reel, StudioFacts(), [path]).findings
    return [one for one in found if one.kind in ("squeal", "whine")]


@pytest.mark.parametrize(("tracks", "weight"), [(4, "remark"), (2, "note")])
def test_a_squeal_is_told_with_pitch_and_level_and_when(tmp_path, tracks, weight):
    """Two tracks may hold one note that was played: there it is a note."""
    dice = np.random.default_rng(3)
    phase = pitch(SECONDS, RATE, 3400.0, dice)
    tone = voice(phase, RATE, -48.0, dice) * ((AT >= 11) & (AT < 60))
    late = lateness(phase, RATE, 0.003)
    (one,) = told(tmp_path / "a.wav", [swayed(music(n), late, RATE) + tone for n in range(tracks)])
    assert one.kind == "squeal" and one.weight == weight and one.track is None
    assert one.start == pytest.approx(11, abs=11) and one.end == pytest.approx(60, abs=11)
    assert float(one.says.split(" Hz")[0].split()[-1]) == pytest.approx(3400, rel=0.02)
    assert float(one.says.split(" dB below")[0].split()[-1]) == pytest.approx(48, abs=5)
    assert "in the pauses too" in one.says and ("note that is held" in one.says) == (weight == "note")


def test_a_tone_that_stands_as_still_as_a_crystal_is_a_whine_and_not_of_the_tape(tmp_path):
    tone = 10 ** (-50 / 20) * np.sin(2 * np.pi * 3400 * AT)
    (one,) = told(tmp_path / "a.wav", [music(n) + tone for n in range(4)])
    assert (one.kind, one.weight) == ("whine", "note") and "too still for tape" in one.says


def line_up() -> np.ndarray:
    """1 kHz as a tape has it, swaying by 0.05 % (deviation of a good deck), at -20 dBFS."""
    return 0.14 * np.sin(2 * np.pi * 1000 * AT + 0.3 * np.sin(2 * np.pi * 3 * AT))


def chord() -> np.ndarray:
    """A chord that is held all along, its strength swaying a little, with three partials a note."""
    notes = [220 * 2 ** (n / 12) * k for n in (0, 4, 7, 12) for k in (1, 2, 3)]
    return sum(0.01 * np.sin(2 * np.pi * hertz * AT + 2 * np.sin(2 * np.pi * 5 * AT)) for hertz in notes)


def bell() -> np.ndarray:
    """Struck every 5 s, ringing through the pause."""
    return 0.1 * np.sin(2 * np.pi * 2100 * AT) * np.exp(-1.5 * (AT % 5))


@pytest.mark.parametrize("make", [line_up, chord, bell, lambda: 0 * AT])
def test_a_line_up_tone_a_held_chord_a_bell_and_nothing_are_no_squeal(tmp_path, make):
    under = hiss if make is line_up else music
    rows = [make() + under(number) for number in range(3)]
    assert told(tmp_path / "a.wav", rows) == []


def test_timecode_that_leaks_to_its_neighbours_is_no_squeal(tmp_path):
    code = 0.3 * np.resize(timecode("01:00:00:00", SECONDS * 25, rate_named("25"), RATE), AT.size)
    rows = [music(n) + 0.004 * code for n in range(3)]
    assert told(tmp_path / "a.wav", [*rows, code], timecode_track=4, timecode_rate="25") == []


def test_twenty_seconds_and_silence_tell_nothing(tmp_path):
    tone = 0.01 * np.sin(2 * np.pi * 3400 * AT)
    assert told(tmp_path / "a.wav", [(music(n) + tone)[: 20 * RATE] for n in range(4)]) == []
    assert told(tmp_path / "b.wav", [np.zeros(AT.size)] * 4) == []
