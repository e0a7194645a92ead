# ruff: noqa: E501
"""How often print-through is told where it was put in, and how often falsely, by kind of music.

    nice python tests/benchmarks/print_through.py [--part held] [--seed 3] [--hiss -64] [--db -45]

Every recording that is installed (`tests/support/realsound.py`) is laid on one track at 15 in/s, 16 s of it at a time with
3 s of hiss between; the first 24 dB below full scale RMS. *Printed*: with a copy of itself one turn later and one turn
earlier, the turn that of a pack that shrinks from a diameter drawn between 5 and 10 in as 54 micrometres of tape run
off; a wave of length l is printed by (L / l) exp(1 - L / l), L being 2 pi times the thickness, at so many dB at most
(the shape that theory gives for a thin coat; from memory). *Clean*: the same without it. *As they are*: recordings one
after another without rests made. A place is where a stretch begins: where it first stands 8 dB above the hiss between 100
and 5000 Hz, since a stretch may begin in a pause. Found is a finding that ends within 0.3 s of it, or of where the stretch
is laid, with a turn within 2 %; another turn is wrong. A copy *can be heard* where it is as strong as the hiss for a tenth
of a second in some third of an octave: a tone is heard in noise about from there on. Nothing is judged; read the rows.
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
from scipy.signal import butter, fftconvolve, firwin2, sosfilt, stft

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


def copies(sound: Sound, inches: float, db: float) -> Sound:
    """What the sound leaves on the turns beside it."""
    hertz = np.linspace(0, RATE / 2, 513)
    share = hertz * 2 * np.pi * METRES / (SPEED * 0.0254)
    faint = fftconvolve(
        sound, firwin2(1023, hertz, share * np.exp(1 - share) * 10 ** (db / 20), fs=RATE), "same"
    )
    at = np.arange(len(sound))
    turn = turns(inches, at / RATE) * RATE
    left: Sound = np.interp(at + turn, at, faint, right=0) + np.interp(at - turn, at, faint, left=0)
    return left


def sounds_from(tape: Sound, laid_at: float, hiss: float) -> float:
    """Where a stretch that is laid there first stands out of the hiss for 30 ms."""
    part = tape[round(laid_at * RATE) : round((laid_at + STRETCH) * RATE)]
    band = sosfilt(butter(2, [100, 5000], "bandpass", fs=RATE, output="sos"), part)
    level = (band[: len(band) // 480 * 480].reshape(-1, 480) ** 2).mean(axis=1)
    loud = level > 10 ** ((hiss + 8) / 10) * 4900 / (RATE / 2)
    begins = np.flatnonzero(loud[:-2] & loud[1:-1] & loud[2:])
    return laid_at + (float(begins[0]) / 100 if len(begins) else 0.0)


def can_be_heard(faint: Sound, begins: float, hiss: float) -> bool:
    """Whether a copy in the quiet before a place is ever as strong as the hiss in some third of an octave."""
    quiet = faint[round((begins - REST) * RATE) : round((begins - 0.05) * RATE)]
    hertz, _, lines = stft(quiet, RATE, nperseg=4800)
    power = 2 * np.abs(lines) ** 2 / 1.5  # mean squares by line; a Hann window widens each to 1.5
    for middle in 1000 * 2 ** (np.arange(-10, 11) / 3):
        low, high = middle * 2 ** (-1 / 6), middle * 2 ** (1 / 6)
        band = power[(hertz >= low) & (hertz < high)].sum(axis=0)
        if band.max(initial=0.0) >= 10 ** (hiss / 10) * (high - low) / (RATE / 2):
            return True
    return False


def told(sound: Sound, folder: Path) -> list[Finding]:
    soundfile.write(folder / "a.wav", np.clip(sound, -1, 1 - 2**-23), RATE, "PCM_24")
    check = check_capture(ReelFacts("R", 1, speed_ips=SPEED), StudioFacts(), [folder / "a.wav"])
    return [one for one in check.findings if one.kind == "print-through"]


def laid(sound: Sound, begins: list[float]) -> Sound:
    """Stretches of it with hiss between; where each begins is added."""
    parts: list[Sound] = []
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
    parser.add_argument("--every-from", type=int, default=0, help="which of so many")
    parser.add_argument("--seed", type=int, default=3)
    parser.add_argument("--hiss", type=float, default=-64.0)
    parser.add_argument("--db", type=float, default=-45.0)
    given = parser.parse_args()
    dice = np.random.default_rng(given.seed)
    rows: defaultdict[str, Sound] = defaultdict(lambda: np.zeros(8))
    missed: list[str] = []
    wrong: list[str] = []
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        for number, (kind, called, sound) in enumerate(recordings(given.part, 64.0)):
            if number % given.every == given.every_from:
                rows[kind] += one(called, sound, number, dice, given, folder, missed, wrong)
    print("| sound | places | found | where it is laid | can be heard | of these found | wrong turns | false in clean ones | channel-hours, "
          "clean |\n|---|---|---|---|---|---|---|---|---|")  # fmt: skip
    for kind, row in [*rows.items(), ("all", sum(rows.values(), np.zeros(8)))]:
        print(f"| {kind} | {' | '.join(f'{count:.0f}' for count in row[:-1])} | {row[-1]:.2f} |")
    print("missed:", ", ".join(sorted(missed)))
    print("\n".join(wrong))


def one(
    called: str, sound: Sound, number: int, dice: np.random.Generator, given: argparse.Namespace, folder: Path,
    missed: list[str], wrong: list[str],
) -> tuple[float, ...]:  # fmt: skip
    """The row of one recording; its places that are missed and its false findings are added."""
    laid_at: list[float] = []
    if len(sound) < STRETCH * RATE:
        sound = np.resize(sound, STRETCH * RATE)
    sound = sound * 10 ** (-24 / 20) / max(float(np.std(sound)), 1e-9)
    tape, inches = laid(sound, laid_at), float(dice.uniform(5, 10))
    faint = copies(tape, inches, given.db)
    through = told(with_hiss(tape + faint, given.hiss, number), folder)
    ends = [found.end for found in through if right(found, inches)]
    # Where each is laid, whether it is found there, or where it begins to sound, and whether it can be heard.
    exact, found, heard = [], [], []
    for at in laid_at:
        begins = sounds_from(tape, at, given.hiss)
        exact.append(any(abs(end - at) < 0.3 for end in ends))
        found.append(exact[-1] or any(abs(end - begins) < 0.3 for end in ends))
        heard.append(can_be_heard(faint, begins, given.hiss))
        if not found[-1]:
            missed.append(f"{called} at {begins:.1f}{'' if heard[-1] else ' (not heard)'}")
    clean = [told(with_hiss(plain, given.hiss, number), folder) for plain in (tape, sound)]
    wrong += [f"{called}: {false.says}" for kind in clean for false in kind]
    return (
        len(laid_at), sum(found), sum(exact), sum(heard), sum(f and h for f, h in zip(found, heard, strict=True)),
        len(through) - len(ends), sum(map(len, clean)), (len(tape) + len(sound)) / RATE / 3600,
    )  # fmt: skip


if __name__ == "__main__":
    main()
