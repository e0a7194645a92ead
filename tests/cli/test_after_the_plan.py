"""What was learnt after a plan was made is struck out of all that is printed, rung and shown from then on."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from pathlib import Path
from typing import Any

import ics
import pytest
from icalendar import Calendar
from pypdf import PdfReader

from core.evening.tonight.runsheet import run_sheet
from core.workbook.workbook import Workbook

Run = Callable[..., Any]
ROWS = """reel,width,tracks,speed,eq,level,stock,base,length,condition,stage
Q-1,1/4 in,2,15 ips,NAB,250 nWb/m,Ampex 456,polyester,1200 ft,sticky,identified
Q-2,1/4 in,2,15 ips,NAB,250 nWb/m,Ampex 456,polyester,1200 ft,sticky,identified
Q-3,1/4 in,2,15 ips,NAB,250 nWb/m,,polyester,1200 ft,ok,identified
"""


@pytest.fixture
def planned(run: Run, demo: Path, tmp_path: Path) -> Callable[..., Workbook]:
    """A shelf with some of these reels, planned from the Tuesday on; it gives the workbook afresh."""
    from tui.commands import command

    def plan(*keys: str) -> Workbook:
        studio = (demo / "studio.toml").read_text().replace("calibration_needed = true\n", "")
        studio = studio.replace('name = "Marram Wharf"', 'name = "Harbour, Lane; 2\\\\3"')
        with_none = studio.replace("[[deck]]\n", "[[deck]]\ncalibration_needed = false\n")
        (tmp_path / "s.toml").write_text(with_none)
        assert run("new", "--studio", "s.toml").status == 0
        head, *rows = ROWS.splitlines()
        (tmp_path / "q.csv").write_text(
            "\n".join([head, *(r for r in rows if r.split(",")[0] in keys)]) + "\n"
        )
        assert run("import", "q.csv").status == 0
        assert run("plan", "--effort", "0.2").status == 0
        return Workbook.open(tmp_path / "tapes.json", lambda: command.now())

    return plan


def found(run: Run, tmp_path: Path, key: str, **fields: str) -> None:
    """What was found out about a reel later."""
    (tmp_path / "u.csv").write_text(f"reel,{','.join(fields)}\n{key},{','.join(fields.values())}\n")
    done = run("import", "u.csv", "--update")
    assert done.status == 0, done.err


def paper(run: Run, tmp_path: Path) -> str:
    """The text of all work orders, in one line."""
    done = run("orders", "--out", "paper", "--with", "line-ups,transfers,conditioning")
    assert done.status == 0
    pages = [p for name in done.out.split("\n") if name for p in PdfReader(tmp_path / name).pages]
    return " ".join(" ".join(page.extract_text().split()) for page in pages)


LATER = {
    "acetate": {"base": "acetate"},
    "mould": {"condition": "sticky;mould"},
    "vinegar sign": {"signs": "vinegar"},
    "set aside": {"set_aside": "went to a specialist"},
}


@pytest.mark.parametrize("what", LATER)
def test_a_load_of_one_reel_that_must_not_be_warmed_is_struck_out_everywhere(
    run: Run, planned: Any, tmp_path: Path, what: str
) -> None:
    book = planned("Q-1")
    loads = [item for item in book.plans.kept_plan().items if item.kind == "condition"]
    assert loads and "Load chamber C1: Q-1" in paper(run, tmp_path)
    before = calendar(run)
    found(run, tmp_path, "Q-1", **LATER[what])
    text = paper(run, tmp_path)
    assert "Load chamber" not in text and "Conditioning log" not in text and "Transfer log" not in text
    assert "not any more: load C1" in text and "struck out, Q-1:" in text
    for act in ("Transfer", "Verify"):
        assert text.count(f"{act} Q-1") == text.count(f"not any more: {act} Q-1") > 0, act
    after = calendar(run)
    touches = {
        uid for uid, event in before.items() if "chamber C1" in event["summary"] or "C1:" in event["summary"]
    }
    assert touches <= after.keys()
    for uid in touches:
        event = after[uid]
        assert event["status"] == "CANCELLED" and not event["alarms"]
        assert event["sequence"] > before[uid]["sequence"]
        assert "struck out, Q-1" in event["description"] and "C1" in event["summary"]
    assert not any(e["alarms"] and "Q-1" in e["summary"] for e in after.values())


def calendar(run: Run) -> dict[str, dict[str, Any]]:
    """Every event by its UID, as two readers that share no code see it; they must agree."""
    text = run("calendar").out
    one = {
        str(event["UID"]): {
            "summary": str(event["SUMMARY"]), "status": str(event["STATUS"]), "alarms": event.walk("VALARM"),
            "description": str(event["DESCRIPTION"]), "sequence": int(event["SEQUENCE"]),
        }
        for event in Calendar.from_ical(text).walk("VEVENT")
    }  # fmt: skip
    two = {event.uid: event for event in ics.Calendar(text).events}
    assert {uid: event["summary"] for uid, event in one.items()} == {uid: e.name for uid, e in two.items()}
    assert {uid: event["status"] for uid, event in one.items()} == {uid: e.status for uid, e in two.items()}
    return one


def test_one_reel_of_two_is_struck_out_and_the_other_goes_on(run: Run, planned: Any, tmp_path: Path) -> None:
    book = planned("Q-1", "Q-2")
    (load,) = [item for item in book.plans.kept_plan().items if item.kind == "condition"]
    assert set(load.reels) == {"Q-1", "Q-2"}
    before = calendar(run)
    found(run, tmp_path, "Q-1", base="acetate")
    text = paper(run, tmp_path)
    assert "Load chamber C1: Q-2" in text and "Load chamber C1: Q-1" not in text
    assert "without Q-1: sticky on acetate, which must never be warmed" in text
    assert "Transfer log" in text and "Q-2" in text
    after = calendar(run)
    (uid,) = [uid for uid, event in after.items() if event["summary"].startswith("Load chamber")]
    assert after[uid]["summary"] == "Load chamber C1: Q-2" and after[uid]["status"] == "CONFIRMED"
    assert after[uid]["sequence"] > before[uid]["sequence"] and "without Q-1" in after[uid]["description"]


def test_the_run_sheet_crosses_it_and_no_key_does_it(run: Run, planned: Any, tmp_path: Path) -> None:
    book = planned("Q-3")
    plan = book.plans.kept_plan()
    transfer = next(item for item in plan.items if item.kind == "transfer")
    found(run, tmp_path, "Q-3", condition="vinegar")
    book.reload()
    steps = run_sheet(book.shelf, plan, transfer.start).steps
    (step,) = [step for step in steps if step.kind == "transfer"]
    assert step.state == "struck" and "Q-3: vinegar" in step.because


def test_a_line_up_on_which_nothing_is_left_to_play_is_struck_out_with_it(
    run: Run, planned: Any, tmp_path: Path
) -> None:
    book = planned("Q-3")
    plan = book.plans.kept_plan()
    (align,) = [item for item in plan.items if item.kind == "align"]
    assert "Line up" in paper(run, tmp_path)
    found(run, tmp_path, "Q-3", set_aside="lent out")
    book.reload()
    text = paper(run, tmp_path)
    says = "nothing is left to play on this line-up"
    assert f"struck out, {says}" in text and text.count("Line up D2") == text.count(
        "not any more: Line up D2"
    )
    (step,) = [one for one in run_sheet(book.shelf, plan, align.start).steps if one.kind == "align"]
    assert (step.state, step.because) == ("struck", f"struck out, {says}")
    told = [event for event in calendar(run).values() if says in event["description"]]
    assert [event["status"] for event in told] == ["CANCELLED"] and "align D2" in told[0]["summary"]
    shown = [line for line in run("plan", "--show").out.splitlines() if "struck out" in line]
    assert len(shown) == 3 and all(line.startswith("   x ") for line in shown) and says in shown[0]
    assert run("undo").status == 0
    assert says not in paper(run, tmp_path)


def test_a_studios_name_is_escaped(run: Run, planned: Any) -> None:
    """RFC 5545, 3.3.11: commas, semicolons and backslashes of a text are escaped."""
    planned("Q-3")
    text = run("calendar").out
    line = next(one for one in text.replace("\r\n ", "").split("\r\n") if one.startswith("X-WR-CALNAME"))
    assert line == "X-WR-CALNAME:Harbour\\, Lane\\; 2\\\\3: tapes"


def test_what_is_done_is_struck_no_more(run: Run, planned: Any, tmp_path: Path) -> None:
    book = planned("Q-3")
    assert run("mark", "Q-3", "transferred", "--because", "played elsewhere").status == 0
    found(run, tmp_path, "Q-3", set_aside="goes to the archive")
    book.reload()
    from core.standing.of_plan.still import struck

    plan = book.plans.kept_plan()
    assert [one.item.kind for one in struck(book.shelf, plan, datetime.now(plan.start.tzinfo))] == []


def test_what_is_taken_back_is_rung_again_with_a_higher_sequence(
    run: Run, planned: Any, tmp_path: Path
) -> None:
    """RFC 5545, 3.8.7.4: a revision's sequence rises; a reader keeps the highest that it has seen."""
    planned("Q-1")
    found(run, tmp_path, "Q-1", set_aside="lent out")
    gone = calendar(run)
    assert run("undo").status == 0
    back = calendar(run)
    mine = [uid for uid, event in gone.items() if event["status"] == "CANCELLED"]
    assert mine
    for uid in mine:
        assert back[uid]["status"] == "CONFIRMED"
        assert back[uid]["sequence"] > gone[uid]["sequence"]


def test_what_the_plan_hears_behind_its_look_is_not_struck_out(run: Run, demo: Path, tmp_path: Path) -> None:
    """Of a listed stock, its speed not known and nobody looked: warmed to be heard, at no door forbidden."""
    studio = (demo / "studio.toml").read_text().replace("[minutes]", "[minutes]\naudition = 10")
    (tmp_path / "s.toml").write_text(studio)
    assert run("new", "--studio", "s.toml").status == 0
    row = "U-1,1/4 in,2,,NAB,250 nWb/m,Ampex 456,polyester,1200 ft,,found\n"
    (tmp_path / "q.csv").write_text(ROWS.splitlines()[0] + "\n" + row)
    assert run("import", "q.csv").status == 0
    done = run("plan", "--effort", "1", "--all")
    assert "audition U-1" in done.out and "load chamber" in done.out
    assert "struck out" not in done.out and "without U-1" not in done.out
    assert "must not be done" not in run("orders", "--out", "paper").err


def test_a_reel_that_is_set_aside_is_not_even_looked_at(run: Run, planned: Any) -> None:
    planned("Q-1", "Q-3")
    assert run("set", "reel", "Q-1", "stage=found", "set_aside=at the specialist").status == 0
    done = run("plan", "--effort", "1", "--all")
    assert "identify Q-1" not in done.out and "Q-1: set aside: at the specialist" in done.out
    assert "struck out" not in done.out


def test_where_no_deck_asks_for_the_helper_they_are_told_so(run: Run, demo: Path, tmp_path: Path) -> None:
    alone = (demo / "studio.toml").read_text().replace("needs_helper = true", "needs_helper = false")
    (tmp_path / "s.toml").write_text(alone)
    assert run("new", "--studio", "s.toml").status == 0
    (tmp_path / "q.csv").write_text(ROWS)
    assert run("import", "q.csv").status == 0
    assert "the helper is not needed on " in run("plan", "--seconds", "0").out
