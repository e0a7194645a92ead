"""What both faces print goes through the workbook."""

from dataclasses import replace
from datetime import datetime
from pathlib import Path

import pytest
from pypdf import PdfReader

from core.errors import Refused
from core.plan import Plan
from core.shelf import Shelf
from core.workbook.workbook import Workbook


@pytest.fixture
def book(shelf: Shelf, made: datetime, tmp_path: Path) -> Workbook:
    book = Workbook.create(tmp_path / "quay.json", shelf.studio, lambda: made)
    book.change(
        lambda empty: replace(empty, reels=shelf.reels, songs=shelf.songs, sheets=shelf.sheets), what="all"
    )
    return book


def test_every_kind_of_sheet_prints_into_the_folder(book: Workbook, plan: Plan, tmp_path: Path) -> None:
    book.plans.keep_plan(plan)
    book.plans.keep_plan(replace(plan, items=plan.items[1:]))
    folder = tmp_path / "paper"
    for work in (
        book.papers.orders,
        book.papers.cards,
        book.papers.labels,
        book.papers.sheets,
        book.papers.slips,
    ):
        paths = work(folder, "Letter")
        assert paths and all(path.parent == folder for path in paths)
        assert all(round(PdfReader(path).pages[0].mediabox.height) == 792 for path in paths)


def test_without_a_plan_orders_slips_and_reports_say_what_to_do(book: Workbook, tmp_path: Path) -> None:
    for work in (book.papers.orders, book.papers.slips, book.papers.reports):
        with pytest.raises(Refused):
            work(tmp_path)
    assert book.papers.cards(tmp_path)
