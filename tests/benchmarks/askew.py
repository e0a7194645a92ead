# ruff: noqa: E501
"""How well a tape that runs askew for a while is told in real music, and how seldom where it does not.

    nice python tests/benchmarks/askew.py [--part held] [--seed 7] [--seconds 120]

*Mono*: every recording that is installed (`tests/support/realsound.py`) on both tracks of a quarter-inch tape at 15 in/s,
the second weaker, each with another recording of its own 10 dB below the shared one and hiss of -66 dBFS; for 15 s the
second track comes later or earlier by 2 or 3 minutes of arc, s tan(a) / v, with edges of 2 s. *Clean*: the same, straight.
*Stereo*: the two channels of recordings that have two, as they are: rooms and microphones put times of their own between
the channels. Nothing is judged; read the rows.
"""

from __future__ import annotations

import argparse
import sys
import tempfile
from pathlib import Path

import numpy as np
import soundfile

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "support"))

from lostcontact import apart, late_seconds
from realsound import BEATS, LOOPS, RATE, SONGS, recordings, with_hiss

from core.capture.check import check_capture
from core.capture.weighing.facts import ReelFacts, StudioFacts
from core.findings import Finding


def told(tracks: list[np.ndarray], rate: int, folder: Path) -> list[Finding]:
    soundfile.write(folder / "a.wav", np.clip(np.stack(tracks, axis=1), -1, 1), rate, "PCM_24")
    reel = ReelFacts("R", 2, speed_ips=15.0, width_inches=0.25)
    return [
        one for one in check_capture(reel, StudioFacts(), [folder / "a.wav"]).findings if one.kind == "askew"
    ]


def main() -> None:
    """Prints the rows."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--part", choices=("set", "held"), default="held")
    parser.add_argument("--seed", type=int, default=7)
    parser.add_argument("--most", type=int, default=99, help="recordings of either kind")
    parser.add_argument("--seconds", type=float, default=120.0)
    given = parser.parse_args()
    size = int(given.seconds * RATE)
    sounds = [
        (name, np.resize(sound, size))
        for kind, name, sound in recordings(given.part, 60.0)
        if kind != "speech"
    ][: given.most]
    dice = np.random.default_rng(given.seed)
    hit, false, places = {2.0: 0, 3.0: 0}, 0, []
    missed: list[str] = []
    at = np.arange(size) / RATE
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        for number, (called, sound) in enumerate(sounds):
            others = [sounds[dice.integers(len(sounds))][1] for _ in range(2)]
            share = 0.3 * np.std(sound)
            own = [share * other / max(float(np.std(other)), 1e-9) for other in others]
            for minutes in (0.0, *hit):
                began = dice.uniform(20, given.seconds - 40)
                late = late_seconds(float(dice.choice([-1, 1])) * minutes, 0.125)
                bump = np.clip(np.minimum(at - began, began + 15 - at) / 2, 0, 1)
                second = sound * (1 - bump) + apart(sound, RATE, late) * bump if minutes else sound
                tracks = [
                    with_hiss(0.6 * (sound + own[0]), -66, number),
                    with_hiss(0.4 * (second + own[1]), -66, number + 500),
                ]
                found = told(tracks, RATE, folder)
                right = [one for one in found if one.start < began + 15 and one.end > began]
                if minutes:
                    hit[minutes] += bool(right)
                    if not right:
                        missed.append(f"{called} at {minutes:g}")
                    places += [abs(one.start - began) for one in right[:1]]
                false += len(found) - len(right) if minutes else len(found)
        hours = given.seconds * 2 * len(sounds) * 3 / 3600
        print(f"| mono, {len(sounds)} recordings of {given.seconds:.0f} s | 2 minutes of arc: {hit[2.0]} of {len(sounds)} found, 3 minutes: "
              f"{hit[3.0]} of {len(sounds)}; its begin within {np.median(places):.1f} s (median), {max(places):.1f} s at most; {false} false in "
              f"{hours:.1f} channel-hours |", flush=True)  # fmt: skip
        print(f"| missed | {', '.join(missed)} |")
        stereo, wrong, heard = 0, 0, 0.0
        paths = sorted([*LOOPS.glob("*.flac"), *BEATS.rglob("*.ogg"), *SONGS.glob("*.ogg")])
        for path in paths:
            if stereo >= given.most:
                break
            try:
                sound, rate = soundfile.read(path, dtype="float32", always_2d=True)
            except soundfile.LibsndfileError:
                continue  # some packages hold files of another kind under that name
            if (
                sound.shape[1] != 2
                or np.allclose(sound[:, 0], sound[:, 1])
                or rate < 32000
                or len(sound) < rate
            ):
                continue
            long = np.resize(sound, (max(len(sound), int(given.seconds * rate)), 2))
            found = told([long[:, 0], long[:, 1]], rate, folder)
            stereo, wrong, heard = stereo + 1, wrong + len(found), heard + 2 * len(long) / rate / 3600
        print(
            f"| stereo, {stereo} recordings as they are | {wrong} false in {heard:.1f} channel-hours |",
            flush=True,
        )


if __name__ == "__main__":
    main()
