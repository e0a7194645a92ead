"""How well tape that squeals is told in real music, and how seldom where it does not.

    nice python tests/benchmarks/squeal.py [--part held] [--seed 5] [--bands 4] [--seconds 150]

Bands of eight recordings, and one recording on two tracks (`tests/support/realsound.py`), over hiss of -66
dBFS, songs of 56 s with pauses of 4 s between them. *Squeal*: from 30 to 60 s on, for 90 s, a tone of 1 to 9
kHz of `tests/support/squeals.py` lies over all tracks, its strength on each another by up to 6 dB, and what
is played sways by 0.3 %. *Crystal*: a tone that stands still in its place. *Clean*: the same without.
*Alone*: every recording for the whole length, on one track and on three. The tones alone are measured and
judged, from sound in memory, as a check does it. Nothing is judged here; read the rows.
"""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "support"))

from realsound import RATE, recordings, with_hiss
from squeals import lateness, pitch, swayed, voice

from core.capture.files.samples import Scale
from core.capture.measures.history import History
from core.capture.measures.spectra import Spectra
from core.capture.measures.windows import Measurer
from core.capture.steady.lines import SteadyLines
from core.capture.steady.squeal import Steady, looked_at, steady_tones

LEVELS = (-40.0, -50.0, -58.0)
Tracks = list[np.ndarray]


def told(tracks: Tracks) -> list[Steady]:
    """The tones that stay in some tracks."""
    sound = np.stack(tracks)
    history = History(len(sound), RATE, Scale(np.dtype(np.float32), 1.0, -1.0, 1.0))
    measure, spectra = Measurer(history), Spectra(history)
    lines = SteadyLines(history, spectra)
    for at in range(0, sound.shape[1] - history.chunk_frames + 1, history.chunk_frames):
        history.room()[:] = sound[:, at : at + history.chunk_frames]
        chunk = history.advance(history.chunk_frames)
        assert chunk is not None
        measure.take(chunk)
        if history.written % history.group_frames == 0:
            windows = measure.group(history.written - history.group_frames)
            spectra.add(windows)
            lines.add(windows)
    found = steady_tones(lines.found(), lines.block_seconds, ())
    return [looked_at(one, lambda row, a, b: sound[row, a:b], RATE) for one in found]


def band(sounds: Tracks, dice: np.random.Generator, size: int, tracks: int, hiss: float = -66.0) -> Tracks:
    """Songs with pauses between them; two tracks share a recording."""
    out = []
    for _ in range(tracks if tracks > 2 else 1):
        parts: Tracks = []
        while sum(map(len, parts)) < size:
            sound = sounds[dice.integers(len(sounds))]
            some = np.resize(np.roll(sound, -dice.integers(len(sound))), 56 * RATE).copy()
            some[: RATE // 50] *= np.linspace(0, 1, RATE // 50)
            some[-RATE:] *= np.linspace(1, 0, RATE)
            parts += [some, np.zeros(4 * RATE, np.float32)]
        out.append(np.concatenate(parts)[:size])
    out += [0.7 * out[0]] if tracks == 2 else []
    return [with_hiss(one, hiss, int(dice.integers(9999))) for one in out]


def squealing(tracks: Tracks, dbfs: float, dice: np.random.Generator, *, still: bool = False
              ) -> tuple[Tracks, float, float]:  # fmt: skip
    """The tracks with a squeal over them, its pitch, and when it begins."""
    began, length = float(dice.uniform(30, 60)), 90.0
    hertz = float(np.exp(dice.uniform(np.log(1000), np.log(9000))))
    first, count = int(began * RATE), int(length * RATE)
    phase = 2 * np.pi * hertz * np.arange(count) / RATE if still else pitch(length, RATE, hertz, dice)
    tone = 2**0.5 * np.sin(phase) if still else voice(phase, RATE, 0.0, dice)
    late, out = lateness(phase, RATE, 0.003), []
    for track in tracks:
        one, strength = track.copy(), 10 ** ((dbfs + dice.uniform(-6, 6)) / 20)
        here = one[first : first + count]
        one[first : first + count] = (here if still else swayed(here, late, RATE)) + strength * tone
        out.append(one.astype(np.float32))
    return out, hertz, began


def planted(sounds: Tracks, tracks: int, dbfs: float, given: argparse.Namespace, *, still: bool) -> None:
    """A row of tapes with a tone over them."""
    hit = sure = other = 0
    off: list[tuple[float, float]] = []
    for number in range(given.bands):
        dice = np.random.default_rng((given.seed, number, tracks))
        made, hertz, began = squealing(
            band(sounds, dice, int(given.seconds * RATE), tracks), dbfs, dice, still=still
        )
        found = told(made)
        right = [one for one in found if abs(one.hertz - hertz) < 0.03 * hertz and one.still == still]
        hit, sure = hit + bool(right), sure + any(one.sure for one in right)
        other += len(found) - len(right)
        off += [(one.start - began, one.stop - min(began + 90, given.seconds)) for one in right[:1]]
    begins, ends = (" ".join(f"{one[at]:+.0f}" for one in off) for at in (0, 1))
    what = "crystal" if still else "squeal"
    called = f"{what} of {dbfs:g} dBFS, {tracks} tracks"
    print(f"| {called} | {hit} of {given.bands} | {sure} | {begins} | {ends} | {other} |", flush=True)


def quiet(called: str, rows: list[tuple[str, Tracks]]) -> None:
    """A row of tapes on which nothing was planted."""
    found = [(name, one) for name, tracks in rows for one in told(tracks)]
    hours = sum(len(track) for _, tracks in rows for track in tracks) / RATE / 3600
    sure = sum(one.sure and not one.still for _, one in found)
    print(f"| {called}, {hours:.2f} channel-hours | {len(found)} falsely | {sure} | | | |", flush=True)
    for name, one in found:
        print(f"  {name}: {one.hertz:.0f} Hz from {one.start:.0f} to {one.stop:.0f} s, {one.dbfs:.0f} dBFS")


def main() -> None:
    """Prints the rows."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--part", choices=("set", "held"), default="held")
    parser.add_argument("--seed", type=int, default=5)
    parser.add_argument("--bands", type=int, default=4)
    parser.add_argument("--seconds", type=float, default=150.0)
    given = parser.parse_args()
    size = int(given.seconds * RATE)
    every = list(recordings(given.part, 60.0))
    sounds = [sound for _, _, sound in every]
    print(f"{len(every)} recordings\n| what | told | remarks | begin off, s | end off, s | others told |")
    print("|---|---|---|---|---|---|")
    for tracks in (8, 2):
        for dbfs in LEVELS:
            planted(sounds, tracks, dbfs, given, still=False)
        planted(sounds, tracks, -50.0, given, still=True)
        dice = [np.random.default_rng((given.seed, number, tracks, 1)) for number in range(given.bands)]
        quiet(f"clean, {tracks} tracks", [("a band", band(sounds, one, size, tracks)) for one in dice])
    for copies in (1, 3):
        rows = [(name, [with_hiss(0.8**at * np.resize(sound, size), -66.0, at) for at in range(copies)])
                for _, name, sound in every]  # fmt: skip
        quiet(f"alone on {copies} track{'s' * (copies > 1)}", rows)


if __name__ == "__main__":
    main()
