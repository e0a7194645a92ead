"""How long files take to come in by the installed command: 2,000 rows, and 100,000 with a bad last one.

    python tests/benchmarks/importing.py

Prints seconds of the whole command, from start to exit, the best of three (of one for the long file).
Aims: 2,000 rows under 1.5 s, as CSV and as xlsx; a bad last row of 100,000 under 10 s.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import tempfile
import time
from pathlib import Path

DEMO = Path(__file__).resolve().parents[2] / "demo"
HEADER = [
    "reel",
    "box_label",
    "contents",
    "width",
    "tracks",
    "speed",
    "eq",
    "level",
    "stock",
    "base",
    "thickness",
    "reel_size",
    "wind",
    "splices",
    "condition",
    "location",
    "notes",
]


def row(number: int) -> list[str]:
    """One made-up reel."""
    return [
        f"R-{number:06d}", f"Box {number}", f"take {number}", "1/2 in", "8", "38 cm/s", "NAB", "250 nWb/m",
        f"stock {number % 7}", "polyester", "1.5 mil", "10.5 in", "tails", str(number % 5), "ok",
        f"shelf {number % 40}", f"note {number}",
    ]  # fmt: skip


def seconds(folder: Path, file: Path, runs: int, status: int) -> str:
    """The best of so many imports of that file into a fresh shelf, by the clock and by the processor."""
    taken = []
    for _ in range(runs):
        shutil.copy(folder / "empty.json", folder / "shelf.json")
        call = [sys.executable, "-m", "tui", "--shelf", str(folder / "shelf.json"), "import", str(file)]
        start, before = time.perf_counter(), os.times()
        ended = subprocess.run(call, capture_output=True, text=True)
        after = os.times()
        worked = after.children_user + after.children_system - before.children_user - before.children_system
        taken.append((time.perf_counter() - start, worked))
        assert ended.returncode == status, ended.stderr
    clock, worked = (min(one) for one in zip(*taken, strict=True))
    return f"{clock:.2f} s ({worked:.2f} s of processor time)"


def main() -> None:
    """Measures and prints."""
    import openpyxl

    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        new = [sys.executable, "-m", "tui", "--shelf", str(folder / "empty.json"), "new", "--studio"]
        subprocess.run([*new, str(DEMO / "studio.toml")], check=True, capture_output=True)
        rows = [HEADER, *map(row, range(2000))]
        (folder / "two.csv").write_text("\n".join(map(",".join, rows)), encoding="utf-8")
        book = openpyxl.Workbook()
        for one in rows:
            book.worksheets[0].append(one)
        book.save(folder / "two.xlsx")
        many = [HEADER, *map(row, range(99_999)), ["R-BAD", *row(0)[1:4], "eight", *row(0)[5:]]]
        (folder / "many.csv").write_text("\n".join(map(",".join, many)), encoding="utf-8")
        print(f"2,000 rows of CSV: {seconds(folder, folder / 'two.csv', 3, 0)}")
        print(f"2,000 rows of xlsx: {seconds(folder, folder / 'two.xlsx', 3, 0)}")
        print(f"a bad last row of 100,000: {seconds(folder, folder / 'many.csv', 1, 1)}")


if __name__ == "__main__":
    main()
