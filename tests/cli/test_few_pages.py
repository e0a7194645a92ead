"""An evening on two pages, a Saturday on four; sheets to fill in where they were chosen, once."""

from __future__ import annotations

from datetime import date
from io import BytesIO
from pathlib import Path
from typing import Any

import pytest
from pypdf import PdfReader


def _titles(folder: Path) -> dict[date, list[str]]:
    """By evening, the head of every page of its PDF."""
    out = {}
    for file in sorted(folder.glob("order-*.pdf")):
        pages = PdfReader(BytesIO(file.read_bytes())).pages
        out[date.fromisoformat(file.stem[6:])] = [page.extract_text().split("\n")[0] for page in pages]
    return out


@pytest.fixture
def planned(shelf: Path, run: Any) -> Path:
    """The made-up shelf with a kept plan of three weeks."""
    assert run("plan", "--days", "21", "--effort", "0.5").status == 0
    return shelf.parent / "out"


def test_an_evening_is_two_pages_and_a_saturday_four(planned: Path, run: Any) -> None:
    assert run("orders", "--out", str(planned)).status == 0
    titles = _titles(planned)
    assert len(titles) >= 6
    for day, pages in titles.items():
        assert len(pages) <= (4 if day.weekday() == 5 else 2), day
        assert all(title.startswith("Work order") for title in pages)


def test_sheets_to_fill_in_are_chosen_once(planned: Path, run: Any) -> None:
    assert run("orders", "--out", str(planned), "--with", "line-ups, transfers").status == 0
    first = _titles(planned)
    heads = {title.split(",")[0] for pages in first.values() for title in pages}
    assert heads >= {"Work order", "Transfer log"}
    assert any(head.startswith("Line-up") for head in heads)
    assert not any(head.startswith("Conditioning") for head in heads)
    assert run("orders", "--out", str(planned)).status == 0  # it was kept
    assert _titles(planned) == first
    assert run("orders", "--out", str(planned), "--with", "none").status == 0
    assert {title.split(",")[0] for pages in _titles(planned).values() for title in pages} == {"Work order"}
    assert run("undo").status == 0
    assert run("orders", "--out", str(planned)).status == 0
    assert _titles(planned) == first


def test_a_sheet_that_is_none_is_refused_with_what_there_is(planned: Path, run: Any) -> None:
    ran = run("orders", "--out", str(planned), "--with", "lineups")
    assert ran.status == 2
    assert "'lineups' is no sheet: give line-ups, transfers, conditioning, or none" in ran.err
