"""True peak of long passes, of which only few stretches are oversampled, against oversampling all of it.

The reference is SciPy's polyphase resampling, four times; EBU Tech 3341 allows +0.2/-0.4 dB.
"""

import numpy as np
import pytest
from scipy.signal import resample_poly

from core.capture.check import check_capture
from core.capture.measures.loud import true_peak
from core.capture.weighing.facts import ReelFacts, StudioFacts

RATE = 48000


def jumpy(rng):
    """A chord that begins anew every half second, wherever its wave stands."""
    at = np.arange(6 * RATE) / RATE
    return 0.3 * sum(np.sin(2 * np.pi * hertz * (at % 0.5)) for hertz in (221, 277, 331)) / 3


def tone(hertz):
    """Faded in and out, since a hard start rings."""
    at = np.arange(6 * RATE)
    return 0.5 * np.sin(2 * np.pi * hertz * at / RATE + 0.7) * np.minimum(1, np.minimum(at, at[::-1]) / 4800)


SOUNDS = {
    "hiss": lambda rng: 0.1 * rng.standard_normal(6 * RATE),
    "hits": lambda rng: (
        0.15 * rng.standard_normal(6 * RATE) * np.exp(-20 * (np.arange(6 * RATE) / RATE % 0.4))
    ),
    "jumps": jumpy,
    "high tone": lambda rng: tone(11_987.3),
    "lone click": lambda rng: np.where(np.isin(np.arange(6 * RATE), (100_003, 100_004)), 0.8, 0.0),
    "steps at a border": lambda rng: (
        0.5 * np.sign(np.sin(2 * np.pi * 93.75 * (np.arange(6 * RATE) + 0.5) / RATE))
    ),
}


@pytest.mark.parametrize("name", SOUNDS)
@pytest.mark.parametrize("bits", [16, 24, 32])
@pytest.mark.parametrize("in_full", [True, False])
def test_few_stretches_tell_what_oversampling_all_of_them_tells(wav, rng, monkeypatch, name, bits, in_full):
    monkeypatch.setattr(true_peak, "IN_FULL_SAMPLES", 10**9 if in_full else 0)
    path = wav("a.wav", SOUNDS[name](rng), RATE, bits)
    (channel,) = check_capture(ReelFacts("R"), StudioFacts(), [path]).channels
    sound = SOUNDS[name](np.random.default_rng(20261201))
    highest = max(np.abs(resample_poly(sound, 4, 1)).max(), np.abs(sound).max())
    assert channel.true_peak_dbtp == pytest.approx(20 * np.log10(highest), abs=0.02 if in_full else 0.1)
    assert channel.true_peak_dbtp >= channel.peak_dbfs


def test_no_sound_rises_above_its_bounds(rng):
    """The two bounds, held against filtering itself: random sounds, and the very worst ones."""
    for taps in true_peak.interpolator():
        worst = np.sign(taps[::-1])
        sounds = [worst, *(rng.standard_normal(20) for _ in range(200)), np.arange(20) >= 10]
        by_steps = true_peak._by_steps(taps)
        for sound in sounds:
            value, steps = abs(float(taps[::-1] @ sound)), float(np.sum(np.diff(sound) ** 2))
            peak = np.abs(sound).max()
            assert value <= np.abs(taps).sum() * peak + 1e-9
            nearer = max(abs(float(sound[9])), abs(float(sound[10])))
            assert value <= true_peak._ROUNDING * (nearer + by_steps * np.sqrt(steps))
