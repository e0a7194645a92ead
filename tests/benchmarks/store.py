"""How long one stage update takes until it is on the disk, on a big shelf.

    python tests/benchmarks/store.py

A shelf of 1,000 reels, 20,000 rows of history and 200 checks. Prints medians in milliseconds: with the shelf
read already (the open screen), with reading it first (another program wrote in between), and undoing.
Aim: the first two under 50 ms.
"""

from __future__ import annotations

import statistics
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))
from made_up_shelves import make_shelf, now

from core.workbook.workbook import Workbook

RUNS = 21


def median_ms(work: Callable[[int], object]) -> float:
    """The median of so many runs."""
    taken = []
    for number in range(RUNS):
        start = time.perf_counter()
        work(number)
        taken.append(time.perf_counter() - start)
    return statistics.median(taken) * 1000


def main() -> None:
    """Measures and prints."""
    with tempfile.TemporaryDirectory() as folder:
        workbook = make_shelf(Path(folder), 1000, 20_000, 200)
        print(f"{workbook.path.stat().st_size / 1e6:.1f} MB, {len(workbook.shelf.history)} rows of history")
        keys = [key for key, reel in workbook.shelf.reels.items() if reel.stage == "found"]

        def in_place(number: int) -> None:
            workbook.mark(keys[number], "identified", because="benchmark")

        def read_first(number: int) -> None:
            Workbook.open(workbook.path, now).mark(keys[50 + number], "identified", because="benchmark")

        print(f"stage update, shelf read already  {median_ms(in_place):6.1f} ms")
        print(f"stage update, reading it first    {median_ms(read_first):6.1f} ms")
        print(f"undo                              {median_ms(lambda _: workbook.undo()):6.1f} ms")


if __name__ == "__main__":
    main()
