# ruff: noqa: E501
"""How well dirty heads are told in real music, and how seldom in clean music.

    nice python tests/benchmarks/dull.py [--bands 6] [--clean 12] [--part held] [--seed 40]

Each band is eight tracks of 360 s out of recordings that packages of Debian carry (`tests/support/realsound.py`), each
from a moment of its own, over hiss of -66 dBFS, at 15 in/s. *Dulled* ones go through a spacing that begins at 45 to
75 s and grows for 285 to 315 s to 2 micrometres at the end, by Wallace's law, and lose contact for moments as well
(`tests/support/lostcontact.py`); each is checked as a file. *Clean* ones are the same without; *changing* ones are clean
too, but every track goes over to another recording every 20 to 60 s. *Bridge*: clean, and half of the tracks are
low-passed at 3 kHz from the middle on, as where the cymbals stop. Nothing is judged; read the rows.
"""

from __future__ import annotations

import argparse
import re
import sys
import tempfile
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import soundfile
from scipy.signal import butter, sosfilt

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "support"))

from lostcontact import lose_contact, spacing_loss_db
from realsound import RATE, recordings, with_hiss

from core.capture.check import check_capture
from core.capture.weighing.facts import ReelFacts, StudioFacts
from core.findings import Check

SECONDS, TRACKS, FINAL = 360.0, 8, 2.0
SIZE = int(SECONDS * RATE)


@dataclass(frozen=True)
class Told:
    """What a check told of one band."""

    dull: tuple[tuple[float, float], ...]
    """When it began, and micrometres, of each finding."""
    side: int
    dropouts: tuple[tuple[int, float, float, str], ...]
    """Track, start, end, weight."""

    @classmethod
    def of(cls, check: Check) -> Told:
        dull = [one for one in check.findings if one.kind == "dull"]
        sizes = [float(re.findall(r"([0-9.]+) micrometres", one.says)[0]) for one in dull]
        drops = [one for one in check.findings if one.kind == "dropout"]
        return cls(
            tuple((one.start, size) for one, size in zip(dull, sizes, strict=True)),
            sum(one.kind == "one side" for one in check.findings),
            tuple((one.track or 0, one.start, one.end, one.weight) for one in drops),
        )


def tracks_of(
    sounds: list[np.ndarray], dice: np.random.Generator, *, changing: bool = False
) -> list[np.ndarray]:
    """Eight tracks of different recordings, each begun somewhere; or each going over to others."""
    order = dice.permutation(len(sounds))
    out = []
    for track in range(TRACKS):
        sound = sounds[order[track % len(order)]]
        if changing:
            parts = []
            while sum(map(len, parts)) < SIZE:
                some = np.roll(sounds[dice.integers(len(sounds))], -dice.integers(40 * RATE))
                parts.append(np.resize(some, int(dice.uniform(20, 60) * RATE)))
            sound = np.concatenate(parts)
        else:
            sound = np.roll(sound, -dice.integers(len(sound)))
        out.append(np.resize(sound, SIZE).astype(np.float32))
    return out


def through(sound: np.ndarray, began: float, grows: float) -> np.ndarray:
    """The sound through a spacing that grows: each frame of 43 ms by the loss of that moment, half overlapped."""
    frame, hop = 2048, 1024
    padded = np.pad(sound, (hop, frame + hop))
    out, shape = np.zeros(len(padded)), np.sin(np.pi * (np.arange(frame) + 0.5) / frame) ** 2
    hertz = np.fft.rfftfreq(frame, 1 / RATE)
    for low in range(0, len(padded) - frame, hop * 512):
        starts = np.arange(low, min(low + hop * 512, len(padded) - frame), hop)
        micrometres = FINAL * np.clip(((starts - hop + frame / 2) / RATE - began) / grows, 0, 1)
        bins = np.fft.rfft(padded[starts[:, None] + np.arange(frame)] * shape, axis=1)
        frames = np.fft.irfft(bins * 10 ** (-micrometres[:, None] * spacing_loss_db(hertz, 1.0) / 20), axis=1)
        for start, some in zip(starts, frames, strict=True):
            out[start : start + frame] += some
    return out[hop : hop + SIZE].astype(np.float32)


def checked(tracks: list[np.ndarray], seed: int, folder: Path) -> Told:
    rows = [with_hiss(track, -66.0, seed + number) for number, track in enumerate(tracks)]
    soundfile.write(folder / "band.wav", np.clip(np.stack(rows, axis=1), -1, 1), RATE, "PCM_16")
    check = check_capture(ReelFacts("R", TRACKS, speed_ips=15.0), StudioFacts(), [folder / "band.wav"])
    return Told.of(check)


def dulled(sounds: list[np.ndarray], seed: int, folder: Path) -> None:
    dice = np.random.default_rng((seed, 1))
    began, grows = float(dice.uniform(45, 75)), float(dice.uniform(285, 315))
    end = min(1.0, (SECONDS - began) / grows) * FINAL
    made, lost = [], []
    for number, sound in enumerate(tracks_of(sounds, dice)):
        sound, places = lose_contact(through(sound, began, grows), RATE, dice, 20.0)
        made.append(sound)
        lost += [(number + 1, one) for one in places]
    told = checked(made, seed, folder)
    hit = {weight: sum(any(t == track and a < one.end + 0.02 and b > one.start - 0.02 and (not weight or w == weight)
                           for t, a, b, w in told.dropouts) for track, one in lost) for weight in ("", "remark")}  # fmt: skip
    if told.dull:
        at, size = told.dull[0]
        said = f"told {at - began:+.0f} s, {size:.1f} for {end:.1f} micrometres"
    else:
        said = "not told"
    print(f"| dulled, band {seed} | {said}; {len(told.dull)} dull, {told.side} one side; dropouts {hit['']} of {len(lost)} on "
          f"the list, {hit['remark']} as remarks |", flush=True)  # fmt: skip


def clean(kind: str, sounds: list[np.ndarray], seed: int, folder: Path) -> tuple[int, int, int]:
    dice = np.random.default_rng((seed, 2))
    tracks = tracks_of(sounds, dice, changing=kind == "changing")
    if kind == "bridge":
        low = butter(4, 3000, fs=RATE, output="sos")
        for number in range(0, TRACKS, 2):
            half = SIZE // 2
            tracks[number][half:] = sosfilt(low, tracks[number])[half:]
    told = checked(tracks, seed, folder)
    for at, size in told.dull:
        print(
            f"| {kind}, band {seed} | falsely told from {at:.0f} s on, {size:.1f} micrometres |", flush=True
        )
    return len(told.dull), told.side, sum(weight != "note" for *_, weight in told.dropouts)


def main() -> None:
    """Prints the rows."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--bands", type=int, default=6)
    parser.add_argument("--clean", type=int, default=12)
    parser.add_argument("--part", choices=("set", "held"), default="held")
    parser.add_argument("--seed", type=int, default=40)
    given = parser.parse_args()
    sounds = [np.resize(sound, SIZE) for kind, _, sound in recordings(given.part, 120.0) if kind != "speech"]
    print(f"{len(sounds)} recordings\n| what | told |\n|---|---|", flush=True)
    with tempfile.TemporaryDirectory() as name:
        for number in range(given.bands):
            dulled(sounds, given.seed + number, Path(name))
        for kind in ("clean", "changing", "bridge") if given.clean else ():
            every = np.array(
                [clean(kind, sounds, given.seed + 100 + n, Path(name)) for n in range(given.clean)]
            )
            dull, side, drops = every.sum(axis=0)
            hours = given.clean * SECONDS / 3600
            print(f"| {kind}, {hours:.2f} h of eight tracks | {dull} dull, {side} one side, {drops} dropouts weighed remark |",
                  flush=True)  # fmt: skip


if __name__ == "__main__":
    main()
