"""Seeded shelves with every trouble at once, of any size: made-up reels, songs and rooms.

Sticky, acetate, mouldy and vinegary reels, squeal, joints, nothing inspected, speeds not known, sticky
calibration reels, a helper on some evenings, loud hours, evenings over midnight, dated rows, several widths
in a load, playable time about to lapse, tapes in parts with set-ups of their own, slow winding, a load under
way at `from`, clock changes.
"""

from dataclasses import dataclass
from datetime import date, timedelta
from pathlib import Path
from random import Random
from typing import Any

import reelfolder


@dataclass(frozen=True, slots=True)
class Size:
    """How much of everything."""

    reels: int
    days: int
    songs: int
    evenings: int


SIZES = {
    "6": Size(6, 7, 3, 3),
    "12": Size(12, 14, 5, 3),
    "24": Size(24, 21, 8, 3),
    "fortnight": Size(25, 14, 9, 2),
    "60": Size(60, 56, 20, 3),
    "200": Size(200, 182, 60, 3),
    "1000": Size(1000, 730, 250, 4),
}
"""24: three weeks and eight songs; fortnight: about twice the work that fits; 1000: two years."""

ZONES = (
    "Europe/Lisbon",
    "America/St_Johns",
    "Australia/Lord_Howe",
    "Asia/Kathmandu",
    "Pacific/Kiritimati",
    "Pacific/Pago_Pago",
    "Africa/Nairobi",
    "America/New_York",
)
STARTS = ("2026-09-07", "2026-03-23", "2026-10-19", "2026-12-21", "2026-03-02", "2026-10-26")
FORMATS = (
    # width, tracks, speeds, equalisations, weight
    ("1 in", 16, ("15 ips", "30 ips"), ("IEC", "NAB"), 3),
    ("1/2 in", 8, ("15 ips", "38.1 cm/s"), ("IEC", "nab"), 2),
    ("1/4 in", 2, ("7 1/2 ips", "15 ips"), ("NAB", "IEC "), 4),
)
WORDS = (
    "Heron",
    "Cellar",
    "Quay",
    "Lantern",
    "Marsh",
    "Ferry",
    "Chalk",
    "Orchard",
    "Tin",
    "Harbour",
    "Moss",
    "Øst",
)


@dataclass(frozen=True, slots=True)
class TroubledShelf:
    """A written folder and the horizon to plan."""

    folder: Path
    start: str
    days: int


def _studio(dice: Random, size: Size, zone: str, first: date) -> dict[str, Any]:
    names = dice.sample(["mon", "tue", "wed", "thu", "fri"], size.evenings)
    helper_days = dice.sample(names, min(len(names), dice.randint(1, 2)))
    loud = {"loud_until": dice.choice(["21:30", "22:00", "23:00"])} if dice.random() < 0.7 else {}
    rows: list[dict[str, Any]] = [
        {"days": names, "from": "19:00", "to": "22:30", "bench": True, "home": True} | loud,
        {"days": ["mon", "tue", "wed", "thu", "fri"], "from": "17:30", "to": "23:30", "home": True},
        {"days": helper_days, "from": "19:00", "to": "21:00", "helper": True},
    ]
    if size.evenings > 2:
        rows.append({"days": ["sat"], "from": "09:00", "to": "21:00", "home": True})
        rows.append(
            {
                "days": ["sat"],
                "from": "10:00",
                "to": dice.choice(["13:00", "16:00"]),
                "bench": True,
                "helper": dice.random() < 0.5,
            }
        )
    else:
        rows.append({"days": ["sat"], "from": "09:00", "to": "20:00", "home": True})
    if dice.random() < 0.4:
        rows.append(
            {
                "days": ["fri"],
                "from": "22:00",
                "to": "01:00",
                "bench": True,
                "home": True,
                "loud_until": "23:00",
            }
        )
    for _ in range(max(1, size.days // 20)):
        day = (first + timedelta(days=dice.randrange(size.days))).isoformat()
        rows.append(
            {"dates": [day], "off": True}
            if dice.random() < 0.5
            else {"dates": [day], "from": "14:00", "to": "18:00", "bench": True, "home": True, "helper": True}
        )
    big: dict[str, Any] = {
        "id": "D1",
        "widths": ["1 in"],
        "tracks": 16,
        "speeds": ["15 ips", "30 ips"],
        "wind_speed": "180 ips",
        "loud": True,
        "setup_minutes": 40,
        "touch_up_minutes": 15,
        "setup_needs_helper": dice.random() < 0.6,
    }
    small: dict[str, Any] = {
        "id": "D2",
        "widths": ["1/2 in", "0.25 in"],
        "tracks": 8,
        "speeds": ["7.5 ips", "15 ips"],
        "wind_speed": "300 cm/s",
        "loud": dice.random() < 0.3,
        "setup_minutes": 25,
        "touch_up_minutes": 10,
    }
    if dice.random() < 0.6:
        big["lined_up"] = {"speed": "15 ips", "eq": "nab", "level": "250.0 nWb/m", "noise_reduction": "none"}
    decks = [big, small]
    if dice.random() < 0.3:
        decks.append(small | {"id": "D3", "widths": ["1/4 in"], "tracks": 2, "calibration_needed": False})
    chambers = [
        {
            "id": "C1",
            "trays": 6,
            "trays_taken": {"1 in": 2, "1/2 in": 1, "1/4 in": 1},
            "turn_every": "2 h",
            "touch_minutes": dice.choice([5, 10, 10]),
        }
    ]
    if dice.random() < 0.25:
        chambers.append(
            {"id": "C2", "trays": 2, "trays_taken": {"1/4 in": 1}, "turn_every": "1.5 h", "touch_minutes": 5}
        )
    studio: dict[str, Any] = {
        "studio": {"name": "Troubled Room", "timezone": zone, "assume_length": "2500 ft"},
        "deck": decks,
        "capture": {
            "inputs": dice.choice([8, 16, 16]),
            "sample_rate": "96 kHz",
            "bit_depth": 24,
            "guide_tracks": dice.choice([0, 0, 1]),
        },
        "chamber": chambers,
        "treatment": [
            {"width": "1 in", "temperature": "54 degC", "hours": "8 h", "cool": "8 h", "playable_days": 14},
            {
                "width": "1/2 in",
                "temperature": dice.choice(["54 degC", "129.2 degF", "50 degC"]),
                "hours": "6 h",
                "cool": "6 h",
                "playable_days": 10,
            },
            {
                "width": "1/4 in",
                "temperature": "54 degC",
                "hours": "4 h",
                "cool": "4 h",
                "playable_days": dice.choice([7, 14]),
            },
        ],
        "hours": rows,
    }
    minutes: dict[str, Any] = {}
    if dice.random() < 0.3:
        minutes["grid"] = dice.choice([10, 15])
    if dice.random() < 0.2:
        minutes["audition"] = 10
    return studio | ({"minutes": minutes} if minutes else {})


def _condition(dice: Random, row: dict[str, Any]) -> None:
    """One trouble or none."""
    trouble = dice.random()
    if trouble < 0.34:
        row |= dice.choice(
            [
                {"condition": "sticky"},
                {"condition": "sticky;squeal"},
                {"condition": "ok", "stock": "Quantegy 456"},
                {"condition": "edge;sticky"},
                {"condition": "ok", "stock": "3M-226", "base": ""},
            ]
        )
    elif trouble < 0.42:
        row |= {"condition": "splices", "splices": dice.choice(["", 3, 9])}
    elif trouble < 0.45:
        row |= {"condition": "mould"}
    elif trouble < 0.48:
        row |= {"condition": "vinegar", "base": "acetate"}
    elif trouble < 0.51:
        row |= {"condition": "squeal"}
    elif trouble < 0.54:
        row |= {"condition": "sticky", "base": dice.choice(["acetate", "unknown"])}
    elif trouble < 0.57:
        row |= {"condition": ""}
    elif trouble < 0.59:
        row |= {"speed": ""}


def _stage(dice: Random, row: dict[str, Any], first: date) -> None:
    """How far it has come, and how long it may still be played."""
    row["stage"] = dice.choice(
        [
            "found",
            "found",
            "identified",
            "identified",
            "identified",
            "identified",
            "transferred",
            "verified",
            "conditioned",
        ]
    )
    sticky = "sticky" in row["condition"] or row.get("stock")
    if sticky and row["stage"] in ("identified", "conditioned") and dice.random() < 0.4:
        lapses = first + timedelta(days=dice.choice([-2, 1, 3, 6]))
        row["playable_until"] = f"{lapses.isoformat()}T{dice.choice(['20:15', '21:00', '12:00'])}"
    elif sticky and row["stage"] == "conditioned":
        row["conditioned_at"] = f"{(first - timedelta(days=dice.choice([1, 5, 40]))).isoformat()}T18:00"
    elif not sticky and row["stage"] == "identified" and dice.random() < 0.1:
        row["conditioned_at"] = f"{first.isoformat()}T16:00"


def _reels(dice: Random, size: Size, first: date) -> list[dict[str, Any]]:
    rows: list[dict[str, Any]] = []
    for number in range(1, size.reels + 1):
        width, tracks, speeds, eqs, _ = dice.choices(FORMATS, [one[4] for one in FORMATS])[0]
        row: dict[str, Any] = {
            "reel": f"R-{number:03}",
            "box_label": f'{dice.choice(WORDS)}, "{dice.choice(WORDS)}" [take {number}]',
            "width": width,
            "tracks": tracks,
            "speed": dice.choice(speeds),
            "eq": dice.choice(eqs),
            "level": dice.choice(["250 nWb/m", "250 nWb/m", "320 nWb/m"]),
            "noise_reduction": dice.choice(["", "", "none", "A"]) if width != "1 in" else "",
            "base": "polyester",
            "condition": "ok",
            "wind": dice.choice(["tails", "heads", ""]),
            "length": dice.choice(["2500 ft", "1800 ft", "1200 ft", "760 m", "333 ft", ""]),
            "role": "mix" if width == "1/4 in" and dice.random() < 0.5 else "",
            "location": f"shelf {dice.randint(1, 9)}",
        }
        if dice.random() < 0.1:
            row |= {"length": "", "pack_diameter": "9.5 in", "hub_diameter": "4.5 in", "thickness": "2 mil"}
        _condition(dice, row)
        _stage(dice, row, first)
        if "sticky" in row["condition"] and dice.random() < 0.1:
            row["treatment_hours"] = "10 h" if width == "1 in" else "8 h"
        rows.append(row)
    waiting = [
        row
        for row in rows
        if row["condition"] == "sticky"
        and row["stage"] == "identified"
        and row["base"] == "polyester"
        and not row.get("playable_until")
    ]
    if waiting and dice.random() < 0.5:
        for row in waiting[:2]:
            row |= {"chamber": "C1", "loaded_at": f"{first.isoformat()}T15:30"}
        if waiting[1:] and waiting[0]["width"] != waiting[1]["width"]:
            waiting[1] |= {"chamber": "", "loaded_at": ""}
    return rows + _calibration(dice, first)


def _calibration(dice: Random, first: date) -> list[dict[str, Any]]:
    common = {
        "role": "calibration",
        "tracks": 1,
        "speed": "15 ips",
        "eq": "IEC",
        "level": "250 nWb/m",
        "base": "polyester",
        "length": "600 ft",
    }
    lapses = f"{(first + timedelta(days=dice.choice([2, 6]))).isoformat()}T20:30"
    kinds: list[dict[str, Any]] = [
        {"condition": "ok", "stage": "identified"},
        {"condition": "ok", "stage": "found"},
        {"condition": "sticky", "stage": "identified"},
        {"condition": "sticky", "stage": "identified", "playable_until": lapses},
    ]
    rows = [
        common | {"reel": "CAL-1", "width": "1 in"} | dice.choice(kinds),
        common | {"reel": "CAL-4", "width": "1/4 in"} | dice.choice(kinds),
        common | {"reel": "CAL-2", "width": "1/2 in"} | dice.choice(kinds),
    ]
    if dice.random() < 0.2:
        rows[0]["condition"] = "mould"
    return rows


def _segments(dice: Random, reels: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """Parts with set-ups of their own on a few of the tapes that are long enough."""
    rows = []
    for row in reels:
        if row["role"] != "calibration" and row["length"] in ("2500 ft", "1800 ft") and dice.random() < 0.15:
            row_speed = dice.choice([row["speed"], ""])
            rows.append(
                {"reel": row["reel"], "from": "0:00", "to": "6:30", "eq": "IEC", "title": "first part"}
            )
            rows.append(
                {
                    "reel": row["reel"],
                    "from": "7:00",
                    "to": "0:10:00",
                    "speed": row_speed,
                    "level": "185 nWb/m",
                    "title": "rest",
                }
            )
    return rows


def _songs(dice: Random, size: Size, reels: list[dict[str, Any]]) -> list[dict[str, Any]]:
    names = [row["reel"] for row in reels if row.get("role") != "calibration"]
    rows = []
    for number in range(1, size.songs + 1):
        needs = dice.sample(names, min(len(names), dice.choice([1, 1, 2, 2, 3, 4])))
        rows.append(
            {
                "song": f"S-{number:02}",
                "title": f"{dice.choice(WORDS)} & {dice.choice(WORDS)}",
                "album": "Slack Water" if dice.random() < 0.8 else "",
                "priority": dice.randint(1, 9),
                "order": number,
                "needs": "; ".join(needs),
            }
        )
    return rows


def _make_odd(dice: Random, studio: dict[str, Any]) -> None:
    """Settings that nobody is likely to choose and that are allowed all the same."""
    studio["minutes"] = {
        "grid": dice.choice([1, 2, 3, 6, 10, 15, 30]),
        "identify": dice.choice([0, 7, 10]),
        "load": dice.choice([0, 5, 7.5]),
        "clean": dice.choice([0, 4]),
        "splice": dice.choice([0.5, 3]),
        "verify": dice.choice([0, 5]),
        "listen_share": dice.choice([0, 0.033, 1]),
        "audition": dice.choice([0, 0, 3]),
    }
    for deck in studio["deck"]:
        deck |= {"touch_up_minutes": dice.choice([0, 15, 50]), "setup_minutes": dice.choice([7, 40])}
    for chamber in studio["chamber"]:
        chamber |= {
            "touch_minutes": dice.choice([0, 0, 7, 25]),
            "turn_every": dice.choice(["1 h", "30 min", "9 h"]),
        }
    for treatment in studio["treatment"]:
        treatment |= {
            "cool": dice.choice(["0 h", "1 h", "30 h"]),
            "playable_days": dice.choice([0, 0.25, 2, 14]),
        }
        treatment |= {"hours": dice.choice(["1 h", "3.5 h", "8 h"])}
    studio["hours"] += dice.sample(
        [
            {"days": ["sun"], "from": "00:00", "to": "24:00", "bench": True, "home": True},
            {"days": ["mon", "tue"], "from": "23:00", "to": "17:00", "home": True},
            {"days": ["sat", "sun"], "from": "20:00", "to": "02:30", "bench": True, "loud_until": "02:45"},
            {"days": ["wed"], "from": "22:30", "to": "23:01", "bench": True, "home": True, "helper": True},
            {"days": ["thu"], "from": "01:15", "to": "02:50", "bench": True, "home": True},
        ],
        dice.randint(1, 5),
    )


def troubled_shelf(
    folder: Path, size: str, seed: int, odd: bool = False, comfort: bool = False
) -> TroubledShelf:
    """Writes the shelf of a size and seed, with odd settings or usual ones; always the same files.

    With *comfort* as an owner has it who sets nothing, else with none, so that figures stay comparable.
    """
    dice = Random(f"{size} {seed}")
    much = SIZES[size]
    zone, first = dice.choice(ZONES), date.fromisoformat(dice.choice(STARTS))
    studio = _studio(dice, much, zone, first)
    reels = _reels(dice, much, first)
    songs = _songs(dice, much, reels)
    other = Random(f"{size} {seed} parts")
    if other.random() < 0.15:
        studio["deck"][-1]["gentle_wind_speed"] = "30 ips"
    if odd:
        _make_odd(Random(f"{size} {seed} odd"), studio)
    if not comfort:
        studio["comfort"] = reelfolder.NO_COMFORT
    segments = _segments(other, reels) if other.random() < 0.4 else []
    reelfolder.write(folder, studio, reels, songs, segments)
    start = f"{first.isoformat()}T{dice.choice(['17:00', '16:40', '18:05'])}"
    return TroubledShelf(folder, start, much.days)


if __name__ == "__main__":
    import sys

    made = troubled_shelf(Path(sys.argv[1]), sys.argv[2], int(sys.argv[3]))
    print(f"{made.folder} --from {made.start} --days {made.days}")
