"""What is read at the deck is set in 10 points or more, as an independent reader finds it in the PDF."""

from __future__ import annotations

from datetime import datetime
from io import BytesIO
from pathlib import Path
from typing import Any

from pypdf import PdfReader

from core.paper.evening.lineup_sheet import lineup_pdf
from core.paper.evening.orders import print_orders
from core.paper.shelf.track_sheet import track_sheets
from core.plan import Plan
from core.shelf import Shelf


def sizes(pdf: bytes) -> list[tuple[str, float]]:
    """Every piece of text of the first page with its size."""
    found: list[tuple[str, float]] = []

    def seen(text: str, matrix: Any, placed: Any, font: Any, size: float) -> None:
        if text.strip():
            found.append((text.strip(), round(float(size), 1)))

    PdfReader(BytesIO(pdf)).pages[0].extract_text(visitor_text=seen)
    return found


def of(pdf: bytes, words: str) -> float:
    """The smallest size of the pieces that hold these words."""
    return min(size for text, size in sizes(pdf) if words in text)


def test_hours_heads_and_names_are_read_at_arms_length(
    shelf: Shelf, plan: Plan, made: datetime, tmp_path: Path
) -> None:
    order = next(iter(print_orders(shelf, plan, tmp_path, made=made))).read_bytes()
    assert of(order, "bench 19:00 to 22:30; loud until") == 12  # until when it may be loud is a time
    lined = lineup_pdf(shelf, plan, plan.items[1], made=made)
    assert of(lined, "track 9") >= 10 and of(lined, "19:10 to 19:25") == 12
    reel = shelf.reel("R-001")
    (row, *_) = shelf.sheets_of("R-001")
    sheet = track_sheets(shelf, [reel], made=made)
    assert of(sheet, row.part) >= 10 and of(sheet, row.player) >= 10


def test_a_cell_that_holds_much_is_set_smaller_and_loses_nothing(
    shelf: Shelf, made: datetime, words: Any
) -> None:
    from dataclasses import replace

    (row, *rest) = shelf.sheets_of("R-001")
    long = "a part with a name of many words that nobody would write so"
    much = replace(
        row, part=long, player="somebody with two names and a third", take="12", notes=f"{long} twice"
    )
    full = replace(shelf, sheets=(much, *rest))
    told = " ".join(words(track_sheets(full, [full.reel("R-001")], made=made)).split())
    assert long in told and f"{long} twice" in told and "take 12" in told
