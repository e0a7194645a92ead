"""Asks every door about made-up tapes: what is offered that must not be, and which good tape is kept out?

Run: nice python tests/benchmarks/doors_by_luck.py [SHELVES] [SEED]

Every shelf holds six tapes with base, condition, signs, stock, back coat, stage, role and earlier warmth by
luck. `reels`, `load`, `mark`, `plan`, `orders` and `calendar` are asked by the command line; what they may
answer is told by the second reading in `tests/support/tapejudge.py`, which shares no code with the program.
"""

from __future__ import annotations

import contextlib
import io
import json
import os
import random
import shutil
import sys
import tempfile
from collections import Counter
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

HERE = Path(__file__).resolve().parent
sys.path[:0] = [str(HERE.parent / "support"), str(HERE.parent.parent)]

import ics  # noqa: E402
from doorshelf import STUDIO, put  # noqa: E402
from pypdf import PdfReader  # noqa: E402
from tapejudge import LISTED, STOCKS, word_of  # noqa: E402

NOW = datetime(2026, 12, 2, 9, 0, tzinfo=UTC)
AT = "2026-12-02T09:00"
BASES = ("", "", *["polyester"] * 6, "acetate", "pvc", "paper", "unknown")
CONDITIONS = (
    "",
    "ok",
    "ok",
    "sticky",
    "sticky",
    "squeal",
    "squeal;sticky",
    "mould",
    "splices",
    "sticky;edge",
)
SIGNS = (*[""] * 12, "vinegar", "mould", "layers adhere", "white powder", "loose oxide")
TREATED = ("", "", "", "2026-11-28T10:00", "2026-10-01T10:00")
NAMES = (*STOCKS, *LISTED, *LISTED, *[""] * 4, *["Harbour 12"] * 4)
NO_HEAT = ("never", "cold", "other way", "find the cause", "which stock")


class Ran:
    """What one command answered."""

    def __init__(self, *words: str) -> None:
        from tui.cli import main

        out, err = io.StringIO(), io.StringIO()
        with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
            self.status = main(list(words))
        self.out, self.err = out.getvalue(), err.getvalue()


def a_tape(luck: random.Random, number: int) -> dict[str, str]:
    """One row of reels.csv; `ok` never stands beside a sign."""
    signs, condition = luck.choice(SIGNS), luck.choice(CONDITIONS)
    treated = luck.choice(TREATED)
    stage = "conditioned" if treated else luck.choice(("found", "identified", "identified", "conditioned"))
    return {
        "reel": f"R-{number}", "role": luck.choice(("", "", "", "mix", "calibration")),
        "base": luck.choice(BASES), "signs": signs,
        "condition": "" if signs and condition == "ok" else condition,
        "stock": luck.choice(NAMES), "back_coat": luck.choice(("", "", "yes", "no")), "stage": stage,
        "conditioned_at": treated, "width": "1/4 in", "tracks": "2", "speed": "15 ips", "eq": "NAB",
        "level": "250 nWb/m", "length": "300 ft",
    }  # fmt: skip


class Judged:
    """The second reading of one row."""

    def __init__(self, row: dict[str, str]) -> None:
        split = lambda text: frozenset(filter(None, text.split(";")))  # noqa: E731
        self.row, self.condition, self.signs = row, split(row["condition"]), split(row["signs"])
        self.base = row["base"] or ("polyester" if row["stock"] in LISTED else "unknown")
        self.sick = "sticky" in self.condition or row["stock"] in LISTED
        lapsed = row["conditioned_at"].startswith("2026-10")
        self.playable = row["stage"] == "conditioned" and not lapsed
        self.word = self.told(playable=self.playable)
        doubted = (self.base == "unknown" and self.looked) or self.told(playable=False) == "test first"
        self.barred = self.word in NO_HEAT or (self.sick and not self.playable and doubted)

    def told(self, playable: bool) -> str:
        """The word; a look at a tape past its conditioning is behind it, and a back coat may be known."""
        row = self.row
        looked = self.condition or (frozenset(("ok",)) if row["stage"] == "conditioned" else frozenset())
        word = word_of(row["base"], looked, self.signs, row["stock"], playable)
        coat = row["back_coat"] or ("no" if row["stock"] == "Capitol Q15" else "")
        if word == "warm" and "sticky" in looked and coat == "no" and row["stock"] not in LISTED:
            return "test first"
        return word

    @property
    def looked(self) -> bool:
        """Whether someone has inspected it."""
        return bool(self.condition) or self.row["stage"] == "conditioned"

    @property
    def heat(self) -> str:
        """``yes``, ``reason`` or ``no``, for the chamber's door."""
        again = self.told(playable=False)
        if self.base != "polyester" or again in NO_HEAT:
            return "no"
        if self.row["stage"] == "found":
            return "reason"
        return "yes" if again == "warm" and self.word == "warm" else "reason"

    @property
    def good(self) -> bool:
        """True for a tape that a plan must bring to its transfer: looked at, and not barred."""
        return self.looked and not self.barred and self.row["role"] != "calibration"


def asked(rows: list[dict[str, str]], count: Counter[str], wrong: list[Any]) -> None:
    """Asks every door about the tapes of one shelf."""
    judged = {row["reel"]: Judged(row) for row in rows}
    for one in json.loads(Ran("reels", "--json").out):
        told = judged[one["reel"]]
        count["reels"] += 1
        if one["advice"] != told.word:
            wrong.append(("reels", told.row, one["advice"], told.word))
    shelf = Path(os.environ["REELTURN_SHELF"])
    shutil.copy(shelf, "kept.json")
    for key, told in judged.items():
        bare = Ran("load", "C1", key, "--at", AT).status
        shutil.copy("kept.json", shelf)
        said = Ran("load", "C1", key, "--at", AT, "--because", "to see").status
        shutil.copy("kept.json", shelf)
        count[f"load, {told.heat}"] += 1
        if (bare, said) != {"yes": (0, 0), "reason": (1, 0), "no": (1, 1)}[told.heat]:
            wrong.append(("load", told.row, (bare, said), told.heat))
        marked = Ran("mark", key, "conditioned", "--at", AT).status
        shutil.copy("kept.json", shelf)
        shut = told.barred or (told.sick and not told.playable)
        count["mark, shut" if shut else "mark, open"] += 1
        may = told.row["stage"] == "identified" or (told.row["stage"] == "found" and told.condition)
        if marked == 0 if shut else marked != 0 and may:
            wrong.append(("mark", told.row, marked, told.word))
    planned(judged, count, wrong)


def planned(judged: dict[str, Judged], count: Counter[str], wrong: list[Any]) -> None:
    """What plan, paper and calendar offer of the same shelf."""
    plan = json.loads(Ran("plan", "--effort", "0.3", "--days", "10", "--from", AT, "--json").out)
    warmed = {r["reel"] for item in plan["items"] if item["kind"] == "condition" for r in item["reels"]}
    played = {item["reel"] for item in plan["items"] if item["kind"] == "transfer"}
    played |= {item["calibration"] for item in plan["items"] if item["kind"] == "align"} - {None}
    orders = [name for name in Ran("orders", "--out", "paper").out.split("\n") if name]
    text = " ".join(" ".join(p.extract_text().split()) for name in orders for p in PdfReader(name).pages)
    written = Ran("calendar").out
    events = ics.Calendar(written).events if written else ()
    rung = " ".join(f"{event.name} {event.description}" for event in events)
    for key, told in judged.items():
        heat, deck = key in warmed, key in played
        count["planned into heat"] += heat
        count["planned onto the deck"] += deck
        if (heat and told.heat == "no") or (deck and told.barred):
            wrong.append(("plan, forbidden", told.row, (heat, deck), told.word))
        if told.good:
            count["good tapes"] += 1
            if not deck or (told.word == "warm") > heat:
                wrong.append(("plan, kept out", told.row, (heat, deck), told.word))
        for where, words in (("orders", text), ("calendar", rung)):
            if (f"transfer {key}" in words.casefold().replace(key.casefold(), key)) > deck:
                wrong.append((where, told.row, "transfer", told.word))


def main() -> None:
    """Prints how often each door was asked, and every answer that the second reading does not give."""
    shelves = int(sys.argv[1]) if len(sys.argv) > 1 else 100
    luck = random.Random(int(sys.argv[2]) if len(sys.argv) > 2 else 1)
    import tui.commands.command

    tui.commands.command.now = lambda: NOW
    os.chdir(tempfile.mkdtemp())
    Path("studio.toml").write_text(STUDIO, encoding="utf-8")
    os.environ["REELTURN_SHELF"] = str(Path("doors.json").absolute())
    assert Ran("new", "--studio", "studio.toml").status == 0
    shutil.copy("doors.json", "empty.json")
    count: Counter[str] = Counter()
    wrong: list[Any] = []
    for _ in range(shelves):
        shutil.copy("empty.json", "doors.json")
        shutil.rmtree("paper", ignore_errors=True)
        rows = [a_tape(luck, number) for number in range(100, 106)]
        done = put(Ran, rows)
        assert done.status == 0, done.err
        asked(rows, count, wrong)
    for name, number in sorted(count.items()):
        print(f"{name:24} {number:6}")
    print(f"{shelves} shelves, {len(wrong)} answers that the second reading does not give")
    for one in wrong[:40]:
        print("  ", one)


if __name__ == "__main__":
    main()
