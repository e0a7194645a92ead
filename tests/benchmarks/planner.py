"""Figures of the planner on made-up shelves with fixed seeds, as a Markdown table.

    python tests/benchmarks/planner.py --shelves 24,60,fortnight --seconds 10,60 --seeds 1,2,3,4,5

Every figure is measured in a process of its own, the import of the solver apart: the time to the first valid
plan, then score, bound and gap after so many seconds, and the most memory used. Medians over the seeds; the
independent judge judges every plan, and its violations are counted. `--theorems` measures the shelves whose
least score a theorem gives, `--small N` compares N random small shelves a family with the search of all
plans.
"""

import argparse
import json
import resource
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from datetime import datetime, timedelta
from pathlib import Path
from statistics import median
from typing import Any

sys.path.insert(0, str(Path(__file__).resolve().parent.parent / "support"))

import reeljudge
import reelplanner
import reelsearch
import reelsmall
import reeltheorems
import reeltroubles
from reeljudge_shelf import read_shelf


def _open(folder: Path) -> Any:
    from core.workbook import Workbook

    return Workbook.open(
        reelplanner.fill(folder), now=lambda: datetime.fromisoformat("2026-01-05T12:00+00:00")
    )


def measure(folder: Path, start: str, days: int, seconds: float) -> dict[str, Any]:
    """One shelf in this process: figures of the first plan, and of the plan after so many seconds."""
    book = _open(folder)
    zone = book.shelf.studio.zone
    moment = datetime.fromisoformat(start).replace(tzinfo=zone)
    began = time.perf_counter()
    import core.planning.solving  # noqa: F401
    from core.planning.plan_evenings import plan_evenings

    imported = time.perf_counter() - began
    began = time.perf_counter()
    first = plan_evenings(book.shelf, moment, days, seconds=0)
    at_once = time.perf_counter() - began
    plans, took = [first], at_once
    if seconds:
        began = time.perf_counter()
        plans.append(plan_evenings(book.shelf, moment, days, seconds=seconds))
        took = time.perf_counter() - began
    wrong = [
        line for plan in plans for line in reeljudge.judge(folder, json.loads(json.dumps(plan.to_json())))
    ]
    last = plans[-1]
    return {
        "import": imported, "first": at_once, "took": took, "score": last.score, "bound": last.bound,
        "gap": last.gap, "status": last.status, "wrong": wrong,
        "megabytes": resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024,
    }  # fmt: skip


def _apart(folder: Path, start: str, days: int, seconds: float) -> dict[str, Any]:
    """The same in a process of its own."""
    words = [sys.executable, __file__, "--one", str(folder), start, str(days), str(seconds)]
    done = subprocess.run(words, capture_output=True, text=True, check=False)
    if done.returncode:
        raise SystemExit(f"{folder}: {done.stderr}")
    figures: dict[str, Any] = json.loads(done.stdout.splitlines()[-1])
    return figures


def troubled(base: Path, shelves: list[str], times: list[float], seeds: list[int]) -> Iterator[str]:
    """Rows for shelves with every trouble."""
    yield "| shelf | seconds | first plan (s) | took (s) | gap | proven | memory (MB) | violations |"
    yield "|---|---|---|---|---|---|---|---|"
    for shelf in shelves:
        for seconds in times:
            runs = []
            for seed in seeds:
                made = reeltroubles.troubled_shelf(base / f"{shelf}-{seed}", shelf, seed)
                runs.append(_apart(made.folder, made.start, made.days, seconds))
            proven = sum(run["status"] != "feasible" for run in runs)
            yield (
                f"| {shelf} | {seconds:g} | {median(run['first'] for run in runs):.3f} "
                f"| {median(run['took'] for run in runs):.1f} | {median(run['gap'] for run in runs):.2%} "
                f"| {proven} of {len(runs)} | {max(run['megabytes'] for run in runs):.0f} "
                f"| {sum(len(run['wrong']) for run in runs)} |"
            )


def theorems(base: Path, times: list[float]) -> Iterator[str]:
    """Rows for the shelves with a known least score."""
    yield "| theorem | seconds | took (s) | least | score | bound | status | violations |"
    yield "|---|---|---|---|---|---|---|---|"
    for build in reeltheorems.ALL:
        known = build(base / build.__name__)
        for seconds in times:
            run = _apart(known.folder, reeltheorems.START, known.days, seconds)
            yield (
                f"| {known.name} | {seconds:g} | {run['took']:.1f} | {float(known.expected):.4f} "
                f"| {run['score']:.4f} | {run['bound']:.4f} | {run['status']} | {len(run['wrong'])} |"
            )


def small(base: Path, count: int, seconds: float) -> Iterator[str]:
    """Rows for random small shelves against the search of all plans, in this process."""
    yield "| family | shelves | equal | proven | violations |"
    yield "|---|---|---|---|---|"
    for family in reelsmall.FAMILIES:
        equal = proven = wrong = 0
        for seed in range(count):
            made = reelsmall.small_shelf(base / f"{family}-{seed}", family, seed)
            until = (datetime.fromisoformat(made.start) + timedelta(days=made.days)).isoformat()
            least, _ = reelsearch.least(read_shelf(made.folder), made.start, until)
            run = measure(made.folder, made.start, made.days, seconds)
            equal += abs(run["score"] - float(least)) < 1e-4
            proven += run["status"] != "feasible"
            wrong += len(run["wrong"])
        yield f"| {family} | {count} | {equal} | {proven} | {wrong} |"


def main() -> None:
    """Measures what the command line asks for and prints a row as soon as it is known."""
    asked = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else None)
    asked.add_argument("--shelves", default="24", help=f"of {', '.join(reeltroubles.SIZES)}; none for no row")
    asked.add_argument("--seconds", default="5", help="search times, joined by commas")
    asked.add_argument("--seeds", default="1,2,3,4,5")
    asked.add_argument("--theorems", action="store_true")
    asked.add_argument("--small", type=int, default=0, metavar="N")
    asked.add_argument(
        "--one", nargs=4, metavar=("FOLDER", "START", "DAYS", "SECONDS"), help=argparse.SUPPRESS
    )
    told = asked.parse_args()
    if told.one:
        folder, start, days, seconds = told.one
        print(json.dumps(measure(Path(folder), start, int(days), float(seconds))))
        return
    times = [float(one) for one in told.seconds.split(",")]
    with tempfile.TemporaryDirectory() as place:
        base = Path(place)
        rows: list[Iterator[str]] = []
        if told.shelves != "none":
            seeds = [int(one) for one in told.seeds.split(",")]
            rows.append(troubled(base / "troubled", told.shelves.split(","), times, seeds))
        if told.theorems:
            rows.append(theorems(base / "theorems", times))
        if told.small:
            rows.append(small(base / "small", told.small, times[0]))
        for table in rows:
            for row in table:
                print(row, flush=True)
            print()


if __name__ == "__main__":
    main()
