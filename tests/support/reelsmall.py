"""Seeded random shelves of up to five reels and a few evenings, small enough to look at every plan."""

from dataclasses import dataclass
from pathlib import Path
from random import Random
from typing import Any

import reelfolder

FAMILIES = (
    "plain",
    "songs",
    "found",
    "chamber",
    "lapsing",
    "helper",
    "calibration",
    "decks",
    "night",
    "looks",
    "fits",
)
"""What a shelf is about: set-ups only; songs that share reels; identify and joints; loads; playable time that
runs out; helper, loud hours, line-ups ahead; sticky calibration reels; two decks and chambers; evenings over
midnight, dated rows and odd zones; reels that nobody inspected and values that are assumed; several
calibration reels, of which some fit, and tones. Half of the shelves of each have the usual comfort."""

COMFORTS: tuple[dict[str, Any], ...] = (
    {},
    reelfolder.NO_COMFORT,
    {"slack": "25 %", "line_up_hour": 2, "tied_hour": 1.5},
    {"count": "hours", "line_up_hour": 0.25},
    {"slack": "0 %", "tied_hour": 12},
)

SETUPS = (
    ("15 ips", "IEC", "320 nWb/m", ""),
    ("15 ips", "NAB", "250 nWb/m", ""),
    ("7.5 ips", "NAB", "185 nWb/m", "A"),
)
MONDAY = "2026-09-07"


@dataclass(frozen=True, slots=True)
class SmallShelf:
    """A written folder and the horizon to plan."""

    folder: Path
    start: str
    days: int


def _hours(dice: Random, family: str) -> list[dict[str, Any]]:
    if family == "night":
        rows = [
            {"days": ["mon", "wed"], "from": "21:00", "to": "00:30", "bench": True, "home": True},
            {"days": ["tue"], "from": "20:00", "to": "01:00", "home": True},
            {"dates": ["2026-09-10"], "from": "10:00", "to": "13:00", "bench": True, "home": True},
            {"dates": ["2026-09-09"], "off": True},
        ]
        return rows if dice.random() < 0.5 else rows[:3]
    days = dice.sample(["mon", "tue", "wed", "thu", "fri"], dice.randint(2, 3))
    start = dice.choice(["18:00", "18:30", "19:00"])
    evening: dict[str, Any] = {
        "days": days,
        "from": start,
        "to": dice.choice(["21:00", "21:30", "22:00"]),
        "bench": True,
        "home": True,
    }
    rows = [evening]
    if family == "helper":
        evening["loud_until"] = dice.choice(["20:30", "21:00", "22:30"])
        rows.append(
            {
                "days": dice.sample(days, dice.randint(1, len(days))),
                "from": start,
                "to": dice.choice(["20:00", "20:30", "21:00"]),
                "helper": True,
            }
        )
    if family in ("chamber", "lapsing", "calibration", "decks", "looks"):
        rows.append(
            {
                "days": dice.sample(["mon", "tue", "wed", "thu"], 2),
                "from": dice.choice(["14:00", "16:00"]),
                "to": dice.choice(["22:30", "23:30"]),
                "home": True,
            }
        )
    return rows


def _studio(dice: Random, family: str) -> dict[str, Any]:
    helper = family == "helper" or (family == "calibration" and dice.random() < 0.3)
    deck: dict[str, Any] = {
        "id": "D1",
        "widths": ["1/4 in", "1/2 in"],
        "tracks": 8,
        "speeds": ["7.5 ips", "15 ips"],
        "wind_speed": "120 ips",
        "loud": family == "helper",
        "setup_minutes": dice.choice([30, 40, 60]),
        "touch_up_minutes": dice.choice([10, 15]),
        "setup_needs_helper": helper and family == "helper",
    }
    if dice.random() < 0.4:
        speed, eq, level, noise = dice.choice(SETUPS)
        deck["lined_up"] = {
            "speed": speed,
            "eq": eq.lower(),
            "level": level,
            "noise_reduction": noise or "none",
        }
    decks = [deck]
    chambers = [
        {
            "id": "C1",
            "trays": dice.choice([2, 3]),
            "trays_taken": {"1/4 in": 1, "1/2 in": 2},
            "turn_every": dice.choice(["1 h", "2 h"]),
            "touch_minutes": dice.choice([5, 10]),
        }
    ]
    if family == "decks":
        decks.append(
            deck
            | {
                "id": "D2",
                "widths": ["1/4 in"],
                "tracks": 2,
                "wind_speed": "60 ips",
                "calibration_needed": dice.random() < 0.5,
            }
        )
        chambers.append(chambers[0] | {"id": "C2", "trays": 1, "turn_every": "1.5 h"})
    return {
        "studio": {
            "name": "Small Room",
            "assume_length": "1200 ft",
            "timezone": dice.choice(["Pacific/Apia", "Asia/Kathmandu", "America/Caracas"])
            if family == "night"
            else "Africa/Nairobi",
        },
        "deck": decks,
        "capture": {
            "inputs": dice.choice([4, 8]),
            "sample_rate": "96 kHz",
            "bit_depth": 24,
            "guide_tracks": dice.choice([0, 0, 1]),
        },
        "chamber": chambers,
        "treatment": [
            {
                "width": "1/4 in",
                "temperature": "54 degC",
                "hours": dice.choice(["1 h", "2 h"]),
                "cool": dice.choice(["1 h", "2 h"]),
                "playable_days": dice.choice([1, 2, 5]),
            },
            {
                "width": "1/2 in",
                "temperature": dice.choice(["54 degC", "50 degC"]),
                "hours": dice.choice(["2 h", "3 h"]),
                "cool": dice.choice(["1 h", "4 h"]),
                "playable_days": dice.choice([2, 5]),
            },
        ],
        "hours": _hours(dice, family),
        "minutes": {
            "grid": 30 if family in ("decks", "calibration") else dice.choice([15, 30]),
            "listen_share": dice.choice([0.1, 0.25]),
        },
    }


def _reel(dice: Random, family: str, number: int) -> dict[str, Any]:
    speed, eq, level, noise = dice.choice(SETUPS[:2] if dice.random() < 0.8 else SETUPS)
    wide = dice.random() < 0.3
    row: dict[str, Any] = {
        "reel": f"R{number}",
        "width": "1/2 in" if wide else "1/4 in",
        "tracks": 8 if wide else 2,
        "speed": speed,
        "eq": eq,
        "level": level,
        "noise_reduction": noise,
        "base": "polyester",
        "condition": "ok",
        "length": f"{dice.choice([300, 600, 900, 1200, 1500, 2000])} ft",
        "wind": dice.choice(["heads", "tails", ""]),
        "stage": "identified",
    }
    if family == "found" and dice.random() < 0.7:
        row["stage"] = "found"
    if family in ("found", "plain") and dice.random() < 0.35:
        row["splices"] = dice.choice([1, 4, 12])
        row["condition"] = dice.choice(["splices", "ok"])
    if family == "plain" and dice.random() < 0.15:
        row["stage"] = dice.choice(["transferred", "verified", "conditioned"])
    if family in ("chamber", "lapsing", "decks") and dice.random() < 0.6:
        row["condition"] = dice.choice(["sticky", "sticky;squeal", "edge;sticky"])
        if dice.random() < 0.2:
            row["base"] = dice.choice(["acetate", "unknown", "pvc"])
    if family == "lapsing" and "sticky" in row["condition"]:
        row["playable_until"] = (
            f"2026-09-{dice.choice(['06', '07', '08', '09', '10'])}T{dice.choice(['20:30', '21:15'])}"
        )
        if dice.random() < 0.2:
            row["conditioned_at"] = "2026-09-07T14:00"
    if family == "songs" and dice.random() < 0.12:
        row["condition"] = dice.choice(["mould", "vinegar", "squeal"])
    return row


def _half_known(dice: Random, studio: dict[str, Any], reels: list[dict[str, Any]]) -> None:
    """What boxes do not say, and what the studio takes it for."""
    usual = {
        "assume_eq": dice.choice(["", "NAB", "iec"]),
        "assume_level": dice.choice(["", "250 nWb/m"]),
        "assume_condition": dice.choice(["", "ok", "sticky"]),
    }
    studio["studio"] |= {key: value for key, value in usual.items() if value}
    for row in reels:
        if dice.random() < 0.7:
            row |= {"condition": "", "stage": dice.choice(["found", "identified"])}
            row |= {"stock": dice.choice(["", "", "Ampex 456", "Hillside 9"])}
            row |= {"base": dice.choice(["", "polyester", "polyester", "acetate"])}
            row |= {"splices": dice.choice(["", "", 4])}
        if dice.random() < 0.4:
            row["eq"] = ""
        if dice.random() < 0.4:
            row["level"] = ""
        if dice.random() < 0.15:
            row |= {"playable_until": "2026-09-08T21:15"}


def _more_calibration(dice: Random, first: dict[str, Any]) -> list[dict[str, Any]]:
    """One or two more, of other speeds, curves, levels and widths, and not all at hand."""
    first |= {"eq": dice.choice(["", "IEC", "NAB"]), "level": dice.choice(["", "250 nWb/m", "320 nWb/m"])}
    rows = []
    for number in range(dice.randint(1, 2)):
        rows.append(
            first
            | {
                "reel": f"CAL{number}",
                "speed": dice.choice(["15 ips", "7.5 ips", "19 cm/s", "38 cm/s", ""]),
                "width": dice.choice(["1/4 in", "6.3 mm", "1/2 in", "1 in"]),
                "eq": dice.choice(["", "IEC", "NAB"]),
                "level": dice.choice(["", "250 nWb/m", "185 nWb/m"]),
                "condition": dice.choice(["ok", "ok", "sticky", "", "mould"]),
                "stage": dice.choice(["found", "identified", "identified"]),
            }
        )
    first["stage"] = dice.choice(["found", "identified"])
    return rows


def _songs(dice: Random, family: str, reels: list[dict[str, Any]]) -> list[dict[str, Any]]:
    names = [row["reel"] for row in reels]
    rows = []
    for number in range(dice.randint(2, 4) if family == "songs" else dice.randint(1, 3)):
        needs = dice.sample(names, dice.randint(1, min(3, len(names))))
        rows.append(
            {
                "song": f"S{number}",
                "title": f"Song {number}",
                "priority": dice.randint(1, 9),
                "album": "Low Tide" if dice.random() < 0.85 else "",
                "needs": "; ".join(needs if dice.random() < 0.7 else [f"{needs[0]}@0:30-1:40", *needs[1:]]),
            }
        )
    return rows


def small_shelf(folder: Path, family: str, seed: int) -> SmallShelf:
    """Writes the shelf of a family and seed; the same pair always makes the same files."""
    dice = Random(f"{family} {seed}")
    studio = _studio(dice, family)
    few = family in ("chamber", "lapsing", "decks", "calibration", "looks", "fits")
    reels = [_reel(dice, family, number) for number in range(dice.randint(1, 3 if few else 5))]
    calibration: dict[str, Any] = {
        "reel": "CAL",
        "role": "calibration",
        "width": "1/4 in",
        "tracks": 1,
        "speed": "15 ips",
        "base": "polyester",
        "condition": "ok",
        "stage": "identified",
        "length": "600 ft",
    }
    if family == "calibration":
        calibration["condition"] = dice.choice(["sticky", "ok", "sticky"])
        calibration["stage"] = dice.choice(["found", "identified"])
        if calibration["condition"] == "sticky" and dice.random() < 0.5:
            calibration["playable_until"] = dice.choice(["2026-09-08T20:00", "2026-09-09T21:00"])
    if family == "found":
        calibration["stage"] = "found"
    if family in ("chamber", "calibration") and dice.random() < 0.3:
        reels[0] |= {
            "condition": "sticky",
            "base": "polyester",
            "chamber": "C1",
            "loaded_at": f"{MONDAY}T15:30",
        }
    songs = _songs(dice, family, reels)
    more: list[dict[str, Any]] = []
    if family == "looks":
        _half_known(dice, studio, reels)
    if family == "fits":
        more = _more_calibration(dice, calibration)
        for row in reels:
            row["tones"] = dice.choice(["", "1 kHz and 10 kHz"])
    other = Random(f"{family} {seed} comfort")
    studio["comfort"] = COMFORTS[0] if other.random() < 0.5 else other.choice(COMFORTS[1:])
    reelfolder.write(folder, studio, [*reels, calibration, *more], songs)
    start = f"{MONDAY}T{dice.choice(['16:00', '17:00', '16:10'])}"
    return SmallShelf(folder, start, dice.choice([2, 3, 4]) if few else dice.choice([3, 4, 5]))
