"""Carries a plan out through the program's command line, step by step, as if all went as planned.

Every command is given at its own time, the clock set to it. A look finds what the plan took for likely, and
fills in what the look is for. What is refused is told with the step.
"""

import csv
from collections.abc import Iterator
from datetime import datetime
from pathlib import Path
from typing import Any
from unittest.mock import patch

import reelplanner
from reeljudge_case import Case, build
from reeljudge_files import read_shelf

Command = tuple[str, ...]
Timed = tuple[datetime, int, Command]
"""When, what comes first of several at that moment, and the words."""
FOUND = {"width": "1/4 in", "tracks": "2"}
"""What a look finds where the box did not say it."""


def carry_out(folder: Path, shelf: Path, plan: dict[str, Any]) -> list[str]:
    """Does everything in *plan* on the shelf file; what was refused, a line each, with the step's time."""
    case = build(read_shelf(folder), plan)
    with (folder / "reels.csv").open(encoding="utf-8", newline="") as file:
        rows = {row["reel"]: row for row in csv.DictReader(file)}
    refused = []
    for moment, _, words in sorted(_steps(case, rows, plan), key=lambda step: (step[0], step[1])):
        with patch("tui.commands.command.now", lambda moment=moment: moment):
            status, _, err = reelplanner.run("--shelf", str(shelf), *words)
        if status:
            refused.append(f"{moment.isoformat()} {' '.join(words)}: {err.strip()}")
    return refused


def _steps(case: Case, rows: dict[str, dict[str, str]], plan: dict[str, Any]) -> Iterator[Timed]:
    """Every command with its time; of two at one time what ends comes before what begins."""
    parts = {reel.name: len(reel.parts) for reel in case.shelf.reels.values()}
    left = {name: parts[name] for name in parts}
    for item in sorted(plan["items"], key=lambda one: datetime.fromisoformat(one["end"]).timestamp()):
        start, end = (datetime.fromisoformat(item[key]) for key in ("start", "end"))
        kind, name = item["kind"], item.get("reel", "")
        if kind == "condition":
            yield from _load(case, item, start)
        elif kind == "identify":
            yield from _look(case, rows[name], name, end)
        elif kind == "repair":
            words = [word for word in rows[name]["condition"].split(";") if word and word != "splices"]
            if rows[name]["condition"]:
                yield end, 1, ("set", name, "splices=0", f"condition={';'.join(words) or 'ok'}")
            else:
                yield end, 1, ("set", name, "splices=0")
        elif kind == "audition":
            yield end, 1, ("set", name, f"heard={item['end']}")
        elif kind == "transfer":
            left[name] -= 1
            yield start, 3, ("mark", name, "aligned", "--at", item["start"])
            if not left[name]:
                yield end, 1, ("mark", name, "transferred", "--at", item["end"])
        elif kind == "verify":
            heard = "listened to all of it, no capture is kept in this test"
            yield end, 2, ("mark", name, "verified", "--at", item["end"], "--because", heard)


def _look(
    case: Case, row: dict[str, str], name: str, end: datetime
) -> Iterator[tuple[datetime, int, Command]]:
    taken = case.assumed_condition(case.shelf.reels[name])
    found = {key: value for key, value in FOUND.items() if not row[key]}
    if not row["condition"]:
        found["condition"] = taken.removeprefix("condition ") if taken else "ok"
    if found:
        yield end, 1, ("set", name, *(f"{key}={value}" for key, value in found.items()))
    yield end, 2, ("mark", name, "identified", "--at", end.isoformat())


def _load(case: Case, item: dict[str, Any], start: datetime) -> Iterator[Timed]:
    names = [row["reel"] for row in item["reels"]]
    if start >= datetime.fromisoformat(case.plan["from"]):
        yield start, 4, ("load", item["chamber"], *names, "--at", item["start"])
    for row in item["reels"]:
        yield datetime.fromisoformat(row["out"]), 0, ("mark", row["reel"], "conditioned", "--at", row["out"])
