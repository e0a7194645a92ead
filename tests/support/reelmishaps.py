"""A shelf folder some way into its plan after one thing went wrong, for planning anew.

failed      the transfer of an evening failed: nothing of it was done
late        a transfer ran 40 minutes over, and the evening goes on from there
treatment   a reel came out of the chamber as it went in: it wants a longer second treatment
new         a reel came to light, and a song of its own with it
helper      the helper does not come the next time
look        a look that was had surprises: the reel is sticky, though it was taken for sound
"""

import csv
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from pathlib import Path
from random import Random
from typing import Any

import reelafter
import reelfolder

MISHAPS = ("failed", "late", "treatment", "new", "helper", "look")


@dataclass(frozen=True, slots=True)
class After:
    """The folder as it stands after the mishap, and the moment from which to plan anew."""

    folder: Path
    moment: datetime


def after_mishap(folder: Path, plan: dict[str, Any], mishap: str, seed: int, target: Path) -> After:
    """Writes the shelf after a mishap in one of the plan's first evenings; always the same for a seed."""
    dice = Random(f"{mishap} {seed}")
    transfers = [one for one in plan["items"] if one["kind"] == "transfer"]
    struck = dice.choice(transfers[: max(1, min(6, len(transfers) // 2))])
    evening = datetime.fromisoformat(struck["start"])
    moment = evening.replace(hour=12, minute=0) + timedelta(days=1)
    if mishap == "late":
        moment = datetime.fromisoformat(struck["end"])
    failed = struck["reel"] if mishap == "failed" else ""
    reelafter.later_folder(folder, plan, moment, target, failed)
    if mishap == "late":
        moment += timedelta(minutes=40)
    rows = list(_table(target / "reels.csv"))
    if mishap == "treatment":
        _treated_again(rows, plan, moment, dice)
    if mishap == "new":
        _found(rows, target, dice)
    if mishap == "look":
        _surprise(rows, folder, dice)
    if mishap == "helper":
        _helper_away(target, moment)
    reelfolder.write_table(target / "reels.csv", reelfolder.REEL_COLUMNS, rows)
    return After(target, moment)


def _table(path: Path) -> list[dict[str, str]]:
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def _treated_again(rows: list[dict[str, str]], plan: dict[str, Any], moment: datetime, dice: Random) -> None:
    """One reel that is warm or ready to play is as sticky as before."""
    waiting = [row for row in rows if row["conditioned_at"] and row["stage"] == "conditioned"]
    waiting = [row for row in waiting if row["role"] != "calibration" and row["base"] == "polyester"]
    if waiting:
        row = dice.choice(waiting)
        row |= {"condition": "sticky", "stage": "identified", "conditioned_at": "", "playable_until": ""}
        row["treatment_hours"] = "10 h"


def _surprise(rows: list[dict[str, str]], folder: Path, dice: Random) -> None:
    """One reel that nobody had inspected before turned out sticky at its look."""
    blank = {row["reel"] for row in _table(folder / "reels.csv") if not row["condition"]}
    seen = [row for row in rows if row["reel"] in blank and row["condition"] == "ok"]
    seen = [row for row in seen if row["stage"] == "identified" and row["role"] != "calibration"]
    if seen:
        dice.choice(seen)["condition"] = "sticky"


def _found(rows: list[dict[str, str]], target: Path, dice: Random) -> None:
    """A reel like another, found in a box, with a song that needs it alone."""
    like = dice.choice([row for row in rows if row["role"] != "calibration" and row["tracks"]])
    new = like | {"reel": "R-NEW", "stage": "found", "condition": "ok", "splices": "", "heard": ""}
    new |= dict.fromkeys(("conditioned_at", "playable_until", "chamber", "loaded_at", "treatment_hours"), "")
    rows.append(new)
    songs = _table(target / "songs.csv")
    songs.append(songs[0] | {"song": "S-NEW", "title": "Found", "album": "Slack Water", "priority": "6"})
    songs[-1]["needs"] = "R-NEW"
    reelfolder.write_table(target / "songs.csv", reelfolder.SONG_COLUMNS, songs)


def _helper_away(target: Path, moment: datetime) -> None:
    """The rows of the next date with a helper, written out for that date without one."""
    import tomllib

    path = target / "studio.toml"
    studio = tomllib.loads(path.read_text(encoding="utf-8"))
    days = (moment.date() + timedelta(days=ahead) for ahead in range(14))
    day = next((day for day in days if any(row.get("helper") for row in _rows(studio, day))), None)
    if day is None:
        return
    gone = ("days", "dates", "helper", "look")
    kept = [{k: v for k, v in row.items() if k not in gone} for row in _rows(studio, day)]
    dated = [{"dates": [day.isoformat()]} | row for row in kept if {"bench", "home"} & set(row)]
    hours = [row for row in studio["hours"] if row.get("dates") != [day.isoformat()]]
    studio["hours"] = hours + (dated or [{"dates": [day.isoformat()], "off": True}])
    path.write_text(reelfolder.toml(studio), encoding="utf-8")


def _rows(studio: dict[str, Any], day: date) -> list[dict[str, Any]]:
    dated = [row for row in studio["hours"] if day.isoformat() in row.get("dates", [])]
    name = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")[day.weekday()]
    return dated or [row for row in studio["hours"] if name in row.get("days", [])]


def moved_soon(before: dict[str, Any], after: dict[str, Any], moment: datetime) -> int:
    """Items of the seven days from *moment* on that are no longer where they were, line-ups apart."""

    def starts(plan: dict[str, Any]) -> set[tuple[str, str, datetime]]:
        found = set()
        for item in plan["items"]:
            reels = [row["reel"] for row in item.get("reels", [])] or [item.get("reel", "")]
            start = datetime.fromisoformat(item["start"])
            if item["kind"] != "align" and moment <= start < moment + timedelta(days=7):
                found |= {(item["kind"], reel, start) for reel in reels}
        return found

    return len(starts(before) - starts(after))


def told_soon(before: dict[str, Any], after: dict[str, Any], moment: datetime, *, begun: bool) -> int:
    """The same as a person is told of them, one a sentence; ``begun``: that moment is in an evening.

    Which items moved is seen in the two plans, and not taken from what the second says of itself.
    """
    from core.clock import evening_of
    from core.moved import things_moved
    from core.plan import Move

    def starts(plan: dict[str, Any]) -> dict[tuple[str, str, str], datetime]:
        return {
            (item["kind"], reel, item.get("segment", "")): datetime.fromisoformat(item["start"])
            for item in plan["items"]
            if item["kind"] != "align"
            for reel in [row["reel"] for row in item.get("reels", [])] or [item.get("reel", "")]
        }

    was, now = starts(before), starts(after)
    called: Any = {"condition": "warming"}
    moves = [
        Move(called.get(key[0], key[0]), key[1], start, now.get(key), "")
        for key, start in was.items()
        if moment <= start < moment + timedelta(days=7) and now.get(key) != start
    ]
    return things_moved(moves, evening_of(moment) if begun else None)
