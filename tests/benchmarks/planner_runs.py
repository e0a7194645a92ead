"""One measurement of the planner, in a process of its own; ``planner.py`` asks for many and prints them.

    python tests/benchmarks/planner_runs.py '{"kind": "plan", "folder": "shelf", ...}'

takes the arguments of ``plan`` or ``again`` and prints their figures as one JSON line. The import of the
solver is measured apart. Every plan is judged by the independent judge.
"""

import json
import resource
import subprocess
import sys
import time
from datetime import datetime
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).resolve().parent.parent / "support"))

import reeljudge
import reelmishaps
import reelplanner

NEVER = float("inf")


def apart(**asked: Any) -> dict[str, Any]:
    """The figures of one measurement made in a process of its own."""
    words = [sys.executable, __file__, json.dumps(asked, default=str)]
    done = subprocess.run(words, capture_output=True, text=True, check=False)
    if done.returncode:
        raise SystemExit(f"{asked}: {done.stderr}")
    figures: dict[str, Any] = json.loads(done.stdout.splitlines()[-1])
    return figures


def _shelf(folder: Path) -> Any:
    from core.workbook.workbook import Workbook

    file = reelplanner.fill(folder)
    return Workbook.open(file, now=lambda: datetime.fromisoformat("2026-01-05T12:00+00:00")).shelf


def _solver_seconds() -> float:
    began = time.perf_counter()
    import core.planning.solving  # noqa: F401

    return time.perf_counter() - began


def _judged(folder: Path, *plans: Any) -> list[str]:
    return [
        line for plan in plans for line in reeljudge.judge(folder, json.loads(json.dumps(plan.to_json())))
    ]


def _megabytes() -> float:
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024


def plan(folder: str, start: str, days: int, seconds: float, least: float = 0.0) -> dict[str, Any]:
    """The first plan and that after so many seconds; when it came to ``least``, and when that was proven."""
    place = Path(folder)
    shelf = _shelf(place)
    moment = datetime.fromisoformat(start).replace(tzinfo=shelf.studio.zone)
    imported = _solver_seconds()
    from core.planning.incumbent import Progress
    from core.planning.plan_evenings import plan_evenings

    began, worked = time.perf_counter(), time.process_time()
    last = first = plan_evenings(shelf, moment, days, seconds=0)
    at_once, processor = time.perf_counter() - began, time.process_time() - worked
    before = _megabytes()
    equal = proven = NEVER

    def hears(told: Progress) -> None:
        nonlocal equal, proven
        gone = time.perf_counter() - began
        if told.score <= least + 1e-4:
            equal = min(equal, gone)
        if told.bound >= least - 2e-4:
            proven = min(proven, gone)

    plans, took = [first], at_once
    if seconds:
        began = time.perf_counter()
        last = plan_evenings(shelf, moment, days, seconds=seconds, progress=hears if least else None)
        plans.append(last)
        took = time.perf_counter() - began
    if least and last.score <= least + 1e-4:
        equal = min(equal, took)
    if least and last.status == "optimal":
        proven = min(proven, took)
    return {
        "import": imported, "first": at_once, "processor": processor, "took": took, "score": last.score,
        "bound": last.bound, "gap": last.gap, "status": last.status, "equal": equal, "proven": proven,
        "first_megabytes": before, "megabytes": _megabytes(), "wrong": _judged(place, *plans),
    }  # fmt: skip


def again(
    folder: str, start: str, days: int, seconds: float, seed: int, work: str, by_effort: bool = False
) -> list[dict[str, Any]]:
    """A plan kept, each mishap in it, and planning anew against planning afresh in the same time or work."""
    from core.plan import plan_from_json
    from core.planning.plan_evenings import plan_evenings
    from core.planning.replan import replan
    from core.studio.opening import bench_window

    shelf = _shelf(Path(folder))
    zone = shelf.studio.zone
    _solver_seconds()
    name = "effort" if by_effort else "seconds"
    long: dict[str, Any] = {name: 10 * seconds}
    as_long: dict[str, Any] = {name: seconds}
    made = plan_evenings(shelf, datetime.fromisoformat(start).replace(tzinfo=zone), days, **long)
    kept = json.loads(json.dumps(made.to_json()))
    out = []
    for mishap in reelmishaps.MISHAPS:
        after = reelmishaps.after_mishap(Path(folder), kept, mishap, seed, Path(work) / mishap)
        now, at = _shelf(after.folder), after.moment.astimezone(zone)
        left = max(1, (made.until.date() - at.date()).days)
        began, worked = time.perf_counter(), time.process_time()
        calm = replan(now, plan_from_json(kept, zone), at, **as_long)
        took, processor = time.perf_counter() - began, time.process_time() - worked
        at_once = replan(now, plan_from_json(kept, zone), at, seconds=0)
        afresh = plan_evenings(now, at, left, **as_long)
        plans = [p.to_json() for p in (calm, at_once, afresh)]
        moved = [reelmishaps.moved_soon(kept, p, at) for p in plans]
        begun = bench_window(now.studio, at) is not None
        told = [reelmishaps.told_soon(kept, p, at, begun=begun) for p in plans]
        out.append(
            {
                "mishap": mishap,
                "took": took,
                "processor": processor,
                "told": told[0],
                "told_afresh": told[2],
                "moved": moved[0],
                "moved_at_once": moved[1],
                "moved_afresh": moved[2],
                "ratio": calm.score / afresh.score if afresh.score else 1.0,
                "wrong": _judged(after.folder, calm, at_once, afresh),
            }
        )
    return out


if __name__ == "__main__":
    told = json.loads(sys.argv[1])
    kind = told.pop("kind")
    print(json.dumps({"plan": plan, "again": again}[kind](**told)))
