"""Files as other programs write them: separators, line ends, decimal commas, trade words, spreadsheets."""

from __future__ import annotations

import csv
import json
from collections.abc import Callable
from datetime import datetime
from pathlib import Path
from typing import Any

import pytest

from core.store.rows import never_was

Run = Callable[..., Any]

HEADER = ["reel", "box_label", "width", "tracks", "speed", "thickness", "wind", "condition"]
ROWS = [
    ["B-1", 'Harbour; take 2, "dry"', "6.3 mm", "2", "38 cm/s", "1,5 mil", "Tails Out", "Mold"],
    ["B-2", "", "1/4 in", "4", "19 cm/s", "", "heads", "ok"],
]
ONE_READING = ("762.000 m", "1.2 ft", "2.1250 ft", "0.762 m", "2500.125 ft", "2,5 ft")


def reel(run: Run, tmp_path: Path, key: str) -> dict[str, str]:
    """The row of that reel in an export."""
    assert run("export", "out").status == 0
    with (tmp_path / "out" / "reels.csv").open(newline="", encoding="utf-8") as file:
        return next(row for row in csv.DictReader(file) if row["reel"] == key)


@pytest.mark.parametrize("separator", [",", ";", "\t", "|"], ids=["comma", "semicolon", "tab", "stroke"])
@pytest.mark.parametrize("ends", ["\n", "\r\n", "\r"], ids=["lf", "crlf", "cr"])
@pytest.mark.parametrize("quoting", [csv.QUOTE_MINIMAL, csv.QUOTE_ALL], ids=["minimal", "all"])
@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig"])
def test_every_dialect_of_the_csv_module_is_read(
    run: Run, shelf: Path, tmp_path: Path, separator: str, ends: str, quoting: Any, encoding: str
) -> None:
    with (tmp_path / "own.csv").open("w", newline="", encoding=encoding) as file:
        writer = csv.writer(file, delimiter=separator, lineterminator=ends, quoting=quoting)
        writer.writerows([HEADER, *ROWS])
    told = run("import", "own.csv")
    assert (told.status, told.out, told.err) == (0, "added 2 reels\n", "")
    back = reel(run, tmp_path, "B-1")
    # What was typed comes back as it was typed: names of the trade, decimal comma and all.
    assert [back[name] for name in HEADER] == [*ROWS[0][:5], "1,5 mil", "Tails Out", "Mold"]


def test_a_point_that_can_only_be_a_decimal_is_read_so(run: Run, shelf: Path, tmp_path: Path) -> None:
    rows = [f"P-{n};{text}" for n, text in enumerate(ONE_READING)]
    (tmp_path / "own.csv").write_text("\n".join(["reel;length", *rows]), encoding="utf-8")
    assert run("import", "own.csv").out == f"added {len(rows)} reels\n"


def test_names_of_one_thing_are_one_thing(run: Run, shelf: Path, tmp_path: Path) -> None:
    """38 cm/s is 15 ips, 6.3 mm is 1/4 in: nominal names (IEC 60094-1 gives both), and mold is mould."""
    rows = "reel;width;tracks;speed;eq;level;length;stage;condition\n"
    rows += "A;6,3 mm;2;38 cm/s;CCIR;250 nWb/m;762 m;identified;ok\n"
    rows += "B;1/4 in;2;15 ips;IEC1;250 nWb/m;2500 ft;identified;mold\n"
    (tmp_path / "own.csv").write_text(rows, encoding="utf-8")
    assert run("import", "own.csv").status == 0
    listed = {one["reel"]: one for one in json.loads(run("reels", "--json").out)}
    assert listed["A"]["play_seconds"] == listed["B"]["play_seconds"] == 2000
    assert listed["A"]["blocked"] is None and "mould" in listed["B"]["blocked"]


@pytest.mark.parametrize(
    ("column", "text", "says"),
    [
        ("length", "2,500 ft", "a length that reads one way: 2500 ft or 2.5 ft"),
        ("length", "1.200 ft", "a length that reads one way: 1200 ft or 1.2 ft"),
        ("varispeed", "1,500", "a percentage that reads one way: 1500 or 1.5"),
        ("speed", "15", "did you mean 15 ips?"),
        ("speed", "38", "did you mean 38 cm/s?"),
        ("speed", "7 ips", "a speed that a deck runs at (30, 15, 7.5, 3.75, 1.875, 0.9375"),
        ("speed", "150 ips", "a speed that a deck runs at"),
        ("width", "6.3", "did you mean 6.3 mm?"),
        ("width", "3 in", "a width that tape has"),
        ("thickness", "1.5 in", "a thickness that tape has"),
        ("thickness", "9 mil", "a thickness that tape has"),
        ("level", "250", "did you mean 250 nWb/m?"),
        ("level", "+6", "did you mean 355 nWb/m or 369 nWb/m or 399 nWb/m?"),
        ("level", "G320", "did you mean 320 nWb/m or 288 nWb/m?"),
        ("eq", "15", "is not the name of an equalisation such as NAB"),
    ],
)
def test_a_figure_of_two_readings_or_of_nothing_is_refused(
    run: Run, shelf: Path, tmp_path: Path, column: str, text: str, says: str
) -> None:
    (tmp_path / "bad.csv").write_text(f'reel,{column}\nR-90,"{text}"\n', encoding="utf-8")
    told = run("import", "bad.csv")
    assert told.status == 1 and len(told.err.splitlines()) == 1
    assert told.err.startswith(f"reelturn: bad.csv row 2 (R-90), column {column}: '{text}' is not ")
    assert says in told.err


NEVER_WERE = {
    "tracks": ("1000", "a number of tracks that a tape has: at most 48"),
    "splices": ("9999", "a number of splices that a tape has: a whole number from 0 to 1000"),
    "timecode_track": ("49", "a track that a tape has: a whole number from 1 to 48"),
    "treatment_hours": ("1000000 h", "a time for which tape is warmed, such as 8 h: at most 168 h"),
    "varispeed": ("+900 %", "a percentage from -50 to 100"),
    "length": ("99999 ft", "a length that a reel holds, such as 2500 ft: at most 20000 ft"),
    "pack_diameter": ("40 in", "a diameter that a reel has: at most 16 in"),
    "level": ("9999999 nWb/m", "a level that tape takes, such as 250 nWb/m"),
    "year": ("2040", "a year from which a tape can be: 2026 at the latest"),  # it is December 2026 there
}
CAN_BE = "reel,tracks,splices,varispeed,length,pack_diameter,level,year,treatment_hours\n" + (
    "R-91,48,1000,-50 %,20000 ft,14 in,1040 nWb/m,c. 1972 or 3,72 h\n"
    "R-92,1,0,1.5,0.5 in,3 in,20 nWb/m,1928,1 h\n"
)


def test_figures_beyond_any_tape_are_refused_by_file_by_command_and_kept_where_a_shelf_has_them(
    run: Run, shelf: Path, tmp_path: Path
) -> None:
    (tmp_path / "fine.csv").write_text(CAN_BE, encoding="utf-8")
    assert run("import", "fine.csv").status == 0
    rows = [
        ",".join([f"R-9{number}", *("" if name != column else text for name in NEVER_WERE)])
        for number, (column, (text, _)) in enumerate(NEVER_WERE.items(), 3)
    ]
    (tmp_path / "bad.csv").write_text("\n".join([f"reel,{','.join(NEVER_WERE)}", *rows]), encoding="utf-8")
    told = run("import", "bad.csv")
    by_file = told.err.splitlines()
    assert told.status == 1 and len(by_file) == len(NEVER_WERE)
    for number, (column, (text, says)) in enumerate(NEVER_WERE.items(), 2):
        assert f"bad.csv row {number} (R-9{number + 1}), column {column}: '{text}' is not {says}" in told.err
        by_command = run("set", "R-91", f"{column}={text}")
        assert by_command.status == 1 and says in by_command.err, column
    with pytest.MonkeyPatch.context() as before:  # as by a program that took all of it
        before.setattr(never_was, "_BETWEEN", {})
        assert run("set", "R-91", "tracks=1000").status == 0
    assert run("set", "R-91", "contents=still here").status == 0
    assert run("set", "R-91", "tracks=1000").status == 1


def test_a_track_that_no_tape_has_is_refused_on_a_sheet_of_any_tape(
    run: Run, shelf: Path, tmp_path: Path
) -> None:
    """48 of numbers on half an inch is the most that was sold (common practice of the trade)."""
    (tmp_path / "bad.csv").write_text(
        "sheet,reel,track,part,copied_from\nT-91,,49,voice,\nT-91,,48,voice,R-999:49\nT-91,,47,drum,R-999:48\n",
        encoding="utf-8",
    )
    told = run("import", "bad.csv").err.splitlines()
    assert len(told) == 2
    assert "row 2 (T-91), column track: '49' is not a track that a tape has" in told[0]
    assert "row 3 (T-91), column copied_from: 'R-999:49' is not a track that a tape has" in told[1]


def test_an_equalisation_that_no_standard_is_called_is_taken_and_told(
    run: Run, shelf: Path, tmp_path: Path
) -> None:
    """The names are those of IEC 60094-1 and the NAB standard; a house may have a curve of its own."""
    (tmp_path / "own.csv").write_text(
        "reel,speed,eq\nR-95,15 ips,banana\nR-96,15 ips,banana\nR-97,15 ips,ccir\n", encoding="utf-8"
    )
    told = run("import", "own.csv")
    assert told.status == 0 and told.err.count("no standard of the table is called so") == 1
    assert "eq banana of R-95 and R-96: " in told.err
    assert "eq bananas of R-97: no standard" in run("set", "R-97", "eq=bananas").err
    assert run("set", "R-97", "eq=NAB").err == "" == run("set", "R-95", "contents=what").err


@pytest.mark.parametrize(
    ("rows", "says"),
    [
        ("pack_diameter,hub_diameter\nX,4 in,4.5 in\n", "column pack_diameter: '4 in' cannot be"),
        ("reel_size,pack_diameter\nX,7 in,9 in\n", "column pack_diameter: '9 in' cannot be"),
        # 3600 ft: triple play on a 7 in reel, the longest there was (from memory of makers' lists).
        ("reel_size,length\nX,7 in,3700 ft\n", "a 7 in reel holds 3600 ft (1097 m) at most"),
        ("reel_size,length\nX,18 cm,1200 m\n", "a 18 cm reel holds 3600 ft (1097 m) at most"),
        # Of a size that no table has: what the next larger one holds, 1800 ft on 5 in.
        ("reel_size,length\nX,4 in,9000 ft\n", "a 4 in reel holds 1800 ft (549 m) at most"),
        ("tracks,timecode_track\nX,8,16\n", "column timecode_track: '16' cannot be: the tape has 8 tracks"),
        ("condition\nX,ok;sticky\n", "column condition: 'ok;sticky' cannot be"),
    ],
)
def test_figures_that_contradict_one_another_are_refused(
    run: Run, shelf: Path, tmp_path: Path, rows: str, says: str
) -> None:
    (tmp_path / "bad.csv").write_text("reel," + rows, encoding="utf-8")
    told = run("import", "bad.csv")
    assert told.status == 1 and told.err.startswith("reelturn: bad.csv row 2 (X), ") and says in told.err


def own_deck(tmp_path: Path) -> None:
    """A studio.toml with a deck whose head has 17 tracks on 1 in, beside what the shelf's has."""
    deck = 'id = "OWN"\nwidths = ["25.4 mm"]\ntracks = 17\nspeeds = ["15 ips"]\nwind_speed = "180 ips"\n'
    deck += "setup_minutes = 40\ntouch_up_minutes = 15\n"
    studio = (tmp_path / "out/studio.toml").read_text(encoding="utf-8")
    with_it = studio.replace("[capture]", f"[[deck]]\n{deck}\n[capture]")
    (tmp_path / "studio.toml").write_text(with_it, encoding="utf-8")


def test_tracks_of_no_head_that_is_known_are_asked_about_and_those_of_an_own_deck_are_not(
    run: Run, shelf: Path, tmp_path: Path
) -> None:
    has = "1 in has 1, 2, 4, 8, 16, 24 or 32 tracks"
    told = run("set", "R-001", "tracks=17")
    assert told.status == 0 and f"tracks 17 of R-001: {has}" in told.err
    (tmp_path / "odd.csv").write_text(
        "reel,width,tracks\nX,1 in,17\nY,1 in,17\nZ,2 in,24\n", encoding="utf-8"
    )
    told = run("import", "odd.csv")
    assert told.status == 0 and told.err.count(f"tracks 17 of X and Y: {has}") == 1 and "Z" not in told.err
    assert run("export", "out").status == 0
    own_deck(tmp_path)
    assert run("import", "studio.toml", "--update").status == 0
    assert run("set", "R-001", "tracks=16").err == run("set", "R-001", "tracks=17").err == ""


@pytest.mark.parametrize(
    ("width", "tracks", "has"),
    # Narrow tracks of 1/4 in tape are 8 (Restoration Tips & Notes, "Track configurations"); of 1/2 in 48 are
    # the most, of 1 in 32, both of numbers (from memory).
    [("1/4 in", 16, "1/4 in has 1, 2, 4 or 8"), ("6.3 mm", 10, "6.3 mm has"), ("25.4 mm", 48, "25.4 mm has")],
)
def test_more_tracks_than_any_head_has_are_asked_about_by_file_and_command(
    run: Run, shelf: Path, tmp_path: Path, width: str, tracks: int, has: str
) -> None:
    """The table of heads is not whole: a whole list is not refused for one odd tape."""
    (tmp_path / "odd.csv").write_text(f"reel,width,tracks\nX,{width},{tracks}\n", encoding="utf-8")
    told = run("import", "odd.csv")
    assert told.status == 0 and f"tracks {tracks} of X: {has}" in told.err and "is it so?" in told.err
    told = run("set", "X", f"tracks={tracks - 1}")
    assert told.status == 0 and f"tracks {tracks - 1} of X: {has}" in told.err


SHEET = "sheet,reel,song,track,copied_from\n"
REEL = "reel,tracks\nX,8\nY,8\nZ,8\n"


@pytest.mark.parametrize(
    ("rows", "row", "says"),
    [
        ("S,X,,9,\n", 2, "column track: '9' cannot be: X has 8 tracks"),
        ("S,X,,3,Y:9\n", 2, "column copied_from: 'Y:9' cannot be: Y has 8 tracks"),
        ("S,X,,3,X:3\n", 2, "a copy of itself"),
        ("S,X,,3,X:1-4\n", 2, "a copy of itself"),
        ("S,X,,1,Y:1\nT,Y,,1,X:1\n", 3, "copies in a ring (Y:1 from X:1 from Y:1)"),
        ("S,X,,1,Y:1\nT,Y,,1,Z:1\nU,Z,,1,X:1\n", 4, "copies in a ring (Z:1 from X:1 from Y:1 from Z:1)"),
    ],
)
def test_tracks_and_copies_that_cannot_be_are_refused_at_the_later_row(
    run: Run, shelf: Path, tmp_path: Path, rows: str, row: int, says: str
) -> None:
    (tmp_path / "x.csv").write_text(REEL, encoding="utf-8")
    (tmp_path / "sheets.csv").write_text(SHEET + rows, encoding="utf-8")
    told = run("import", "x.csv", "sheets.csv")
    assert told.status == 1 and len(told.err.splitlines()) == 1, told.err
    assert told.err.startswith(f"reelturn: sheets.csv row {row} (") and says in told.err


def test_a_reel_that_comes_to_have_too_few_tracks_is_the_later_row(
    run: Run, shelf: Path, tmp_path: Path
) -> None:
    (tmp_path / "x.csv").write_text(REEL, encoding="utf-8")
    (tmp_path / "sheets.csv").write_text(SHEET + "S,X,,8,\n", encoding="utf-8")
    assert run("import", "x.csv", "sheets.csv").status == 0
    (tmp_path / "less.csv").write_text("reel,tracks\nX,4\n", encoding="utf-8")
    told = run("import", "less.csv", "--update")
    assert told.status == 1
    assert "less.csv row 2 (X), column tracks: '4' cannot be: sheet S has a track 8 on it" in told.err


def test_columns_cut_short_or_in_other_words_are_told_their_names(
    run: Run, shelf: Path, tmp_path: Path
) -> None:
    (tmp_path / "own.csv").write_text(
        "reel;Cond.;Shelf place;Remark;box says;Mood\nA;ok;B2;;Harbour;\n", encoding="utf-8"
    )
    told = " ".join(run("import", "--look", "own.csv").out.split())
    means = {"Cond.": "condition", "Shelf place": "location", "Remark": "notes", "box says": "box_label"}
    assert f"{', '.join(f'{own} (did you mean {ours}?)' for own, ours in means.items())}, Mood" in told


def test_unknown_columns_and_keys_that_come_later_are_one_line_a_file(
    run: Run, shelf: Path, tmp_path: Path
) -> None:
    (tmp_path / "s.csv").write_text(
        "sheet,reel,song,track,plaier,mood\nS,NEW-1,NO-SONG,1,Ilse,calm\nS,NEW-1,,2,Ilse,\nT,NEW-2,,1,,\n",
        encoding="utf-8",
    )
    told = run("import", "s.csv")
    assert told.status == 0 and told.out == "added 3 rows of track sheets\n"
    first, second = told.err.splitlines()
    assert first == (
        "reelturn: s.csv row 1: columns that we do not know, kept as given: 'plaier' (did you mean player?), "
        "'mood'"
    )
    assert second == (
        "reelturn: s.csv: 3 keys are not on the shelf (reel NEW-1 in row 2, song NO-SONG in row 2, "
        "reel NEW-2 in row 4): kept, they may come later"
    )


def test_a_file_that_was_taken_already_is_one_line(run: Run, shelf: Path, tmp_path: Path) -> None:
    assert run("export", "out").status == 0
    told = run("import", "out/reels.csv")
    (line,) = told.err.splitlines()
    assert told.status == 1 and " rows are on the shelf already (R-001 in row 2, " in line
    assert line.count(" in row ") == 3 and "--update" in line
    again = run("import", "out/reels.csv", "--update")
    assert again.status == 0 and again.out.startswith("unchanged ") and len(again.out.splitlines()) == 1


def test_a_look_takes_nothing_and_tells_everything(run: Run, shelf: Path, tmp_path: Path) -> None:
    before = shelf.read_bytes()
    (tmp_path / "own.csv").write_text(
        "reel;spead;notes\nR-001;fast;another word\nR-900;;new\n", encoding="utf-8"
    )
    told = run("import", "--look", "own.csv")
    assert told.status == 1 and shelf.read_bytes() == before
    assert "own.csv: reels, 2 rows" in told.out and "spead (did you mean speed?)" in told.out
    assert "new: 1 reel" in told.out and "changed: 1 reel" in told.out and "nothing was taken" in told.out
    assert "taken only with --update" in told.err
    look = json.loads(run("import", "--look", "--update", "own.csv", "--json").out)
    assert look["new"] == {"reels": 1} and look["changed"] == {"reels": 1} and not look["refused"]
    assert look["files"][0]["unknown"] == {"spead": "speed"} and shelf.read_bytes() == before


def xlsx(path: Path, rows: list[list[Any]], change: Any = None) -> None:
    """A spreadsheet's file as openpyxl writes it."""
    import openpyxl

    book = openpyxl.Workbook()
    sheet: Any = book.active
    for row in rows:
        sheet.append(row)
    if change is not None:
        change(sheet)
    book.save(path)


def ods(path: Path, rows: list[list[Any]], odd: dict[str, Any] | None = None) -> None:
    """A spreadsheet's file as odfpy writes it; ``odd`` are more words of the very last cell."""
    from odf.opendocument import OpenDocumentSpreadsheet
    from odf.table import Table, TableCell, TableRow
    from odf.text import P

    book = OpenDocumentSpreadsheet()
    table = Table(name="tapes")
    for row in rows:
        line = TableRow()
        for place, cell in enumerate(row):
            number = isinstance(cell, int | float)
            made = TableCell(valuetype="float", value=cell) if number else TableCell(valuetype="string")
            if odd is not None and row is rows[-1] and place == len(row) - 1:
                made = TableCell(**odd)
            made.addElement(P(text="" if cell is None else str(cell)))
            line.addElement(made)
        table.addElement(line)
    book.spreadsheet.addElement(table)
    book.save(str(path))


@pytest.mark.parametrize("kind", ["xlsx", "ods"])
def test_a_spreadsheet_is_read_as_it_shows(run: Run, shelf: Path, tmp_path: Path, kind: str) -> None:
    rows = [["Reel", "Box label", "Tracks", "Stock", "Speed"], ["B-1", "Pier, west", 8, 456, "7,5 ips"]]
    (xlsx if kind == "xlsx" else ods)(tmp_path / f"own.{kind}", rows)
    told = run("import", f"own.{kind}")
    assert (told.status, told.out, told.err) == (0, "added 1 reel\n", "")
    back = reel(run, tmp_path, "B-1")
    assert (back["box_label"], back["tracks"], back["stock"], back["speed"]) == (
        "Pier, west", "8", "456", "7,5 ips",
    )  # fmt: skip


def test_times_in_a_spreadsheet_are_read(run: Run, shelf: Path, tmp_path: Path) -> None:
    xlsx(tmp_path / "own.xlsx", [["reel", "heard"], ["B-1", datetime(2026, 11, 3, 20, 15)]])
    assert run("import", "own.xlsx").status == 0
    assert reel(run, tmp_path, "B-1")["heard"] == "2026-11-03T20:15"


def test_merged_cells_and_formulas_without_a_value_are_refused(run: Run, shelf: Path, tmp_path: Path) -> None:
    rows = [["reel", "tracks", "notes"], ["B-1", 8, "a"], ["B-2", None, "b"]]
    before = shelf.read_bytes()
    xlsx(tmp_path / "merged.xlsx", rows, lambda sheet: sheet.merge_cells("B2:B3"))
    told = run("import", "merged.xlsx")
    assert told.status == 2 and told.err.startswith("reelturn: merged.xlsx row 2, column B: cells are merged")
    xlsx(tmp_path / "formula.xlsx", [*rows[:2], ["B-2", "=B2*2", "b"]])
    told = run("import", "formula.xlsx")
    assert told.status == 2 and len(told.err.splitlines()) == 1
    assert told.err.startswith("reelturn: formula.xlsx row 3, column B: a formula that was not worked out")
    assert shelf.read_bytes() == before


@pytest.mark.parametrize(
    ("odd", "shows", "says"),
    [
        ({"numbercolumnsspanned": 2, "valuetype": "string"}, "8", "cells are merged there"),
        ({"numberrowsspanned": 3, "valuetype": "string"}, "8", "cells are merged there"),
        ({"formula": "of:=[.B2]*2"}, "", "a formula that was not worked out"),
        ({"formula": "of:=1/0", "valuetype": "string"}, "#DIV/0!", "the spreadsheet shows an error there"),
    ],
)
def test_an_ods_of_which_a_cell_tells_nothing_is_refused_with_its_cell(
    run: Run, shelf: Path, tmp_path: Path, odd: dict[str, Any], shows: str, says: str
) -> None:
    before = shelf.read_bytes()
    ods(tmp_path / "own.ods", [["reel", "notes", "tracks"], ["B-1", "a", 8], ["B-2", "b", shows]], odd)
    told = run("import", "own.ods", "--look")
    assert told.status == 2 and told.err.startswith(f"reelturn: own.ods row 3, column C: {says}")
    assert shelf.read_bytes() == before


def test_an_ods_with_dates_and_formulas_that_were_worked_out_is_read_as_it_shows(
    run: Run, shelf: Path, tmp_path: Path
) -> None:
    worked = {"formula": "of:=4*4", "valuetype": "float", "value": 16}
    ods(tmp_path / "own.ods", [["reel", "tracks"], ["B-1", "16"]], worked)
    assert run("import", "own.ods").out == "added 1 reel\n"
    day = {"valuetype": "date", "datevalue": "2026-11-03T20:15:00"}
    ods(tmp_path / "day.ods", [["reel", "heard"], ["B-1", "3 Nov 26"]], day)
    assert run("import", "day.ods", "--update").status == 0
    assert [reel(run, tmp_path, "B-1")[name] for name in ("tracks", "heard")] == ["16", "2026-11-03T20:15"]


def test_what_office_programs_and_people_put_above_the_header_is_told(
    run: Run, shelf: Path, tmp_path: Path
) -> None:
    (tmp_path / "sep.csv").write_text("sep=;\r\nreel;width\r\nB-1;1/4 in\r\n", encoding="utf-8")
    assert run("import", "sep.csv").out == "added 1 reel\n"
    (tmp_path / "title.csv").write_text("My tapes,\n,\nreel,width\nB-2,1/4 in\n", encoding="utf-8")
    told = run("import", "title.csv")
    assert told.status == 2 and "row 1: the header stands in row 3: take out what is above it" in told.err


@pytest.mark.parametrize("name", ["own.xlsx", "own.ods"])
def test_a_spreadsheet_that_is_none_is_one_line(run: Run, shelf: Path, tmp_path: Path, name: str) -> None:
    (tmp_path / "whole.xlsx").write_bytes(b"")
    xlsx(tmp_path / "whole.xlsx", [["reel"], ["B-1"]])
    for content in (b"reel\nB-1\n", (tmp_path / "whole.xlsx").read_bytes()[:900], b""):
        (tmp_path / name).write_bytes(content)
        told = run("import", name)
        assert told.status == 2 and len(told.err.splitlines()) == 1, told.err
        assert told.err.startswith(f"reelturn: {name}")


def test_a_bad_last_row_keeps_all_others_out(run: Run, shelf: Path, tmp_path: Path) -> None:
    before = shelf.read_bytes()
    rows = "".join(f"X-{number},1/4 in,15 ips\n" for number in range(5000))
    (tmp_path / "many.csv").write_text("reel,width,speed\n" + rows + "X-last,wide,15 ips\n", encoding="utf-8")
    told = run("import", "many.csv")
    (line,) = told.err.splitlines()
    assert told.status == 1 and line.startswith("reelturn: many.csv row 5002 (X-last), column width: ")
    assert shelf.read_bytes() == before


def test_a_formula_that_was_worked_out_is_read_as_it_shows(run: Run, shelf: Path, tmp_path: Path) -> None:
    """As a spreadsheet saves it: the formula and its value beside; openpyxl itself works nothing out."""
    import zipfile

    xlsx(tmp_path / "bare.xlsx", [["reel", "tracks"], ["B-1", "=4*4"]])
    with zipfile.ZipFile(tmp_path / "bare.xlsx") as bare, zipfile.ZipFile(tmp_path / "own.xlsx", "w") as own:
        for part in bare.namelist():
            content = bare.read(part)
            if part.endswith("sheet1.xml"):
                content = content.replace(b"<v />", b"<v>16</v>").replace(b"<v/>", b"<v>16</v>")
                content = content.replace(b"<v></v>", b"<v>16</v>")
            own.writestr(part, content)
    told = run("import", "own.xlsx")
    assert told.status == 0, told.err
    assert reel(run, tmp_path, "B-1")["tracks"] == "16"


def test_a_file_that_grows_while_it_is_read_is_refused(
    run: Run, shelf: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    before, own = shelf.read_bytes(), tmp_path / "own.csv"
    own.write_text("reel\nB-1\n", encoding="utf-8")
    read = Path.read_bytes

    def growing(path: Path) -> bytes:
        content = read(path)
        if path.name == "own.csv":
            with path.open("a", encoding="utf-8") as file:
                file.write("B-2\n")
        return content

    monkeypatch.setattr(Path, "read_bytes", growing)
    told = run("import", "own.csv")
    assert told.status == 2 and told.err.startswith("reelturn: own.csv: it changed while it was read")
    monkeypatch.undo()
    assert shelf.read_bytes() == before


def test_half_a_file_is_one_line(run: Run, shelf: Path, tmp_path: Path) -> None:
    (tmp_path / "half.csv").write_text('reel,notes\nB-1,whole\nB-2,"broken of', encoding="utf-8")
    told = run("import", "half.csv")
    assert told.status == 2 and len(told.err.splitlines()) == 1
    assert told.err.startswith("reelturn: half.csv row 3: not well-formed CSV")


def test_a_sheet_on_two_reels_is_refused_at_the_later_row(run: Run, shelf: Path, tmp_path: Path) -> None:
    (tmp_path / "s.csv").write_text("sheet,reel,track\nS,R-001,1\nS,R-002,2\n", encoding="utf-8")
    told = run("import", "s.csv")
    assert told.status == 1 and len(told.err.splitlines()) == 1
    assert told.err.startswith(
        "reelturn: s.csv row 3 (S), column reel: 'R-002' cannot be: sheet S is on R-001"
    )


def test_a_column_of_ones_own_is_named_and_what_cannot_be_read_stands_in_the_notes(
    run: Run, shelf: Path, tmp_path: Path
) -> None:
    rows = "reel;Shelf mark;condition;notes\nA;B2;fair;damp box\nB;C1;ok;\n"
    (tmp_path / "own.csv").write_text(rows, encoding="utf-8")
    assert run("import", "own.csv", "--column", "Shelf mark=location").status == 1
    named = ("import", "own.csv", "--column", "Shelf mark=location", "--to-notes", "--update")
    told = run(*named)
    assert told.out == "added 2 reels\n"
    assert "reelturn: 1 cell in the notes, word for word: condition 1\n" in told.err
    kept = reel(run, tmp_path, "A")
    assert (kept["location"], kept["condition"], kept["notes"]) == ("B2", "", "damp box; condition: fair")
    # What was found since stays, and the same file once more brings nothing.
    assert run("set", "A", "condition=sticky").status == 0
    assert run(*named).out == "unchanged 2 reels\n"
    for wrong in ("Shelf mark", "Shelf mark=shelf"):
        told = run("import", "own.csv", "--column", wrong)
        assert told.status == 2 and told.err.startswith(f"reelturn: --column {wrong}: ")
    # A name that no file has is no silence; capitals do not count.
    told = run("import", "own.csv", "--column", "Shelf makr=location")
    there = "'reel', 'Shelf mark', 'condition', 'notes'"
    assert (told.status, told.err) == (2, f"reelturn: no column is called 'Shelf makr': there are {there}\n")
    assert run(*(word.replace("Shelf", "shelf") for word in named)).out == "unchanged 2 reels\n"
    # A key is never left out for the notes.
    (tmp_path / "no.csv").write_text("reel,width\n,1 in\n", encoding="utf-8")
    assert run("import", "no.csv", "--to-notes").status == 1


def test_what_takes_bare_numbers_is_said_once_behind_what_they_were_refused_for(
    run: Run, shelf: Path, tmp_path: Path
) -> None:
    bare = tmp_path / "bare.csv"
    bare.write_text("reel,width,tracks,speed\nA,1/4,2,15\nB,1/2,8,7.5\nC,1/4,2,fast\n")
    hint = "5 of these are numbers without a unit where just one makes sense: --bare takes them so"
    for words in (("import",), ("import", "--look")):
        told = run(*words, str(bare))
        assert told.status == 1 and told.err.splitlines()[-1].endswith(hint) and told.err.count("--bare") == 1
    left = run("import", "--bare", str(bare))
    assert left.status == 1 and "'fast'" in left.err and "--bare" not in left.err


@pytest.mark.parametrize(
    ("written", "is_in"),
    [
        ("1/4 Zoll", "1/4 in"), ("1 Zoll", "1 in"), ("halbzoll", "1/2 in"), ("Viertelzoll", "1/4 in"),
        ("2 pulgadas", "2 in"), ("1/2 pouce", "1/2 in"), ("6,3 mm", "6,3 mm"),
        ("quarter inch", "quarter inch"),
    ],
)  # fmt: skip
def test_a_width_in_a_file_reads_as_it_does_on_a_box(
    run: Run, shelf: Path, tmp_path: Path, written: str, is_in: str
) -> None:
    (tmp_path / "own.csv").write_text(f"reel;width\nB-1;{written}\n", encoding="utf-8")
    told = run("import", "own.csv")
    assert (told.status, told.err) == (0, "")
    assert reel(run, tmp_path, "B-1")["width"] == is_in
