"""How many dropouts a check finds in recordings of real music and speech, and how many that are none.

    nice python tests/benchmarks/real_dropouts.py [--set] [--lines] [--seed N] [--seconds 40]

The recordings are those of `tests/support/realsound.py` that are installed, the faults those of
`tests/support/lostcontact.py`. Prints tables by kind of sound: dropouts put in, found at any weight and as
remarks; and what is found in the same sound left clean. With `--set`, sets the points of
`core/capture/faults/dips/grade.toml` on the other parts of the recordings, by other seeds (ten minutes).
"""

from __future__ import annotations

import argparse
import sys
import tempfile
from collections import defaultdict
from collections.abc import Iterator
from itertools import chain
from pathlib import Path

import numpy as np
import soundfile

sys.path.insert(0, str(Path(__file__).parent.parent / "support"))

import capturedscore as score
from capturedmaterial import MATERIAL
from lostcontact import Lost, lose_contact
from realsound import RATE, recordings, with_hiss

from core.capture.check import check_capture
from core.capture.faults.dips.dips import Dips
from core.capture.faults.dips.grade import comes_again, with_company
from core.capture.faults.dips.points import FEATURES, Scorecard
from core.capture.files.samples import Scale
from core.capture.scan import Scan
from core.capture.weighing.facts import ReelFacts, StudioFacts

TABLE = Path(__file__).parents[2] / "core/capture/faults/dips/grade.toml"
HISS_DBFS = (-68.0, -90.0)


def cases(part: str, seed: int, seconds: float) -> Iterator[tuple[str, str, np.ndarray, list[Lost]]]:
    """Kind, name, sound and faults; every recording with faults and clean, over two hisses."""
    for number, (kind, name, sound) in enumerate(recordings(part, seconds)):
        dice = np.random.default_rng((seed, number))
        for hiss in HISS_DBFS:
            faulty, lost = lose_contact(sound, RATE, dice, 4.0)
            yield kind, name, with_hiss(faulty, hiss, seed), lost
            yield kind, name, with_hiss(sound, hiss, seed), []


def scanned(sound: np.ndarray) -> Scan:
    """All measures of one track."""
    scan = Scan(1, RATE, Scale(np.dtype(np.float32), 1.0, -1.0, 1.0), len(sound))

    def fill(first: int, rows: np.ndarray) -> None:
        rows[:] = sound[first : first + rows.shape[1]]

    scan.feed(len(sound), fill)
    scan.finish()
    return scan


def meets(start: float, end: float, one: Lost) -> bool:
    """Whether a finding lies over a fault and is not much longer."""
    over = min(end, one.end) - max(start, one.start)
    return over > 0.5 * (one.end - one.start) and end - start < 2 * (one.end - one.start) + 0.02


def described(
    parts: dict[str, tuple[int, ...]], seconds: float
) -> tuple[np.ndarray, np.ndarray, np.ndarray, int, float]:
    """Features of all dips, whether each is a fault, of what; faults put in, and hours."""
    rows, truth, of, put, length = [], [], [], 0, 0.0
    seeds = [(part, seed) for part, some in parts.items() for seed in some]
    every = chain(*(cases(*one, seconds) for one in seeds), *(made_up(seed) for seed in parts["set"]))
    for _, name, sound, lost in every:
        drops = scanned(sound).dropouts
        put, length = put + sum(bool(one.how) for one in lost), length + len(sound) / RATE
        dips = drops.dips.found
        if not dips:
            continue
        table = with_company(dips, drops.falls(0), RATE, 128)
        again = np.logical_or(*comes_again(dips, RATE))
        for row, dip, is_played in zip(table, dips, again, strict=True):
            start, end = dip.start / RATE, dip.stop / RATE
            near = any(start < one.end and end > one.start for one in lost)
            is_one = any(meets(start, end, one) for one in lost if one.how)
            if (is_one or not near) and not is_played:
                rows.append(row)
                truth.append(is_one)
                of.append(name)
    return np.array(rows), np.array(truth), np.array(of), put, length / 3600


def made_up(seed: int) -> Iterator[tuple[str, str, np.ndarray, list[Lost]]]:
    """As `cases`, of made-up sound whose shifts are in view; faults that are no dropouts have no how."""
    capture = score.Capture(20 + 1000 * seed, tuple(MATERIAL), 60.0, RATE, "PCM_24", 4.0)
    sound, faults = score.make(capture)
    for number, row in enumerate(sound, start=1):
        lost = [Lost(one.start, one.end, 0.0, one.what if one.kind == "dropout" and not one.decoy else "")
                for one in faults if one.track == number]  # fmt: skip
        yield "made up", capture.tracks[number - 1], np.ascontiguousarray(row), lost


def boosted(rows: np.ndarray, truth: np.ndarray, rounds: int = 600, rate: float = 0.1,
            bins: int = 20) -> tuple[float, list[np.ndarray], list[np.ndarray]]:  # fmt: skip
    """Additive points by boosting of one-split trees (J. H. Friedman, Annals of Statistics 29, 2001).

    Every feature is cut at its quantiles; each round adds to one feature the split that lowers the loss most.
    """
    quantiles = np.linspace(0, 1, bins + 1)[1:-1]
    positive = rows[truth]
    edges = [np.unique(np.round(np.concatenate((np.quantile(rows[:, at], quantiles),
             np.quantile(positive[:, at], quantiles))), 2)) for at in range(rows.shape[1])]  # fmt: skip
    places = [np.searchsorted(edge, rows[:, at], side="right") for at, edge in enumerate(edges)]
    points = [np.zeros(len(edge) + 1) for edge in edges]
    base = float(np.log(truth.mean() / (1 - truth.mean())))
    score = np.full(len(rows), base)
    for _ in range(rounds):
        chance = 1 / (1 + np.exp(-score))
        slope, bend = truth - chance, chance * (1 - chance)
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
    """Set the table, and print what every fifth of the recordings gets by the points of the others."""
    Dips.sparing = False
    rows, truth, of, put, hours = described({"set": (1, 2), "more": (3,)}, seconds)
    print(f"{put} faults, {hours:.2f} channel-hours, {truth.sum()} of them among {len(truth)} dips")
    write_points(*boosted(rows, truth))
    names = sorted(set(of.tolist()))
    grades = np.zeros(len(rows))
    for fold in range(5):
        inside = np.isin(of, names[fold::5])
        base, edges, points = boosted(rows[~inside], truth[~inside])
        grades[inside] = Scorecard(base, tuple(edges), tuple(points)).add_up(rows[inside])
    false = np.sort(grades[~truth])[::-1]
    for an_hour in (1, 2, 5, 10, 20, 40):
        limit = false[int(an_hour * hours)]
        print(
            f"{an_hour} false an hour: grade {limit:.2f}, "
            f"{100 * np.sum(grades[truth] > limit) / put:.1f} % found"
        )


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
