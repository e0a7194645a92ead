"""What a check says of captures that are hardly music: silence, one note, applause, clicks, many tracks.

    python tests/benchmarks/odd_captures.py [--hours 24]

With `--hours` only one track of so many hours, digital silence but for 100 s of a recording at three places
(a file that takes no room where it is silent), and the most memory that the process took. Sound is made here,
but for recordings (`tests/support/realsound.py`) as noise reduction leaves them; over hiss of -66 dBFS where
a tape would have it. A row each: findings by kind and weight.
"""

from __future__ import annotations

import argparse
import struct
import subprocess
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Callable
from pathlib import Path

import numpy as np
import soundfile
from scipy.signal import butter, sosfilt

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "support"))

from realsound import recordings

from core.capture.check import check_capture
from core.capture.weighing.facts import ReelFacts, StudioFacts

RATE = 48000
Sound = np.ndarray


def hiss(seconds: float, seed: int, dbfs: float = -66.0) -> Sound:
    """Steady noise."""
    noise = np.random.default_rng(seed).standard_normal(int(seconds * RATE))
    return np.asarray(10 ** (dbfs / 20) * noise)


def note(seconds: float, seed: int) -> Sound:
    """One note with five partials, held."""
    at = np.arange(int(seconds * RATE)) / RATE
    return np.asarray(sum(0.2 / n * np.sin(2 * np.pi * 220 * n * at) for n in range(1, 6))) + hiss(
        seconds, seed
    )


def clapping(seconds: float, seed: int, hands: int = 60) -> Sound:
    """Many hands, each three to four times a second, filtered noise of some milliseconds."""
    dice, size = np.random.default_rng(seed), int(seconds * RATE)
    hits = np.zeros(size)
    for _ in range(hands):
        at = np.cumsum(dice.normal(0.28, 0.03, int(seconds * 4)))
        places = (at[at < seconds] * RATE).astype(int)
        hits[places[places < size]] += dice.uniform(0.3, 1)
    clap = dice.standard_normal(RATE // 50) * np.exp(-np.arange(RATE // 50) / RATE / 0.004)
    clap = sosfilt(butter(2, [700, 4000], "band", fs=RATE, output="sos"), clap)
    return np.asarray(0.1 * np.convolve(hits, clap)[:size]) + hiss(seconds, seed)


def clicks(seconds: float, seed: int) -> Sound:
    """A click of 5 ms twice a second, as from a drum machine, in hiss."""
    at = np.arange(int(seconds * RATE)) % (RATE // 2) / RATE
    return np.asarray(0.5 * np.sin(2 * np.pi * 1000 * at) * (at < 0.005)) + hiss(seconds, seed)


def encoded(seconds: float, seed: int) -> Sound:
    """A recording as noise reduction leaves it: levels halved in dB about -20, treble raised by 10 dB."""
    every = [sound for kind, _, sound in recordings("set", seconds) if kind == "loops"]
    sound = (
        np.resize(every[seed % len(every)], int(seconds * RATE)).astype(float)
        if every
        else note(seconds, seed)
    )
    sound = sound + 2 * sosfilt(butter(1, 2000, "high", fs=RATE, output="sos"), sound)
    level = np.sqrt(sosfilt(butter(1, 8, fs=RATE, output="sos"), sound**2).clip(1e-8))
    return np.asarray(sound * np.sqrt(0.1 / level)) * 0.5 + hiss(seconds, seed)


CASES: dict[str, tuple[int, Callable[[int], Sound]]] = {
    "digital silence, 2 tracks, 3 min": (2, lambda seed: np.zeros(180 * RATE)),
    "tape hiss alone, 4 tracks, 3 min": (4, lambda seed: hiss(180, seed)),
    "one note, 2 tracks, 3 min": (2, lambda seed: note(180, seed)),
    "applause, 2 tracks, 3 min": (2, lambda seed: clapping(180, seed)),
    "a click track, 1 track, 3 min": (1, lambda seed: clicks(180, seed)),
    "applause, 20 s, 1 track": (1, lambda seed: clapping(20, seed)),
    "half a second, 2 tracks": (2, lambda seed: note(0.5, seed)),
    "noise reduction left in, 8 tracks, 100 s": (8, lambda seed: encoded(100, seed)),
    "applause, 24 tracks, 60 s": (24, lambda seed: clapping(60, seed, 20)),
}


def long_file(path: Path, hours: float) -> None:
    """A file of 44.1 kHz, 16 bit, one track, in the form of EBU Tech 3306, silent but for three places."""
    rate = 44100
    frames = int(hours * 3600 * rate)
    every = [sound for kind, _, sound in recordings("set", 100.0) if kind == "songs"] or [note(100, 1)]
    music = (30000 * np.clip(np.resize(every[0], 100 * rate), -1, 1)).astype("<i2").tobytes()
    fmt = struct.pack("<HHIIHH", 1, 1, rate, 2 * rate, 2, 16)
    with open(path, "wb") as file:
        file.write(b"RF64" + struct.pack("<I", 2**32 - 1) + b"WAVEds64")
        file.write(struct.pack("<IQQQI", 28, 2 * frames + 72, 2 * frames, frames, 0))
        file.write(b"fmt " + struct.pack("<I", 16) + fmt + b"data" + struct.pack("<I", 2**32 - 1))
        start = file.tell()
        for part in (0.01, 0.45, 0.99):
            file.seek(start + 2 * int(frames * part))
            file.write(music[: 2 * int(frames * (1 - part))])
        file.truncate(start + 2 * frames)


def long_row(hours: float) -> None:
    """What is said of it, by a process that does nothing else."""
    code = (
        "import re, sys, time; from pathlib import Path; from core.capture.check import check_capture;"
        "from core.capture.weighing.facts import ReelFacts, StudioFacts; began = time.process_time();"
        "found = check_capture(ReelFacts('R', 1), StudioFacts(), [Path(sys.argv[1])]).findings;"
        "print(*[f'{one.kind} ({one.weight})' for one in found] or ['nothing'], sep=', ', end=' | ');"
        "print(round(time.process_time() - began, 1), end=' | ');"
        "print(int(re.search(r'VmHWM:\\s+(\\d+)', Path('/proc/self/status').read_text())[1]) // 1000, 'MB |')"
    )
    with tempfile.TemporaryDirectory() as name:
        long_file(Path(name) / "a.wav", hours)
        done = subprocess.run(
            [sys.executable, "-c", code, f"{name}/a.wav"], capture_output=True, text=True, check=True
        )
    print(f"| {hours:g} hours, 1 track | {done.stdout.strip()}", flush=True)


def main() -> None:
    """The rows that were asked for."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--hours", type=float, default=0.0)
    hours = parser.parse_args().hours
    if hours:
        long_row(hours)
    else:
        every_row()


def every_row() -> None:
    """A row a case."""
    print("| capture | said | seconds of work |\n|---|---|---|")
    with tempfile.TemporaryDirectory() as name:
        path = Path(name) / "a.wav"
        for called, (tracks, make) in CASES.items():
            sound = np.stack([make(number) for number in range(tracks)], axis=1)
            soundfile.write(path, np.clip(sound, -1, 1), RATE, "PCM_24")
            began = time.process_time()
            reel = ReelFacts("R", tracks, speed_ips=15.0, width_inches=0.25)
            found = check_capture(reel, StudioFacts(), [path]).findings
            took = time.process_time() - began
            told = Counter((one.weight, one.kind) for one in found)
            said = ", ".join(f"{count} {kind} ({weight})" for (weight, kind), count in sorted(told.items()))
            print(f"| {called} | {said or 'nothing'} | {took:.1f} |", flush=True)


if __name__ == "__main__":
    main()
