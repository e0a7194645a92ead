"""Troubled shelves made worse at random, by seed: what a studio may lack or overdo, several things at once.

Chambers without trays or none at all, a helper who never comes, calibration reels gone, nights over midnight,
coarse and fine grids, touches that take no time, playable time of hours, no loud time, one deck.
"""

import csv
import tomllib
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from random import Random
from typing import Any

import reelfolder
import reelhalf
import reeltroubles

EVERY = ["mon", "tue", "wed", "thu", "fri", "sat", "sun"]
SIZES = ("6", "6", "12", "12", "24", "fortnight")


@dataclass(frozen=True, slots=True)
class WorseShelf:
    """A written folder, the moment to plan from without its zone, the days, and what was done to it."""

    folder: Path
    start: datetime
    days: int
    done: tuple[str, ...]


def worse_shelf(folder: Path, seed: int) -> WorseShelf:
    """Writes the shelf of a seed; always the same files."""
    dice = Random(f"fuzz {seed}")
    made = reeltroubles.troubled_shelf(
        folder, dice.choice(SIZES), 7000 + seed, odd=dice.random() < 0.3, comfort=seed % 2 == 1
    )
    studio = tomllib.loads((folder / "studio.toml").read_text(encoding="utf-8"))
    reels = _table(folder / "reels.csv")
    done = [*_rooms(studio, reels, dice)]
    parts = _table(folder / "segments.csv") if (folder / "segments.csv").exists() else []
    reelfolder.write(folder, studio, reels, _table(folder / "songs.csv"), parts)
    if seed % 3 == 2:
        reelhalf.half_known(folder, seed)
        done.append("half known")
    dice.random()
    start = datetime.fromisoformat(made.start)
    if dice.random() < 0.3:
        start = start.replace(minute=dice.choice([1, 7, 33, 59]))
    if dice.random() < 0.2:
        start = start.replace(hour=dice.choice([0, 2, 23]))
    return WorseShelf(folder, start, dice.choice([made.days, made.days, 1, 2, made.days + 9]), tuple(done))


def _table(path: Path) -> list[dict[str, Any]]:
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def _rooms(studio: dict[str, Any], reels: list[dict[str, Any]], dice: Random) -> list[str]:
    """Takes away from studio and reels, or overdoes it; what was done."""
    done: list[str] = []

    def chance(share: float, name: str) -> bool:
        drawn = dice.random() < share
        done.extend([name] if drawn else [])
        return drawn

    if chance(0.1, "no trays"):
        dice.choice(studio["chamber"])["trays"] = 0
    if chance(0.15, "no helper"):
        for row in studio["hours"]:
            row.pop("helper", None)
        studio["deck"][0]["setup_needs_helper"] = True
    calibrations = [row for row in reels if row["role"] == "calibration"]
    if chance(0.1, "no calibration reel"):
        reels[:] = [row for row in reels if row["role"] != "calibration"]
    elif chance(0.15, "one calibration reel less") and calibrations:
        reels.remove(dice.choice(calibrations))
    if chance(0.2, "over midnight"):
        edges = {"from": dice.choice(["21:00", "22:30"]), "to": dice.choice(["02:00", "03:00", "24:00"])}
        studio["hours"].append({"days": ["sat", "sun"], **edges, "bench": True, "home": True})
    if chance(0.25, "another grid"):
        studio.setdefault("minutes", {})["grid"] = dice.choice([15, 30, 1, 10, 6])
    if chance(0.2, "touches of no time"):
        for chamber in studio["chamber"]:
            chamber["touch_minutes"] = 0
    if chance(0.15, "no chamber"):
        studio["chamber"] = []
        for row in reels:
            row |= {"chamber": "", "loaded_at": ""}
    _hours(studio, dice, chance)
    return done


def _hours(studio: dict[str, Any], dice: Random, chance: Any) -> None:
    whole = {"days": EVERY, "from": "00:00", "to": "24:00"}
    if chance(0.15, "always home"):
        studio["hours"].append(whole | {"home": True})
    if chance(0.1, "always at the bench"):
        studio["hours"].append(whole | {"bench": True})
    if chance(0.1, "playable for hours"):
        for treatment in studio["treatment"]:
            treatment["playable_days"] = dice.choice([0.25, 0.5, 1])
    if chance(0.1, "hardly loud"):
        for row in studio["hours"]:
            if row.get("bench"):
                row["loud_until"] = "19:05" if row["from"] < "19:00" else row["from"][:3] + "59"
    if chance(0.15, "first hearings"):
        studio.setdefault("minutes", {})["audition"] = 10
    if chance(0.1, "one deck"):
        studio["deck"] = studio["deck"][:1]
