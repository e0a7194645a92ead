"""The program in a real terminal, by the keyboard alone: from the first picture to a printed order."""

from __future__ import annotations

import json
from datetime import UTC, datetime
from pathlib import Path

from pypdf import PdfReader

from tui.commands.demo_ import lay_out


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
    terminal.sees("box says")
    terminal.press("n")
    terminal.sees("Note on R-001")
    terminal.press("-l", "oxide on the guides")
    terminal.press("Enter")
    terminal.until(lambda: "oxide on the guides" in shelf.read_text(), "the note on the shelf")

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
    terminal.start("demo", "--dir", str(folder), then="sleep 60")
    terminal.sees("Week, planning")
    terminal.sees("planning: score")
    terminal.press("q")
    terminal.sees("no plan was kept, so nothing was printed")
    terminal.sees("All of it was made up")
    terminal.sees("`reelturn new` asks a few questions")
    terminal.until(lambda: terminal.status == 0, "the end of the program")
    assert json.loads((folder / "shelf.json").read_text())


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
