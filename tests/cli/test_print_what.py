"""Tonight's order, one reel's sheets, or all that was chosen once; into files, and to a printer by ``lp``.

The options of ``lp`` (``-d`` destination, ``-o`` option) are those of POSIX.1-2017, utility *lp*.
"""

from __future__ import annotations

import os
from pathlib import Path
from typing import Any

import pytest

PRINTER = '#!/bin/sh\nprintf "%s\\n" "$@" > "$TOOK"\n{}\n'


@pytest.fixture
def planned(shelf: Path, once: Any) -> Path:
    assert once(("plan", "--days", "14", "--effort", "0.2")).status == 0
    return shelf.parent / "out"


def lp(folder: Path, monkeypatch: pytest.MonkeyPatch, ends: str) -> Path:
    """A stand-in for the system's command, which writes down what it was given."""
    folder.mkdir()
    command = folder / "lp"
    command.write_text(PRINTER.format(ends))
    command.chmod(0o755)
    monkeypatch.setenv("TOOK", str(folder / "took"))
    monkeypatch.setenv("PATH", f"{folder}{os.pathsep}/usr/bin{os.pathsep}/bin")
    return folder / "took"


def names(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.glob("*.pdf"))


def test_tonight_is_one_order(planned: Path, run: Any) -> None:
    assert run("print", "tonight", "--out", str(planned)).status == 0
    assert names(planned) == ["order-2026-12-01.pdf"]


def test_one_reel_has_its_card_label_sheets_and_log(planned: Path, run: Any) -> None:
    assert run("print", "reel", "R-001", "--out", str(planned)).status == 0
    assert names(planned) == [
        "cards-R-001.pdf",
        "labels-R-001.pdf",
        "track-sheets-R-001.pdf",
        "transfer-log-R-001.pdf",
    ]
    assert run("print", "reel", "--out", str(planned)).status == 1
    assert "name the reel" in run("print", "reel", "--out", str(planned)).err
    assert run("print", "cards", "R-001", "--out", str(planned)).status == 2


def test_everything_prints_what_was_chosen_once(planned: Path, run: Any) -> None:
    assert run("print", "everything", "--sheets", "labels, cards", "--out", str(planned)).status == 0
    first = names(planned)
    assert [name.split("-")[0] for name in first] == ["cards", "labels"]
    other = planned / "again"
    assert run("print", "everything", "--out", str(other)).status == 0
    assert names(other) == first
    ran = run("print", "everything", "--sheets", "card")
    assert ran.status == 2 and "'card' is no sheet: there are orders" in ran.err


def test_the_printer_gets_the_files_and_their_paper(
    planned: Path, run: Any, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    took = lp(tmp_path / "bin", monkeypatch, 'echo "request id is deck-7"')
    ran = run("print", "tonight", "--out", str(planned), "--printer", "laser", "--size", "Letter")
    assert ran.status == 0 and "request id is deck-7" in ran.err
    given = took.read_text().split("\n")[:-1]
    assert given[:5] == ["-d", "laser", "-o", "media=Letter", "--"]
    assert given[5:] == [str(planned / "order-2026-12-01.pdf")]


def test_a_printer_that_takes_nothing_leaves_the_files_and_says_why(
    planned: Path, run: Any, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    lp(tmp_path / "bin", monkeypatch, "echo 'lp: no default destination' >&2; exit 1")
    ran = run("print", "tonight", "--out", str(planned), "--printer")
    assert ran.status == 1 and "the printer took nothing: lp: no default destination" in ran.err
    assert names(planned) == ["order-2026-12-01.pdf"]
    monkeypatch.setenv("PATH", str(tmp_path))
    ran = run("print", "tonight", "--out", str(planned), "--printer")
    assert ran.status == 1 and "this system has no lp command" in ran.err
