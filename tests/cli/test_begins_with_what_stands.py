"""A plan made anew in mid-evening begins with the line-up that stands: the tape follows at once.

By the rules of the plan a transfer has a line-up before it in its bench window. A judge that shares no code
with the program reads the plan beside the exported shelf.
"""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest
from doorshelf import put
from onedeck import EVERY_DAY, hours, one_deck
from reeljudge import judge

from core.workbook.workbook import Workbook

GOOD = {
    "base": "polyester", "condition": "ok", "stock": "", "width": "1/4 in", "tracks": "2",
    "speed": "15 ips", "eq": "NAB", "level": "250 nWb/m", "length": "1200 ft", "stage": "identified",
}  # fmt: skip


def at(text: str) -> datetime:
    return datetime.fromisoformat(f"2026-12-01T{text}").replace(tzinfo=UTC)


@pytest.fixture
def clock(monkeypatch: pytest.MonkeyPatch) -> Any:
    """Moves the moment at which commands run."""

    def to(text: str) -> datetime:
        monkeypatch.setattr("tui.commands.command.now", lambda: at(text))
        return at(text)

    return to


@pytest.fixture
def lined_up(run: Any, clock: Any, tmp_path: Path) -> Any:
    """Two reels to be played behind one line-up, planned at 19:30; it is made from 19:40 to 19:56."""
    studio = one_deck(
        "Evenings",
        "UTC",
        more="",
        trays=6,
        rows=hours(EVERY_DAY, "19:00", "22:30", "bench", "home", "helper"),
    )
    clock("19:30")
    (tmp_path / "studio.toml").write_text(studio)
    assert run("new", "--studio", "studio.toml").status == 0
    put(run, [GOOD | {"reel": "R-1"}, GOOD | {"reel": "R-2"}])
    assert run("plan", "--days", "4", "--effort", "0.2").status == 0
    clock("19:57")
    assert run("tonight", "begin", "line up D1", "--at", "19:40").status == 0
    assert run("tonight", "end", "line up D1", "--at", "19:56").status == 0
    return run


def kinds(plan: dict[str, Any]) -> list[tuple[str, str]]:
    return [(item["kind"], item["start"][11:16]) for item in plan["items"]][:3]


def test_planned_from_its_beginning_on_the_tape_follows_at_once_and_the_judge_is_content(
    lined_up: Any, clock: Any, tmp_path: Path
) -> None:
    clock("19:58")
    made = lined_up("plan", "--from", "2026-12-01T19:45+00:00", "--days", "4", "--effort", "0.5", "--json")
    assert made.status == 0, made.err
    first, tape, _ = kinds(made.json)
    assert (first, tape) == (("align", "19:45"), ("transfer", "20:00"))
    assert [item["kind"] for item in made.json["items"]].count("align") == 1
    assert lined_up("export", "out").status == 0
    assert judge(tmp_path / "out", made.json) == []
    # Tonight's row of the line-up stays the one that was made.
    rows = [one for one in lined_up("tonight", "--json").json if one["kind"] == "align"]
    assert [(one["state"], one["planned"]) for one in rows] == [("done", rows[0]["planned"])]


def test_planned_from_now_on_it_is_lined_up_once_more(lined_up: Any, clock: Any) -> None:
    """What the plan tells lies in it: from 20:00 on there is none yet."""
    clock("19:58")
    made = lined_up("plan", "--days", "4", "--effort", "0.5", "--json")
    assert kinds(made.json)[:2] == [("align", "20:00"), ("transfer", "20:15")]


def test_planned_anew_by_itself_it_begins_with_what_stands_and_nothing_else_is_before_now(
    lined_up: Any, tmp_path: Path
) -> None:
    """20:58: the tape follows at once, searched or not."""
    book = Workbook.open(tmp_path / "tapes.json", lambda: at("20:58"))
    for effort in (0.0, 0.5):
        kept = book.plans.kept_plan()
        plan = book.plans.plan(days=4, effort=effort, keep=False, kept=kept, stands=True)
        early = [item for item in plan.items if item.start < at("21:00")]
        assert [(item.kind, item.deck, f"{item.start:%H:%M}") for item in early] == [("align", "D1", "20:45")]
        played = [item for item in plan.items if item.kind == "transfer"]
        assert f"{played[0].start:%H:%M}" == "21:00"


def test_on_the_next_evening_and_behind_another_set_up_it_stands_no_more(
    lined_up: Any, tmp_path: Path
) -> None:
    from core.standing.made_before import made_before

    book = Workbook.open(tmp_path / "tapes.json", lambda: at("20:58"))
    assert made_before(book.shelf, at("21:00")) is not None
    assert made_before(book.shelf, at("19:40")) is None, "it was not over yet"
    assert made_before(book.shelf, at("19:30").replace(day=2)) is None
