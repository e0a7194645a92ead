"""A shelf with a load, two transfers and a line-up planned at noon, and what its doors tell."""

from __future__ import annotations

import shutil
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

from doorshelf import STUDIO, put
from pypdf import PdfReader

NOW = datetime(2026, 12, 2, 12, 0, tzinfo=UTC)
STEP = "line up D1 to 15 ips NAB 250 nWb/m"
ROW = {
    "reel": "", "role": "", "base": "polyester", "base_seen": "yes", "condition": "ok", "stock": "Harbour 12",
    "stage": "identified", "width": "1/4 in", "tracks": "2", "speed": "15 ips", "eq": "NAB",
    "level": "250 nWb/m", "length": "1200 ft", "year": "1985", "back_coat": "no",
}  # fmt: skip
ROWS = (
    *({"reel": key, "stock": "Ampex 456", "condition": "sticky"} for key in ("W-1", "W-2", "W-3")),
    {"reel": "P-1"},
    {"reel": "P-2"},
    {"reel": "C-1", "role": "calibration"},
)


class Clock:
    """The moment at which commands run."""

    at = NOW


def lay_out(folder: Path, main: Any) -> Path:
    """Makes that shelf in the folder, the clock standing at noon."""
    (folder / "studio.toml").write_text(STUDIO)
    assert main(["new", "--studio", "studio.toml"]) == 0
    assert put(lambda *words: main(list(words)), [ROW | row for row in ROWS]) == 0
    Path("songs.csv").write_text("song,title,album,needs\nS-1,Low Tide,Quay,W-1;P-1\n")
    assert main(["import", "songs.csv"]) == 0
    assert main(["plan", "--days", "3", "--effort", "1"]) == 0
    return folder / "tapes.json"


def alarms(run: Any) -> dict[str, str]:
    return {one["reel"]: one["alarm"] for one in run("reels", "--json").json if one["alarm"]}


def printed(run: Any, *words: str) -> str:
    shutil.rmtree("paper", ignore_errors=True)
    made = run(*words, "--out", "paper")
    pages = [page for name in made.out.split("\n") if name for page in PdfReader(name).pages]
    return " ".join(" ".join(page.extract_text().split()) for page in pages)


def plays(run: Any, clock: Clock) -> None:
    """P-1 runs on a deck that is lined up."""
    for act in ("begin", "end"):
        assert run("tonight", act, STEP).status == 0
    assert run("tonight", "begin", "transfer P-1").status == 0
    clock.at += timedelta(minutes=3)
