"""The program in a real terminal, by the keyboard alone: from the first picture to a printed order."""

from __future__ import annotations

import json
import os
from datetime import UTC, datetime
from pathlib import Path

import pytest
from pypdf import PdfReader

from tui.cli import main
from tui.commands.demo.again import CLOCK, TEMPORARY, keep_clock, left_before
from tui.commands.demo_ import lay_out


def _notes_on_the_chart(terminal, shelf: Path) -> None:
    terminal.sees("box says")
    terminal.press("n")
    terminal.sees("Note on R-001")
    terminal.press("-l", "oxide on the guides")
    terminal.press("Enter")
    terminal.until(lambda: "oxide on the guides" in shelf.read_text(), "the note on the shelf")


def test_the_made_up_shelf_opens_at_once_is_planned_in_sight_and_printed(terminal, tmp_path: Path) -> None:
    shelf = tmp_path / "demo" / "shelf.json"
    terminal.start("demo", "--dir", str(shelf.parent))
    terminal.sees("box says")
    assert "R-001" in terminal.screen() and not (shelf.parent / "orders").exists()
    terminal.sees("Week, planning")
    terminal.sees("made-up clock: Tue 1 Dec")
    terminal.sees("score ")
    terminal.press("e")  # the best plan so far is good enough
    terminal.sees("papers lie in")
    orders = sorted((shelf.parent / "orders").glob("order-*.pdf"))
    words = "".join(page.extract_text() for page in PdfReader(orders[0]).pages)
    assert "1 Dec 2026" in words
    assert (shelf.parent / "evenings.ics").read_bytes().startswith(b"BEGIN:VCALENDAR")

    terminal.press("t")
    terminal.sees("Tonight")
    terminal.press("c")
    _notes_on_the_chart(terminal, shelf)

    terminal.press("o")
    terminal.sees("work orders of the kept plan")
    terminal.press("Enter")
    printed = shelf.parent / "paper"
    terminal.until(lambda: any(printed.glob("order-*.pdf")), "a printed order")
    terminal.sees("box says")

    terminal.press("q")
    terminal.until(lambda: terminal.status is not None, "the end of the program")
    assert terminal.status == 0
    json.loads(shelf.read_text())


def test_leaving_the_made_up_shelf_says_where_the_papers_lie_and_how_to_begin(
    terminal, tmp_path: Path
) -> None:
    folder = tmp_path / "demo"
    terminal.start("demo", "--dir", str(folder), then="sleep 300")
    terminal.sees("Week, planning")
    terminal.sees("planning: score")
    terminal.press("q")
    terminal.sees("no plan was kept, nothing printed")
    terminal.sees("All was made up")
    terminal.sees("`reelturn new` asks a few questions")
    terminal.sees("goes on with")
    terminal.until(lambda: terminal.status == 0, "the end of the program")
    assert json.loads((folder / "shelf.json").read_text())


def test_a_made_up_shelf_is_come_back_to_as_it_was_left(terminal, tmp_path: Path) -> None:
    shelf = lay_out(tmp_path, lambda: datetime(2026, 12, 3, 21, 40, tzinfo=UTC)).path
    before = shelf.read_bytes()
    keep_clock(tmp_path, datetime(2026, 12, 3, 21, 40, tzinfo=UTC))
    assert main(["demo", "--dir", str(tmp_path)]) == 2, "where no terminal is it is not laid out over it"
    assert shelf.read_bytes() == before
    terminal.start("demo", "--dir", str(tmp_path), then="sleep 300")
    terminal.sees("Week, planning")
    terminal.sees("made-up clock: Thu 3 Dec 21:4")
    terminal.press("e")
    terminal.sees("papers lie in")
    terminal.press("c")
    _notes_on_the_chart(terminal, shelf)
    plan = json.loads(shelf.read_text())["records"]
    terminal.end()  # not left in order: the clock was kept with the last change
    terminal.start("demo", "--dir", str(tmp_path), then="sleep 300")
    terminal.sees("box says")
    terminal.sees("made-up clock: Thu 3 Dec 21:4")
    terminal.press("h")
    terminal.sees("What happened to R-001")  # the note stands on the chart, too
    terminal.sees("oxide on the guides")
    terminal.press("Escape")
    terminal.sees("box says")
    terminal.press("q")
    terminal.sees("goes on with")
    assert json.loads(shelf.read_text())["records"] == plan, "the kept plan stays the one that was kept"


def test_a_shelf_that_is_not_made_up_is_never_gone_on_with_as_one(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capfd: pytest.CaptureFixture[str]
) -> None:
    lay_out(tmp_path, lambda: datetime(2026, 12, 3, 21, 40, tzinfo=UTC))
    (tmp_path / CLOCK).unlink()
    monkeypatch.setattr("tui.commands.demo_.on_terminal", lambda: True)
    assert main(["demo", "--dir", str(tmp_path)]) == 2
    assert "there is a shelf already, it was not touched: name an empty folder" in capfd.readouterr().err


def test_the_made_up_shelf_of_before_is_named_when_another_is_laid_out(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("tempfile.tempdir", str(tmp_path))
    assert left_before() is None
    for day in (1, 2):
        folder = tmp_path / f"{TEMPORARY}{day}"
        folder.mkdir()
        lay_out(folder, lambda: datetime(2026, 12, 3, 21, 40, tzinfo=UTC))
        os.utime(folder / CLOCK, (day, day))
    assert left_before() == tmp_path / f"{TEMPORARY}2"


def test_a_terminal_that_closes_in_mid_word_leaves_a_whole_shelf_and_the_half_word(
    terminal, tmp_path: Path
) -> None:
    shelf = lay_out(tmp_path, lambda: datetime(2026, 12, 1, 19, tzinfo=UTC)).path
    terminal.start("--shelf", str(shelf))
    terminal.sees("box says")
    terminal.press("n")
    terminal.sees("Note on R-001")
    terminal.press("-l", "kept")
    terminal.press("Enter")
    terminal.until(lambda: "kept" in shelf.read_text(), "the note on the shelf")
    terminal.press("n")
    terminal.sees("Note on R-001")
    terminal.press("-l", "oxide on the gui")
    terminal.sees("oxide on the gui")
    terminal.end()
    assert json.loads(shelf.read_text())
    kept = shelf.with_name(".shelf.json.typed")
    terminal.until(kept.exists, "what was typed, beside the shelf")
    terminal.start("--shelf", str(shelf))
    terminal.sees("half typed when the program ended: a note on R-001: oxide on the gui")
