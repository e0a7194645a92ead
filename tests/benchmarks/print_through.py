# ruff: noqa: E501
"""How often print-through is told where it was put in, and how often falsely, by kind of music.

    nice python tests/benchmarks/print_through.py [--part held] [--seed 3] [--hiss -64] [--db -45]

Every recording that is installed (`tests/support/realsound.py`) is laid on one track at 15 in/s, 16 s of it at a time with
3 s of hiss between; the first 24 dB below full scale RMS. *Printed*: with a copy of itself one turn later and one turn
earlier, the turn that of a pack that shrinks from a diameter drawn between 5 and 10 in as 54 micrometres of tape run
off; a wave of length l is printed by (L / l) exp(1 - L / l), L being 2 pi times the thickness, at so many dB at most
(the shape that theory gives for a thin coat; from memory). *Clean*: the same without it. *As they are*: recordings one
after another without rests made. A place is the begin of a stretch; found is a finding that ends within 0.3 s of it with a
turn within 2 %; another turn is wrong. Nothing is judged; read the rows.
"""

from __future__ import annotations

import argparse
import re
import sys
import tempfile
from collections import defaultdict
from pathlib import Path

import numpy as np
import soundfile
from scipy.signal import fftconvolve, firwin2

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "support"))

from realsound import RATE, recordings, with_hiss

from core.capture.check import check_capture
from core.capture.weighing.facts import ReelFacts, StudioFacts
from core.findings import Finding

METRES, SPEED, STRETCH, REST = 54e-6, 15.0, 16, 3
Sound = np.ndarray


def turns(inches: float, seconds: Sound) -> Sound:
    """Seconds that one turn takes, along the pass: T^2 falls by 4 pi t / v a second."""
    first = (np.pi * inches / SPEED) ** 2
    left: Sound = np.sqrt(np.maximum(first - 4 * np.pi * METRES * seconds / (SPEED * 0.0254), 0.05))
    return left


def printed(sound: Sound, inches: float, db: float) -> Sound:
    """The sound and its copies on the turns beside it."""
    hertz = np.linspace(0, RATE / 2, 513)
    share = hertz * 2 * np.pi * METRES / (SPEED * 0.0254)
    faint = fftconvolve(
        sound, firwin2(1023, hertz, share * np.exp(1 - share) * 10 ** (db / 20), fs=RATE), "same"
    )
    at = np.arange(len(sound))
    turn = turns(inches, at / RATE) * RATE
    copies: Sound = sound + np.interp(at + turn, at, faint, right=0) + np.interp(at - turn, at, faint, left=0)
    return copies


def told(sound: Sound, folder: Path) -> list[Finding]:
    soundfile.write(folder / "a.wav", np.clip(sound, -1, 1 - 2**-23), RATE, "PCM_24")
    check = check_capture(ReelFacts("R", 1, speed_ips=SPEED), StudioFacts(), [folder / "a.wav"])
    return [one for one in check.findings if one.kind == "print-through"]


def laid(sound: Sound, begins: list[float]) -> Sound:
    """Stretches of it with hiss between; where each begins is added."""
    parts = []
    for at in range(0, min(len(sound), 4 * STRETCH * RATE) - STRETCH * RATE + 1, STRETCH * RATE):
        begins.append((sum(map(len, parts)) / RATE) + REST)
        parts += [np.zeros(REST * RATE), sound[at : at + STRETCH * RATE]]
    return np.concatenate([*parts, np.zeros(REST * RATE)])


def right(one: Finding, inches: float) -> bool:
    """Whether the turn that is told is that of the pack there."""
    turn = float(re.findall(r"heard ([0-9.]+) s before", one.says)[0])
    return bool(abs(turn / float(turns(inches, np.array(one.end - turn))) - 1) < 0.02)


def main() -> None:
    """Prints the rows."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--part", choices=("set", "held", "more"), default="held")
    parser.add_argument("--every", type=int, default=1, help="of the recordings only every N-th")
    parser.add_argument("--seed", type=int, default=3)
    parser.add_argument("--hiss", type=float, default=-64.0)
    parser.add_argument("--db", type=float, default=-45.0)
    given = parser.parse_args()
    dice, rows = np.random.default_rng(given.seed), defaultdict(lambda: np.zeros(6))
    missed, wrong = [], []
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        for number, (kind, called, sound) in enumerate(recordings(given.part, 64.0)):
            if number % given.every:
                continue
            begins: list[float] = []
            if len(sound) < STRETCH * RATE:
                sound = np.resize(sound, STRETCH * RATE)
            sound = sound * 10 ** (-24 / 20) / max(float(np.std(sound)), 1e-9)
            tape, inches = laid(sound, begins), float(dice.uniform(5, 10))
            through = told(with_hiss(printed(tape, inches, given.db), given.hiss, number), folder)
            places = {
                at for at in begins if any(abs(one.end - at) < 0.3 and right(one, inches) for one in through)
            }
            clean = told(with_hiss(tape, given.hiss, number), folder)
            as_is = told(with_hiss(sound, given.hiss, number), folder)
            false = sum(not right(one, inches) for one in through)
            rows[kind] += (
                len(places),
                len(begins),
                false,
                len(clean) + len(as_is),
                len(tape) / RATE / 3600,
                (len(tape) + len(sound)) / RATE / 3600,
            )
            missed += [called] * (len(begins) - len(places))
            wrong += [f"{called}: {one.says}" for one in [*clean, *as_is]]
    print(
        "| sound | places | found | wrong turns | false in clean ones | channel-hours, clean |\n|---|---|---|---|---|---|"
    )
    for kind, row in [*rows.items(), ("all", sum(rows.values(), np.zeros(6)))]:
        print(f"| {kind} | {row[1]:.0f} | {row[0]:.0f} | {row[2]:.0f} | {row[3]:.0f} | {row[5]:.2f} |")
    print("missed:", ", ".join(sorted(missed)))
    print("\n".join(wrong))


if __name__ == "__main__":
    main()
