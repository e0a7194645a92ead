"""A shelf folder some days into its plan: what the plan had done by then is written into its files.

One reel may fail: from its first transfer on nothing of it was done. A reel that was looked at is as it was
taken for.
"""

import csv
import re
from datetime import datetime
from pathlib import Path
from typing import Any

import reelfolder
from reeljudge_case import build
from reeljudge_files import read_shelf

STAGE_AFTER = {"identify": "identified", "transfer": "transferred", "verify": "verified"}


def later_folder(
    folder: Path, plan: dict[str, Any], moment: datetime, target: Path, failed: str = ""
) -> Path:
    """Writes to *target* the shelf of *folder* as it is at *moment* if all went by *plan* but *failed*."""
    with (folder / "reels.csv").open(encoding="utf-8", newline="") as file:
        rows = {row["reel"]: row for row in csv.DictReader(file)}
    known = read_shelf(folder)
    facts = build(known, {"from": plan["from"], "until": plan["until"], "items": [], "left_over": []})
    taken_for = {reel.name: "sticky" if facts.sticky(reel) else "ok" for reel in known.reels.values()}
    stands: dict[str, dict[str, str]] = {}
    for item in sorted(
        plan["items"], key=lambda one: str(datetime.fromisoformat(one["start"]).timestamp()).zfill(20)
    ):
        if item["kind"] == "condition":
            _warmed(rows, item, moment)
        elif datetime.fromisoformat(item["end"]) > moment:
            continue
        elif item["kind"] == "align":
            stands[item["deck"]] = item["setup"]
        elif not (item["reel"] == failed and item["kind"] in ("transfer", "verify")):
            row = rows[item["reel"]]
            row["stage"] = STAGE_AFTER.get(item["kind"], row["stage"])
            if item["kind"] == "identify" and not row["condition"]:
                row["condition"] = taken_for[item["reel"]]
            if item["kind"] == "repair":
                words = [word for word in row["condition"].split(";") if word != "splices"]
                row |= {"splices": "0", "condition": ";".join(words) or "ok"}
            if item["kind"] in ("audition", "transfer"):
                row["heard"] = item["start"]
    target.mkdir(parents=True, exist_ok=True)
    for name in ("songs.csv", "segments.csv"):
        if (folder / name).exists():
            (target / name).write_bytes((folder / name).read_bytes())
    with (target / "reels.csv").open("w", encoding="utf-8", newline="") as file:
        writer = csv.DictWriter(file, reelfolder.REEL_COLUMNS)
        writer.writeheader()
        writer.writerows(rows.values())
    text = (folder / "studio.toml").read_text(encoding="utf-8")
    for deck, setup in stands.items():
        text = _lined_up(text, deck, setup)
    (target / "studio.toml").write_text(text, encoding="utf-8")
    return target


def _warmed(rows: dict[str, dict[str, str]], item: dict[str, Any], moment: datetime) -> None:
    """A load's reels: out by then, or still inside."""
    for member in item["reels"]:
        row = rows[member["reel"]]
        if datetime.fromisoformat(member["out"]) <= moment:
            row |= {"conditioned_at": member["out"], "playable_until": member["playable_until"]}
            row |= {"chamber": "", "loaded_at": ""}
            if row["stage"] in ("found", "identified"):
                row["stage"] = "conditioned"
        elif datetime.fromisoformat(item["start"]) <= moment:
            row |= {"chamber": item["chamber"], "loaded_at": item["start"]}


def _lined_up(text: str, deck: str, setup: dict[str, str]) -> str:
    """The studio's text with the deck standing on another set-up."""
    parts = re.split(r"(?m)^(?=\[)", text)
    inline = ", ".join(f'{key} = "{value or ""}"' for key, value in setup.items() if value)
    for place, part in enumerate(parts):
        if part.startswith("[[deck]]") and f'id = "{deck}"' in part:
            kept = [line for line in part.rstrip("\n").split("\n") if not line.startswith("lined_up")]
            parts[place] = "\n".join([*kept, f"lined_up = {{ {inline} }}", "", ""])
    return "".join(parts)
