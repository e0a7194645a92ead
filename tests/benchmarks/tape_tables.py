"""Processor time of the tape tables: import, look-ups, curves, advice.

Run: python tests/benchmarks/tape_tables.py

Time of the processor and not of the clock on the wall, so that what else runs on the machine counts little.
"""

import importlib
import pkgutil
import subprocess
import sys
import time
from collections.abc import Callable
from datetime import UTC, datetime
from fractions import Fraction

REELS = 1000
ROOMS = ("core.tape", "core.conditioning", "core.lineup")


def clocked(what: str, work: Callable[[], object]) -> float:
    """Prints and returns the best of nine runs, in milliseconds."""
    best = min(_once(work) for _ in range(9)) * 1000
    print(f"{what:58} {best:8.2f} ms")
    return best


def _once(work: Callable[[], object]) -> float:
    began = time.process_time()
    work()
    return time.process_time() - began


def whole(package: str) -> list[str]:
    """Every module of a package."""
    found = importlib.import_module(package)
    return [package, *(f"{package}.{one.name}" for one in pkgutil.iter_modules(found.__path__))]


def at_start() -> list[str]:
    """The modules of these rooms that are there once the chart's screen and its board are loaded."""
    script = (
        "import sys, tui.app, tui.places.chart.chart, tui.board.rows;"
        f"print(*(n for n in sys.modules if n.startswith({ROOMS!r})))"
    )
    return subprocess.run([sys.executable, "-c", script], capture_output=True, text=True).stdout.split()


def import_cost(names: list[str]) -> float:
    """Milliseconds of processor time, best of nine, to import these over what start-up loads anyway."""
    script = (
        "import time, importlib, core.clock, core.quantities, core.studio.studio, core.reels.reel;"
        "import core.shelf;"
        f"t = time.process_time(); [importlib.import_module(n) for n in {names!r}];"
        "print((time.process_time() - t) * 1000)"
    )
    runs = [subprocess.run([sys.executable, "-c", script], capture_output=True, text=True) for _ in range(9)]
    return min(float(run.stdout) for run in runs)


def main() -> None:
    """Prints every figure."""
    print(f"{'import: what of these rooms the first screen loads':58} {import_cost(at_start()):8.2f} ms")
    for package in ROOMS:
        print(f"{'import: all of ' + package:58} {import_cost(whole(package)):8.2f} ms")
    import numpy as np

    from core.conditioning.reel_advice import advise_reel
    from core.lineup.curves import correction_curves_db, third_octaves
    from core.quantities import Quantity
    from core.reels.reel import Reel
    from core.studio.studio import Studio
    from core.tape.physics.equalisation import equalisations
    from core.tape.physics.length import length_from_pack
    from core.tape.stocks import find_stock

    tapes = [equalisations()[number % len(equalisations())] for number in range(REELS)]
    levels, hz = np.linspace(185, 520, REELS), third_octaves()
    inch, now, studio = Quantity("1 in", Fraction(1)), datetime(2026, 12, 1, tzinfo=UTC), Studio("x", "UTC")
    shelf = [Reel(f"R-{n}", width=inch, stock="Ampex 456", condition=("sticky",)) for n in range(REELS)]
    taken = clocked(
        f"{REELS} correction curves at 31 frequencies",
        lambda: correction_curves_db(tapes, levels, tapes[3], 250, hz),
    )
    taken += clocked(f"{REELS} stocks looked up", lambda: [find_stock("Quantegy 456") for _ in shelf])
    taken += clocked(f"{REELS} lengths from packs", lambda: [length_from_pack(9.5, 4.5, 2) for _ in shelf])
    taken += clocked(f"{REELS} reels advised", lambda: [advise_reel(reel, studio, now) for reel in shelf])
    print(f"{f'all of it for a shelf of {REELS} reels':58} {taken:8.2f} ms")


if __name__ == "__main__":
    main()
