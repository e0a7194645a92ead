"""An evening on two pages, a Saturday on four; sheets to fill in where they were chosen, once."""

from __future__ import annotations

import re
from datetime import date
from functools import cache
from io import BytesIO
from pathlib import Path
from typing import Any

import pytest
from pypdf import PdfReader


@cache
def _heads(pdf: bytes) -> list[str]:
    """The head of every page."""
    return [page.extract_text().split("\n")[0] for page in PdfReader(BytesIO(pdf)).pages]


def _titles(folder: Path) -> dict[date, list[str]]:
    """By evening, the head of every page of its PDF."""
    files = sorted(folder.glob("order-*.pdf"))
    return {date.fromisoformat(file.stem[6:]): _heads(file.read_bytes()) for file in files}


@pytest.fixture
def planned(shelf: Path, once: Any) -> Path:
    """The made-up shelf with a kept plan of three weeks."""
    assert once(("plan", "--days", "21", "--effort", "0.5", "--json")).status == 0
    return shelf.parent / "out"


@pytest.fixture
def printed(shelf: Path, once: Any) -> Path:
    """The folder with the orders of those three weeks."""
    assert once(("plan", "--days", "21", "--effort", "0.5", "--json"), ("orders", "--out", "out")).status == 0
    return shelf.parent / "out"


def test_an_evening_is_two_pages_and_a_saturday_four(printed: Path) -> None:
    titles = _titles(printed)
    assert len(titles) >= 6
    for day, pages in titles.items():
        assert len(pages) <= (4 if day.weekday() == 5 else 2), day
        assert all(title.startswith("Work order") for title in pages)


def test_an_empty_run_stands_behind_the_reels_so_that_the_order_keeps_its_two_pages(printed: Path) -> None:
    runs = 0
    for file in printed.glob("order-*.pdf"):
        text = " ".join(page.extract_text() for page in PdfReader(file).pages)
        if "Empty run of" in text:
            runs += 1
            assert "The reels" not in text or text.index("The reels") < text.index("Empty run of")
            assert text.index("Empty run of") < text.index("Take care") < text.index("Before you leave")
    assert runs == 1


def test_every_evening_with_a_look_has_its_lines_on_the_order(printed: Path) -> None:
    told = []
    for file in sorted(printed.glob("order-*.pdf")):
        text = " ".join(" ".join(page.extract_text() for page in PdfReader(file).pages).split())
        keys = re.findall(r"Identify ((?:R|CAL)-\d+): ", text)
        roomy, close = "To identify is to look" in text, "Digit or word: condition" in text
        under = " base was seen " in text.partition("The reels")[0]
        assert sum((roomy, close, under)) == bool(keys), file.name
        assert "inspection list" not in text
        told += [(roomy, close, under)] if keys else []
    assert len(set(told)) > 1


def test_an_order_is_set_closer_where_that_spares_a_page(
    planned: Path, run: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Notes on its tapes fill an evening until the closing look would stand alone behind the cautions."""
    assert run("plan", "--days", "3", "--seconds", "0").status == 0
    for reel in ("R-008", "R-011"):
        assert run("set", reel, f"notes={'wind by hand near the end. ' * 20}").status == 0
    assert run("orders", "--out", str(planned), "--with", "none").status == 0
    close = _titles(planned)
    monkeypatch.setattr("core.paper.evening.work_order.CLOSER", (0,))
    assert run("orders", "--out", str(planned / "loose")).status == 0
    loose = _titles(planned / "loose")
    tonight = date(2026, 12, 1)
    assert (len(loose[tonight]), len(close[tonight])) == (3, 2)
    assert all(len(close[day]) <= len(pages) for day, pages in loose.items())


def test_sheets_to_fill_in_are_chosen_once(shelf: Path, once: Any, run: Any) -> None:
    assert once(("plan", "--days", "3", "--seconds", "0")).status == 0
    planned = shelf.parent / "out"
    assert run("orders", "--out", str(planned), "--with", "looks, line-ups, transfers").status == 0
    first = _titles(planned)
    heads = {title.split(",")[0] for pages in first.values() for title in pages}
    assert heads >= {"Work order", "Transfer log", "What is seen"}
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
    assert "'lineups' is no sheet: give looks, line-ups, transfers, conditioning, or none" in ran.err


def _pieces(page: Any) -> list[tuple[float, str]]:
    """Every line of text of a page with its size in points, as pypdf reads them.

    What stands right of the columns of times is told after a space: a time in a sentence is none of theirs.
    """
    found: list[tuple[float, str]] = []

    def seen(text: str, cm: list[float], _tm: Any, _font: Any, size: float) -> None:
        if text.strip():
            found.append((round(size, 1), text.strip() if cm[4] < 150 or size >= 11 else f" {text.strip()}"))

    page.extract_text(visitor_text=seen)
    return found


def test_what_is_read_at_the_deck_is_ten_points_and_times_twelve(printed: Path) -> None:
    for file in printed.glob("order-*.pdf"):
        pages = [_pieces(page) for page in PdfReader(BytesIO(file.read_bytes())).pages]
        texts = [text.strip() for _, text in pages[0]]
        body = pages[0][
            texts.index("Fetch, along the shelf") :
        ]  # under the head, whose small print says more
        form = ("What is seen", "Take care")  # lines to fill in, as behind an order; cautions
        ends = next((n for n, (_, text) in enumerate(body) if text.strip() in form), len(body))
        body = [one for one in body[:ends] if not one[1].strip().startswith(("Printed ", "page "))]
        assert min(size for size, _ in body) >= 10, file.name
        clocks = [size for size, text in body if re.fullmatch(r"\d\d:\d\d", text)]
        assert clocks and min(clocks) >= 12
        last = [one for page in pages for one in page]
        start = [text.strip() for _, text in last].index("Before you leave")
        closing = [one for one in last[start:] if not one[1].strip().startswith(("Printed ", "page "))]
        closing = [
            one for one in closing if one[1].strip() != "Marram Wharf" and not one[1].startswith("bench ")
        ]
        assert min(size for size, _ in closing) >= 10


def test_the_fetch_list_comes_first_and_the_closing_look_last(printed: Path, run: Any) -> None:
    for file in printed.glob("order-*.pdf"):
        pages = PdfReader(BytesIO(file.read_bytes())).pages
        first = pages[0].extract_text()
        assert 0 <= first.index("Fetch, along the shelf") < first.index("Step by step"), file.name
        text = pages[-1].extract_text()
        told = " ".join(" ".join(page.extract_text() for page in pages).split())
        assert "Before you leave" in text and "Put back" in told
        assert text.index("Before you leave") > text.find("Take care")
    calendar = run("calendar").out
    unfolded = calendar.replace("\r\n ", "").replace("\n ", "")
    assert "Before you leave: Put back: " in unfolded
