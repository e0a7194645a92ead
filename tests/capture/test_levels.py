"""Levels and counts of every depth, held against `sox stats` and ffmpeg's `astats` where they are installed.

0.01 dB is what the two may differ from us; samples, clipped samples and DC must be theirs.
"""

import re
import shutil
import subprocess

import numpy as np
import pytest
import soundfile

from core.capture.check import check_capture
from core.capture.weighing.facts import ReelFacts, StudioFacts

RATE = 96000
FORMS = {"16": "PCM_16", "24": "PCM_24", "32": "PCM_32", "float": "FLOAT"}


@pytest.fixture(scope="module")
def sound():
    """Loud and clipped, soft, offset, silent but for one sample, asymmetric: three seconds of each."""
    rng = np.random.default_rng(11)
    at = np.arange(3 * RATE) / RATE
    noise = rng.standard_normal((len(at), 5))
    loud = np.clip(1.3 * np.sin(2 * np.pi * 331 * at) + 0.02 * noise[:, 0], -1, 1)
    lone = np.zeros(len(at))
    lone[100_000] = 0.25
    bent = 0.3 * np.exp(np.sin(2 * np.pi * 87 * at)) - 0.4 + 0.001 * noise[:, 4]
    return np.stack([loud, 0.001 * noise[:, 1], 0.1 * noise[:, 2].clip(-4, 4) + 0.01, lone, bent], axis=1)


@pytest.fixture(params=FORMS)
def captured(request, sound, tmp_path):
    """The file, its samples as libsndfile reads them, and its channels as they were measured."""
    path = tmp_path / f"{request.param}.wav"
    soundfile.write(path, sound, RATE, subtype=FORMS[request.param])
    samples, _ = soundfile.read(path, dtype="float64")
    return path, samples, check_capture(ReelFacts("R"), StudioFacts(), [path]).channels


def full_scale(samples, path):
    """Samples at the depth's largest or smallest value; for float at or beyond one."""
    bits = {"16": 16, "24": 24, "32": 32}.get(path.stem)
    top = 1.0 if bits is None else 1 - 2.0 ** (1 - bits)
    return (samples >= top) | (samples <= -1)


def test_counts_and_levels_are_those_of_the_samples(captured):
    path, samples, channels = captured
    assert [one.samples for one in channels] == [len(samples)] * 5
    assert [one.clipped_samples for one in channels] == list(full_scale(samples, path).sum(axis=0))
    assert channels[0].clipped_samples > 50_000
    assert [one.zero_samples for one in channels] == list((samples == 0).sum(axis=0))
    assert [one.dc for one in channels] == pytest.approx(list(samples.mean(axis=0)), abs=1e-7)
    rms = 20 * np.log10(np.sqrt((samples**2).mean(axis=0)))
    assert [one.rms_dbfs for one in channels] == pytest.approx(list(rms), abs=1e-4)
    peak = 20 * np.log10(np.abs(samples).max(axis=0))
    assert [one.peak_dbfs for one in channels] == pytest.approx(list(peak), abs=1e-6)


def numbers(said, name):
    """The values of one line of `sox stats`, channel by channel; its `-inf` too."""
    line = next(line for line in said.splitlines() if line.startswith(name))
    return [float(word) for word in line[len(name) :].split()[1:]]


def test_sox_says_the_same(captured):
    if shutil.which("sox") is None:
        pytest.skip("sox is not installed")
    path, _, channels = captured
    done = subprocess.run(["sox", path, "-n", "stats"], capture_output=True, text=True, check=True)
    assert [one.peak_dbfs for one in channels] == pytest.approx(numbers(done.stderr, "Pk lev dB"), abs=0.01)
    assert [one.rms_dbfs for one in channels] == pytest.approx(numbers(done.stderr, "RMS lev dB"), abs=0.01)
    assert [one.dc for one in channels] == pytest.approx(numbers(done.stderr, "DC offset"), abs=2e-6)


def test_ffmpeg_says_the_same(captured):
    if shutil.which("ffmpeg") is None:
        pytest.skip("ffmpeg is not installed")
    path, samples, channels = captured
    command = ["ffmpeg", "-hide_banner", "-nostats", "-i", path, "-af", "astats", "-f", "null", "-"]
    done = subprocess.run(command, capture_output=True, text=True, check=True, timeout=120)

    def told(name):
        return [float(one) for one in re.findall(rf"\] {name}: (\S+)", done.stderr)][: len(channels)]

    assert [one.peak_dbfs for one in channels] == pytest.approx(told("Peak level dB"), abs=0.01)
    assert [one.rms_dbfs for one in channels] == pytest.approx(told("RMS level dB"), abs=0.01)
    assert [one.dc for one in channels] == pytest.approx(told("DC offset"), abs=2e-6)
    (total,) = {int(one) for one in re.findall(r"Number of samples: (\d+)", done.stderr)}
    assert {one.samples for one in channels} == {total} == {len(samples)}
