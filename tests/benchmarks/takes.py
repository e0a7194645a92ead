"""How well other takes of a song are told from other songs: `nice python tests/benchmarks/takes.py`.

`--songs N` songs (16), `--seed S` (400), all made up. Each has a whole take and a second one: played in the
same way, in another key, by fewer players, along another way through the song, or broken off after 50 to 90
seconds. Prints a row of the table in docs/clock.md.
"""

from __future__ import annotations

import argparse
import sys
import time
from pathlib import Path

import numpy as np

HERE = Path(__file__).resolve()
sys.path[:0] = [str(HERE.parents[1] / "support"), str(HERE.parents[2])]

from madeuptakes import take, written  # noqa: E402

from core.album.sound.anew.harmony import WORK_HZ, harmony_of  # noqa: E402
from core.album.sound.anew.takes import Alike, alike  # noqa: E402

_WAYS = ("the same way", "another key", "fewer players", "another way", "broken off")


def pair(seed: int, way: str) -> tuple[np.ndarray, np.ndarray]:
    """The harmonies of a song's first take and of its second."""
    song, dice = written(seed), np.random.default_rng(seed + 7)
    more = {
        "another key": {"semitones": float(dice.choice([-3, -1, -0.5, 0.5, 2]))},
        "fewer players": {"without": ("drums", "bass") if dice.random() < 0.5 else ("voice",)},
        "another way": {"form": song.form[2:] if dice.random() < 0.5 else song.form[:4]},
    }.get(way, {})
    one, two = take(song, seed + 1000), take(song, seed + 2000, **more)
    frames = round(dice.uniform(50, 90) * WORK_HZ) if way == "broken off" else None
    rows = [harmony_of([track[:end].astype(np.float32) for track in tracks.values()])
            for tracks, end in ((one, None), (two, frames))]  # fmt: skip
    return rows[0], rows[1]


def main() -> None:
    """Prints how many takes were found, how many songs were taken for another, and the cost of a pair."""
    given = argparse.ArgumentParser()
    given.add_argument("--songs", type=int, default=16)
    given.add_argument("--seed", type=int, default=400)
    asked = given.parse_args()
    pairs = [pair(asked.seed + n, _WAYS[n % len(_WAYS)]) for n in range(asked.songs)]
    began = time.process_time()
    same: list[Alike] = []
    others: list[Alike] = []
    for n, (one, _) in enumerate(pairs):
        for m, (_, two) in enumerate(pairs):
            found = alike(one, two)
            if found is not None:
                (same if n == m else others).append(found)
                if n == m:
                    print(f"  {_WAYS[n % len(_WAYS)]}: {found.says}")
    each = (time.process_time() - began) / max(1, len(same) + len(others))
    worst, most = min(one.share for one in same), max(one.share for one in others)
    print(
        "| another take of the song; another song | "
        f"{sum(one.one_song for one in same)} of {len(same)} found "
        f"(at least {worst:.2f} goes the same way, {min(one.times for one in same):.1f} times chance); "
        f"{sum(one.one_song for one in others)} of {len(others)} taken for one (at most {most:.2f}; "
        f"{max(one.times for one in others):.1f} times); {each:.1f} CPU-s a pair |"
    )


if __name__ == "__main__":
    main()
