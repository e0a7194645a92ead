"""The program in a real terminal, by the keyboard alone: from the chart to a printed order."""

from __future__ import annotations

import json
from datetime import UTC, datetime
from pathlib import Path

from pypdf import PdfReader

from tui.commands.demo_ import lay_out


def test_from_the_chart_to_a_printed_order(terminal, tmp_path: Path) -> None:
    shelf = tmp_path / "demo" / "shelf.json"
    terminal.start("demo", "--dir", str(shelf.parent))
    terminal.sees("box says")
    assert "R-001" in terminal.screen()

    terminal.press("t")
    terminal.sees("Tonight")
    terminal.press("Escape")
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
    first = min(printed.glob("order-*.pdf"))
    words = "".join(page.extract_text() for page in PdfReader(first).pages)
    assert "R-021" in words
    assert "1 Dec 2026" in words


def test_a_terminal_that_is_closed_leaves_a_whole_shelf(terminal, tmp_path: Path) -> None:
    shelf = lay_out(tmp_path, lambda: datetime(2026, 12, 1, 19, tzinfo=UTC)).path
    terminal.start("--shelf", str(shelf))
    terminal.sees("box says")
    terminal.press("n")
    terminal.sees("Note on R-001")
    terminal.press("-l", "kept")
    terminal.press("Enter")
    terminal.until(lambda: "kept" in shelf.read_text(), "the note on the shelf")
    terminal.end()
    assert json.loads(shelf.read_text())
