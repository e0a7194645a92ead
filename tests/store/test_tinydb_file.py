"""The shelf is a TinyDB file: TinyDB itself opens it; big results lie beside it."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from tinydb import TinyDB, where

from core.errors import Unusable
from core.workbook.workbook import Workbook


def test_tinydb_reads_the_shelf(book: Workbook) -> None:
    with TinyDB(book.path, access_mode="r") as database:
        found = database.table("reels").get(where("reel") == "R-001")
        assert found["width"] == "1 in" and found["stage"] == "conditioned"
        assert len(database.table("songs")) == len(book.shelf.songs)
        assert database.table("shelf").all()[0]["version"] == 1


def test_quantities_are_kept_as_typed_with_their_exact_number(book: Workbook) -> None:
    with TinyDB(book.path, access_mode="r") as database:
        kept = {one["text"]: one["number"] for one in database.table("quantities")}
    assert kept["2400 ft"] == "28800"  # inches, by the definition of the foot
    assert kept["1/4 in"] == "1/4"


def test_big_results_lie_beside_and_come_back(
    book: Workbook, reopened: Callable[[Workbook], Workbook]
) -> None:
    strip = {"rows": "abc" * 1000, "columns": 3}
    size = book.path.stat().st_size
    book.change(lambda s: s.with_record("strip", "R-021 pass 1", strip), what="strip")
    assert book.path.stat().st_size < size + 2000
    assert reopened(book).shelf.of_kind("strip")["R-021 pass 1"] == strip


def test_a_lost_big_result_is_named_when_it_is_asked_for(
    book: Workbook, reopened: Callable[[Workbook], Workbook]
) -> None:
    book.change(lambda s: s.with_record("strip", "R-021 pass 1", {"rows": "x"}), what="strip")
    for file in book.path.with_name(f"{book.path.name}.d").iterdir():
        file.unlink()
    other = reopened(book)
    with pytest.raises(Unusable, match="kept beside the shelf"):
        other.shelf.of_kind("strip")["R-021 pass 1"]
