"""Makes a shelf folder half known, by seed: boxes that say nothing of eq, level or condition, stocks only
written like a listed one, reels that nobody inspected, and what the studio takes all that for."""

import csv
import tomllib
from pathlib import Path
from random import Random
from typing import Any

import reelfolder

STOCKS = ("", "", "", "Ampex 456", "3M 226", "Hillside 9", "Ampex 456 Grand Master")


def half_known(folder: Path, seed: int) -> Path:
    """Rewrites *folder* with a good part of what was known taken away; always the same for a seed."""
    dice = Random(f"half {seed}")
    studio = tomllib.loads((folder / "studio.toml").read_text(encoding="utf-8"))
    usual = {
        "assume_eq": dice.choice(["", "NAB", "IEC"]),
        "assume_level": dice.choice(["", "250 nWb/m"]),
        "assume_condition": dice.choice(["", "ok", "ok", "sticky"]),
    }
    studio["studio"] |= {key: value for key, value in usual.items() if value}
    (folder / "studio.toml").write_text(reelfolder.toml(studio), encoding="utf-8")
    with (folder / "reels.csv").open(encoding="utf-8", newline="") as file:
        rows: list[dict[str, Any]] = list(csv.DictReader(file))
    for row in rows:
        _forget(dice, row)
    reelfolder.write_table(folder / "reels.csv", reelfolder.REEL_COLUMNS, rows)
    return folder


def _forget(dice: Random, row: dict[str, Any]) -> None:
    calibration = row["role"] == "calibration"
    if calibration and dice.random() < 0.2:
        row |= {"condition": "", "stage": "found"}
    if calibration and dice.random() < 0.3:
        row["speed"] = dice.choice(["7.5 ips", "30 ips", ""])
    if calibration:
        return
    if dice.random() < 0.4:
        row["eq"] = ""
    if dice.random() < 0.5:
        row["level"] = ""
    if dice.random() < 0.2:
        row["tones"] = "1 kHz, 10 kHz"
    if row["stage"] in ("found", "identified") and not row["chamber"] and dice.random() < 0.5:
        row |= {"condition": "", "stock": dice.choice(STOCKS), "base": dice.choice(["", "polyester"])}
        row |= {"conditioned_at": "", "playable_until": "", "treatment_hours": ""}
