"""How often a track that hisses otherwise is told in real music, and how often one that does not.

    nice python tests/benchmarks/hiss.py [--part held] [--seed 9] [--bands 8] [--seconds 150]

Bands of eight recordings (`tests/support/realsound.py`), songs of 56 s with pauses of 4 s between them as in
`squeal.py`, over hiss of -66 dBFS. *Alike*: every track hisses the same. *Gains*: every track is turned up or
down by as much as 3 dB, hiss and music. *Louder*: one track hisses 10 to 14 dB more. *Dull*: the hiss of one
track is weakened above 5 kHz, by 12 dB an octave. Only the spectra of moments are measured,
and judged as in a check.
"""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

import numpy as np
from scipy.signal import butter, sosfilt

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "support"))

from realsound import RATE, recordings
from squeal import band

from core.capture.files.samples import Scale
from core.capture.measures.history import History
from core.capture.measures.spectra import Spectra
from core.capture.measures.windows import Measurer
from core.capture.steady.hiss import hisses_of
from core.capture.told.hisses import hiss_findings
from core.capture.weighing.facts import ReelFacts
from core.capture.weighing.places import PassMaker
from core.capture.weighing.verdict import thresholds_with

TRACKS = 8
Tracks = list[np.ndarray]


def told(tracks: Tracks) -> tuple[set[int], int]:
    """Tracks of which hiss is told as otherwise, and how many tell their hiss at all."""
    sound = np.stack(tracks)
    history = History(len(sound), RATE, Scale(np.dtype(np.float32), 1.0, -1.0, 1.0))
    measure, spectra = Measurer(history, extremes_alone=True), Spectra(history)
    for at in range(0, sound.shape[1] - history.chunk_frames + 1, history.chunk_frames):
        history.room()[:] = sound[:, at : at + history.chunk_frames]
        chunk = history.advance(history.chunk_frames)
        assert chunk is not None
        measure.take(chunk)
        if history.written % history.group_frames == 0:
            spectra.add(measure.group(history.written - history.group_frames))
    names = tuple(range(1, len(tracks) + 1))
    make = PassMaker(ReelFacts("R", len(tracks)), names, RATE, history.written, thresholds_with(None))
    hisses = hisses_of(spectra.found(), ())
    return {int(one.track or 0) for one in hiss_findings(hisses, make)}, len(hisses)


def hiss(size: int, dbfs: float, dice: np.random.Generator) -> np.ndarray:
    """White noise of so many dBFS."""
    noise: np.ndarray = 10 ** (dbfs / 20) * dice.standard_normal(size)
    return noise


def otherwise(what: str, clean: Tracks, dice: np.random.Generator) -> tuple[Tracks, int]:
    """A tape by what was done to it, and the track that hisses otherwise; 0 for none."""
    size = len(clean[0])
    out = [one + hiss(size, -66.0, dice) for one in clean]
    one = int(dice.integers(TRACKS))
    if what == "gains":
        return [track * 10 ** (dice.uniform(-3, 3) / 20) for track in out], 0
    if what == "louder":
        out[one] = clean[one] + hiss(size, -66.0 + dice.uniform(10, 14), dice)
    elif what == "dull":
        low = butter(2, 5000, fs=RATE, output="sos")
        out[one] = clean[one] + sosfilt(low, hiss(size, -66.0, dice))
    return out, one + 1 if what != "alike" else 0


def main() -> None:
    """Prints the rows."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--part", choices=("set", "held"), default="held")
    parser.add_argument("--seed", type=int, default=9)
    parser.add_argument("--bands", type=int, default=8)
    parser.add_argument("--seconds", type=float, default=150.0)
    given = parser.parse_args()
    sounds = [sound for _, _, sound in recordings(given.part, 60.0)]
    print("| hiss | tracks that tell theirs | told where it is | told where none is | channel-hours |")
    print("|---|---|---|---|---|")
    for what in ("alike", "gains", "louder", "dull"):
        heard = hit = false = 0
        for number in range(given.bands):
            dice = np.random.default_rng((given.seed, number))
            clean = band(sounds, dice, int(given.seconds * RATE), TRACKS, hiss=-120.0)
            tracks, where = otherwise(what, clean, dice)
            found, telling = told(tracks)
            heard, hit = heard + telling, hit + (where in found)
            false += len(found - {where})
        hours = given.bands * TRACKS * given.seconds / 3600
        put = given.bands if what in ("louder", "dull") else 0
        print(f"| {what} | {heard} of {given.bands * TRACKS} | {hit} of {put} | {false} | {hours:.2f} |",
              flush=True)  # fmt: skip


if __name__ == "__main__":
    main()
