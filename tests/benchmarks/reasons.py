"""What reasons, wishes, holes and simulated evenings cost beside a plan, as a Markdown table.

    python tests/benchmarks/reasons.py --shelves 24,fortnight,60,200 --seeds 1,2,3

Process time on made-up shelves with fixed seeds, medians over the seeds, on the first valid plan: of telling
for all reels left over what binds them (as `plan` does), of one `why` with its remedies, of the holes, and of
playing the plan against evenings that go differently, with how often it is played and how much the share of
runs in which a song is on time differs between two seeds.
"""

import argparse
import sys
import tempfile
import time
from collections.abc import Callable
from datetime import datetime
from pathlib import Path
from statistics import median
from typing import Any

sys.path.insert(0, str(Path(__file__).resolve().parent.parent / "support"))

import reelplanner
import reeltroubles


def spent(work: Callable[[], Any]) -> tuple[float, Any]:
    """Process seconds that the work takes, and what it gives."""
    began = time.process_time()
    done = work()
    return time.process_time() - began, done


def measure(folder: Path, size: str, seed: int) -> dict[str, float]:
    """One shelf: its figures."""
    from core.planning.answers.because import why_reel, with_reasons
    from core.planning.answers.holes import holes
    from core.planning.answers.simulate import runs_for, simulate
    from core.planning.plan_evenings import plan_evenings
    from core.workbook.workbook import Workbook

    made = reeltroubles.troubled_shelf(folder, size, seed)
    book = Workbook.open(reelplanner.fill(folder), lambda: datetime.fromisoformat("2026-01-05T12:00+00:00"))
    shelf = book.shelf
    start = datetime.fromisoformat(made.start).replace(tzinfo=shelf.studio.zone)
    plan = plan_evenings(shelf, start, made.days, seconds=0)
    waiting = [one.reel for one in plan.left_over if not one.barred_by]
    reasons, _ = spent(lambda: with_reasons(shelf, plan))
    one, _ = spent(lambda: [why_reel(shelf, plan, reel) for reel in waiting[:5]])
    gaps, _ = spent(lambda: holes(shelf, plan))
    runs = runs_for(shelf, plan)
    played, told = spent(lambda: simulate(shelf, plan, runs=runs, seed=1) if runs else ())
    other = simulate(shelf, plan, runs=runs, seed=2) if runs else ()
    apart = [abs(a.on_time - b.on_time) for a, b in zip(told, other, strict=True)]
    return {
        "left": len(waiting), "reasons": reasons, "why": one / max(1, len(waiting[:5])), "holes": gaps,
        "runs": runs, "played": played, "apart": max(apart, default=0.0),
    }  # fmt: skip


def main() -> None:
    """Measures what the command line asks for and prints a row as soon as it is known."""
    asked = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else None)
    asked.add_argument("--shelves", default="24,fortnight,60", help=f"of {', '.join(reeltroubles.SIZES)}")
    asked.add_argument("--seeds", default="1,2,3")
    told = asked.parse_args()
    print("| shelf | left over | all reasons (s) | one (s) | holes (s) | runs | played (s) | seeds apart |")
    print("|---|---|---|---|---|---|---|---|")
    with tempfile.TemporaryDirectory() as place:
        for size in told.shelves.split(","):
            rows = [
                measure(Path(place) / f"{size}-{seed}", size, int(seed)) for seed in told.seeds.split(",")
            ]
            mid = {name: median(row[name] for row in rows) for name in rows[0]}
            print(
                f"| {size} | {mid['left']:.0f} | {mid['reasons']:.2f} | {mid['why']:.2f} | {mid['holes']:.3f}"
                f" | {mid['runs']:.0f} | {mid['played']:.2f} | {mid['apart']:.0%} |",
                flush=True,
            )


if __name__ == "__main__":
    main()
