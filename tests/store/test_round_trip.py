"""An export imports to an equal shelf, and the next export is the same to the byte."""

from __future__ import annotations

import csv
import io
from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from core.logbook.noted import noted_of
from core.store.exchange.exports import files_of
from core.store.studio.studio_toml import read_studio_file
from core.workbook.workbook import Workbook

Now = Callable[[], datetime]
NAMES = ("studio.toml", "reels.csv", "songs.csv", "sheets.csv", "history.csv", "segments.csv", "records.json")


def taken_back(export: Path, where: Path, now: Now, *, one_by_one: bool = False) -> Workbook:
    """A new shelf from the files of an export."""
    back = Workbook.create(where, read_studio_file(export / "studio.toml"), now)
    files = [export / name for name in NAMES[1:]]
    for batch in [[file] for file in files] if one_by_one else [files]:
        back.import_files(batch)
    return back


def same(one: Workbook, other: Workbook) -> bool:
    """Equal apart from what tells one file from another."""
    return replace(one.shelf, name="", revision=0) == replace(other.shelf, name="", revision=0)


@pytest.fixture
def busy(book: Workbook) -> Workbook:
    """The made-up shelf after an evening's work."""
    book.mark("R-008", "conditioned")
    book.mark("R-008", "aligned")
    book.load("C1", ["R-002", "R-007"], note="first load", because="we stay up")
    book.note("R-009", "smells of wax, not of vinegar")
    book.change(lambda s: s.choosing("units", {"length": "m"}), what="units")
    book.change(lambda s: s.with_record("strip", "R-021 pass 1", {"rows": "x" * 5000}), what="strip")
    book.undo()
    return book


@pytest.mark.parametrize("one_by_one", [False, True])
def test_a_busy_shelf_comes_back_whole(busy: Workbook, tmp_path: Path, now: Now, one_by_one: bool) -> None:
    busy.export(tmp_path / "out")
    back = taken_back(tmp_path / "out", tmp_path / "back.json", now, one_by_one=one_by_one)
    back.export(tmp_path / "again")
    for name in NAMES:
        assert (tmp_path / "again" / name).read_bytes() == (tmp_path / "out" / name).read_bytes(), name
    assert same(busy, back)


def test_a_note_that_was_taken_back_is_so_on_the_shelf_that_came_back(
    busy: Workbook, tmp_path: Path, now: Now
) -> None:
    assert busy.undo() == "taken back: note on R-009" and not noted_of(busy.shelf, "R-009")
    busy.export(tmp_path / "out")
    back = taken_back(tmp_path / "out", tmp_path / "back.json", now)
    assert not noted_of(back.shelf, "R-009")
    assert back.redo() == "done again: note on R-009"
    assert [one.note for one in noted_of(back.shelf, "R-009")] == ["smells of wax, not of vinegar"]


def test_a_note_that_was_taken_off_is_so_on_the_shelf_that_came_back(
    busy: Workbook, tmp_path: Path, now: Now
) -> None:
    busy.note("R-009", "of another tape")
    busy.take_note_off(noted_of(busy.shelf, "R-009")[-1])
    busy.export(tmp_path / "out")
    back = taken_back(tmp_path / "out", tmp_path / "back.json", now)
    assert [one.note for one in noted_of(back.shelf, "R-009")] == ["smells of wax, not of vinegar"]
    assert back.undo() == "taken back: take a note off R-009" and len(noted_of(back.shelf, "R-009")) == 2


def test_notes_of_another_shelf_stand_as_they_stood_there_and_hide_none_of_this_one(
    busy: Workbook, tmp_path: Path, now: Now
) -> None:
    """The numbers of its changes are that shelf's own: here another change has each."""
    own = Workbook.create(tmp_path / "own.json", busy.shelf.studio, now)
    own.change(lambda s: s.with_reel(busy.shelf.reel("R-009")), what="a reel of its own")
    busy.undo()  # the note on R-009
    busy.note("R-009", "stays")
    busy.note("R-009", "a slip")
    busy.take_note_off(noted_of(busy.shelf, "R-009")[-1])
    busy.note("R-009", "taken off and back")
    busy.take_note_off(noted_of(busy.shelf, "R-009")[-1])
    busy.undo()
    busy.export(tmp_path / "out")
    for number in range(20):
        own.note("R-009", f"own {number}")
    own.import_files([tmp_path / "out" / "history.csv"], update=True)
    told = [one.note for one in noted_of(own.shelf, "R-009")]
    assert {"stays", "taken off and back", *(f"own {number}" for number in range(20))} == set(told)
    own.import_files([tmp_path / "out" / "history.csv"], update=True)
    assert [one.note for one in noted_of(own.shelf, "R-009")] == told


def test_undo_still_works_on_the_shelf_that_came_back(busy: Workbook, tmp_path: Path, now: Now) -> None:
    busy.export(tmp_path / "out")
    back = taken_back(tmp_path / "out", tmp_path / "back.json", now)
    assert back.undo() == "taken back: note on R-009"
    assert back.undo() == "taken back: load C1: R-002, R-007"
    assert not back.shelf.reel("R-002").chamber


def test_unknown_columns_come_back_in_the_order_first_seen(empty: Workbook, write: Any) -> None:
    first = write("reels.csv", "reel,rack,colour of box\nR-1,,red\n")
    empty.import_files([first])
    second = write("more.csv", "smell,reel,rack\nwax,R-2,7\n")
    empty.import_files([second])
    header, *rows = csv.reader(io.StringIO(files_of(empty.shelf)["reels.csv"]))
    assert header[-3:] == ["rack", "colour of box", "smell"]
    assert [row[-3:] for row in rows] == [["", "red", ""], ["7", "", "wax"]]


def test_text_that_a_spreadsheet_takes_for_a_formula_comes_back_unchanged(
    empty: Workbook, write: Any
) -> None:
    nasty = [
        '=HYPERLINK("x")',
        "+1",
        "-1",
        "@SUM(A1)",
        "'quoted",
        '"',
        "a,b",
        "two\nlines",
        "two\r\nlines",
        "\ttab",
    ]
    with (path := write("reels.csv", "")).open("w", newline="", encoding="utf-8-sig") as file:
        writer = csv.writer(file)
        writer.writerow(["reel", "notes"])
        writer.writerows([f"R-{n}", text] for n, text in enumerate(nasty))
    empty.import_files([path])
    rows = list(csv.DictReader(io.StringIO(files_of(empty.shelf)["reels.csv"], newline="")))
    assert [row["notes"] for row in rows] == nasty


@pytest.mark.parametrize("line_end", ["\n", "\r\n"])
@pytest.mark.parametrize("bom", ["", "\ufeff"])
def test_line_ends_and_byte_order_marks_do_not_matter(
    empty: Workbook, write: Any, line_end: str, bom: str
) -> None:
    text = line_end.join(["reel,width,condition", "R-1,1/4 in,ok", ""])
    empty.import_files([write("reels.csv", bom + text)])
    assert empty.shelf.reel("R-1").condition == ("ok",)


def test_a_file_with_just_a_header_imports_nothing(empty: Workbook, write: Any) -> None:
    before = empty.path.read_bytes()
    report = empty.import_files([write("reels.csv", "reel,width\n"), write("history.csv", "at,kind,key\n")])
    assert report.added == {}
    assert empty.path.read_bytes() == before


def test_a_time_in_the_hour_that_a_clock_change_repeats_keeps_its_offset(empty: Workbook, write: Any) -> None:
    # Lisbon, 25 October 2026: 02:00 WEST becomes 01:00 WET, so 01:30 is there twice (IANA tz database).
    text = "reel,heard\nR-1,2026-10-25T01:30\nR-2,2026-10-25T01:30+00:00\nR-3,2026-10-25T01:30+01:00\n"
    empty.import_files([write("reels.csv", text)])
    heard = [reel.heard.astimezone(UTC).hour for reel in empty.shelf.reels.values() if reel.heard]
    assert heard == [0, 1, 0]
    rows = list(csv.DictReader(io.StringIO(files_of(empty.shelf)["reels.csv"])))
    assert [row["heard"] for row in rows] == [
        "2026-10-25T01:30",
        "2026-10-25T01:30+00:00",
        "2026-10-25T01:30",
    ]


_text = st.text(st.characters(blacklist_categories=["Cs"], blacklist_characters="\0"), max_size=30)
_key = st.from_regex(r"[A-Za-z0-9_-]{1,12}", fullmatch=True)
_choice = st.sampled_from
_reel = st.fixed_dictionaries(
    {},
    optional={
        "box_label": _text,
        "notes": _text,
        "location": _text,
        "an own column": _text,
        "role": _choice(["multitrack", "mix", "calibration"]),
        "width": _choice(["1 in", "1/4 in", "6.3 mm", '1/2"', "25.4mm"]),
        "tracks": st.integers(1, 32).map(str),
        "speed": _choice(["15 ips", "7 1/2 ips", "38.1 cm/s", "7,5 ips"]),
        "level": _choice(["250 nWb/m", "320 nWb/m"]),
        "length": _choice(["2500 ft", "762 m"]),
        "splices": st.integers(0, 99).map(str),
        "condition": _choice(["sticky", "ok", "splices;edge", "Vinegar; mould"]),
        "heard": st.datetimes(datetime(1990, 1, 1), datetime(2030, 12, 31)).map(
            lambda t: t.strftime("%Y-%m-%dT%H:%M+02:00")
        ),
        "varispeed": _choice(["-1.5", "2 %"]),
        "timecode_rate": _choice(["25", "29.97 DF", "29.97"]),
        "treatment_hours": _choice(["8 h", "90 min", "1h30"]),
    },
)
_song = st.fixed_dictionaries(
    {}, optional={"title": _text, "todo": _text, "target_length": _choice(["3:50", "1:02:30", "0:59.5"])}
)


@settings(max_examples=12, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(reels=st.dictionaries(_key, _reel, max_size=6), songs=st.dictionaries(_key, _song, max_size=4))
def test_any_shelf_comes_back_equal(
    reels: dict[str, dict[str, str]], songs: dict[str, dict[str, str]], tmp_path_factory: Any, now: Now
) -> None:
    folder: Path = tmp_path_factory.mktemp("shelf")
    demo = Path(__file__).resolve().parents[2] / "demo"
    book = Workbook.create(folder / "tapes.json", read_studio_file(demo / "studio.toml"), now)
    needed = [key for key, cells in reels.items() if cells.get("role") != "calibration"]
    for song in songs.values():
        song["needs"] = "; ".join([f"{key}@0:10-3:20.5" for key in needed[:1]] + needed[1:2])
    for name, first, rows in (("reels.csv", "reel", reels), ("songs.csv", "song", songs)):
        header = list(dict.fromkeys([first, *(column for cells in rows.values() for column in cells)]))
        with (folder / name).open("w", newline="", encoding="utf-8") as file:
            writer = csv.DictWriter(file, header)
            writer.writeheader()
            writer.writerows({first: key, **cells} for key, cells in rows.items())
    book.import_files([folder / "reels.csv", folder / "songs.csv"])
    book.export(folder / "out")
    back = taken_back(folder / "out", folder / "back.json", now)
    back.export(folder / "again")
    for name in NAMES:
        assert (folder / "again" / name).read_bytes() == (folder / "out" / name).read_bytes(), name
    assert same(book, back)
