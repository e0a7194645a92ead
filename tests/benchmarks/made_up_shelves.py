"""Big made-up shelves for the benchmarks: many reels, a long history, many checks."""

from __future__ import annotations

import csv
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

from core.store.studio.studio_toml import read_studio_file
from core.workbook.workbook import Workbook

DEMO = Path(__file__).resolve().parents[2] / "demo"


def now() -> datetime:
    """The benchmarks' evening."""
    return datetime(2026, 12, 1, 18, 50, tzinfo=UTC)


def make_shelf(folder: Path, reels: int = 1000, events: int = 0, checks: int = 0) -> Workbook:
    """A shelf of the demo's studio with that many reels, rows of history and checks."""
    workbook = Workbook.create(folder / "big.json", read_studio_file(DEMO / "studio.toml"), now)
    files = [_written(folder / "reels.csv", list(_reels(reels)))]
    if events:
        files.append(_written(folder / "history.csv", list(_events(reels, events))))
    workbook.import_files(files)
    if checks:
        workbook.change(lambda shelf: _with_checks(shelf, checks), what="checks")
    return workbook


def _written(path: Path, rows: list[dict[str, str]]) -> Path:
    with path.open("w", newline="", encoding="utf-8") as file:
        writer = csv.DictWriter(file, list(rows[0]))
        writer.writeheader()
        writer.writerows(rows)
    return path


def _reels(count: int) -> Iterator[dict[str, str]]:
    stages = ("found", "identified", "conditioned", "transferred", "verified")
    for number in range(1, count + 1):
        width, tracks = (("1 in", "16"), ("1/2 in", "8"), ("1/4 in", "2"))[number % 3]
        yield {
            "reel": f"R-{number:04}",
            "box_label": f"Harbour tape {number}",
            "contents": f"song {number % 90}",
            "width": width,
            "tracks": tracks,
            "speed": "15 ips",
            "eq": "NAB",
            "level": "250 nWb/m",
            "stock": ("Ampex 456", "Agfa PEM 469", "")[number % 3],
            "base": "polyester",
            "thickness": "2 mil",
            "length": f"{2400 - number % 7 * 50} ft",
            "wind": "tails",
            "condition": ("sticky", "ok", "splices")[number % 3],
            "stage": stages[number % 5],
            "location": f"A{number % 40}",
            "notes": "out of the old store",
        }


def _events(reels: int, count: int) -> Iterator[dict[str, str]]:
    start = datetime(2024, 1, 1, 19)
    for number in range(count):
        yield {
            "at": f"{start + timedelta(minutes=37 * number):%Y-%m-%dT%H:%M}+00:00",
            "kind": "reel",
            "key": f"R-{number % reels + 1:04}",
            "field": "stage",
            "old": "found",
            "new": "identified",
            "note": f"looked at the leader and the box, evening {number // 12}",
            "because": "",
        }


def _with_checks(shelf: Any, count: int) -> Any:
    for number in range(1, count + 1):
        key = f"R-{number:04}"
        channels = [
            {
                "track": t,
                "file": 0,
                "channel": t - 1,
                "peak_dbfs": -3.1,
                "true_peak_dbtp": -2.9,
                "rms_dbfs": -20.4,
                "dc": 0.0,
                "clipped_samples": 0,
                "zero_samples": 3,
                "samples": 184320000,
            }
            for t in range(1, 17)
        ]
        findings = [
            {
                "kind": "dropout",
                "track": t % 16 + 1,
                "start": 12.34 * t,
                "end": 12.34 * t + 0.1,
                "weight": "remark",
                "says": "the level falls by 14 dB and returns",
                "feet": 15.4 * t,
                "size": 14.0,
            }
            for t in range(20)
        ]
        record = {
            "reel": key,
            "verdict": "remarks",
            "pass": 1,
            "tracks": list(range(1, 17)),
            "seconds": 1920.0,
            "at": "2026-11-30T20:00:00+00:00",
            "files": [],
            "channels": channels,
            "findings": findings,
            "timecode": [],
            "speed": {"percent": None, "cents": None, "from": "nothing"},
        }
        shelf = shelf.with_record("check", f"{key} pass 1", record)
    return shelf
