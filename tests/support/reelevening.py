"""A hand-made week with a plan for it, every moment of which is worked out in the comments.

One deck, one chamber, reels A (quiet) and B (sticky, four joints), a calibration reel; Monday evening and
Saturday. The zone has no clock changes.
"""

from copy import deepcopy
from pathlib import Path
from typing import Any

import reelfolder
import reelwrite
from reeljudge_case import build
from reeljudge_files import read_shelf

FROM, UNTIL = "2026-09-07T18:00:00+03:00", "2026-09-14T18:00:00+03:00"
NAB = {"speed": "15 ips", "eq": "NAB", "level": "250 nWb/m", "noise_reduction": ""}

STUDIO: dict[str, Any] = {
    "studio": {"name": "Hand Room", "timezone": "Africa/Nairobi", "assume_length": "1200 ft"},
    "deck": [
        {
            "id": "D1",
            "widths": ["1/4 in", "1/2 in"],
            "tracks": 8,
            "speeds": ["7.5 ips", "15 ips"],
            "wind_speed": "120 ips",
            "setup_minutes": 40,
            "touch_up_minutes": 15,
        }
    ],
    "capture": {"inputs": 8, "sample_rate": "96 kHz", "bit_depth": 24},
    "chamber": [
        {
            "id": "C1",
            "trays": 3,
            "trays_taken": {"1/4 in": 1, "1/2 in": 2},
            "turn_every": "2 h",
            "touch_minutes": 10,
        }
    ],
    "treatment": [
        {"width": "1/4 in", "temperature": "54 degC", "hours": "4 h", "cool": "4 h", "playable_days": 14},
        {"width": "1/2 in", "temperature": "54 degC", "hours": "8 h", "cool": "8 h", "playable_days": 14},
    ],
    "hours": [
        {"days": ["mon", "tue"], "from": "18:00", "to": "22:00", "bench": True, "home": True},
        {"days": ["sat"], "from": "09:00", "to": "21:00", "bench": True, "home": True},
    ],
}
QUARTER = {
    "width": "1/4 in",
    "tracks": 2,
    "base": "polyester",
    "condition": "ok",
    "stage": "identified",
    "length": "1500 ft",
    "wind": "heads",
    **NAB,
}
REELS: list[dict[str, Any]] = [
    QUARTER | {"reel": "A"},
    QUARTER | {"reel": "B", "condition": "sticky", "splices": 4},
    QUARTER | {"reel": "CAL", "role": "calibration", "tracks": 1},
]
SONGS: list[dict[str, Any]] = [
    {"song": "S1", "title": "First", "album": "Low Tide", "priority": 5, "needs": "A"},
    {"song": "S2", "title": "Second", "album": "Low Tide", "priority": 2, "needs": "A; B@0:10-3:00"},
]


def at(day: int, clock: str) -> str:
    """A time of September 2026 by the room's clock."""
    return f"2026-09-{day:02}T{clock}:00+03:00"


def align(day: int, start: str, end: str, full: bool = True, **changes: Any) -> dict[str, Any]:
    """A line-up of D1."""
    item = {"kind": "align", "deck": "D1", "setup": NAB, "calibration": "CAL", "full": full}
    return item | {"start": at(day, start), "end": at(day, end)} | changes


def work(kind: str, reel: str, day: int, start: str, end: str, **changes: Any) -> dict[str, Any]:
    """An item on one reel."""
    item: dict[str, Any] = {"kind": kind, "reel": reel, "start": at(day, start), "end": at(day, end)}
    if kind == "transfer":
        item |= {"deck": "D1", "passes": 1}
    return item | changes


def load(day: int, start: str, out: str, cool: str, *reels: str) -> dict[str, Any]:
    """A four-hour load of quarter-inch reels with one turn after two hours."""
    hour, minute = int(start[:2]), start[3:]
    turn = f"{hour + 2:02}:{minute}"
    ends = [f"{one[:3]}{int(one[3:]) + 10:02}" for one in (start, turn, out)]
    return {
        "kind": "condition",
        "chamber": "C1",
        "start": at(day, start),
        "end": at(day, out),
        "temperature": "54 degC",
        "reels": [
            {
                "reel": reel,
                "out": at(day, out),
                "cool_until": at(day, cool),
                "playable_until": at(day + 14, out),
            }
            for reel in reels
        ],
        "touches": [
            {"do": do, "start": at(day, one), "end": at(day, end)}
            for do, one, end in zip(("load", "turn", "take out"), (start, turn, out), ends, strict=True)
        ],
    }


def week() -> list[dict[str, Any]]:
    """Both reels, from line-up to verify.

    1500 ft at 15 ips play 20 min, so transfer = 5 + 20, with 5 more to clean after B; verify = 5 + 2, on the
    grid 10; repair = 4 x 3, on the grid 15. B is out at 13:00 and has cooled at 17:00.
    """
    return [
        align(7, "18:00", "18:40"),
        work("transfer", "A", 7, "18:40", "19:05"),
        work("verify", "A", 7, "19:05", "19:15"),
        load(12, "09:00", "13:00", "17:00", "B"),
        work("repair", "B", 12, "17:00", "17:15"),
        align(12, "17:15", "17:30", full=False),
        work("transfer", "B", 12, "17:30", "18:00"),
        work("verify", "B", 12, "18:00", "18:10"),
    ]


class Week:
    """The week as values to be changed before it is written and judged."""

    def __init__(self) -> None:
        self.studio, self.reels, self.songs = deepcopy(STUDIO), deepcopy(REELS), deepcopy(SONGS)
        self.items: list[dict[str, Any]] = deepcopy(week())
        self.plan: dict[str, Any] = {}

    def reel(self, name: str) -> dict[str, Any]:
        """The row of a reel."""
        return next(row for row in self.reels if row["reel"] == name)

    def item(self, kind: str, reel: str = "") -> dict[str, Any]:
        """The last item of a kind, of a reel."""
        return next(
            one for one in reversed(self.items) if one["kind"] == kind and one.get("reel", "") == reel
        )

    def write(self, folder: Path) -> Path:
        """Writes the shelf and completes the plan's lists and score from its items."""
        reelfolder.write(folder, self.studio, self.reels, self.songs)
        facts = build(read_shelf(folder), {"from": FROM, "until": UNTIL, "items": [], "left_over": []})
        facts.loads = [one for one in facts.loads if not one.running]
        self.plan = reelwrite.write_plan(facts, self.items)
        return folder
