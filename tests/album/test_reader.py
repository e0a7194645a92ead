"""The reader along a curve against tones and noise, of which every value between samples is known."""

from __future__ import annotations

import numpy as np
import pytest

from core.album.reader import read_along

RATE = 48_000


def decibels(off: np.ndarray, sound: np.ndarray) -> float:
    return float(10 * np.log10(np.mean(off**2) / np.mean(sound**2)))


def places(seconds: float) -> np.ndarray:
    u = np.arange(round(seconds * RATE)) / RATE
    return RATE * (0.01 + 1.0007 * u + 0.001 * np.sin(3 * u))


@pytest.mark.parametrize("hertz", [30, 1000, 9000, 15000, 18000])
def test_a_tone_is_read_as_it_is_between_its_samples(hertz):
    at = places(1.0)
    tone = np.sin(2 * np.pi * hertz * np.arange(RATE + 3000) / RATE).astype(np.float32)
    true = np.sin(2 * np.pi * hertz * at / RATE)
    assert decibels(read_along(tone, at) - true, true) < -115


def test_noise_up_to_18_khz_is_read_as_its_partials_tell():
    rng, at = np.random.default_rng(3), places(0.5)
    hertz, phase = rng.uniform(50, 18000, 60), rng.uniform(0, 6.28, 60)

    def noise(t):
        return np.sin(2 * np.pi * hertz[:, None] * t + phase[:, None]).sum(axis=0) / 10

    sound = noise(np.arange(RATE) / RATE).astype(np.float32)
    assert decibels(read_along(sound, at) - noise(at / RATE), noise(at / RATE)) < -115


def test_whole_places_give_the_samples_themselves_and_beyond_is_silence():
    sound = np.random.default_rng(1).standard_normal(1000).astype(np.float32)
    assert np.abs(read_along(sound, np.arange(1000.0)) - sound).max() < 1e-6
    assert np.abs(read_along(sound, np.array([-100.0, 1100.0, -1e9, 1e9]))).max() < 1e-20
