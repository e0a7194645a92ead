"""How many seeded faults a check finds, and what it finds besides, on some channel-hours of made-up sound.

    python tests/benchmarks/seeded_faults.py [--quick] [--lines] [--shift N] [--folder /tmp]

Material and faults are those of `tests/support/captured*.py`; every run makes the same, and `--shift` makes
others of the same kinds. Shifts 0, 1000, 2000 and 3000 were in view when limits were set; one that is to tell
anything must be another. Prints recall, precision and false findings per channel-hour by kind, joins and
timecode by the case, and whether the twenty places of the listening list are places of faults. With
`--lines`, every miss and false finding. Takes some minutes on two cores.
"""

from __future__ import annotations

import argparse
import os
import sys
import tempfile
from collections.abc import Iterable
from concurrent.futures import ProcessPoolExecutor
from dataclasses import replace
from functools import partial
from pathlib import Path

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
sys.path.insert(0, str(Path(__file__).parent.parent / "support"))

import capturedscore as score
import capturedwhole as whole
from capturedmaterial import MATERIAL

EVERY = tuple(MATERIAL)
LONG = ("chord", "songs", "full_mix", "piano", "surf", "bass")
CAPTURES = (
    score.Capture(20, EVERY, 120.0, 48000, "PCM_24", 6.0),
    score.Capture(21, EVERY, 120.0, 44100, "PCM_16", 5.0, -72.0),
    score.Capture(22, EVERY, 40.0, 96000, "FLOAT", 6.0, -70.0),
    score.Capture(23, EVERY, 20.0, 192000, "PCM_24", 6.0),
    score.Capture(24, EVERY, 120.0, 48000, "PCM_32", 0.0, -60.0),
    score.Capture(25, LONG, 300.0, 48000, "PCM_24", 8.0, -75.0),
)
QUICK = (score.Capture(26, EVERY, 30.0, 48000, "PCM_24", 6.0),)


def one_capture(capture: score.Capture, folder: Path) -> tuple[score.Score, int, int]:
    """Made, checked and scored; and how many places of its listening list are those of faults."""
    sound, faults = score.make(capture)
    path = score.write(folder / f"{capture.seed}.wav", sound, capture.rate, capture.subtype)
    del sound
    found = score.checked(path)
    path.unlink()
    counted = score.Score()
    counted.add(capture, faults, found.findings)
    listed = found.listening_list()
    real = [fault for fault in faults if not fault.decoy]
    return counted, sum(any(score.meets(one, fault) for fault in real) for one in listed), len(listed)


def whole_tracks(seed: int) -> score.Score:
    """The faults of whole tracks, scored."""
    with tempfile.TemporaryDirectory() as folder:
        names, faults, found, seconds = whole.whole_track_faults(seed, Path(folder))
    counted = score.Score()
    counted.add(score.Capture(seed, tuple(names), seconds), faults, found)
    return counted


def cases(make, seeds: Iterable[int]) -> tuple[int, int, list[str]]:  # type: ignore[no-untyped-def]
    """How many of some cases were told rightly, of how many, and what was said of the others."""
    right, every, wrong = 0, 0, []
    for seed in seeds:
        with tempfile.TemporaryDirectory() as folder:
            what, good, says = make(seed, Path(folder))
        right, every = right + good, every + 1
        if not good:
            wrong.append(f"{what}: {says}")
    return right, every, wrong


def main() -> None:
    """Make, check, count, print."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--quick", action="store_true")
    parser.add_argument("--lines", action="store_true")
    parser.add_argument("--shift", type=int, default=0, metavar="N", help="add N to every seed")
    parser.add_argument("--folder", type=Path, default=Path("/tmp"))
    told = parser.parse_args()
    total = score.Score()
    listed = places = 0
    with tempfile.TemporaryDirectory(dir=told.folder) as folder, ProcessPoolExecutor(2) as pool:
        captures = [replace(one, seed=one.seed + told.shift) for one in (QUICK if told.quick else CAPTURES)]
        for counted, right, of in pool.map(partial(one_capture, folder=Path(folder)), captures):
            total.join(counted)
            listed, places = listed + right, places + of
        for counted in pool.map(
            whole_tracks, range(100 + told.shift, (102 if told.quick else 112) + told.shift)
        ):
            total.join(counted)
    print(total.table())
    print(f"{total.hours:.2f} channel-hours, {total.false_an_hour:.2f} false findings per channel-hour")
    print(f"dropouts told as notes where none is: {total.notes / total.hours:.1f} per channel-hour")
    print(f"listening list: {listed} of {places} places are those of faults")
    for name, make, count in (("joins", whole.joined_pieces, 18), ("timecode", whole.broken_code, 20)):
        right, of, wrong = cases(make, range(told.shift, told.shift + count // (3 if told.quick else 1)))
        print(f"{name}: {right} of {of} told rightly")
        total.lines += wrong
    if told.lines:
        print("\n".join(total.lines))


if __name__ == "__main__":
    main()
