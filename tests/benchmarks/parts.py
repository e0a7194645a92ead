"""How long the parts of a song take on a long shelf, as a whole process and for all songs.

    python tests/benchmarks/parts.py

500 reels, 8,000 rows of 250 songs, each on an original and a second reel made against a bounce of it; then a
ring of all first reels in one song. Prints the least of five runs.
"""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
import time
from datetime import UTC, datetime
from pathlib import Path

from core.errors import ReelturnError
from core.workbook.workbook import Workbook

DEMO = Path(__file__).resolve().parents[2] / "demo"
SONGS, TRACKS = 250, 16


def laid_out(folder: Path) -> Path:
    """The shelf, by the same import as anyone's."""
    reels, sheets, songs = ["reel,width,tracks,speed"], ["sheet,reel,song,track,part,take,copied_from"], []
    songs.append("song,title,album,order,needs")
    for n in range(SONGS):
        one, two = f"A-{n:03}", f"B-{n:03}"
        reels += [f"{one},1 in,16,15 ips", f"{two},1 in,16,15 ips"]
        songs.append(f"S-{n:03},Song {n},Album {n // 12},{n % 12},{one};{two}")
        sheets += [f"T-{one},{one},S-{n:03},{t},part {t},1," for t in range(1, TRACKS + 1)]
        sheets += [f"T-{two},{two},S-{n:03},{t},band {t},,{one}:1-8" for t in (1, 2)]
        sheets += [f"T-{two},{two},S-{n:03},{t},more {t},1," for t in range(3, TRACKS + 1)]
    for name, lines in (("reels", reels), ("songs", songs), ("sheets", sheets)):
        (folder / f"{name}.csv").write_text("\n".join(lines) + "\n", encoding="utf-8")
    shelf = folder / "shelf.json"
    words = [sys.executable, "-m", "tui", "--shelf", str(shelf)]
    subprocess.run(
        [*words, "new", "--studio", str(DEMO / "studio.toml")], check=True, stdout=subprocess.DEVNULL
    )
    files = [str(folder / f"{name}.csv") for name in ("reels", "songs", "sheets")]
    subprocess.run([*words, "import", *files], check=True, stdout=subprocess.DEVNULL)
    return shelf


def least(times: int, work: object) -> str:
    """Seconds of the quickest of some runs, by the clock and at work; a busy machine adds to the first."""
    spent, busy = [], []
    for _ in range(times):
        began, before = time.perf_counter(), sum(os.times()[:4])
        work()  # type: ignore[operator]
        spent.append(time.perf_counter() - began)
        busy.append(sum(os.times()[:4]) - before)
    return f"{min(spent):.3f} s by the clock, {min(busy):.2f} s at work"


def with_a_ring(shelf: Path) -> None:
    """Every first reel's track 1 copied from the next, all in one song: a ring of 250 tracks."""
    from dataclasses import replace

    from core.songs.song import SheetRow

    book = Workbook.open(shelf, lambda: datetime.now(UTC))
    rows = tuple(
        SheetRow(f"R-{n}", 1, f"A-{n:03}", "S-000", part="ring", copied_from=f"A-{(n + 1) % SONGS:03}:1")
        for n in range(SONGS)
    )
    book.change(lambda one: replace(one, sheets=(*one.sheets, *rows)), what="a ring")


def main() -> None:
    """Lays out, measures, prints."""
    with tempfile.TemporaryDirectory() as name:
        shelf = laid_out(Path(name))
        words = [sys.executable, "-m", "tui", "--shelf", str(shelf), "parts", "S-007", "--json"]
        compiled = {key: text for key, text in os.environ.items() if key != "PYTHONDONTWRITEBYTECODE"}
        compiled["PYTHONPYCACHEPREFIX"] = str(Path(name) / "compiled")
        quiet = {"stdout": subprocess.DEVNULL, "stderr": subprocess.DEVNULL, "env": compiled}
        subprocess.run(words, check=True, **quiet)
        print(f"parts of one song, whole process  {least(5, lambda: subprocess.run(words, **quiet))}")
        book = Workbook.open(shelf, lambda: datetime.now(UTC))
        book.songs.parts("S-008")
        print(f"parts of one song, shelf read     {least(5, lambda: book.songs.parts('S-009'))}")
        every = least(5, lambda: [book.songs.parts(key) for key in book.shelf.songs])
        print(f"parts of all {SONGS} songs            {every}")
        with_a_ring(shelf)
        ring = Workbook.open(shelf, lambda: datetime.now(UTC))

        def refused() -> None:
            try:
                ring.songs.parts("S-000")
            except ReelturnError as error:
                assert "ring" in str(error)
            else:
                raise AssertionError("a ring was not refused")

        print(f"a ring of {SONGS} tracks, refused     {least(3, refused)}")


if __name__ == "__main__":
    main()
