"""Changing one's mind by command: set, rename, remove, merge, split, hours; each one undo."""

from __future__ import annotations

import csv
import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

Run = Callable[..., Any]


def rows(run: Run, tmp_path: Path, name: str = "reels.csv") -> list[dict[str, str]]:
    """The rows of a file of a fresh export."""
    assert run("export", "out").status == 0
    with (tmp_path / "out" / name).open(newline="", encoding="utf-8") as file:
        return list(csv.DictReader(file))


def of(found: list[dict[str, str]], column: str, key: str) -> dict[str, str]:
    """The one row of that key."""
    (row,) = [row for row in found if row[column] == key]
    return row


def whole(tmp_path: Path, run: Run) -> dict[str, bytes]:
    """Every file of an export but the history, which tells of everything that was done."""
    folder = tmp_path / "whole"
    assert run("export", "whole").status == 0
    return {path.name: path.read_bytes() for path in folder.iterdir() if path.name != "history.csv"}


def test_fields_are_set_as_the_columns_are_read(run: Run, shelf: Path, tmp_path: Path) -> None:
    before = whole(tmp_path, run)
    told = run("set", "R-001", "speed=38 cm/s", "Box-Label=Harbour, first", "stage=identified", "splices=")
    assert told.status == 0 and not told.err
    row = of(rows(run, tmp_path), "reel", "R-001")
    assert (row["speed"], row["box_label"], row["stage"], row["splices"]) == (
        "38 cm/s", "Harbour, first", "identified", "",
    )  # fmt: skip
    assert run("undo").status == 0 and whole(tmp_path, run) == before


@pytest.mark.parametrize(
    ("words", "status", "says"),
    [
        (["R-001", "spede=15 ips"], 1, "no field 'spede': did you mean speed?"),
        (["R-001", "reel=R-9"], 1, "reelturn rename"),
        (["R-001", "speed=fast"], 1, "set R-001, column speed: 'fast' is not a speed such as"),
        (["R-001", "tracks=8", "timecode_track="], 1, "set R-001, column tracks: '8' cannot be: sheet "),
        (["R-001", "timecode_track=17"], 1, "column timecode_track: '17' cannot be: the tape has 16 tracks"),
        (["R-001", "chamber=C9", "loaded_at=2026-12-01T18:00"], 1, "'C9' is not a chamber of the studio"),
        (["R-0001", "notes=x"], 1, "no reel, song or sheet 'R-0001' on this shelf: did you mean R-001?"),
        (["R-001", "speed"], 2, "'speed' is not FIELD=VALUE"),
        (["R-001"], 2, "say what to set"),
    ],
)
def test_what_cannot_be_set_is_one_line(
    run: Run, shelf: Path, words: list[str], status: int, says: str
) -> None:
    before = shelf.read_bytes()
    told = run("set", *words)
    assert told.status == status and says in told.err and len(told.err.splitlines()) == 1, told
    assert shelf.read_bytes() == before


def test_a_song_that_comes_to_need_a_calibration_reel_is_refused(
    run: Run, shelf: Path, tmp_path: Path
) -> None:
    need = next(row for row in rows(run, tmp_path, "songs.csv") if row["needs"])
    reel = need["needs"].partition(";")[0].partition("@")[0].strip()
    told = run("set", reel, "role=calibration")
    assert told.status == 1 and "it calibrates" in told.err
    told = run("set", "song", need["song"], "needs=R-NONE")
    assert (
        told.status == 1
        and f"set {need['song']}, column needs: 'R-NONE' is not a reel on the shelf" in told.err
    )


def busy(run: Run, tmp_path: Path) -> str:
    """A reel that songs, sheets, wishes, a plan and its history name; its key."""
    assert run("plan", "--effort", "0.05", "--days", "21").status == 0
    songs = rows(run, tmp_path, "songs.csv")
    sheets = {row["reel"] for row in rows(run, tmp_path, "sheets.csv")}
    needed = [part.partition("@")[0].strip() for row in songs for part in row["needs"].split(";")]
    key = next(one for one in needed if one in sheets)
    assert run("note", key, "smells of nothing").status == 0
    assert run("wish", key, "not", "before", "2026-12-05").status == 0
    return key


def test_a_reel_under_another_key_is_so_everywhere(run: Run, shelf: Path, tmp_path: Path) -> None:
    key = busy(run, tmp_path)
    assert run("plan", "--effort", "0.05", "--days", "21").status == 0
    before, plan = whole(tmp_path, run), json.loads(run("reels", "--json").out)
    (old,) = [one for one in plan if one["reel"] == key]
    told = run("rename", key, "PIER 1")
    assert told.status == 0 and told.out == f"reel {key} is PIER 1 now, everywhere it is named\n"
    (new,) = [one for one in json.loads(run("reels", "--json").out) if one["reel"] == "PIER 1"]
    assert new == old | {"reel": "PIER 1", "history": new["history"]}
    assert [one["note"] for one in old["history"]] == [one["note"] for one in new["history"]]
    after = whole(tmp_path, run)
    for name in ("songs.csv", "sheets.csv", "reels.csv", "records.json"):
        assert key.encode() not in after[name].replace(b"PIER 1", b""), name
        assert (b"PIER 1" in after[name]) == (key.encode() in before[name]), name
    assert "changed" not in run("orders", "--out", "papers").err  # the kept plan still fits
    assert run("undo").status == 0 and whole(tmp_path, run) == before
    assert run("undo", "--redo").status == 0 and whole(tmp_path, run) == after
    assert run("undo").status == 0 and run("undo").out.startswith("taken back: keep a plan") is False


def test_a_name_that_is_there_or_is_none_is_refused(run: Run, shelf: Path) -> None:
    before = shelf.read_bytes()
    for words, says in (
        (["R-001", "R-002"], "there is a reel R-002 already"),
        (["R-001", "a;b"], "'a;b' is not a key"),
        (["R-001", "R-001"], "called so already"),
        (["nothing", "R-900"], "no reel, song or sheet 'nothing'"),
    ):
        told = run("rename", *words)
        assert told.status == 1 and says in told.err and len(told.err.splitlines()) == 1
    assert run("rename", "R-001").status == 2 and shelf.read_bytes() == before


def test_a_key_that_is_two_things_asks_which(run: Run, shelf: Path, tmp_path: Path) -> None:
    (tmp_path / "s.csv").write_text("song,title\nR-001,A song called so\n", encoding="utf-8")
    assert run("import", "s.csv").status == 0
    told = run("set", "R-001", "notes=x")
    assert told.status == 1 and "R-001 is a reel and a song: say `reel R-001` or `song R-001`" in told.err
    assert run("set", "song", "R-001", "title=Another").status == 0
    assert run("rename", "song", "R-001", "S-900").status == 0
    assert of(rows(run, tmp_path, "songs.csv"), "song", "S-900")["title"] == "Another"
    assert of(rows(run, tmp_path), "reel", "R-001")


def test_a_reel_goes_with_what_hangs_on_it_and_comes_back(run: Run, shelf: Path, tmp_path: Path) -> None:
    key = busy(run, tmp_path)
    before = whole(tmp_path, run)
    told = run("remove", key)
    assert told.status == 0 and told.out.startswith(f"removed {key}; with it went: ")
    assert (
        "need of it" in told.out
        and "which" not in told.out
        and "track sheet row" in told.out
        and "wish" in told.out
    )
    songs = rows(run, tmp_path, "songs.csv")
    assert len(songs) == before["songs.csv"].count(b"\r\n") - 1  # songs stay and lose the need
    assert all(key not in row["needs"] for row in songs)
    assert all(row["reel"] != key for row in rows(run, tmp_path, "sheets.csv"))
    assert run("orders", "--out", "papers").status == 0  # what is left of the kept plan can be printed
    assert run("calendar", "--out", "c.ics").status == 0
    assert run("undo").status == 0 and whole(tmp_path, run) == before


def test_a_reel_in_a_chamber_is_not_removed(run: Run, shelf: Path, tmp_path: Path) -> None:
    assert run("set", "R-001", "chamber=C1", "loaded_at=2026-12-01T18:00").status == 0
    before = shelf.read_bytes()
    told = run("remove", "R-002", "R-001")
    assert told.status == 1 and "R-001 is in chamber C1" in told.err and shelf.read_bytes() == before


def test_two_keys_of_one_tape_become_one(run: Run, shelf: Path, tmp_path: Path) -> None:
    (tmp_path / "two.csv").write_text(
        "reel,box_label,width,speed,notes\nA,Pier,1/4 in,,\nB,Pier west,,15 ips,red box\n", encoding="utf-8"
    )
    (tmp_path / "song.csv").write_text("song,needs\nZ,A; B\n", encoding="utf-8")
    (tmp_path / "sheet.csv").write_text(
        "sheet,reel,track,copied_from\nT,B,1,\nU,R-001,1,B:1\n", encoding="utf-8"
    )
    assert run("import", "two.csv", "song.csv", "sheet.csv").status == 0
    before = whole(tmp_path, run)
    assert run("merge", "A", "B").status == 0
    made = of(rows(run, tmp_path), "reel", "A")
    assert (made["box_label"], made["width"], made["speed"]) == ("Pier", "1/4 in", "15 ips")
    assert made["notes"] == "red box; was B too, which said box label Pier west"
    assert of(rows(run, tmp_path, "songs.csv"), "song", "Z")["needs"] == "A"
    assert of(rows(run, tmp_path, "sheets.csv"), "sheet", "T")["reel"] == "A"
    assert of(rows(run, tmp_path, "sheets.csv"), "sheet", "U")["copied_from"] == "A:1"
    assert all(row["reel"] != "B" for row in rows(run, tmp_path))
    assert run("undo").status == 0 and whole(tmp_path, run) == before


def test_notes_and_photographs_come_with_a_key_that_is_the_same_tape_and_are_counted(
    run: Run, shelf: Path, tmp_path: Path
) -> None:
    rows_in = "reel,box_label,photographs\nA,Pier,\nB,Pier west,front.png; back.png\n"
    (tmp_path / "two.csv").write_text(rows_in, encoding="utf-8")
    assert run("import", "two.csv").status == 0
    assert run("note", "B", "smells of cellar", "--at", "2026-11-28T20:15").status == 0
    assert run("note", "A", "leader torn").status == 0
    before = whole(tmp_path, run)
    told = run("merge", "A", "B")
    assert told.status == 0
    came = "1 note in its history, 2 photographs; in its notes: box label Pier west"
    assert told.out == f"B is A now; with it came: {came}\n"

    def noted() -> list[str]:
        reels = run("reels", "--json").json
        return [event["note"] for one in reels if one["reel"] == "A" for event in one["history"]]

    assert "smells of cellar (written of B)" in noted() and "leader torn" in noted()
    assert of(rows(run, tmp_path), "reel", "A")["photographs"] == "front.png; back.png"
    assert run("undo").status == 0 and whole(tmp_path, run) == before
    again = next(one for one in run("reels", "--json").json if one["reel"] == "B")
    assert [one["note"] for one in again["history"]] == ["smells of cellar"]
    assert run("merge", "A", "B").status == 0
    assert noted().count("smells of cellar (written of B)") == 1
    # Under another key they are all there, and what goes with it is counted.
    assert run("rename", "A", "PIER").status == 0
    gone = run("remove", "PIER").out
    assert "notes in its history, 2 photographs" in gone and gone.startswith("removed PIER; with it went: ")


def test_a_split_says_what_stays_with_the_first_and_follows_its_other_key(
    run: Run, shelf: Path, tmp_path: Path
) -> None:
    (tmp_path / "one.csv").write_text("reel,box_label\nA,Pier\n", encoding="utf-8")
    assert run("import", "one.csv").status == 0 and run("note", "A", "leader torn").status == 0
    assert "; with A stays: 1 note in its history" in run("split", "A", "A2").out
    assert run("rename", "A", "PIER").status == 0
    assert of(rows(run, tmp_path), "reel", "A2")["notes"] == "lay in the box of PIER"
    assert run("undo").status == 0
    assert of(rows(run, tmp_path), "reel", "A2")["notes"] == "lay in the box of A"


def test_two_tapes_of_two_widths_are_not_one(run: Run, shelf: Path) -> None:
    assert run("set", "R-001", "width=1 in").status == run("set", "R-003", "width=1/4 in").status == 0
    told = run("merge", "R-001", "R-003")
    assert told.status == 1 and "R-001 is 1 in wide and R-003 1/4 in: they are two tapes" in told.err


def test_a_box_that_held_two_becomes_two(run: Run, shelf: Path, tmp_path: Path) -> None:
    (tmp_path / "one.csv").write_text(
        "reel,box_label,width,stage\nA,Pier,1/4 in,identified\n", encoding="utf-8"
    )
    (tmp_path / "sheet.csv").write_text("sheet,reel,track\nT,A,1\nU,A,1\n", encoding="utf-8")
    assert run("import", "one.csv", "sheet.csv").status == 0
    before = whole(tmp_path, run)
    assert run("split", "A", "A2", "--contents", "takes 5 to 9", "--sheet", "U").status == 0
    made = of(rows(run, tmp_path), "reel", "A2")
    assert (made["box_label"], made["width"], made["stage"], made["contents"]) == (
        "Pier", "1/4 in", "found", "takes 5 to 9",
    )  # fmt: skip
    assert [row["reel"] for row in rows(run, tmp_path, "sheets.csv") if row["sheet"] in "TU"] == ["A", "A2"]
    assert run("split", "A", "R-001").status == 1 and run("undo").status == 0
    assert whole(tmp_path, run) == before


def test_the_hours_of_a_day_are_set_and_taken_back(run: Run, shelf: Path, tmp_path: Path) -> None:
    """The evening is Tuesday 1 December 2026, on the made-up studio's week."""
    before = whole(tmp_path, run)
    listed = run("hours").out.splitlines()
    assert listed[0].split() == ["Tue", "1", "Dec", "19:00-22:30", "bench", "home", "helper", "loud", "22:00"]
    told = run("hours", "2026-12-02", "18:00-23:30", "bench", "home", "loud", "22:30", "10-12", "home")
    assert told.status == 0
    assert told.out.splitlines() == [
        "Wed 2 Dec   10:00-12:00 home  (this date only)",
        "            18:00-23:30 bench home loud 22:30  (this date only)",
    ]
    part = ("19:00-22:30", "helper", "until", "20:10", "loud", "until", "22:00,")
    assert run("hours", "2026-12-02", *part).out.splitlines() == [
        "Wed 2 Dec   19:00-22:30 bench home loud 22:00  (this date only)",
        "            19:00-20:10 helper  (this date only)",
    ]
    assert run("hours", "2026-12-02", "off").out == "Wed 2 Dec   nobody  (this date only)\n"
    assert "Wed 2 Dec   19:00-22:30 bench home loud 22:00\n" in run("hours", "2026-12-02", "usual").out
    assert run("hours", "thursday", "20:00-22:00").status == 0
    thursdays = [line for line in run("hours").out.splitlines() if line.startswith("Thu")]
    assert {line[12:] for line in thursdays} == {"20:00-22:00 bench home"}
    for _ in range(5):
        assert run("undo").status == 0
    assert whole(tmp_path, run) == before


def test_an_evening_that_is_shortened_makes_the_plan_stale(run: Run, shelf: Path) -> None:
    assert run("plan", "--effort", "0.05").status == 0
    told = run("hours", "2026-12-02", "off")
    assert told.status == 0 and "plan again" in told.out


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["2026-12-32", "off"], "'2026-12-32' is not a date such as"),
        (["someday", "off"], "'someday' is not a date such as"),
        (["sat"], "give a day and its hours"),
        (["sat", "usual"], "`usual` is for a date"),
        (["sat", "19:00-18:00"], "18 hours"),
        (["sat", "25:00-12:00"], "is not two times of day"),
        (["2020-01-01", "19:00-22:00"], "Wed 1 Jan 2020 is over: give a date from today on"),
        (["1", "Jan", "2020", "19:00-22:00"], "is over"),
        (["2020-01-01..2020-01-03", "off"], "is over"),
        (["2126-12-01", "19:00-22:00"], "is further ahead than any plan"),
        (["sat", "bench"], "'bench' is not hours: they go before it, such as `19:00-22:30 bench`"),
        (["sat", "10:00-12:00", "loud"], "loud needs the time"),
        (["sat", "10:00-12:00", "noisy"], "'noisy' is not hours, nor one of"),
    ],
)
def test_hours_that_are_none_are_one_line(run: Run, shelf: Path, words: list[str], says: str) -> None:
    before = shelf.read_bytes()
    told = run("hours", *words)
    assert told.status == 2 and says in told.err and len(told.err.splitlines()) == 1, told
    assert shelf.read_bytes() == before
