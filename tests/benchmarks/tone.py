"""Tone to speed: the largest error over twelve seeds, at several signal-to-noise ratios and lengths.

python tests/benchmarks/tone.py
"""

from __future__ import annotations

import time

import numpy as np

from core.capture.speed.tone import measure_tone

RATE = 48000


def main() -> None:
    for hertz in (50.0, 1000.0, 3150.0, 10000.0):
        for seconds in (4, 10):
            for snr in (60, 40, 20):
                worst = 0.0
                for seed in range(12):
                    at = np.arange(seconds * RATE) / RATE
                    sound = 0.5 * np.sin(2 * np.pi * hertz * at + seed)
                    noise = np.random.default_rng(seed).normal(size=len(at)) * 0.3536 * 10 ** (-snr / 20)
                    tone = measure_tone((sound + noise).astype(np.float32), RATE)
                    worst = max(worst, float("inf") if tone is None else abs(tone.hz / hertz - 1) * 1e6)
                print(f"{hertz:7.0f} Hz, {seconds:2} s, SNR {snr} dB: within {worst:.3f} ppm")
    sound = (0.5 * np.sin(2 * np.pi * 1000 * np.arange(120 * RATE) / RATE)).astype(np.float32)
    started = time.process_time()
    measure_tone(sound, RATE)
    print(f"{len(sound) / (time.process_time() - started) / 1e6:.0f} million samples per CPU-second")


if __name__ == "__main__":
    main()
