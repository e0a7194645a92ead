"""How many splices and clicks a check finds in recordings of real music, and how many that are none.

    nice python tests/benchmarks/tape_breaks.py [--seconds 30] [--seeds 4] [--seed 1]

Bands of 16 recordings that have nothing in common (`tests/support/bands.py`), of the part that limits were
set on and of the other one, each clean, cut, and with clicks.
"""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parent.parent / "support"))

from bands import band, spliced
from realsound import RATE

from core.capture.faults.splices import find_splices
from core.capture.files.samples import Scale
from core.capture.scan import Scan

SHAPES = ("one sample", "round, 0.1 to 0.4 ms", "decaying, 0.4 to 1.5 ms")


def scanned(sound: np.ndarray) -> Scan:
    """All measures of tracks by frames."""
    scan = Scan(len(sound), RATE, Scale(np.dtype(np.float32), 1.0, -1.0, 1.0), sound.shape[1])

    def fill(first: int, rows: np.ndarray) -> None:
        rows[:] = sound[:, first : first + rows.shape[1]]

    scan.feed(sound.shape[1], fill)
    scan.finish()
    return scan


def clicked(sound: np.ndarray, dice: np.random.Generator) -> tuple[np.ndarray, list[tuple[int, int, int]]]:
    """A click on every track every 2.5 s, -10 to 6 dB against the peak about it: track, frame, shape."""
    out, put = sound.copy(), []
    for track in range(len(out)):
        for second in np.arange(1.0, sound.shape[1] / RATE - 2, 2.5):
            at, shape = int((second + dice.uniform(0, 1)) * RATE), int(dice.integers(3))
            peak = max(0.01, float(np.abs(sound[track, at - 4800 : at + 4800]).max()))
            size = peak * 10 ** (dice.uniform(-10, 6) / 20) * dice.choice([-1, 1])
            wave = _wave(shape, dice)
            out[track, at : at + len(wave)] += (size * wave).astype(np.float32)
            put.append((track, at, shape))
    return out, put


def _wave(shape: int, dice: np.random.Generator) -> np.ndarray:
    if shape == 0:
        return np.ones(1)
    if shape == 1:
        return np.hanning(int(dice.integers(6, 22)))[1:-1]
    at = np.arange(int(dice.integers(20, 70)))
    wave: np.ndarray = np.exp(-4 * at / len(at)) * np.cos(2 * np.pi * at * dice.uniform(2000, 9000) / RATE)
    return wave


def main() -> None:
    """Measure and print."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--seconds", type=float, default=30.0)
    parser.add_argument("--seeds", type=int, default=4)
    parser.add_argument("--seed", type=int, default=1, help="the first of the seeds")
    told = parser.parse_args()
    print("| recordings | splices found | false, clean | clicks by shape | notes of clicks, clean | hours |")
    print("|---|---|---|---|---|---|")
    for part in ("set", "held"):
        report(part, range(told.seed, told.seed + told.seeds), told.seconds)


def report(part: str, seeds: range, seconds: float) -> None:
    """One row of the table."""
    hit = put = false = notes = 0
    hours, clicks = 0.0, np.zeros((2, len(SHAPES)), int)
    for seed in seeds:
        clean = band(part, seed, seconds)
        hours += clean.size / RATE / 3600
        scan = scanned(clean)
        false, notes = false + len(find_splices(*scan.breaks.moments())), notes + len(scan.impulses.found)
        cut, places = spliced(clean, np.random.default_rng(seed))
        found = [one.seconds for one in find_splices(*scanned(cut).breaks.moments())]
        hit += sum(any(abs(one - at) < 0.005 for one in found) for at in places)
        put += len(places)
        faulty, wanted = clicked(clean, np.random.default_rng(seed))
        heard = [(one.channel, one.start) for one in scanned(faulty).impulses.found]
        for track, at, shape in wanted:
            clicks[0, shape] += 1
            clicks[1, shape] += any(one == track and abs(start - at) < 150 for one, start in heard)
    shapes = "; ".join(f"{name} {100 * found / max(all_, 1):.0f} %"
                       for name, all_, found in zip(SHAPES, *clicks, strict=True))  # fmt: skip
    print(f"| {part} | {hit} of {put} | {false} | {shapes} | {notes} | {hours:.2f} |")


if __name__ == "__main__":
    main()
