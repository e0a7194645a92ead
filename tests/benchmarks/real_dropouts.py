"""How many dropouts a check finds in recordings of real music and speech, and how many that are none.

    nice python tests/benchmarks/real_dropouts.py [--set] [--lines] [--seed N] [--seconds 40]

The recordings are those of `tests/support/realsound.py` that are installed, the faults those of
`tests/support/lostcontact.py`. Prints tables by kind of sound: dropouts put in, found at any weight and as
remarks; and what is found in the same sound left clean. With `--set`, sets the points of
`core/capture/faults/dips/grade.toml` on the other parts of the recordings and on made-up sound, by other
seeds (half an hour).
"""

from __future__ import annotations

import argparse
import sys
import tempfile
from collections import defaultdict
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import NamedTuple

import numpy as np
import soundfile

sys.path.insert(0, str(Path(__file__).parent.parent / "support"))

import capturedscore as score
from capturedmaterial import MATERIAL
from lostcontact import Lost, lose_contact
from realsound import RATE, recordings, with_hiss

from core.capture.check import check_capture
from core.capture.faults.dips.again import comes_again
from core.capture.faults.dips.dips import Dips
from core.capture.faults.dips.grade import with_company
from core.capture.faults.dips.points import ELSEWHERE, FEATURES, Scorecard
from core.capture.files.samples import Scale
from core.capture.measures.history import window_frames
from core.capture.scan import Scan
from core.capture.weighing.facts import ReelFacts, StudioFacts

TABLE = Path(__file__).parents[2] / "core/capture/faults/dips/grade.toml"
HISS_DBFS = (-68.0, -90.0)
MADE_UP_SEEDS = (*range(1020, 1024), 1026, 1027, 1029, 1030, 1032, 1033, 2022, 2023, 2024, 2028, 2031, 2034,
                 2035, 3022, 3024, 3025, 3030, 3036, 3037)  # fmt: skip
"""Of shifts that are in view."""
MADE_UP = ((48000, -66.0, 6.0, 60.0), (44100, -72.0, 5.0, 60.0), (96000, -70.0, 6.0, 30.0),
           (48000, -60.0, 0.0, 60.0), (192000, -66.0, 6.0, 12.0), (48000, -75.0, 8.0, 60.0))  # fmt: skip
"""Rate, hiss, seconds from fault to fault and in all, by turns of the seed."""
MADE_UP_WORTH, MADE_UP_FALSE = 2.0, 0.5
"""A dip in made-up sound counts as two; so many false ones an hour there, in parts that are left out, weigh
a remark."""
SURE = 2.5


def cases(part: str, seed: int, seconds: float) -> Iterator[tuple[str, str, np.ndarray, list[Lost]]]:
    """Kind, name, sound and faults; every recording with faults and clean, over two hisses."""
    for number, (kind, name, sound) in enumerate(recordings(part, seconds)):
        dice = np.random.default_rng((seed, number))
        for hiss in HISS_DBFS:
            faulty, lost = lose_contact(sound, RATE, dice, 4.0)
            yield kind, name, with_hiss(faulty, hiss, seed), lost
            yield kind, name, with_hiss(sound, hiss, seed), []


def scanned(sound: np.ndarray, rate: int = RATE) -> Scan:
    """All measures of one track."""
    scan = Scan(1, rate, Scale(np.dtype(np.float32), 1.0, -1.0, 1.0), len(sound))

    def fill(first: int, rows: np.ndarray) -> None:
        rows[:] = sound[first : first + rows.shape[1]]

    scan.feed(len(sound), fill)
    scan.finish()
    return scan


def meets(start: float, end: float, one: Lost) -> bool:
    """Whether a finding lies over a fault and is not much longer."""
    over = min(end, one.end) - max(start, one.start)
    return over > 0.5 * (one.end - one.start) and end - start < 2 * (one.end - one.start) + 0.02


class Described(NamedTuple):
    """Of dips: features, whether a fault, of what, whether the grade tells; faults put in, and hours."""

    rows: np.ndarray
    truth: np.ndarray
    of: np.ndarray
    graded: np.ndarray
    put: int
    hours: float


def described(every: Iterable[tuple[str, np.ndarray, list[Lost]]], rate: int) -> Described:
    """All dips of some sounds but those that are played; faults that are no dropouts have no how."""
    rows, truth, of, told, put, length = [], [], [], [], 0, 0.0
    for name, sound, lost in every:
        drops = scanned(sound, rate).dropouts
        put, length = put + sum(bool(one.how) for one in lost), length + len(sound) / rate
        dips = drops.dips.found
        if not dips:
            continue
        proved = drops.places()
        table = with_company(dips, drops.falls(0), rate, window_frames(rate))
        again = np.logical_or(*comes_again(dips, rate))
        for row, dip, is_played in zip(table, dips, again, strict=True):
            start, end = dip.start / rate, dip.stop / rate
            near = any(start < one.end and end > one.start for one in lost)
            is_one = any(meets(start, end, one) for one in lost if one.how)
            if (is_one or not near) and not is_played:
                rows.append(row)
                truth.append(is_one)
                of.append(name)
                told.append(dip.depth_db >= 10 and 0.0043 <= end - start <= 0.51 and not any(
                    one.start < dip.stop and one.stop > dip.start for one in proved))  # fmt: skip
    return Described(*(np.array(one) for one in (rows, truth, of, told)), put, length / 3600)


def made_up(seed: int) -> Described:
    """The dips of one made-up capture, named by its seed."""
    rate, hiss, every, seconds = MADE_UP[seed % len(MADE_UP)]
    capture = score.Capture(seed, tuple(MATERIAL), seconds, rate, "PCM_24", every, hiss)
    sound, faults = score.make(capture)
    tracks = []
    for number, row in enumerate(sound, start=1):
        lost = [Lost(one.start, one.end, 0.0, one.what if one.kind == "dropout" and not one.decoy else "")
                for one in faults if one.track == number]  # fmt: skip
        tracks.append((f"made up {seed}", np.ascontiguousarray(row), lost))
    return described(tracks, rate)


def boosted(rows: np.ndarray, truth: np.ndarray, worth: np.ndarray, rounds: int = 1000, rate: float = 0.1,
            bins: int = 20) -> tuple[float, list[np.ndarray], list[np.ndarray]]:  # fmt: skip
    """Additive points by boosting of one-split trees (J. H. Friedman, Annals of Statistics 29, 2001).

    Every feature is cut at its quantiles; each round adds to one feature the split that lowers the loss most,
    every row counting by its worth.
    """
    edges = [_edges(column, truth, bins) for column in rows.T]
    places = [np.searchsorted(edge, rows[:, at], side="right") for at, edge in enumerate(edges)]
    points = [np.zeros(len(edge) + 1) for edge in edges]
    base = float(np.log(worth[truth].sum() / worth[~truth].sum()))
    score = np.full(len(rows), base)
    for _ in range(rounds):
        chance = 1 / (1 + np.exp(-score))
        slope, bend = worth * (truth - chance), worth * chance * (1 - chance)
        best = (0.0, 0, 0, 0.0, 0.0)
        for at, place in enumerate(places):
            size = len(points[at])
            pull, weight = (np.cumsum(np.bincount(place, one, size))[:-1] for one in (slope, bend))
            whole_pull, whole_weight = slope.sum(), bend.sum()
            gain = pull**2 / (weight + 1) + (whole_pull - pull) ** 2 / (whole_weight - weight + 1)
            cut = int(gain.argmax())
            if gain[cut] > best[0]:
                best = (float(gain[cut]), at, cut, float(pull[cut] / (weight[cut] + 1)),
                        float((whole_pull - pull[cut]) / (whole_weight - weight[cut] + 1)))  # fmt: skip
        _, at, cut, low, high = best
        points[at][: cut + 1] += rate * low
        points[at][cut + 1 :] += rate * high
        score = base + sum(one[place] for one, place in zip(points, places, strict=True))
    return base, edges, points


def _edges(column: np.ndarray, truth: np.ndarray, bins: int) -> np.ndarray:
    """Quantiles of a feature, of all dips and of faults, where it is told; and whether it is."""
    quantiles, told = np.linspace(0, 1, bins + 1)[1:-1], column > ELSEWHERE
    some = [np.quantile(column[rows], quantiles) for rows in (told, told & truth) if rows.any()]
    own = [] if told.all() else [ELSEWHERE + 1]
    return np.unique(np.round(np.concatenate((*some, own)), 2))


def write_points(base: float, edges: list[np.ndarray], points: list[np.ndarray]) -> None:
    """The table as TOML, places where nothing changes left out."""
    lines = ["# Points by feature: below the first edge, between two edges, above the last. Set by",
             "# `python tests/benchmarks/real_dropouts.py --set`; see core/capture/faults/dips/grade.py.", "",
             f"base = {base:.2f}"]  # fmt: skip
    for name, edge, point in zip(FEATURES, edges, points, strict=True):
        steps = np.flatnonzero(np.abs(np.diff(point)) > 0.005)
        cuts = ", ".join(f"{edge[at]:g}" for at in steps)
        values = ", ".join(f"{point[at]:.2f}" for at in [*steps, len(point) - 1])
        lines += ["", f"[points.{name}]", f"edges = [{cuts}]", f"points = [{values}]"]
    TABLE.write_text("\n".join(lines) + "\n", encoding="utf-8")


def set_points(seconds: float) -> None:
    """Set the table, and print what a quarter of all sounds gets by the points of the others."""
    Dips.sparing = False
    seeds = (("set", 1), ("set", 2), ("more", 3))
    real = described((case[1:] for one in seeds for case in cases(*one, seconds)), RATE)
    made = [made_up(seed) for seed in MADE_UP_SEEDS]
    rows, truth, of, told = (np.concatenate([getattr(one, name) for one in (real, *made)])
                             for name in ("rows", "truth", "of", "graded"))  # fmt: skip
    worth = np.where(np.arange(len(rows)) < len(real.rows), 1.0, MADE_UP_WORTH)
    names = np.random.default_rng(0).permutation(sorted(set(of.tolist()))).tolist()
    grades = np.zeros(len(rows))
    for fold in range(4):
        inside = np.isin(of, names[fold::4])
        base, edges, points = boosted(rows[~inside], truth[~inside], worth[~inside])
        grades[inside] = Scorecard(base, tuple(edges), tuple(points)).add_up(rows[inside])
    hours = sum(one.hours for one in made)
    false = np.sort(grades[told & ~truth & (worth == MADE_UP_WORTH)])[::-1]
    raised = SURE - float(false[int(MADE_UP_FALSE * hours)])
    base, edges, points = boosted(rows, truth, worth)
    write_points(base + raised, edges, points)
    print(f"{len(truth)} dips, {truth.sum()} of them faults; base raised by {raised:.2f}")
    for grade in (0.0, SURE):
        over = grades[: len(real.rows)] + raised >= grade
        print(f"recordings, grade {grade}: {100 * np.sum(over & real.truth) / real.put:.1f} % found, "
              f"{np.sum(over & ~real.truth) / real.hours:.1f} false an hour")  # fmt: skip


def report(seed: int, seconds: float, lines: bool) -> None:
    """The tables of the part that is held back."""
    table: dict[str, dict[str, float]] = defaultdict(lambda: defaultdict(float))
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "one.wav"
        for kind, name, sound, lost in cases("held", seed, seconds):
            soundfile.write(path, sound, RATE, "PCM_24")
            found = check_capture(ReelFacts("R", 1), StudioFacts(), [path])
            drops = [one for one in found.findings if one.kind == "dropout"]
            row = table[kind]
            row["put in"] += len(lost)
            for one in lost:
                here = [drop for drop in drops if drop.start < one.end and drop.end > one.start]
                row["listed"] += bool(here)
                row["remarks"] += any(drop.weight == "remark" for drop in here)
                if lines and not here:
                    print(f"missed: {name} {one}")
            if lost:
                row["worst"] += sum(any(drop.start < one.end and drop.end > one.start for one in lost)
                                    for drop in found.listening_list(len(lost)))  # fmt: skip
                continue
            row["hours"] += len(sound) / RATE / 3600
            row["false notes"] += sum(drop.weight == "note" for drop in drops)
            row["false remarks"] += sum(drop.weight == "remark" for drop in drops)
            for drop in drops if lines else ():
                print(f"false: {name} {drop.weight} {drop.start:.2f} {drop.says}")
    print(
        "| sound | put in | on the list | as remarks | of the worst places "
        "| clean hours | false notes an hour | false remarks an hour |"
    )
    print("|---|---|---|---|---|---|---|---|")
    total: dict[str, float] = defaultdict(float)
    for row in table.values():
        for name, value in row.items():
            total[name] += value
    for kind, row in [*table.items(), ("all", total)]:
        put, hours = max(row["put in"], 1), max(row["hours"], 1e-9)
        print(f"| {kind} | {row['put in']:.0f} | {100 * row['listed'] / put:.0f} % "
              f"| {100 * row['remarks'] / put:.0f} % | "
              f"{100 * row['worst'] / put:.0f} % | {hours:.2f} | {row['false notes'] / hours:.0f} | "
              f"{row['false remarks'] / hours:.1f} |")  # fmt: skip


def main() -> None:
    """Set or report."""
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--set", action="store_true")
    parser.add_argument("--lines", action="store_true")
    parser.add_argument("--seed", type=int, default=11)
    parser.add_argument("--seconds", type=float, default=40.0)
    told = parser.parse_args()
    if told.set:
        set_points(told.seconds)
    else:
        report(told.seed, told.seconds, told.lines)


if __name__ == "__main__":
    main()
