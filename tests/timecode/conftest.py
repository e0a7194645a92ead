"""Code to read: clean, bent and noisy; and libltc where the machine has it."""

import numpy as np
import pytest

from core.capture.timecode.decode import TimecodeReader
from core.capture.timecode.encode import RISE_SECONDS, edges_of, square, timecode, word_bits
from core.capture.timecode.labels import RATES


@pytest.fixture(scope="session")
def libltc():
    """libltc 1.3 (Debian package libltc11) through ctypes."""
    from libltc_reference import LibLtc

    try:
        return LibLtc()
    except OSError:
        pytest.skip("libltc.so.11 is not on this machine (Debian: apt install libltc11)")


@pytest.fixture(scope="session")
def code():
    """Code of a named rate: (first label, frames, rate name, sample rate, ...) as `timecode` takes them."""

    def make(first, frames, rate, sample_rate=48000, **other):
        return timecode(first, frames, RATES[rate], sample_rate, **other)

    return make


@pytest.fixture(scope="session")
def bent_code():
    """Code at 25 frames a second and 48 kHz whose speed is a function of seconds; with each frame's place."""

    def make(first, frames, speed):
        grid = np.arange(0, frames * 80 + 0.5, 0.5)
        factor = speed(grid * 24 / 48000) + np.zeros_like(grid)
        places = np.concatenate([[0], np.cumsum(24 / (factor[1:] + factor[:-1]))])
        edges = np.interp(edges_of(word_bits(first, frames, RATES["25"])), grid, places)
        sound = square(edges, round(edges[-1]), RISE_SECONDS * 48000, 0.5)
        return sound, np.interp(np.arange(frames) * 80.0, grid, places)

    return make


@pytest.fixture(scope="session")
def noise():
    """White noise so many dB under code of amplitude 0.5; the seed is in the call."""

    def make(samples, snr, seed):
        level = 0.5 * 10 ** (-snr / 20)
        return (np.random.default_rng(seed).normal(size=samples) * level).astype(np.float32)

    return make


@pytest.fixture(scope="session")
def read():
    """What a track says: (sound, sample rate, nominal rate, samples a block)."""

    def make(sound, sample_rate=48000, nominal=None, block=65536):
        reader = TimecodeReader(sample_rate, nominal)
        for at in range(0, len(sound), block):
            reader.feed(sound[at : at + block])
        return reader.finish()

    return make
