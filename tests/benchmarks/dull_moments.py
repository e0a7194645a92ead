# ruff: noqa: E501
"""How often dirty heads are told in many bands of real music, and how often falsely in hours of clean ones.

    nice python tests/benchmarks/dull_moments.py [--bands 20] [--part held] [--seed 1000]

As dull.py, but only the moments that a check looks at are made, so that hours take minutes: frames of 1024 samples three
times a second of eight recordings, over hiss of -58, -66 or -80 dBFS that is not dulled, weakened line by line by Wallace's
law where they are *dulled* (from 45 to 75 s on, 2 micrometres at 360 s). *Clean*, *changing* (each track goes over to
another recording every 20 to 60 s) and *bridge* (half of the tracks low-passed at 3 kHz from the middle on) are not.
What tells is the program's own rule on these spectra. Nothing is judged; read the rows.
"""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

import numpy as np
from scipy.signal import butter, sosfreqz

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "support"))

from lostcontact import spacing_loss_db
from realsound import RATE, recordings

from core.capture.faults.spacing import growth
from core.capture.measures.spectra import EDGES_HZ
from core.capture.told.dull import _is_dull
from core.capture.weighing.verdict import standard_thresholds

SECONDS, TRACKS, FINAL, STEP, FRAME = 360.0, 8, 2.0, 0.3413, 1024
MOMENTS = int(SECONDS / STEP) - 1
TAPER = np.hanning(FRAME)
HERTZ = np.arange(FRAME // 2 + 1) * RATE / FRAME
PLACES = [round(hertz * FRAME / RATE) for hertz in EDGES_HZ]
Sound = np.ndarray


def lines(sound: Sound) -> Sound:
    """Moments by lines of a spectrum."""
    at = (np.arange(MOMENTS) * STEP * RATE).astype(int)
    return np.fft.rfft(sound[at[:, None] + np.arange(FRAME)] * TAPER, axis=1).astype(np.complex64)


def halves(band: list[Sound], micrometres: Sound, dbfs: float, seed: int) -> Sound:
    """Tracks by moments by bands, as a check keeps them."""
    dice, out = np.random.default_rng(seed), []
    weaker = 10 ** (-micrometres[:, None] * spacing_loss_db(HERTZ, 1.0) / 20)
    spread = 10 ** (dbfs / 20) * np.sqrt(TAPER @ TAPER / 2)
    for track in band:
        heard = track * weaker
        heard = heard + spread * (dice.standard_normal(heard.shape) + 1j * dice.standard_normal(heard.shape))
        power = np.add.reduceat(np.abs(heard[:, : PLACES[-1]]) ** 2, PLACES[:-1], axis=1)
        told = -20 * np.log10(power * 2 / (TAPER @ TAPER) / FRAME + 1e-30)
        out.append(np.clip(np.round(told), 0, 254).astype(np.uint8))
    return np.stack(out)


def band_of(sounds: list[Sound], dice: np.random.Generator, *, changing: bool) -> list[Sound]:
    """Eight tracks, each begun somewhere."""
    size, order = int((SECONDS + 1) * RATE), dice.permutation(len(sounds))
    out = []
    for track in range(TRACKS):
        sound = sounds[order[track % len(order)]]
        if changing:
            parts: list[Sound] = []
            while sum(map(len, parts)) < size:
                some = sounds[dice.integers(len(sounds))]
                parts.append(
                    np.resize(np.roll(some, -dice.integers(len(some))), int(dice.uniform(20, 60) * RATE))
                )
            sound = np.concatenate(parts)
        out.append(lines(np.resize(np.roll(sound, -dice.integers(len(sound))), size)))
    return out


def main() -> None:
    """Prints the rows."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--bands", type=int, default=20)
    parser.add_argument("--part", choices=("set", "held"), default="held")
    parser.add_argument("--seed", type=int, default=1000)
    given = parser.parse_args()
    sounds = [sound for kind, _, sound in recordings(given.part, 60.0) if kind != "speech"]
    least, low = (
        standard_thresholds()["dull"],
        np.abs(sosfreqz(butter(4, 3000, fs=RATE, output="sos"), HERTZ, fs=RATE)[1]),
    )
    told: dict[tuple[str, int], list[tuple[bool, float, float]]] = {}
    at, still = np.arange(MOMENTS) * STEP, np.zeros(MOMENTS)
    for number in range(given.bands):
        dice = np.random.default_rng(given.seed + number)
        band, changing = (band_of(sounds, dice, changing=way) for way in (False, True))
        bridge = [
            track.copy() if row % 2 else np.where(at[:, None] < SECONDS / 2, track, track * low)
            for row, track in enumerate(band)
        ]
        began = float(dice.uniform(45, 75))
        grows = FINAL * np.clip((at - began) / (SECONDS - began), 0, 1)
        cases = [("dulled", band, grows, dbfs) for dbfs in (-58, -66, -80)] + [
            ("clean", band, still, dbfs) for dbfs in (-58, -66, -80)] + [
            ("changing", changing, still, -66), ("changing, dulled", changing, grows, -66), ("bridge", bridge, still, -66)]  # fmt: skip
        for called, some, course, dbfs in cases:
            grown = growth(halves(some, course, dbfs, number), STEP, 15.0)
            if grown is not None:
                told.setdefault((called, dbfs), []).append(
                    (_is_dull(grown, least), grown.began - began, grown.micrometres)
                )
    print(f"{len(sounds)} recordings\n| what | hiss | told | |\n|---|---|---|---|")
    for (called, dbfs), rows in told.items():
        said = np.array([row for row in rows if row[0]], float).reshape(-1, 3)
        more = f"{len(rows) * SECONDS / 3600:.1f} h of eight tracks"
        if "dulled" in called and len(said):
            more = (f"{np.mean(np.abs(said[:, 2] - FINAL) <= 0.4):.0%} within 0.4 micrometres, begun within 30 s in "
                    f"{np.mean(np.abs(said[:, 1]) <= 30):.0%}, {np.median(np.abs(said[:, 1])):.0f} s off at the median")  # fmt: skip
        print(f"| {called} | {dbfs} dBFS | {len(said)} of {len(rows)} | {more} |")


if __name__ == "__main__":
    main()
