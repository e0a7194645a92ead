"""Rows from files: what is wrong is named to the cell, and all rows of all files count or none."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from pypdf import PdfReader

Run = Callable[..., Any]


@pytest.fixture
def refused(run: Run, shelf: Path, tmp_path: Path) -> Callable[..., list[str]]:
    """Imports a file that must be refused with that status, the shelf untouched; the lines that say why."""

    def refuse(text: str | bytes, status: int = 1, *options: str) -> list[str]:
        (tmp_path / "bad.csv").write_bytes(text if isinstance(text, bytes) else text.encode())
        before = shelf.read_bytes()
        told = run("import", "bad.csv", *options)
        assert told.status == status, told
        assert shelf.read_bytes() == before and not told.out
        return [line.removeprefix("reelturn: ") for line in told.err.splitlines()]

    return refuse


Refuse = Callable[..., list[str]]


@pytest.mark.parametrize(
    ("column", "text", "right"),
    [
        ("width", "1", "width such as"),
        ("width", "15 ips", "width such as"),
        ("speed", "fast", "speed such as 15 ips"),
        ("speed", "0 ips", "above nothing"),
        ("level", "250", "level such as 250 nWb/m"),
        ("tracks", "sixteen", "whole number from 1"),
        ("tracks", "0", "whole number from 1"),
        ("splices", "-1", "whole number from 0"),
        ("base", "plastic", "polyester, acetate, pvc, paper, unknown"),
        ("condition", "sticky, mould", "joined by ;"),
        ("signs", "squeal", "goes into the column condition"),
        ("condition", "white powder", "goes into the column signs"),
        ("stage", "done", "found, identified, conditioned, aligned, transferred, verified"),
        ("role", "master", "multitrack, mix, calibration"),
        ("wind", "front", "tails, heads"),
        ("heard", "yesterday", "a time as 2026-12-01T19:30"),
        ("heard", "2026-03-29T01:30", "the clock change skips"),
        ("timecode_rate", "23", "24, 25, 29.97, 29.97 DF, 30"),
        ("treatment_hours", "8", "time such as 8 h"),
        ("treatment_hours", "7 min", "multiple of the grid"),
        ("varispeed", "a bit", "percentage"),
    ],
)  # fmt: skip
def test_a_bad_cell_is_named(refused: Refuse, column: str, text: str, right: str) -> None:
    lines = refused(f'reel,{column}\nR-90,\nR-91,"{text}"\n')
    assert len(lines) == 1
    assert lines[0].startswith(f"bad.csv row 3 (R-91), column {column}: ") and text in lines[0], lines
    assert right in lines[0]


def test_every_bad_row_is_named_and_no_row_is_taken(refused: Refuse) -> None:
    lines = refused("reel,width,speed\nR-90,1 in,15 ips\nR-91,1 inn,fast\nR-92,x,\n")
    assert [line.split(",")[0] + line.split("column")[1].split(":")[0] for line in lines] == [
        "bad.csv row 3 (R-91) width", "bad.csv row 3 (R-91) speed", "bad.csv row 4 (R-92) width",
    ]  # fmt: skip


@pytest.mark.parametrize(
    "key", ["", "a;b", "a@b", "a:b", " R-9", "R-9 ", "x" * 41, '"two\nlines"', "bell\x07"]
)
def test_a_key_that_is_none_is_refused(refused: Refuse, key: str) -> None:
    lines = refused(f"reel,notes\n{key},x\n")
    assert len(lines) == 1 and "bad.csv row 2" in lines[0] and "column reel" in lines[0]


def test_a_key_that_is_there_already_is_refused(refused: Refuse) -> None:
    (line,) = refused("reel,notes\nR-001,again\n")
    assert line == (
        "bad.csv: 1 row is on the shelf already (R-001 in row 2): bring it up to date with --update, "
        "or give another key"
    )
    (line,) = refused("reel,notes\nR-90,one\nR-90,two\n")
    assert "row 3" in line and "there already in row 2" in line


def test_update_changes_the_columns_that_the_file_has(run: Run, shelf: Path, tmp_path: Path) -> None:
    before = next(one for one in run("reels", "--json").json if one["reel"] == "R-001")
    (tmp_path / "more.csv").write_text("reel,length,rack\nR-001,1200 ft,7\nR-90,,8\n")
    told = run("import", "more.csv", "--update", "--json")
    assert told.json["added"] == {"reels": 1} and told.json["updated"] == {"reels": 1}
    after = next(one for one in run("reels", "--json").json if one["reel"] == "R-001")
    assert after["play_seconds"] == before["play_seconds"] / 2 and after["stage"] == before["stage"]


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("song,needs\nS-90,R-777\n", "'R-777' is not a reel on the shelf"),
        ("song,needs\nS-90,CAL-1\n", "it calibrates"),
        ("song,needs\nS-90,R-001@4:00-3:00\n", "a span ends after it starts"),
        ("song,needs\nS-90,R-001 and R-002@1\n", "reels joined by ;"),
        ("song,priority\nS-90,10\n", "whole number from 1 to 9"),
        ("song,target_length\nS-90,3.5\n", "a length of time as 12:30"),
        ("reel,chamber,loaded_at\nR-90,C9,2026-12-01T08:00\n", "chamber of the studio (C1)"),
        ("reel,chamber\nR-90,C1\n", "loaded_at"),
        ("sheet,track,copied_from\nT-90,1,R-001\n", "R-001:3 or R-001:3-8"),
        ("sheet,track\nT-90,1\nT-90,1\n", "there already in row 2"),
        ("reel,from,to\nR-001,0:00,1:00\nR-001,0:30,2:00\n", "do not overlap"),
        ("reel,from,to\nR-777,0:00,1:00\n", "not a reel on the shelf"),
        ("at,kind,key\nnoon,reel,R-001\n", "a time as"),
        ("reel,notes\nR-90\n", "1 cells, and the header has 2"),
        ("reel,notes\nR-90,a,b\n", "3 cells, and the header has 2"),
    ],
)  # fmt: skip
def test_what_does_not_go_together_is_refused(refused: Refuse, text: str, says: str) -> None:
    (line,) = refused(text)
    assert says in line and "bad.csv row" in line


@pytest.mark.parametrize(
    ("rows", "row", "column"),
    [
        ("R-001,0:00,1:00\nR-001,0:30,2:00\n", 3, "from"),
        ("R-001,0:30,2:00\nR-001,0:00,1:00\n", 3, "from"),
        ("R-001,0:00,1:00\nR-001,3:00,2:00\n", 3, "to"),
    ],
)
def test_of_parts_of_one_tape_the_wrong_row_is_named_and_of_two_the_later(
    refused: Refuse, rows: str, row: int, column: str
) -> None:
    (line,) = refused(f"reel,from,to\n{rows}")
    assert line.startswith(f"bad.csv row {row} (R-001), column {column}: "), line


@pytest.mark.parametrize(
    ("content", "says"),
    [
        (b"", "no header row"),
        (b"name,notes\nR-1,x\n", "tells no kind of file"),
        (b"reel,notes,notes\nR-1,x,y\n", "'notes' is there twice"),
        (b"reel,notes\nR-1,caf\xe9\n", "not UTF-8"),
        ("reel,notes\nR-1,x\n".encode("utf-16"), "not UTF-8"),
        (b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR", "not a file of text but of another kind"),
        (b"reel,notes\nR-1,a\x00b\n", "NUL"),
        (b'reel,notes\nR-1,"open\n', "not well-formed CSV"),
        (b'reel,notes\nR-1,"a"b\n', "not well-formed CSV"),
    ],
)
def test_a_file_that_is_none_cannot_be_used(refused: Refuse, content: bytes, says: str) -> None:
    (line,) = refused(content, 2)
    assert "bad.csv" in line and says in line


def test_a_missing_file_is_named(run: Run, shelf: Path) -> None:
    told = run("import", "nowhere.csv")
    assert told.status == 2 and "nowhere.csv: cannot be read" in told.err


def test_one_bad_file_keeps_all_others_out(run: Run, shelf: Path, tmp_path: Path) -> None:
    (tmp_path / "good.csv").write_text("reel\nR-90\n")
    (tmp_path / "bad.csv").write_text("song,priority\nS-90,high\n")
    before = shelf.read_bytes()
    assert run("import", "good.csv", "bad.csv").status == 1
    assert shelf.read_bytes() == before


def test_files_are_taken_in_their_order_whatever_the_command_line_says(
    run: Run, shelf: Path, tmp_path: Path
) -> None:
    (tmp_path / "songs.csv").write_text("song,needs\nS-90,R-90@0:10-1:00; R-001\n")
    (tmp_path / "reels.csv").write_text("reel\nR-90\n")
    assert run("import", "songs.csv", "reels.csv").status == 0


def test_a_column_in_another_spelling_is_known(run: Run, shelf: Path, tmp_path: Path) -> None:
    (tmp_path / "reels.csv").write_text("Reel,Box label,Stock,Condition\nR-90,Old hall,Ampex 456,OK\n")
    assert run("import", "reels.csv").status == 0
    reel = next(one for one in run("reels", "--json").json if one["reel"] == "R-90")
    assert reel["stage"] == "found"
    run("export", "out")
    assert "R-90,Old hall," in (tmp_path / "out" / "reels.csv").read_text()


def test_a_new_studio_file_takes_the_place_of_the_old_one_only_on_request(
    run: Run, shelf: Path, demo: Path, tmp_path: Path
) -> None:
    text = (
        (demo / "studio.toml").read_text().replace('assume_length = "2500 ft"', 'assume_length = "1200 ft"')
    )
    (tmp_path / "studio.toml").write_text(text)
    assert run("import", "studio.toml").status == 1
    assert run("import", "studio.toml", "--update").status == 0
    run("export", "out")
    assert 'assume_length = "1200 ft"' in (tmp_path / "out" / "studio.toml").read_text()
    assert run("undo").status == 0


def test_photographs_stay_where_they_are_and_a_missing_one_is_said(
    run: Run, shelf: Path, tmp_path: Path
) -> None:
    (tmp_path / "box.jpg").write_bytes(b"picture")
    (tmp_path / "photos.csv").write_text("reel,photographs\nP-1,box.jpg; 'pictures/the label.jpg'\n")
    told = run("import", "photos.csv")
    assert told.status == 0 and "the label.jpg (P-1) is not there" in told.err and "box.jpg (" not in told.err
    assert "photographs" not in run("set", "P-1", f"photographs={tmp_path / 'box.jpg'}").err
    gone = run("set", "P-1", "photographs=gone.jpg")
    assert gone.status == 0 and "gone.jpg (P-1) is not there" in gone.err
    assert run("print", "reel", "P-1", "--out", "paper").status == 0
    words = "".join(page.extract_text() for page in PdfReader(tmp_path / "paper" / "cards-P-1.pdf").pages)
    assert "photographs: gone.jpg" in words
    run("export", "out")
    assert "gone.jpg" in (tmp_path / "out" / "reels.csv").read_text()
    assert [one.name for one in tmp_path.rglob("*.jpg")] == ["box.jpg"]
