"""The album's sheet and its credits on paper, printed by the command and read back by pypdf."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pypdf

from core.release.steps import with_step
from core.shelf import Shelf
from core.workbook.workbook import Workbook


def test_the_album_sheet_is_one_page_with_what_is_missing_and_the_credits_follow(
    run: Any, shelf: Path, tmp_path: Path
) -> None:
    run("step", "S-02", "edit =SUM(1) <b>", "--who", "Ulla")
    run("credit", "Bo Merrow", "--asked", "2026-11-20", "--named", "Bø Merrow")
    done = run("print", "album", "--out", str(tmp_path / "out"))
    assert done.status == 0
    (file,) = (tmp_path / "out").glob("album-*.pdf")
    pages = [page.extract_text() for page in pypdf.PdfReader(file).pages]
    assert len(pages) == 2
    sheet, credits = pages
    assert "Album: Salt Road" in sheet and "compact disc: fits" in sheet and "the tapes" in sheet
    assert "edit =SUM(1) <b>, Ulla" in sheet
    assert "Bø Merrow (Bo Merrow on the sheets)" in credits.replace("\n", " ") and "2026-11-20" in credits


def test_forty_songs_with_much_missing_are_still_one_page(run: Any, shelf: Path, tmp_path: Path) -> None:
    rows = [f"X-{n:02},A song with a rather long title {n},Long One,{n},3:0{n % 10}," for n in range(1, 41)]
    (tmp_path / "songs.csv").write_text("song,title,album,order,target_length,needs\n" + "\n".join(rows))
    assert run("import", str(tmp_path / "songs.csv")).status == 0
    run("print", "album", "--out", str(tmp_path / "out"))
    (file,) = (tmp_path / "out").glob("album-Long-One*.pdf")
    pages = [page.extract_text() for page in pypdf.PdfReader(file).pages]
    assert "Album: Long One" in pages[0] and "page 1 of" in pages[0]
    assert all(page.startswith("Credits: Long One") for page in pages[1:]) and "long title 40" in pages[0]


def test_what_is_missing_goes_on_behind_the_one_page(run: Any, shelf: Path, tmp_path: Path) -> None:
    rows = [f"X-{n:02},Song {n},Long One,{n},3:00," for n in range(1, 31)]
    (tmp_path / "songs.csv").write_text("song,title,album,order,target_length,needs\n" + "\n".join(rows))
    assert run("import", str(tmp_path / "songs.csv")).status == 0
    told = [f"{what} {n}" for n in range(1, 31) for what in ("edit the coda", "ask for a fiddle", "clean it")]

    def act(one: Shelf) -> Shelf:
        for number, text in enumerate(told):
            one = with_step(one, f"X-{number // 3 + 1:02}", text, "Ulla", None, "")
        return one

    Workbook.open(shelf, lambda: datetime.now(UTC)).change(act, what="steps")
    run("print", "album", "--out", str(tmp_path / "out"))
    (file,) = (tmp_path / "out").glob("album-Long-One*.pdf")
    pages = [page.extract_text() for page in pypdf.PdfReader(file).pages]
    assert "more, on the next page" in pages[0] and pages[1].startswith("Still missing: Long One")
    words = " ".join(" ".join(pages).split())
    assert not [one for one in told if f"{one}, Ulla" not in words]  # on one page or the other, all of it
