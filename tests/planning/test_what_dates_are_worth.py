"""What `songs --json` says of chances and promises, against a second, plain simulation of 10,000 evenings."""

import json
from datetime import datetime
from pathlib import Path
from unittest.mock import patch

import reelluck
import reelplanner
import reeltroubles
from reeljudge_case import build
from reeljudge_files import read_shelf
from reeljudge_hours import read_time

EVENINGS = 10_000
SEEDS = (60, 61, 62, 64)


def _compared(folder: Path, seed: int) -> list[tuple[float, float, float | None]]:
    """For every planned song: its chance as told and as played, and in what share its promise holds."""
    made = reeltroubles.troubled_shelf(folder, "12", seed, comfort=True)
    file = reelplanner.fill(folder)
    document = reelplanner.printed_plan(file, made.start, made.days, "--effort", "0.3")
    plan = json.loads(document)
    with patch("tui.commands.command.now", lambda: datetime.fromisoformat(plan["from"])):
        songs = json.loads(reelplanner.run("--shelf", str(file), "songs", "--json")[1])
    case = build(read_shelf(folder), plan)
    evenings = len({case.window(item.start, item.end) for item in case.items})
    played = reelluck.ready_times(case, EVENINGS // len(SEEDS) // evenings, seed)
    zone, out = case.shelf.zone, []
    for one in songs:
        if one["state"] != "waiting" or one["chance"] is None:
            continue
        ready = played[one["song"]]
        chance = reelluck.held(case, ready, read_time(one["planned"], zone))
        promised = one["promised"] and reelluck.held(case, ready, read_time(one["promised"], zone))
        out.append((one["chance"], chance, promised))
    return out


def test_chances_are_right_and_promises_hold(tmp_path: Path, every_evening: None) -> None:
    compared = [one for seed in SEEDS for one in _compared(tmp_path / str(seed), seed)]
    assert len(compared) >= 12
    # The program plays a plan 100 times: of a chance of 0.8 its share may be off by 0.08 (two deviations).
    off = [abs(told - played) for told, played, _ in compared]
    assert sum(off) / len(off) <= 0.1
    assert max(off) <= 0.18
    holds = [promised for _, _, promised in compared if promised is not None]
    assert sum(holds) / len(holds) >= 0.8
    assert min(holds) >= 0.65
