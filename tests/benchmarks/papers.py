"""How well loose sheets find their tapes on made-up shelves, and how long that takes.

    python tests/benchmarks/papers.py            seeds 201 to 230: share right by margin; titles alone; greedy
    python tests/benchmarks/papers.py --seeds N  the same of thirty shelves from seed N on
    python tests/benchmarks/papers.py --fit      seeds 100 to 129: what was counted there, to set weights by
    python tests/benchmarks/papers.py --big      about 570 sheets and 590 stretches at once: seconds

The shelves are those of tests/support/madeuppapers.py; nothing of their chances is known to the program.
"""

from __future__ import annotations

import sys
import time
from collections import Counter
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "support"))
from madeuppapers import MadeUp, made_up, right

from core.sheets.evidence import evidence
from core.sheets.matching import sureness
from core.sheets.proposals import papers_of, proposed

JUDGED, FITTED = range(201, 231), range(100, 130)


def judged(seeds: range) -> None:
    """The table: how many of each margin are right."""
    bands: dict[str, list[bool]] = {}
    alone: list[bool] = []
    greedy: list[bool] = []
    shelves = [made_up(seed) for seed in seeds]
    began = time.perf_counter()
    told = [papers_of(one.shelf, one.titles) for one in shelves]
    seconds = time.perf_counter() - began
    for one, found in zip(shelves, told, strict=True):
        for sheet in found.proposals:
            good = right(one.truth[sheet.paper.key], sheet.choice)
            bands.setdefault(sheet.sure, []).append(good)
            if sheet.sure == "open":
                bands.setdefault("open, below 1" if sheet.margin < 1 else "open, 1 to 2", []).append(good)
        kinds = evidence([p.paper for p in found.proposals], found.bare)
        alone += _greedy(one, found, kinds["title"])
        greedy += _greedy(one, found, np.sum(list(kinds.values()), axis=0))
    every = [good for name in ("sure", "likely", "open") for good in bands.get(name, ())]
    count = sum(len(found.bare) for found in told)
    print(
        f"seeds {seeds.start} to {seeds.stop - 1}: {len(every)} loose sheets, {count} places, {seconds:.1f} s"
    )
    print(f"choice right            {np.mean(every):6.1%}")
    for name in ("sure", "likely", "open", "open, 1 to 2", "open, below 1"):
        mine = bands.get(name, [])
        print(f"  {name:<20} {np.mean(mine) if mine else 0:6.1%}   {len(mine)} sheets")
    print(f"titles alone            {np.mean(alone):6.1%}")
    print(f"greedy, all evidence    {np.mean(greedy):6.1%}")


def _greedy(one: MadeUp, found: object, scores: np.ndarray) -> list[bool]:
    """Best pair first, each place once."""
    left, taken, out = set(range(scores.shape[0])), set(), {}
    for flat in np.argsort(-scores, axis=None):
        sheet, place = divmod(int(flat), scores.shape[1])
        if sheet in left and place not in taken and scores[sheet, place] > 1.0:
            left.discard(sheet)
            taken.add(place)
            out[sheet] = found.bare[place]
    return [right(one.truth[p.paper.key], out.get(n)) for n, p in enumerate(found.proposals)]


def fitted(seeds: range) -> None:
    """Of every kind of evidence, how often each of its values stands on right pairs and on others."""
    yes: dict[str, Counter[float]] = {}
    no: dict[str, Counter[float]] = {}
    rates = Counter()
    for seed in seeds:
        one = made_up(seed)
        found = papers_of(one.shelf, one.titles)
        kinds = evidence([p.paper for p in found.proposals], found.bare)
        for row, sheet in enumerate(found.proposals):
            truth = one.truth[sheet.paper.key]
            rates["none"] += truth is None
            rates["sheets"] += 1
            for column, place in enumerate(found.bare):
                good = truth is not None and right(truth, place)
                for kind in ("title", "date", "players", "grid", "box"):
                    (yes if good else no).setdefault(kind, Counter())[
                        round(float(kinds[kind][row, column]), 2)
                    ] += 1
                if good and place.heard:
                    written, heard = sheet.paper.tracks, place.heard
                    rates["written"] += len(written & heard)
                    rates["written sounds"] += len(written & place.sounding)
                    rates["unwritten"] += len(heard - written)
                    rates["unwritten sounds"] += len(place.sounding - written)
    print(f"of no tape {rates['none'] / rates['sheets']:.3f}")
    print(
        f"written sounds {rates['written sounds'] / rates['written']:.3f}, "
        f"unwritten {rates['unwritten sounds'] / rates['unwritten']:.3f}"
    )
    for kind, counted in yes.items():
        for value in sorted({*counted, *no[kind]}):
            p = (counted[value] + 0.5) / (sum(counted.values()) + 1)
            q = (no[kind][value] + 0.5) / (sum(no[kind].values()) + 1)
            print(f"{kind:<8} {value:6.2f}: right {p:.4f}, other {q:.4f}, log ratio {np.log(p / q):5.2f}")


def big() -> None:
    """One answer over the sheets of thirty shelves together."""
    papers, places = [], []
    for seed in JUDGED:
        one = made_up(seed)
        found = papers_of(one.shelf, one.titles)
        papers += [p.paper for p in found.proposals]
        places += found.bare
    papers, places = papers[:570], places[:590]
    began, busy = time.perf_counter(), time.process_time()
    answer = proposed(papers, tuple(places))
    spent = f"{time.perf_counter() - began:.1f} s by the clock, {time.process_time() - busy:.1f} s at work"
    tally = Counter(sureness(one.margin) for one in answer)
    print(f"{len(papers)} sheets, {len(places)} places: {spent}, {dict(tally)}")


if __name__ == "__main__":
    if "--fit" in sys.argv:
        fitted(FITTED)
    elif "--big" in sys.argv:
        big()
    elif "--seeds" in sys.argv:
        first = int(sys.argv[sys.argv.index("--seeds") + 1])
        judged(range(first, first + len(JUDGED)))
    else:
        judged(JUDGED)
