"""How near the true peak of a long pass, of which few stretches are oversampled, comes to that of all of it.

    nice python tests/benchmarks/true_peak.py [--seconds 30] [--shift 0]

Made-up sound of every kind in tests/support/capturedmaterial.py over hiss at -70 dBFS, at three rates and in
three depths. Prints for how many of the tracks the two differ by less than 0.02 and 0.1 dB, and the worst
ones. `--shift` makes other sound of the same kinds.
"""

from __future__ import annotations

import argparse
import sys
import tempfile
from pathlib import Path

import numpy as np
import soundfile

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "support"))

from capturedmaterial import MATERIAL

from core.capture.check import check_capture
from core.capture.measures.loud import true_peak
from core.capture.weighing.facts import ReelFacts, StudioFacts

FORMS = ((44100, "PCM_16"), (48000, "PCM_24"), (96000, "FLOAT"))


def peaks(path: Path, in_full_samples: int) -> np.ndarray:
    """True peaks of the tracks, with the pass counted as long from so many samples on."""
    true_peak.IN_FULL_SAMPLES = in_full_samples
    found = check_capture(ReelFacts("BENCH"), StudioFacts(), [path])
    return np.array([channel.true_peak_dbtp for channel in found.channels])


def main() -> None:
    """Make, check twice, compare."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--seconds", type=float, default=30.0)
    parser.add_argument("--shift", type=int, default=0)
    told = parser.parse_args()
    off: list[tuple[float, str]] = []
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "sound.wav"
        for rate, form in FORMS:
            frames = int(told.seconds * rate)
            tracks = []
            for number, maker in enumerate(MATERIAL.values()):
                dice = np.random.default_rng([told.shift, rate, number])
                tracks.append(maker(dice, rate, frames) + 10 ** (-70 / 20) * dice.standard_normal(frames))
            soundfile.write(path, np.stack(tracks, axis=1), rate, subtype=form)
            less = peaks(path, 10**12) - peaks(path, 0)
            off += zip(less.tolist(), (f"{name} at {rate} Hz" for name in MATERIAL), strict=True)
    for limit in (0.02, 0.1):
        print(f"within {limit} dB: {sum(less <= limit for less, _ in off)} of {len(off)} tracks")
    for less, name in sorted(off, reverse=True)[:5]:
        print(f"  {less:5.2f} dB too low: {name}")


if __name__ == "__main__":
    sys.exit(main())
