"""The folder beside the shelf is lost: one reel's missing picture stops nothing that is about another."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from core.errors import Unusable
from core.store.disk.records import folder_beside
from core.store.studio.studio_toml import read_studio_file
from core.workbook.workbook import Workbook
from tui.commands.around import now

DEMO = Path(__file__).resolve().parents[2] / "demo"


@pytest.fixture
def book(tmp_path: Path) -> Workbook:
    """Two reels' levels kept, and the folder that holds them gone."""
    made = Workbook.create(tmp_path / "s.json", read_studio_file(DEMO / "studio.toml"), now)
    made.import_files([DEMO / "reels.csv"])
    for key in ("R-001 pass 1", "R-002 pass 1"):
        made.change(lambda shelf, key=key: shelf.with_record("strip", key, {"rows": key}), what="check")
    shutil.rmtree(folder_beside(tmp_path / "s.json"))
    return Workbook.open(tmp_path / "s.json", now)


def test_another_reels_result_is_kept_all_the_same(book: Workbook, tmp_path: Path) -> None:
    book.change(lambda shelf: shelf.with_record("strip", "R-003 pass 1", {"rows": "new"}), what="check")
    again = Workbook.open(tmp_path / "s.json", now).shelf.of_kind("strip")
    assert set(again) == {"R-001 pass 1", "R-002 pass 1", "R-003 pass 1"}
    assert again["R-003 pass 1"] == {"rows": "new"}


def test_the_lost_one_is_checked_again(book: Workbook, tmp_path: Path) -> None:
    book.change(lambda shelf: shelf.with_record("strip", "R-001 pass 1", {"rows": "again"}), what="check")
    assert Workbook.open(tmp_path / "s.json", now).shelf.of_kind("strip")["R-001 pass 1"] == {"rows": "again"}


def test_the_line_says_what_to_do(book: Workbook) -> None:
    strips = book.shelf.of_kind("strip")
    assert "R-001 pass 1" in strips and "R-009 pass 1" not in strips
    with pytest.raises(Unusable, match="put it back from your own backup, or check the reel's files again"):
        strips["R-001 pass 1"]
