"""A fact that takes steps out of the kept plan names them as it is told, at whichever command.

Acetate is never warmed: common practice, and the tables' sources (docs/treatment.md).
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from alarmshelf import ROW
from doorshelf import put

SAID = "struck out of the kept plan: "
WARM = "warm W-1 Wed 2 Dec"


def told(err: str) -> str:
    lines = [line for line in err.splitlines() if SAID in line]
    assert len(lines) <= 1, err
    return lines[0] if lines else ""


@pytest.mark.parametrize("how", ["set", "import", "stocks", "merge"])
def test_the_steps_that_a_fact_struck_are_named_in_one_line(there: Any, tmp_path: Path, how: str) -> None:
    tmp_path.joinpath("more.csv").write_text("reel,base\nW-1,acetate\n")
    if how == "merge":
        assert put(there, [ROW | {"reel": "X-1", "stock": "Scotch 111", "base": "acetate"}]).status == 0
    words = {
        "set": ("set", "W-1", "base=acetate"),
        "import": ("import", "more.csv", "--update"),
        "stocks": ("stocks", "Harbour 12", "sticky=yes"),
        "merge": ("merge", "W-1", "X-1"),
    }[how]
    done = there(*words)
    line = told(done.err)
    step = "transfer P-1 " if how == "stocks" else WARM
    assert done.status == 0 and step in line and "(" in line, done
    if how in ("set", "import"):
        assert "transfer W-1" in line and "sticky on acetate" in line and "W-2" not in line


def test_what_strikes_nothing_says_nothing_and_so_does_what_was_said_already(there: Any) -> None:
    for words in (("set", "W-1", "notes=a good take"), ("set", "W-1", "base_seen=polyester")):
        assert told(there(*words).err) == ""
    assert told(there("set", "W-1", "base=acetate").err)
    assert told(there("set", "W-1", "notes=a better take").err) == ""
    assert told(there("plan", "--effort", "0.2").err) == ""
    assert told(there("reels").err) == ""
    assert told(there("undo").err) == "" and told(there("undo").err) == ""


def test_many_steps_are_counted_behind_the_first_four(there: Any) -> None:
    line = told(there("stocks", "Harbour 12", "sticky=yes").err)
    assert line.count(" Dec ") == 4 and line.rstrip().endswith("more"), line
