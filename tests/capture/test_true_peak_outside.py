"""True peak held against ffmpeg's `ebur128` meter, where that is installed; it prints tenths of a decibel."""

import re
import shutil
import subprocess

import pytest
import soundfile
from capturedmaterial import MATERIAL

from core.capture.check import check_capture
from core.capture.weighing.facts import ReelFacts, StudioFacts

RATE = 48000


@pytest.mark.skipif(shutil.which("ffmpeg") is None, reason="no ffmpeg here")
@pytest.mark.parametrize("material", ["chord", "crunch", "drums", "surf"])
def test_true_peak_is_that_of_another_meter(tmp_path, rng, material):
    path = tmp_path / "p.wav"
    soundfile.write(path, MATERIAL[material](rng, RATE, 8 * RATE), RATE, subtype="PCM_24")
    command = ["ffmpeg", "-nostats", "-i", str(path), "-af", "ebur128=peak=true", "-f", "null", "-"]
    told = subprocess.run(command, capture_output=True, text=True, timeout=60, check=True).stderr
    peak = float(re.findall(r"Peak:\s+(-?[\d.]+) dBFS", told)[-1])
    (channel,) = check_capture(ReelFacts("R"), StudioFacts(), [path]).channels
    # EBU Tech 3341 allows a meter +0.2 and -0.4 dB.
    assert channel.true_peak_dbtp == pytest.approx(peak, abs=0.25)
