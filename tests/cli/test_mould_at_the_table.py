"""Where mould is or may be, a look and a repair say in the step itself how one handles it; so does a split.

The class of mask and the filter are those of the caution of mould, whose source stands in the table.
"""

from __future__ import annotations

from datetime import datetime
from pathlib import Path
from typing import Any

import icalendar
import pytest
from alarmshelf import NOW, ROW, Clock, printed
from doorshelf import put
from onedeck import EVERY_DAY, hours, one_deck

CARE = ("gloves and an FFP2 or N95 mask", "never under a fan", "not smelled at", "HEPA filter")


def said_with_care(text: str) -> bool:
    flat = " ".join(text.replace("\n ", " ").split())
    return all(one in flat for one in CARE)


def of_step(listed: str, begins: str) -> str:
    """The lines of one step in tonight's list."""
    rows = listed.splitlines()
    at = next(n for n, row in enumerate(rows) if begins in row)
    more = [row for row in rows[at + 1 :]]
    end = next((n for n, row in enumerate(more) if row[:3].strip().isdigit()), len(more))
    return "\n".join(rows[at : at + 1 + end])


def blocked(run: Any, key: str) -> str:
    return next(one["blocked"] or "" for one in run("reels", "--json").json if one["reel"] == key)


@pytest.fixture
def at_the_table(there: Any) -> Any:
    """The shelf with two boxes to look at, and a tape with splices to mend, all planned."""
    rows = [ROW | {"reel": "R-1", "splices": "4"}]
    found = {name: "" for name in ROW} | {"stage": "found", "splices": ""}
    rows += [found | {"reel": key} for key in ("I-1", "I-2")]
    assert put(there, rows).status == 0
    assert there("plan", "--days", "3", "--effort", "1").status == 0
    return there


@pytest.mark.parametrize("words", ["mouldy", "white powder at the edge", "water damage"])
def test_a_look_says_how_such_a_tape_is_handled(at_the_table: Any, words: str) -> None:
    run = at_the_table
    assert run("set", "I-1", f"box_label={words}").status == 0
    listed = run("tonight").out
    assert said_with_care(of_step(listed, "identify I-1"))
    assert not said_with_care(of_step(listed, "identify I-2"))
    order = printed(run, "orders")
    assert "I-1 only with gloves" in order and "I-2 only with gloves" not in order
    events = icalendar.Calendar.from_ical(run("calendar").out).walk("VEVENT")
    told = " ".join(f"{one.get('summary')} {one.get('description')}" for one in events)
    assert "Identify I-1 (only with gloves" in told and "Identify I-2 (" not in told
    begun = run("tonight", "begin", "identify I-1")
    assert begun.status == 0 and said_with_care(begun.err)
    assert said_with_care(of_step(run("tonight").out, "identify I-1"))  # while it is looked at, too


def test_a_look_that_found_mould_was_done_and_has_not_moved(run: Any, monkeypatch: Any) -> None:
    """Nothing but the look is planned; its tape stays as far as it was, since mould bars it."""
    rows = hours(EVERY_DAY, "19:00", "22:30", "bench", "home")
    Path("studio.toml").write_text(one_deck("Evenings", "UTC", rows=rows))
    assert run("new", "--studio", "studio.toml").status == 0
    assert put(run, [ROW | {"reel": "I-1", "condition": "", "stage": "found", "speed": ""}]).status == 0
    assert run("plan", "--days", "3", "--effort", "0.2").status == 0
    (look,) = (one for one in run("tonight", "--json").json if one["kind"] == "identify")
    for act, moment in zip(("begin", "end"), look["planned"], strict=True):
        monkeypatch.setattr("tui.commands.command.now", lambda moment=moment: datetime.fromisoformat(moment))
        if act == "end":
            assert run("set", "I-1", "condition=mould").status == 0
        assert run("tonight", act, "identify I-1").status == 0
    again = run("plan", "--days", "3", "--effort", "0.2")
    assert again.status == 0 and "moved" not in again.out, again.out


def test_a_repair_asks_and_says_how_such_a_tape_is_handled(at_the_table: Any) -> None:
    run = at_the_table
    assert run("note", "R-1", "smells of vinegar").status == 0
    assert 'R-1 says "vinegar" in its notes' in of_step(run("tonight").out, "repair R-1")
    assert run("set", "R-1", "box_label=Schimmel").status == 0
    row = of_step(run("tonight").out, "repair R-1")
    assert said_with_care(row) and 'R-1 says "Schimmel" on its box' in row
    assert "R-1 only with gloves" in printed(run, "orders")
    refused = run("tonight", "begin", "repair R-1")
    assert refused.status == 1 and 'R-1 says "Schimmel" on its box' in refused.err
    begun = run("tonight", "begin", "repair R-1", "--because", "it was looked at")
    assert begun.status == 0 and run("tonight", "begin", "repair R-1").status == 1


def test_a_repair_stops_where_mould_is_found(at_the_table: Any, clock: Clock) -> None:
    run = at_the_table
    assert run("tonight", "begin", "repair R-1").status == 0
    found = run("set", "R-1", "condition=", "signs=mould")
    assert found.status == 0 and "Stop the repair of R-1 now: " in found.err
    assert "bag" in found.err and "mask" in found.err
    assert "Stop the repair of R-1 now" in run("tonight").out
    assert run("tonight", "skip", "repair R-1", "--because", "mould").status == 0
    assert "Stop the repair" not in run("tonight").out


def test_what_lay_in_one_box_with_mould_is_looked_at_whichever_it_was(there: Any, clock: Clock) -> None:
    assert there("set", "P-1", "signs=mould", "condition=").status == 0
    assert said_with_care(there("split", "P-1", "P-9", "--contents", "second").out)
    assert "lay in one box with P-1, which has mould" in blocked(there, "P-9")
    assert there("rename", "P-1", "P-7").status == 0
    assert "lay in one box with P-7, which has mould" in blocked(there, "P-9")
    clock.at = datetime(2026, 12, 2, 13, 0, tzinfo=NOW.tzinfo)
    assert there("tonight", "looked", "P-9").status == 0
    assert "lay in one box" not in blocked(there, "P-9")
    assert there("split", "W-2", "W-9").status == 0  # and found later on the second
    assert there("set", "W-9", "width=1/4 in", "tracks=2", "base=polyester", "condition=mould").status == 0
    refused = there("load", "C1", "W-2")
    assert refused.status == 1 and "lay in one box with W-9, which has mould" in refused.err


def test_a_warning_in_the_notes_of_a_box_that_is_split_goes_with_both(there: Any) -> None:
    assert there("note", "P-1", "smells of vinegar").status == 0
    assert there("set", "P-2", "signs=vinegar", "condition=").status == 0
    assert there("split", "P-1", "P-8").status == 0 and there("split", "P-2", "P-9").status == 0
    assert 'says "vinegar" in its notes' in blocked(there, "P-8")
    assert 'says "vinegar" in its notes' in blocked(there, "P-9")
