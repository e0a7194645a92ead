"""A mix measured: against the tables of ITU-R BS.1770-4, signals of EBU Tech 3341, and pyloudnorm."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pyloudnorm
import pytest
import soundfile

from core.capture.measures.programme import k_weighting
from core.capture.mix import measure_mix
from core.errors import Unusable

# ITU-R BS.1770-4, annex 1, tables 1 and 2: coefficients at 48 kHz.
TABLES = (
    (1.53512485958697, -2.69169618940638, 1.19839281085285, 1.0, -1.69065929318241, 0.73248077421585),
    (1.0, -2.0, 1.0, 1.0, -1.99004745483398, 0.99007225036621),
)


def test_the_weighting_is_that_of_the_standards_tables() -> None:
    assert np.allclose(k_weighting(48000), TABLES, atol=5e-7)


@pytest.mark.parametrize("rate", [8000, 44100, 192000])
def test_the_weighting_block_by_block_is_that_of_scipy_sample_by_sample(rate: int) -> None:
    """Noise over a slow rumble that the high-pass takes away, in chunks of several lengths."""
    from scipy.signal import sosfilt

    from core.capture.measures.loud.k_weighted import BlockFilter

    at = np.arange(64 * 400)
    noise = np.random.default_rng(5).standard_normal((2, at.size))
    sound = (1e5 * noise + 3e6 * np.sin(2 * np.pi * 8 * at / rate)).astype(np.float32)
    whole = sosfilt(k_weighting(rate), sound.astype(np.float64), axis=1)
    weighed = BlockFilter(k_weighting(rate), 2)
    parts = np.split(sound, [64 * 128, 64 * 136, 64 * 137], axis=1)
    found = np.concatenate([weighed(part).copy() for part in parts], axis=1)
    assert np.std(found - whole) < 1e-5 * np.std(whole)


def sine(path: Path, levels: list[tuple[float, float]], rate: int = 48000, hertz: float = 1000) -> Path:
    """A stereo sine whose peak level in dBFS changes after so many seconds each."""
    parts = [
        10 ** (level / 20) * np.sin(2 * np.pi * hertz * np.arange(int(seconds * rate)) / rate)
        for level, seconds in levels
    ]
    mono = np.concatenate(parts)
    soundfile.write(path, np.stack([mono, mono], axis=1), rate, subtype="PCM_24")
    return path


# EBU Tech 3341 (2016), table 1, test signals 1 to 5: stereo sines of 1 kHz, expected +-0.1 LU.
@pytest.mark.parametrize(
    ("levels", "expected"),
    [
        ([(-23, 20)], -23.0),
        ([(-33, 20)], -33.0),
        ([(-36, 10), (-23, 60), (-36, 10)], -23.0),
        ([(-72, 10), (-36, 10), (-23, 60), (-36, 10), (-72, 10)], -23.0),
        ([(-26, 20), (-20, 20.1), (-26, 20)], -23.0),
    ],
)
def test_published_test_signals(tmp_path: Path, levels: list[tuple[float, float]], expected: float) -> None:
    found = measure_mix(sine(tmp_path / "m.wav", levels))
    assert found.loudness_lufs == pytest.approx(expected, abs=0.1)


def test_a_full_scale_sine_in_one_channel(tmp_path: Path) -> None:
    """BS.1770-4, annex 1: 0 dBFS at 997 Hz in one channel reads -3.01."""
    rate = 48000
    mono = np.sin(2 * np.pi * 997 * np.arange(5 * rate) / rate)
    soundfile.write(tmp_path / "m.wav", mono, rate, subtype="FLOAT")
    assert measure_mix(tmp_path / "m.wav").loudness_lufs == pytest.approx(-3.01, abs=0.02)


@pytest.mark.parametrize(("rate", "subtype"), [(44100, "PCM_16"), (48000, "PCM_24"), (96000, "FLOAT")])
def test_against_a_reference_library(tmp_path: Path, rate: int, subtype: str) -> None:
    """pyloudnorm rounds its filters otherwise and agrees within 0.1 LU."""
    rng = np.random.default_rng(7)
    swell = np.interp(np.arange(12 * rate), [0, 5 * rate, 12 * rate], [0.002, 0.3, 0.05])[:, None]
    sound = swell * rng.standard_normal((12 * rate, 2)) * 0.5
    sound[: 2 * rate] = 0
    sound[-rate:] = 0
    soundfile.write(tmp_path / "m.wav", sound, rate, subtype=subtype)
    read, _ = soundfile.read(tmp_path / "m.wav")
    found = measure_mix(tmp_path / "m.wav")
    assert found.loudness_lufs == pytest.approx(pyloudnorm.Meter(rate).integrated_loudness(read), abs=0.1)
    assert found.peak_dbfs == pytest.approx(20 * np.log10(np.abs(read).max()), abs=1e-3)
    assert found.true_peak_dbtp is not None and found.peak_dbfs is not None
    assert found.true_peak_dbtp >= found.peak_dbfs
    assert found.first_sound == pytest.approx(2, abs=0.01) and found.last_sound == pytest.approx(11, abs=0.01)


def test_silence_has_no_length_and_no_loudness(tmp_path: Path) -> None:
    soundfile.write(tmp_path / "m.wav", np.zeros((48000, 2)), 48000, subtype="PCM_24")
    found = measure_mix(tmp_path / "m.wav")
    assert found.first_sound is None and found.loudness_lufs is None and found.sounding_seconds == 0


def test_what_is_no_sound_is_told(tmp_path: Path) -> None:
    (tmp_path / "m.wav").write_bytes(b"RIFF")
    with pytest.raises(Unusable, match=r"m\.wav"):
        measure_mix(tmp_path / "m.wav")
    with pytest.raises(Unusable, match="cannot be opened"):
        measure_mix(tmp_path / "none.wav")
