"""The steps of the planner's bound on made-up shelves: processor seconds, and the gap to one plan.

    python tests/benchmarks/planner_bounds.py --shelves 60,200 --seeds 1,2,3 --seconds 60

A plan of so many seconds is made first; then each step of the bound is taken by itself, at most `--most`
seconds long, and laid beside that plan's score. Prints a table.
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

STEPS = {
    "at once": None,
    "evenings, coarse": 600,
    "evenings": 2000,
    "evenings, fine": 8000,
}


def main() -> None:
    """Measures what the command line asks for and prints a row as soon as it is known."""
    asked = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else None)
    asked.add_argument("--shelves", default="60", help=f"of {', '.join(reeltroubles.SIZES)}")
    asked.add_argument("--seeds", default="1,2,3")
    asked.add_argument("--seconds", type=float, default=30, help="for the plan")
    asked.add_argument("--most", type=float, default=20, help="seconds for one step")
    told = asked.parse_args()
    print("| shelf | seed | score | " + " | ".join(f"{step}: gap | s" for step in STEPS) + " |", flush=True)
    print("|" + "---|" * (3 + 2 * len(STEPS)), flush=True)
    for size in told.shelves.split(","):
        for seed in told.seeds.split(","):
            with tempfile.TemporaryDirectory() as place:
                made = reeltroubles.troubled_shelf(Path(place), size, int(seed))
                print(_row(made, f"| {size} | {seed} ", told.seconds, told.most), flush=True)


def _row(made: reeltroubles.TroubledShelf, begin: str, seconds: float, most: float) -> str:
    from core.planning.bench.draft import score_of
    from core.planning.bounds.bounds import quick_bound
    from core.planning.bounds.evening_bound import evening_bound
    from core.planning.incumbent import Incumbent
    from core.planning.search import search
    from core.planning.wishes.wishes import Wishes
    from core.workbook.workbook import Workbook

    moment = datetime.fromisoformat("2026-01-05T12:00+00:00")
    book = Workbook.open(reelplanner.fill(made.folder), now=lambda: moment)
    start = datetime.fromisoformat(made.start).replace(tzinfo=book.shelf.studio.zone)
    so_far = Incumbent(book.shelf, start, made.days, Wishes())
    search(so_far, seconds, by_effort=False, stop=None)
    score = score_of(so_far.base, so_far.best)
    row = f"{begin}| {float(score):.1f} |"
    for step in STEPS.values():
        began = time.process_time()
        bound = quick_bound(so_far.base) if step is None else evening_bound(so_far.base, most, cells=step)
        took = time.process_time() - began
        told = "-" if bound is None else f"{float(1 - bound / score):.2%}" if score else "0"
        row += f" {told} | {took:.2f} |"
    return row


if __name__ == "__main__":
    main()
