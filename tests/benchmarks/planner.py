"""Figures of the planner on made-up shelves with fixed seeds, as Markdown tables.

    python tests/benchmarks/planner.py --rows 24,theorems,60 --seeds 1,2,3,4,5

Rows, each a command of its own for whoever runs them in pieces (the times are those of the search, for every
seed):

    24          24 reels, 3 weeks, every trouble: 5 s
    theorems    shelves whose least score a theorem gives: seconds to that score and to its proof, 30 s
    60          60 reels, 8 weeks: 10 and 60 s
    200         200 reels, 26 weeks: 60 and 300 s
    fortnight   25 reels in one overfull fortnight: 60 and 300 s
    again       60 reels after five kinds of mishap: planning anew in 1 s against planning afresh in 1 s
    1000        1,000 reels, 2 years: the first plan, its bound and the memory it takes
    small       random small shelves against the search of all plans: 2 s

Every figure is measured in a process of its own, the import of the solver apart; medians over the seeds.
`--seconds` takes the place of a row's own times; `--comfort` gives the shelves the comfort of an owner who
sets nothing (evenings, slack, line-ups and warm chambers counted) in place of none; `--effort` counts work
in place of seconds where it is planned again, so that a busy machine tells the same. The independent judge
judges every plan; its violations are counted.
"""

import argparse
import sys
import tempfile
from collections.abc import Iterator
from datetime import datetime, timedelta
from pathlib import Path
from statistics import median
from typing import Any

sys.path.insert(0, str(Path(__file__).resolve().parent.parent / "support"))

import reelsearch
import reelsmall
import reeltheorems
import reeltroubles
from planner_runs import apart
from reeljudge_files import read_shelf

TIMES: dict[str, tuple[float, ...]] = {
    "24": (5,),
    "theorems": (30,),
    "60": (10, 60),
    "200": (60, 300),
    "fortnight": (60, 300),
    "again": (1,),
    "1000": (0,),
    "small": (2,),
}
SMALL = 20  # random small shelves of each family


def _plan(made: Any, start: str, seconds: float, **more: Any) -> dict[str, Any]:
    return apart(kind="plan", folder=made.folder, start=start, days=made.days, seconds=seconds, **more)


def troubled(
    base: Path, shelf: str, times: tuple[float, ...], seeds: list[int], comfort: bool
) -> Iterator[str]:
    """Rows for shelves of a size with every trouble."""
    yield (
        "| shelf | seeds | seconds | first plan (s) | of it processor (s) | took (s) | gap | proven "
        "| memory (MB) | violations |"
    )
    yield "|---|---|---|---|---|---|---|---|---|---|"
    for seconds in times:
        runs = []
        for seed in seeds:
            made = reeltroubles.troubled_shelf(base / f"{shelf}-{seed}", shelf, seed, comfort=comfort)
            runs.append(_plan(made, made.start, seconds))
        proven = sum(run["status"] != "feasible" for run in runs)
        middle = {name: median(run[name] for run in runs) for name in ("first", "processor", "took", "gap")}
        yield (
            f"| {shelf} | {len(seeds)} | {seconds:g} | {middle['first']:.3f} | {middle['processor']:.3f} "
            f"| {middle['took']:.1f} | {middle['gap']:.2%} | {proven} of {len(runs)} "
            f"| {max(run['megabytes'] for run in runs):.0f} | {sum(len(run['wrong']) for run in runs)} |"
        )


def theorems(base: Path, times: tuple[float, ...]) -> Iterator[str]:
    """Rows for the shelves with a known least score."""
    yield "| theorem | seconds | least | score | bound | equal after (s) | proven after (s) | violations |"
    yield "|---|---|---|---|---|---|---|---|"
    for build in reeltheorems.ALL:
        known = build(base / build.__name__)
        for seconds in times:
            run = _plan(known, reeltheorems.START, seconds, least=float(known.expected))
            after = ["-" if run[name] == float("inf") else f"{run[name]:.1f}" for name in ("equal", "proven")]
            yield (
                f"| {known.name} | {seconds:g} | {float(known.expected):.4f} | {run['score']:.4f} "
                f"| {run['bound']:.4f} | {' | '.join(after)} | {len(run['wrong'])} |"
            )


def again(
    base: Path, times: tuple[float, ...], seeds: list[int], *, by_effort: bool = False, comfort: bool = False
) -> Iterator[str]:
    """Rows for planning anew after a mishap, by kind and over all; ``by_effort``: times are work.

    What moves without any search is what the mishap itself moves: it no longer fits where it was. Items are
    counted to the minute, each alone; told is what a person is told of, one a sentence (``core/moved.py``).
    """
    yield (
        f"| mishap | runs | {'effort' if by_effort else 'seconds'} | took (s) | of it processor (s) "
        "| told as moved in 7 days | told afresh | items moved | items without a search | items afresh "
        "| score against afresh | within 3 % | violations |"
    )
    yield "|---|---|---|---|---|---|---|---|---|---|---|---|---|"
    for seconds in times:
        runs: list[dict[str, Any]] = []
        for seed in seeds:
            made = reeltroubles.troubled_shelf(base / f"{seed}" / "before", "60", seed, comfort=comfort)
            told = {"folder": made.folder, "start": made.start, "days": made.days, "seed": seed}
            runs += apart(kind="again", **told, seconds=seconds, by_effort=by_effort, work=base / f"{seed}")
        for mishap in (*dict.fromkeys(run["mishap"] for run in runs), "all"):
            some = [run for run in runs if mishap in (run["mishap"], "all")]
            near = sum(run["ratio"] <= 1.03 for run in some)
            names = (
                "took", "processor", "told", "told_afresh", "moved", "moved_at_once", "moved_afresh", "ratio",
            )  # fmt: skip
            middle = {one: median(run[one] for run in some) for one in names}
            yield (
                f"| {mishap} | {len(some)} | {seconds:g} | {middle['took']:.2f} | {middle['processor']:.2f} "
                f"| {middle['told']:g} | {middle['told_afresh']:g} "
                f"| {middle['moved']:g} | {middle['moved_at_once']:g} | {middle['moved_afresh']:g} "
                f"| {middle['ratio']:.3f} "
                f"| {near} of {len(some)} | {sum(len(run['wrong']) for run in some)} |"
            )


def small(base: Path, times: tuple[float, ...]) -> Iterator[str]:
    """Rows for random small shelves against the search of all plans."""
    yield "| family | shelves | equal | proven | violations |"
    yield "|---|---|---|---|---|"
    for family in reelsmall.FAMILIES:
        equal = proven = wrong = 0
        for seed in range(SMALL):
            made = reelsmall.small_shelf(base / f"{family}-{seed}", family, seed)
            until = (datetime.fromisoformat(made.start) + timedelta(days=made.days)).isoformat()
            least, _ = reelsearch.least(read_shelf(made.folder), made.start, until)
            run = _plan(made, made.start, times[0])
            equal += abs(run["score"] - float(least)) < 1e-4
            proven += run["status"] != "feasible"
            wrong += len(run["wrong"])
        yield f"| {family} | {SMALL} | {equal} | {proven} | {wrong} |"


def main() -> None:
    """Measures what the command line asks for and prints a row as soon as it is known."""
    asked = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else None)
    asked.add_argument("--rows", default="24", help=f"of {', '.join(TIMES)}, joined by commas, or all")
    asked.add_argument("--seconds", help="search times in place of the rows' own, joined by commas")
    asked.add_argument("--effort", action="store_true", help="planned again: times are work, and repeat")
    asked.add_argument("--seeds", default="1,2,3,4,5")
    asked.add_argument("--comfort", action="store_true", help="shelves with the comfort that is usual")
    told = asked.parse_args()
    rows = list(TIMES) if told.rows == "all" else told.rows.split(",")
    unknown = [row for row in rows if row not in TIMES]
    if unknown:
        asked.error(f"no rows {', '.join(unknown)}: of {', '.join(TIMES)}")
    seeds = [int(one) for one in told.seeds.split(",")]
    with tempfile.TemporaryDirectory() as place:
        for name in rows:
            base = Path(place) / name
            times = tuple(float(one) for one in told.seconds.split(",")) if told.seconds else TIMES[name]
            tables = {"theorems": theorems, "small": small}
            table = tables[name](base, times) if name in tables else None
            if table is None:
                table = (
                    again(base, times, seeds, by_effort=told.effort, comfort=told.comfort)
                    if name == "again"
                    else troubled(base, name, times, seeds, told.comfort)
                )
            for row in table:
                print(row, flush=True)
            print()


if __name__ == "__main__":
    main()
