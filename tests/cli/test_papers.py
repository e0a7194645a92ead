"""Loose sheets by command: proposals, decisions, one undo, and one line for what cannot be."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from pypdf import PdfReader

Run = Callable[..., Any]


def test_a_loose_sheet_is_proposed_with_its_evidence(run: Run, shelf: Path) -> None:
    found = run("papers", "--json").json
    (sheet,) = [one for one in found["sheets"] if one["sheet"] == "T-06"]
    assert sheet["choice"] == {"reel": "R-002", "from": None, "to": None}
    assert {"sheet", "choice", "sure", "margin", "because", "others"} <= set(sheet)
    assert (sheet["found_in"], sheet["date"], sheet["read_as"]) == ("R-003", "autumn 1981", ["1981-23"])
    assert sheet["sure"] in ("sure", "likely", "open") and "S-03 needs R-002" in sheet["because"]
    assert "T-06" in run("papers").out


def test_a_decision_is_history_with_its_reason_and_one_undo(run: Run, shelf: Path, tmp_path: Path) -> None:
    before = run("songs", "--json").json
    assert run("papers", "T-06", "R-004@0:10-5:00", "--because", "same handwriting").status == 0
    assert not any(one["sheet"] == "T-06" for one in run("papers", "--json").json["sheets"])
    song = next(one for one in run("songs", "--json").json if one["song"] == "S-03")
    assert song["waits_for"] == ["R-002", "R-004"]
    parts = run("parts", "S-03", "--json").json["parts"]
    assert {source["reel"] for part in parts for source in part["use"]} == {"R-004"}
    run("export", "out")
    assert "same handwriting" in (tmp_path / "out" / "history.csv").read_text()
    assert run("undo").status == 0
    assert run("songs", "--json").json == before
    assert any(one["sheet"] == "T-06" for one in run("papers", "--json").json["sheets"])


def test_a_sheet_and_its_tape_are_parted_again(run: Run, shelf: Path) -> None:
    before = run("songs", "--json").json
    assert run("papers", "T-06", "R-004@0:10-5:00").status == 0
    assert run("papers", "T-06", "loose").status == 0
    assert run("songs", "--json").json == before
    assert run("papers", "T-06", "loose").status == 1  # it is loose already


def test_a_sheet_of_no_tape_is_asked_about_no_more(run: Run, shelf: Path) -> None:
    assert run("papers", "T-06", "none").status == 0
    found = run("papers", "--json").json
    assert [one["sheet"] for one in found["sheets"]] == ["T-10"] and found["of_no_tape"] == ["T-06"]
    assert run("papers", "T-06", "loose").status == 0 and run("papers", "--json").json["of_no_tape"] == []


@pytest.mark.parametrize(
    ("words", "status", "told"),
    [
        (("T-66", "R-002"), 1, "no sheet 'T-66' on this shelf: did you mean T-06?"),
        (("T-06", "R-099"), 1, "no reel 'R-099' on this shelf"),
        (("T-06", "R-013"), 1, "sheet T-06 track 9: R-013 has 2 tracks"),
        (("T-06", "CAL-1"), 1, "CAL-1 is a calibration reel"),
        (("T-01", "R-002"), 1, "sheet T-01 track 1 (R-001:1) is on R-001 already"),
        (("T-01", "none"), 1, "sheet T-01 track 1 (R-001:1) is on R-001"),
        (("T-06", "R-002@5:00-4:00"), 2, "is no place on a tape: give it as R-002@0:40-5:10"),
        (("T-06", "--because", "so"), 2, "a tape is wanted"),
    ],
)
def test_what_cannot_be_is_one_line_and_changes_nothing(
    run: Run, shelf: Path, words: tuple[str, ...], status: int, told: str
) -> None:
    before = shelf.read_bytes()
    ran = run("papers", *words)
    assert ran.status == status and told in ran.err and ran.err.count("\n") == 1 and ran.out == ""
    assert shelf.read_bytes() == before


def test_one_sheet_tells_its_box_its_date_as_read_its_rows_and_where_it_belongs(
    run: Run, shelf: Path
) -> None:
    loose = run("papers", "T-06").out
    assert "3 parts: loose" in loose and "found in the box of R-003" in loose
    assert "dated autumn 1981, read as 1981-23" in loose and "9  voice, Nell Harrow, take 3" in loose
    assert run("papers", "T-06", "R-004@0:10-5:00", "--because", "same pen").status == 0
    told = run("papers", "T-06", "--json").json
    assert (told["is"], told["reel"], told["from"], told["to"]) == ("on a tape", "R-004", 10.0, 300.0)
    line = "belongs to R-004 from 0:10 to 5:00, as you decided"
    assert line in run("papers", "T-06").out and f"{line} (same pen)" in run("papers").out
    assert run("set", "T-06", "date=1.2.80").status == 0  # both days are kept
    assert run("papers", "T-06", "--json").json["read_as"] == ["1980-02-01", "1980-01-02"]


def test_a_sheet_with_a_track_that_no_tape_has_is_of_none_and_says_why(run: Run, shelf: Path) -> None:
    assert run("set", "T-06:9", "track=40").status == 0
    (sheet,) = [one for one in run("papers", "--json").json["sheets"] if one["sheet"] == "T-06"]
    assert sheet["choice"] is None and sheet["sure"] == "sure" and sheet["margin"] <= 100
    assert "it has a track 40" in sheet["because"][0]


def test_one_row_of_a_sheet_is_set_by_its_track_and_song(run: Run, shelf: Path) -> None:
    before = shelf.read_bytes()
    refused = run("set", "T-06", "part=bell")
    assert refused.status == 1 and "T-06:1 part=..." in refused.err and shelf.read_bytes() == before
    assert run("set", "T-06:1", "part=bell", "take=9").status == 0
    assert "  1  bell, Bo Merrow, take 9" in run("papers", "T-06").out
    assert run("set", "T-06:1", "track=2").err.count("already") == 1
    assert "it has 1, 2, 9" in run("set", "T-06:5", "part=x").err
    assert "set T-01:3 instead" in run("set", "R-001:3", "part=x").err
    assert "a sheet is of one tape" in run("set", "T-06:1", "reel=R-002").err
    Path("two.csv").write_text("sheet,reel,song,track,part\nT-06,,S-01,1,gong\n")
    assert run("import", "two.csv").status == 0
    assert "say which song, T-06:1@S-03 or T-06:1@S-01" in run("set", "T-06:1", "part=x").err
    assert run("set", "T-06:1@S-01", "part=great gong").status == 0
    assert "bell, S-03" in run("papers", "T-06").out and "great gong, S-01" in run("papers", "T-06").out
    Path("half.csv").write_text("sheet,reel,song,track,part\nT-06,R-002,S-03,12,flute\n")
    half = run("import", "half.csv")
    assert half.status == 1 and "half.csv row 2 (T-06), column reel: 'R-002' cannot be" in half.err


def test_a_key_that_sheets_name_for_another_tape_is_no_new_key(run: Run, shelf: Path) -> None:
    """Taken back, the two could not be told apart again."""
    assert run("set", "T-06", "found_in=OLD-7").status == 0
    refused = run("rename", "R-002", "OLD-7")
    assert refused.status == 1 and "sheet T-06 track 1 names a reel OLD-7" in refused.err
    assert "in found_in: if that is R-002, write R-002 there first" in refused.err
    assert run("set", "T-06", "found_in=R-002").status == 0 and run("rename", "R-002", "OLD-7").status == 0


def test_a_placed_sheet_is_parted_as_it_was_after_its_tapes_and_song_got_other_keys(
    run: Run, shelf: Path
) -> None:
    before = next(one for one in run("songs", "--json").json if one["song"] == "S-03")
    assert run("papers", "T-06", "R-004@0:10-5:00").status == 0
    for old, new in (("R-002", "A-2"), ("R-004", "A-4"), ("S-03", "A-S"), ("T-06", "A-T")):
        assert run("rename", old, new).status == 0
    assert run("papers", "A-T", "loose").status == 0
    after = next(one for one in run("songs", "--json").json if one["song"] == "A-S")
    assert before["waits_for"] == ["R-002"] and after["waits_for"] == ["A-2"]


def test_one_songs_parts_and_family_are_printed_by_its_title(run: Run, shelf: Path, tmp_path: Path) -> None:
    title = next(one["title"] for one in run("songs", "--json").json if one["song"] == "S-03")
    assert run("print", "parts", title, "--out", "o").status == 0
    (page,) = PdfReader(tmp_path / "o" / "parts-S-03.pdf").pages  # the family below the parts, where it fits
    assert "Family" in page.extract_text()
    (tmp_path / "bare.csv").write_text("song,title\nS-90,Bare\n", encoding="utf-8")
    assert run("import", "bare.csv").status == 0 == run("print", "parts", "S-90", "--out", "o").status
    (alone,) = PdfReader(tmp_path / "o" / "parts-S-90.pdf").pages  # no page for a family of none
    assert "no sheet tells of a part" in " ".join(alone.extract_text().split())
    assert run("print", "cards", "R-001").status == 2 and run("print", "parts", "No Song").status == 1


def test_a_song_that_names_two_albums_is_told_by_parts_and_by_both_albums(run: Run, shelf: Path) -> None:
    assert run("set", "S-08", "album=Salt Road; Slack").status == 0
    words = "S-08 names 2 albums, 'Salt Road; Slack': a song is on one"
    assert any(words in line for line in run("parts", "S-08", "--json").json["open"])
    assert any(words in line for line in run("album", "Salt Road", "--json").json["missing"])
    assert run("set", "S-08", "album=Salt; Sand").status == 0  # a title of its own, with a semicolon in it
    assert not any("albums" in line for line in run("parts", "S-08", "--json").json["open"])


@pytest.mark.parametrize(
    ("rows", "told"),
    [
        ("X-1,R-001,S-01,14,a,\nX-1,R-002,S-01,15,b,", "row 3 (X-1), column reel: 'R-002' cannot be"),
        (
            "X-1,R-001,S-01,9,a,\nX-1,R-001,S-01,9,b,",
            "row 3 (X-1), column track: track 9 of S-01 is there already",
        ),
        ("X-1,R-001,S-01,40,a,", "row 2 (X-1), column track: '40' cannot be: R-001 has"),
        ("X-1,R-001,S-01,2,a,R-002:40", "row 2 (X-1), column copied_from: 'R-002:40' cannot be: R-002 has"),
        (
            "X-1,R-001,S-02,2,a,R-001:2",
            "row 2 (X-1), column copied_from: 'R-001:2' cannot be: a copy of itself",
        ),
        ("X-1,R-001,S-02,2,a,R-002:2\nX-2,R-002,S-02,2,a,R-001:2", "row 3 (X-2), column copied_from"),
        (
            "X-1,R-001,S-02,2,a,somewhere",
            "row 2 (X-1), column copied_from: 'somewhere' is not a reel and its",
        ),
    ],
)
def test_rows_that_contradict_tapes_or_one_another_are_refused_with_the_row(
    run: Run, shelf: Path, rows: str, told: str
) -> None:
    before = shelf.read_bytes()
    Path("bad.csv").write_text(f"sheet,reel,song,track,part,copied_from\n{rows}\n")
    ran = run("import", "bad.csv")
    assert ran.status == 1 and f"bad.csv {told}" in ran.err and ran.err.count("\n") == 1 and ran.out == ""
    assert shelf.read_bytes() == before


def _family(run: Run, demo: Path, tmp_path: Path, *rows: str) -> None:
    """A small shelf of its own: two reels, one song, and these rows of sheets."""
    (tmp_path / "r.csv").write_text("reel,width,tracks\nG-1,1 in,16\nG-2,1 in,16\n")
    (tmp_path / "s.csv").write_text("song,title,needs\nV-1,Ruff,G-1;G-2\n")
    (tmp_path / "t.csv").write_text("\n".join(["sheet,reel,song,track,part,copied_from", *rows]) + "\n")
    assert run("new", "--studio", str(demo / "studio.toml")).status == 0
    ran = run("import", "r.csv", "s.csv", "t.csv")
    assert ran.status == 0, ran.err


def test_a_row_without_a_track_stands_beside_others_on_paper(run: Run, demo: Path, tmp_path: Path) -> None:
    _family(run, demo, tmp_path, "A1,G-1,V-1,1,harp,", "A1,G-1,V-1,,tuba,")
    ran = run("print", "parts", "V-1", "--out", "out")
    assert ran.status == 0, ran.err


def test_a_sheet_that_would_close_a_ring_is_not_placed(run: Run, demo: Path, tmp_path: Path) -> None:
    _family(run, demo, tmp_path, "N-1,G-1,V-1,1,harp,", "N-2,G-2,V-1,1,harp,G-1:1", "N-3,,V-1,1,harp,G-2:1",
            "N-4,,V-1,2,flute,G-1:2")  # fmt: skip
    before = (tmp_path / "tapes.json").read_bytes()
    ran = run("papers", "N-3", "G-1")
    assert ran.status == 1 and "N-3" in ran.err and "copies in a ring" in ran.err
    ran = run("papers", "N-4", "G-1")
    assert ran.status == 1 and "a copy of itself" in ran.err
    assert (tmp_path / "tapes.json").read_bytes() == before
    sheets = {one["sheet"]: one for one in run("papers", "--json").json["sheets"]}
    assert (sheets["N-4"]["choice"] or {}).get("reel") != "G-1"


def test_a_choice_names_tracks_that_carry_the_part_and_letting_go_of_nothing_is_said(
    run: Run, demo: Path, tmp_path: Path
) -> None:
    _family(run, demo, tmp_path, "A1,G-1,V-1,1,harp,", "A2,G-2,V-1,1,harp,")
    before = (tmp_path / "tapes.json").read_bytes()
    ran = run("use", "V-1", "harp", "G-1:1-99")
    assert ran.status == 1 and "give its first track, such as G-1:1" in ran.err
    ran = run("use", "V-1", "harp", "-")
    assert ran.status == 1 and "nothing was chosen" in ran.err
    assert (tmp_path / "tapes.json").read_bytes() == before
    assert run("use", "V-1", "harp", "G-2:1").status == 0
    assert run("use", "V-1", "harp", "-").status == 0


@pytest.mark.parametrize("name", ["timecode", "sync tone", "SMPTE"])
def test_code_that_a_bounce_names_among_its_tracks_is_no_part(
    run: Run, demo: Path, tmp_path: Path, name: str
) -> None:
    _family(run, demo, tmp_path, "A1,G-1,V-1,1,harp,", "A1,G-1,V-1,2,bell,", f"A1,G-1,V-1,3,{name},",
            "A2,G-2,V-1,1,band,G-1:1-3")  # fmt: skip
    assert [one["part"] for one in run("parts", "V-1", "--json").json["parts"]] == ["harp", "bell"]


def test_a_track_of_which_two_sheets_tell_different_things_is_told(
    run: Run, demo: Path, tmp_path: Path
) -> None:
    _family(run, demo, tmp_path, "A1,G-1,V-1,1,harp,", "A1,G-1,V-1,2,gong,", "P-2,G-2,V-1,1,harp,G-1:1",
            "P-3,G-2,V-1,1,gong,G-1:2")  # fmt: skip
    told = run("parts", "V-1", "--json").json["open"]
    assert any(line.startswith("G-2:1 is told in two ways (sheet P-2: harp, copied from G-1:1; sheet P-3: ")
               for line in told)  # fmt: skip


def test_two_names_are_one_part_and_no_pair_is_made_of_two_playings(
    run: Run, demo: Path, tmp_path: Path
) -> None:
    _family(run, demo, tmp_path, "A1,G-1,V-1,1,gtr L,", "A1,G-1,V-1,2,gtr R,", "A2,G-2,V-1,1,guitar left,",
            "A2,G-2,V-1,2,guitar right,")  # fmt: skip
    for words, says in (
        (("NOSUCH", "--same", "gtr", "guitar"), "no song 'NOSUCH'"),
        (("V-1", "--same", "gtr", "guitarr"), "did you mean 'guitar "),
        (("V-1", "--same", "gtr", "gtr"), "is a part of its own already"),
    ):
        ran = run("use", *words)
        assert ran.status == 1 and says in ran.err, ran.err
    assert run("use", "V-1", "gtr", "G-1:1").status == 0
    assert run("use", "V-1", "--same", "gtr", "guitar").status == 0
    (part,) = run("parts", "V-1", "--json").json["parts"]
    assert [(one["reel"], one["track"]) for one in part["use"]] == [("G-1", 1), ("G-1", 2)]  # still yours
    assert "your choice" in part["why"]
    assert run("use", "V-1", "guitar", "-").status == 0  # what was chosen under the other name is let go
    assert run("use", "V-1", "--same", "guitar", "guitar").status == 0
    assert len(run("parts", "V-1", "--json").json["parts"]) == 2


def test_a_span_lies_on_its_tape_and_is_one_songs_and_a_sheet_placed_anew_keeps_its_reason(
    run: Run, shelf: Path, tmp_path: Path
) -> None:
    before = shelf.read_bytes()
    for place, says in (
        # 2,500 ft, by the tables of the makers a full 10.5 in reel of 2 mil tape, last 33:20 at 15 ips
        ("R-004@30:00-50:00", "R-004 to 50:00: it plays "),
        ("R-001@0:41-5:10", "R-001 0:40-5:10 is S-01 Low Tide: mend its needs first"),
    ):
        ran = run("papers", "T-06", place)
        assert ran.status == 1 and says in ran.err and ran.err.count("\n") == 1, ran.err
    assert shelf.read_bytes() == before
    assert run("papers", "T-06", "R-004@0:10-5:00", "--because", "same handwriting").status == 0
    assert run("papers", "T-06", "R-004@0:20-5:30").status == 0
    told = run("papers", "T-06", "--json").json
    assert (told["from"], told["to"], told["because"]) == (20.0, 330.0, "same handwriting")
    run("export", "out")
    assert "R-004@0:20-5:30" in (tmp_path / "out" / "songs.csv").read_text()  # the song's span goes along
    assert run("papers", "T-06", "loose").status == 0
    assert run("set", "S-02", "needs=R-001@0:40-5:10; R-004@0:00-59:00").status == 0
    told = run("parts", "S-02", "--json").json["open"]
    assert any(one.startswith("S-02 and S-01 both have R-001 0:40-5:10: one stretch is one") for one in told)
    assert any(
        "R-004: the song goes on to 59:00, and the tape (length: a full 10.5 in reel of 2 mil tape) ends at "
        in one
        for one in told
    )
    assert run("set", "T-06:9", "date=May 1983").status == 0
    said = "sheet T-06 has 2 dates (autumn 1981; May 1983)"
    assert said in run("papers").out and said in run("papers", "T-06").out
    assert said in "".join(run("parts", "S-03", "--json").json["open"])


def test_what_a_song_needs_is_not_told_as_the_boxs_words(run: Run, demo: Path, tmp_path: Path) -> None:
    (tmp_path / "r.csv").write_text("reel,box_label,width,tracks,speed\nG-1,,1/2 in,8,15 ips\n"
                                    "G-2,Ruff,1/2 in,8,15 ips\n")  # fmt: skip
    (tmp_path / "s.csv").write_text("song,title,needs\nV-1,Ruff,G-1\nV-2,Ruff,\n")
    (tmp_path / "t.csv").write_text("sheet,reel,song,track,part\nN-1,,V-2,1,harp\nN-2,,V-2,2,bell\n")
    assert run("new", "--studio", str(demo / "studio.toml")).status == 0
    assert run("import", "r.csv", "s.csv", "t.csv").status == 0
    sheets = run("papers", "--json").json["sheets"]
    said = {
        one["reel"]: one["because"]
        for sheet in sheets for one in ({**sheet["choice"], "because": sheet["because"]}, *sheet["others"])
    }  # fmt: skip
    assert "Ruff needs G-1" in said["G-1"] and "the box says Ruff" in said["G-2"]


def test_no_side_of_a_pair_goes_missing_without_a_word(run: Run, demo: Path, tmp_path: Path) -> None:
    _family(run, demo, tmp_path, "A1,G-1,V-1,4,guitar left,", "A1,G-1,V-1,6,piano left,",
            "A1,G-1,V-1,7,piano right,", "A2,G-2,V-1,3,guitar right,", "A2,G-2,V-1,4,piano right,G-1:7",
            "A3,G-1,,8,bells,", "A4,,V-1,,spoons,")  # fmt: skip
    assert run("set", "A1:6", "wiped=yes").status == run("set", "A1:7", "wiped=yes").status == 0
    told = run("parts", "V-1", "--json").json
    parts = {one["part"]: one for one in told["parts"]}
    used = {name: [(s["reel"], s["track"]) for s in one["use"]] for name, one in parts.items()}
    assert used["guitar"] == [("G-1", 4), ("G-2", 3)] and used["piano"] == [("G-2", 4)]
    assert any(one.startswith("guitar: its sides are on two tapes, G-1:4, G-2:3") for one in told["open"])
    assert any(one == "piano: left is lost (G-1:6: recorded over)" for one in told["open"])
    assert "left is lost" in parts["piano"]["why"] and "left is lost" in run("parts", "V-1").out
    assert any(one.startswith("sheet A3 on G-1 names no song (bells)") for one in told["open"])
    assert "1 part" in run("papers", "A4").out
    assert run("set", "A4:?", "track=7", "part=two spoons").status == 0  # the row that told no track
    assert run("papers", "A4", "--json").json["rows"][0]["track"] == 7
    placed = run("papers", "A3", "loose"), run("papers", "A3", "G-2")
    assert "it names no song" in placed[1].out
    assert run("papers", "A2", "loose").status == 0
    assert run("set", "A3", "reel=G-1").status == run("set", "A3", "song=V-1").status == 0
    assert run("set", "A3:8", "track=4").status == run("papers", "A3", "loose").status == 0
    assert "; A1 of G-1 tell its tracks differently" in run("papers", "A3", "G-1").out


def test_copies_of_a_tape_whose_sheet_was_taken_off_say_which_sheet_may_be_its(run: Run, shelf: Path) -> None:
    assert run("papers", "T-04", "loose").status == 0
    told = run("parts", "S-06", "--json").json["open"]
    said = "copies alone tell of R-006:5-8, and no sheet of this song is on R-006: T-04 may be its"
    assert any(one.startswith(said) for one in told)


def test_other_words_for_one_part_are_proposed_and_takes_are_read_as_they_are_meant(
    run: Run, demo: Path, tmp_path: Path
) -> None:
    _family(run, demo, tmp_path, "A1,G-1,V-1,1,kick,", "A1,G-1,V-1,2,voice,", "A1,G-1,V-1,3,bass,",
            "A1,G-1,V-1,4,harp,", "A2,G-2,V-1,1,kick drum,", "A2,G-2,V-1,2,vox,", "A2,G-2,V-1,3,Bass Guitar,",
            "A2,G-2,V-1,4,harp,")  # fmt: skip
    told = "\n".join(run("parts", "V-1", "--json").json["open"])
    for pair in ("'kick' and 'kick drum'", "'voice' and 'vox'", "'bass' and 'Bass Guitar'"):
        assert f"{pair} may be one part" in told
    for row, take in (("A1:4", "take 04"), ("A2:4", "#4")):
        assert run("set", row, f"take={take}").status == 0
    assert sum(one["part"] == "harp" for one in run("parts", "V-1", "--json").json["parts"]) == 1
    assert run("use", "V-1", "harp/T4", "G-2:4").status == 0
