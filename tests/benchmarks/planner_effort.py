"""Plans by work and not by time, so that the figures are the same on a busy machine: score, gap, processor.

    python tests/benchmarks/planner_effort.py --shelf 24 --seeds 1,2,3,4,5 --effort 30

Made-up shelves with fixed seeds and the comfort of an owner who sets nothing. Prints a table.
"""

import argparse
import sys
import tempfile
import time
from datetime import datetime
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parent.parent / "support"))

import reelplanner
import reeltroubles


def main() -> None:
    """Measures what the command line asks for and prints a row as soon as it is known."""
    asked = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else None)
    asked.add_argument("--shelf", default="24", help=f"one of {', '.join(reeltroubles.SIZES)}")
    asked.add_argument("--seeds", default="1,2,3,4,5")
    asked.add_argument("--effort", type=float, default=30)
    told = asked.parse_args()
    print("| shelf | seed | score | bound | gap | status | processor (s) |\n|---|---|---|---|---|---|---|")
    for seed in told.seeds.split(","):
        with tempfile.TemporaryDirectory() as place:
            made = reeltroubles.troubled_shelf(Path(place), told.shelf, int(seed), comfort=True)
            print(_row(made, f"| {told.shelf} | {seed} ", told.effort), flush=True)


def _row(made: reeltroubles.TroubledShelf, begin: str, effort: float) -> str:
    from core.planning.plan_evenings import plan_evenings
    from core.workbook.workbook import Workbook

    moment = datetime.fromisoformat("2026-01-05T12:00+00:00")
    shelf = Workbook.open(reelplanner.fill(made.folder), now=lambda: moment).shelf
    start = datetime.fromisoformat(made.start).replace(tzinfo=shelf.studio.zone)
    worked = time.process_time()
    plan = plan_evenings(shelf, start, made.days, effort=effort)
    worked = time.process_time() - worked
    return f"{begin}| {plan.score:.4f} | {plan.bound:.4f} | {plan.gap:.2%} | {plan.status} | {worked:.1f} |"


if __name__ == "__main__":
    main()
