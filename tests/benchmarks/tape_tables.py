"""Times of the tape tables: import, look-ups, curves, advice. Run: python tests/benchmarks/tape_tables.py"""

import importlib
import pkgutil
import subprocess
import sys
import time
from collections.abc import Callable
from datetime import UTC, datetime
from fractions import Fraction

REELS = 1000


def clocked(what: str, work: Callable[[], object]) -> None:
    """Prints the best of five runs."""
    best = min(_once(work) for _ in range(5))
    print(f"{what:58} {best * 1000:8.2f} ms")


def _once(work: Callable[[], object]) -> float:
    began = time.perf_counter()
    work()
    return time.perf_counter() - began


def import_cost(package: str) -> float:
    """Milliseconds of processor time, best of five, of a whole package over what start-up loads anyway."""
    found = importlib.import_module(package)
    names = [package, *(f"{package}.{one.name}" for one in pkgutil.iter_modules(found.__path__))]
    script = (
        "import time, importlib, core.clock, core.quantities, core.studio.studio, core.reels.reel;"
        f"t = time.process_time(); [importlib.import_module(n) for n in {names!r}];"
        "print((time.process_time() - t) * 1000)"
    )
    runs = [subprocess.run([sys.executable, "-c", script], capture_output=True, text=True) for _ in range(5)]
    return min(float(run.stdout) for run in runs)


def main() -> None:
    """Prints every figure."""
    for package in ("core.tape", "core.conditioning", "core.lineup"):
        print(f"{'import of ' + package:58} {import_cost(package):8.2f} ms")
    import numpy as np

    from core.conditioning.reel_advice import advise_reel
    from core.lineup.curves import correction_curves_db, third_octaves
    from core.quantities import Quantity
    from core.reels.reel import Reel
    from core.studio.studio import Studio
    from core.tape.equalisation import equalisations
    from core.tape.length import length_from_pack
    from core.tape.stocks import find_stock

    tapes = [equalisations()[number % len(equalisations())] for number in range(REELS)]
    levels, hz = np.linspace(185, 520, REELS), third_octaves()
    inch, now, studio = Quantity("1 in", Fraction(1)), datetime(2026, 12, 1, tzinfo=UTC), Studio("x", "UTC")
    shelf = [Reel(f"R-{n}", width=inch, stock="Ampex 456", condition=("sticky",)) for n in range(REELS)]
    clocked(
        f"{REELS} correction curves at 31 frequencies",
        lambda: correction_curves_db(tapes, levels, tapes[3], 250, hz),
    )
    clocked(f"{REELS} stocks looked up", lambda: [find_stock("Quantegy 456") for _ in shelf])
    clocked(f"{REELS} lengths from packs", lambda: [length_from_pack(9.5, 4.5, 2) for _ in shelf])
    clocked(f"{REELS} reels advised", lambda: [advise_reel(reel, studio, now) for reel in shelf])


if __name__ == "__main__":
    main()
