"""Notes of a reel by command: listed with numbers, one taken off, back with undo; gone from every face."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest
from pypdf import PdfReader

from core.logbook.passes import TapeNote, with_note
from core.workbook.workbook import Workbook


@pytest.fixture
def noted(run: Any, shelf: Path) -> Any:
    """A reel with two notes."""
    assert run("note", "R-002", "of another tape", "--at", "2026-11-30T20:15").status == 0
    assert run("note", "R-002", "leader torn").status == 0
    return run


def _history(run: Any) -> list[str]:
    reel = next(one for one in run("reels", "--json").json if one["reel"] == "R-002")
    return [one["note"] for one in reel["history"] if one["note"]]


def _card(run: Any) -> str:
    (file,) = run("print", "cards", "--out", "cards").out.splitlines()
    pages = [page.extract_text() for page in PdfReader(file).pages]
    return " ".join(" ".join(pages).split())


def test_one_note_is_taken_off_by_its_number_and_comes_back(noted: Any) -> None:
    assert noted("note", "R-002").out.splitlines() == [
        "  1  Mon 30 Nov 2026 20:15  of another tape",
        "  2  Tue 1 Dec 2026 18:52  leader torn",
    ]
    assert "of another tape" in _history(noted) and "of another tape" in _card(noted)
    assert noted("note", "R-002", "--off", "1").out == "taken off R-002: of another tape\n"
    told = noted("note", "R-002", "--json").json
    assert [(one["n"], one["note"]) for one in told] == [(1, "leader torn")]
    assert "of another tape" not in _history(noted) and "of another tape" not in _card(noted)
    assert noted("undo").out == "taken back: take a note off R-002\n"
    assert len(noted("note", "R-002").out.splitlines()) == 2
    assert "of another tape" in _history(noted)
    assert noted("redo").status == 0 and "of another tape" not in _history(noted)
    assert noted("export", "out").status == 0
    assert Path("out/history.csv").read_text(encoding="utf-8").count("of another tape") >= 2  # the log has it


def test_a_note_on_a_pass_is_listed_behind_them_and_taken_off_by_its_number(noted: Any, shelf: Path) -> None:
    book = Workbook.open(shelf, lambda: datetime(2026, 12, 1, 18, 52, tzinfo=UTC))
    squeal = TapeNote("R-002", 1, book.now(), 312.4, "squeal", "left edge")
    book.change(lambda s: with_note(s, squeal), what="note")
    assert noted("note", "R-002").out.splitlines()[2].endswith("pass 1 at 5:12: squeal left edge")
    last = noted("note", "R-002", "--json").json[-1]
    assert (last["n"], last["note"], last["pass"], last["seconds"]) == (3, "squeal left edge", 1, 312.4)
    assert noted("note", "R-002", "--off", "3").out == "taken off R-002: squeal left edge\n"
    assert len(noted("note", "R-002").out.splitlines()) == 2
    assert noted("undo").out == "taken back: take a note off R-002, pass 1\n"
    assert len(noted("note", "R-002").out.splitlines()) == 3


@pytest.mark.parametrize(
    ("words", "told", "status"),
    [
        (("R-002", "--off", "3"), "R-002 has no note 3: its notes are 1 to 2", 1),
        (("R-002", "--off", "0"), "R-002 has no note 0", 1),
        (("R-003", "--off", "1"), "R-003 has no note 1: it has none", 1),
        (("R-099", "--off", "1"), "R-099", 1),
        (("R-099",), "R-099", 1),
        (("R-002", "some words", "--off", "1"), "give no TEXT", 2),
    ],
)
def test_what_is_no_note_is_not_taken_off(noted: Any, words: Any, told: str, status: int) -> None:
    ran = noted("note", *words)
    assert (ran.status, ran.out) == (status, "") and told in ran.err and ran.err.count("\n") == 1
    assert len(noted("note", "R-002").out.splitlines()) == 2


@pytest.mark.parametrize(
    ("words", "meant"),
    [
        (("note", "9", "x"), "R-009"),
        (("merge", "R-001", "2"), "R-002 or CAL-2"),
        (("remove", "3"), "R-003 or CAL-3"),
        (("set", "S-01", "needs=1"), "R-001"),
        (("set", "S-01", "needs=R-001 and 2"), "R-001; R-002"),
    ],
)
def test_a_number_alone_is_refused_with_the_reels_that_it_may_mean(
    run: Any, shelf: Path, words: tuple[str, ...], meant: str
) -> None:
    refused = run(*words)
    assert refused.status == 1
    assert refused.err.strip().endswith(f": did you mean {meant}?")
