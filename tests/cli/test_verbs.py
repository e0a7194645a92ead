"""Every verb: what it prints, what it keeps, and its exit status."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from tui.verbs import VERBS

Run = Callable[..., Any]


def test_help_names_every_verb(run: Run) -> None:
    told = run("--help")
    assert told.status == 0
    assert all(f"  {verb} " in told.out for verb in VERBS)


@pytest.mark.parametrize("verb", VERBS)
def test_every_verb_tells_of_itself(run: Run, verb: str) -> None:
    told = run(verb, "--help")
    assert told.status == 0 and f"usage: reelturn {verb}" in told.out and "--shelf" in told.out


def test_the_shelf_is_named_before_or_after_the_verb_or_by_the_environment(
    run: Run, shelf: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    by_environment = run("reels").out
    monkeypatch.setenv("REELTURN_SHELF", "/nowhere/else.json")
    assert run("--shelf", str(shelf), "reels").out == by_environment
    assert run(f"--shelf={shelf}", "reels").out == by_environment
    assert run("reels", "--shelf", str(shelf)).out == by_environment
    assert run("reels").status == 2


def test_new_refuses_to_overwrite(run: Run, shelf: Path, demo: Path) -> None:
    before = shelf.read_bytes()
    told = run("new", "--studio", str(demo / "studio.toml"))
    assert told.status == 2 and "not touched" in told.err
    assert shelf.read_bytes() == before


def test_reels_as_json(run: Run, shelf: Path) -> None:
    reels = {one["reel"]: one for one in run("reels", "--json").json}
    first = reels["R-001"]
    assert set(first) == {
        "reel", "stage", "play_seconds", "machine_minutes", "next", "blocked", "playable_until", "history",
        "alarm", "advice",
    }  # fmt: skip
    # 2400 ft at 15 in/s: 2400 x 12 / 15 = 1920 s. On the deck: 5 to load, 32 to play, 28800 in / 180 in/s =
    # 160 s to wind, 5 to clean: 44 min 40, on a grid of 5 min 45.
    assert first["play_seconds"] == 1920.0 and first["machine_minutes"] == 50
    assert first["history"] == [
        {
            "at": "2026-11-29T19:00+00:00",
            "stage": "conditioned",
            "note": "eight hours at 54 degrees",
            "because": "",
        }
    ]
    assert "acetate" in reels["R-015"]["blocked"]
    assert reels["R-008"]["blocked"] is None


def test_mark_moves_a_reel_and_tells_what_it_changed(run: Run, shelf: Path) -> None:
    words = ("mark", "R-002", "conditioned", "--at", "2026-12-01T12:00", "--note", "eight hours")
    assert run("load", "C1", "R-002", "--at", "2026-12-01T04:00", "--because", "up all night").status == 0
    told = run(*words, "--json")
    assert told.status == 0
    fields = {row["field"] for row in told.json["changed"] if row["kind"] == "reel"}
    assert fields == {"stage", "conditioned_at", "playable_until", "chamber", "loaded_at"}
    reel = next(one for one in run("reels", "--json").json if one["reel"] == "R-002")
    assert reel["playable_until"] == "2026-12-15T12:00+00:00"  # 14 days by the studio's file
    assert reel["history"][-1] == {
        "at": "2026-12-01T12:00+00:00", "stage": "conditioned", "note": "eight hours", "because": "",
    }  # fmt: skip


def test_a_gate_that_is_not_met_takes_a_reason(run: Run, shelf: Path) -> None:
    before = shelf.read_bytes()
    told = run("mark", "R-002", "transferred")
    assert told.status == 1 and "R-002" in told.err and "--because" in told.err and not told.out
    assert shelf.read_bytes() == before
    assert run("mark", "R-002", "transferred", "--because", "played it cold, once").status == 0
    reel = next(one for one in run("reels", "--json").json if one["reel"] == "R-002")
    assert reel["history"][-1]["because"] == "played it cold, once"


def test_load_and_take_out(run: Run, shelf: Path) -> None:
    words = ("load", "C1", "R-002", "R-007", "--at", "2026-12-01T08:00")
    refused = run(*words)  # a Tuesday: nobody is home before the evening
    assert refused.status == 1 and "nobody is home" in refused.err
    assert run(*words, "--because", "a day off").status == 0
    assert run("load", "C1", "R-003").status == 1
    assert run("mark", "R-002", "conditioned", "--at", "2026-12-01T16:00").status == 0
    told = run("load", "C2", "R-003")
    assert told.status == 1 and "C2" in told.err


def test_heat_never_reaches_acetate(run: Run, shelf: Path) -> None:
    assert run("mark", "R-015", "identified").status == 0
    told = run("load", "C1", "R-015")
    assert told.status == 1 and "acetate" in told.err


def test_note_and_undo(run: Run, shelf: Path) -> None:
    assert run("note", "R-002", "flange is cracked", "--at", "2026-12-01T18:00").status == 0
    reel = next(one for one in run("reels", "--json").json if one["reel"] == "R-002")
    assert reel["history"][-1]["note"] == "flange is cracked" and reel["history"][-1]["stage"] == "identified"
    assert run("undo").out == "taken back: note on R-002\n"
    reel = next(one for one in run("reels", "--json").json if one["reel"] == "R-002")
    assert "flange is cracked" not in [one["note"] for one in reel["history"]]
    run("mark", "R-008", "conditioned")
    assert run("undo").out == "taken back: mark R-008 conditioned\n"
    assert run("redo").out == "done again: mark R-008 conditioned\n"
    assert run("undo").status == 0
    assert run("undo", "--redo").out == "done again: mark R-008 conditioned\n"
    left = run("redo")
    assert left.status == 1 and "nothing to do again" in left.err and not left.out


def test_estimate_says_how_each_figure_was_got(run: Run, shelf: Path) -> None:
    told = run("estimate", "R-001", "--json").json
    figures = {"length_feet", "play_seconds", "passes", "winds", "machine_minutes", "capture_bytes"}
    assert figures <= set(told) and set(told["from"]) == figures
    # 16 tracks x 3 bytes x 96000 a second x 1920 s
    assert told["capture_bytes"] == 16 * 3 * 96_000 * 1920


def test_songs_say_what_they_wait_for(run: Run, shelf: Path) -> None:
    songs = {one["song"]: one for one in run("songs", "--json").json}
    assert songs["S-03"]["state"] == "waiting" and songs["S-03"]["waits_for"] == ["R-002"]
    assert songs["S-05"]["state"] == "barred" and "acetate" in songs["S-05"]["barred_by"]["R-015"]
    assert songs["S-03"]["promised"] is None


def test_parts_prefer_the_first_recording(run: Run, shelf: Path, tmp_path: Path) -> None:
    rows = "sheet,reel,song,track,part,copied_from\nT-90,R-013,S-01,1,kick,R-001:1\n"
    (tmp_path / "more.csv").write_text(rows)
    assert run("import", "more.csv").status == 0
    found = run("parts", "Low Tide", "--json").json
    parts = {one["part"]: one for one in found["parts"]}
    (kick,) = parts["kick"]["use"]
    assert (kick["reel"], kick["track"], kick["generation"], parts["kick"]["copied"]) == ("R-001", 1, 0, 0)
    assert [(one["reel"], one["generation"]) for one in parts["kick"]["others"]] == [("R-013", 1)]
    assert found["zero"] == {"reel": "R-001", "seconds": 40.0}  # the song needs R-001 from 0:40
    assert parts["kick"]["place"]["by"] == "nothing" and parts["kick"]["place"]["curve"] is None
    assert "timecode" not in parts
    assert found["not_used"] == [{"reel": "R-013", "track": 1, "why": "a copy of what is used: R-001:1"}]


def test_the_owners_choice_stands_and_one_undo_takes_it_back(run: Run, shelf: Path) -> None:
    def voice() -> list[tuple[str, str]]:
        parts = run("parts", "S-06", "--json").json["parts"]
        return [
            (p["part"], f"{s['reel']}:{s['track']}") for p in parts for s in p["use"] if p["part"] != "kit"
        ]

    before = voice()
    assert ("bass", "R-005:5") in before
    assert run("use", "S-06", "bass", "R-006:3").status == 0
    assert ("bass", "R-006:3") in voice() and ("bass", "R-005:5") not in voice()
    assert run("undo").status == 0 and voice() == before
    assert run("use", "S-06", "bass/1", "R-006:3").status == 0
    assert run("use", "S-06", "bass", "-").status == 0 and voice() == before


def test_a_choice_of_a_bounce_puts_its_sources_out(run: Run, shelf: Path) -> None:
    assert run("use", "S-06", "kick", "R-006:1").status == 0
    parts = run("parts", "S-06", "--json").json["parts"]
    used = {p["part"]: [f"{s['reel']}:{s['track']}" for s in p["use"]] for p in parts}
    assert used["kick"] == used["snare"] == used["kit"] == ["R-006:1", "R-006:2"]
    assert used["bass"] == ["R-005:5"]


def test_a_choice_that_cannot_be_is_one_line(run: Run, shelf: Path) -> None:
    for words, told in (
        (("S-06", "flute", "R-006:1"), "S-06 has no part 'flute'"),
        (("S-06", "bass", "R-005:1"), "R-005:1 does not carry bass"),
        (("S-06", "bass", "somewhere"), "is no track"),
        (("S-66", "bass", "R-005:1"), "no song 'S-66'"),
    ):
        ran = run("use", *words)
        assert ran.status == 1 and told in ran.err and ran.err.count("\n") == 1


def test_rings_on_the_shelf_are_refused_by_parts_with_their_rows(run: Run, shelf: Path) -> None:
    from core.songs.song import SheetRow
    from core.workbook.workbook import Workbook
    from tui.commands.around import now

    book = Workbook.open(shelf, now)
    rows = (SheetRow("X", 1, "R-001", "S-05", part="a", copied_from="R-002:1"),
            SheetRow("Y", 1, "R-002", "S-05", part="a", copied_from="R-001:1"))  # fmt: skip
    book.change(lambda shelf: replace(shelf, sheets=(*shelf.sheets, *rows)), what="a ring of old")
    ran = run("parts", "S-05")
    assert ran.status == 1 and ran.out == "" and ran.err.count("\n") == 1
    assert (
        "ring" in ran.err
        and "sheet X track 1 (R-001:1)" in ran.err
        and "sheet Y track 1 (R-002:1)" in ran.err
    )


def test_a_song_that_needs_no_reel_is_not_ready(run: Run, shelf: Path, tmp_path: Path) -> None:
    (tmp_path / "more.csv").write_text("song,title,album,needs\nS-99,Interlude,Salt Road,\n")
    assert run("import", "more.csv").status == 0
    songs = {one["song"]: one for one in run("songs", "--json").json}
    assert songs["S-99"]["state"] == "no reels" and songs["S-99"]["waits_for"] == []
    assert "Interlude (Salt Road): no reels" in run("songs").out


def test_new_columns_of_sheets_and_songs_come_back_as_typed(run: Run, shelf: Path, tmp_path: Path) -> None:
    (tmp_path / "a.csv").write_text(
        "sheet,song,track,part,copied_from,found_in,wiped\nL-9,S-01,3,bass,R-001:5;?,R-003,yes\n"
    )
    (tmp_path / "b.csv").write_text("song,title,clock_reel\nS-98,Ebb,R-002\n")
    assert run("import", "a.csv", "b.csv").status == 0 and run("export", "out").status == 0
    sheets = (tmp_path / "out" / "sheets.csv").read_text()
    assert "L-9,,S-01,,3,bass,,,R-001:5; ?,,R-003,yes" in sheets
    assert "S-98,Ebb,,,,5,,,,,R-002" in (tmp_path / "out" / "songs.csv").read_text()


def test_stocks_with_the_owners_own_rows(run: Run, shelf: Path) -> None:
    stocks = {one["stock"]: one for one in run("stocks", "--json").json}
    assert stocks["Ampex or Quantegy 456"]["sticky"] == "yes" and stocks["Ampex or Quantegy 456"]["source"]


def test_export_writes_every_file_and_names_it(run: Run, shelf: Path, tmp_path: Path) -> None:
    told = run("export", "out")
    names = [
        "studio.toml",
        "reels.csv",
        "songs.csv",
        "sheets.csv",
        "history.csv",
        "segments.csv",
        "records.json",
    ]
    assert [Path(line).name for line in told.out.splitlines()] == names
    assert all((tmp_path / "out" / name).is_file() for name in names)


def test_without_a_plan_there_is_nothing_to_print(run: Run, shelf: Path) -> None:
    for words in (["orders"], ["calendar"]):
        told = run(*words)
        assert told.status == 1 and "no plan is kept" in told.err and not told.out


def test_a_plan_is_kept_printed_and_promised(run: Run, shelf: Path, tmp_path: Path) -> None:
    made = run("plan", "--from", "2026-12-01T19:00", "--days", "14", "--seconds", "0", "--json")
    assert made.status == 0
    plan = made.json
    assert plan["from"] == "2026-12-01T19:00+00:00" and plan["until"] == "2026-12-15T19:00+00:00"
    orders = run("orders", "--out", "paper")
    assert orders.status == 0
    assert all(Path(line).read_bytes().startswith(b"%PDF") for line in orders.out.splitlines())
    ics = run("calendar")
    assert ics.out.startswith("BEGIN:VCALENDAR")
    assert run("calendar", "--out", "evenings.ics").status == 0
    assert (tmp_path / "evenings.ics").read_bytes().endswith(b"END:VCALENDAR\r\n")
    ready = {one["song"]: one["ready"] for one in plan["songs"]}
    songs = run("songs", "--json").json
    assert not any("stale" in one for one in songs)
    assert {one["promise_from"] for one in songs} <= {"plan", "simulation"}
    assert any(one["promised"] for one in songs)
    assert all(one["promised"] >= ready[one["song"]] for one in songs if one["promised"])
    assert all(one["promised"] is None for one in songs if ready[one["song"]] is None)


def test_a_plan_that_no_longer_fits_is_called_stale_everywhere(run: Run, shelf: Path) -> None:
    run("plan", "--seconds", "0")
    assert run("mark", "R-021", "verified", "--because", "listened to all of it").status == 0
    assert not any("stale" in one for one in run("songs", "--json").json)
    assert run("mark", "R-001", "identified", "--because", "sheds again").status == 0
    assert all(one["stale"] for one in run("songs", "--json").json)
    told = run("calendar")
    assert "R-001 must not be done as planned (sticky, and this plan does not warm it)" in told.err


def test_a_base_that_was_seen_to_be_what_was_told_makes_no_plan_stale(run: Run, shelf: Path) -> None:
    """Polyester by its row or its stock, and seen so: the plan may do the same with it as before."""
    run("plan", "--seconds", "0")
    for key, seen in (("R-011", "polyester"), ("R-018", "yes"), ("R-010", "polyester")):
        run("set", key, f"base_seen={seen}")
        assert not any("stale" in one for one in run("songs", "--json").json), key
    run("set", "R-018", "base_seen=acetate")
    assert "R-018" in run("calendar").err
    run("plan", "--seconds", "0")
    run("set", "R-005", "base_seen=polyester", "reel_size=7 in")
    assert "R-005 is not as it was" in run("calendar").err, "the rest of what was told counts"


def test_a_check_of_what_is_no_sound_measures_nothing(run: Run, shelf: Path, tmp_path: Path) -> None:
    (tmp_path / "pass.wav").write_bytes(b"not a sound file")
    told = run("check", "R-001", "pass.wav", "--json")
    assert told.status == 2 and told.json["reel"] == "R-001"
    assert told.json["files"][0]["state"] == "unreadable"
    assert run("check", "R-999", "pass.wav").status == 1


def test_a_check_is_kept_and_opens_the_gate(run: Run, shelf: Path, tmp_path: Path) -> None:
    import numpy as np
    import soundfile

    seconds = 4
    noise = np.random.default_rng(3).normal(0, 0.05, (96_000 * seconds, 2))
    soundfile.write(tmp_path / "pass.wav", noise, 96_000, subtype="PCM_24")
    (tmp_path / "reels.csv").write_text(
        "reel,width,tracks,speed,eq,level,condition,stage,length\n"
        "R-90,1/4 in,2,15 ips,NAB,250 nWb/m,ok,transferred,5 ft\n"
    )
    assert run("import", "reels.csv").status == 0
    assert run("mark", "R-90", "verified").status == 1
    told = run("check", "R-90", "pass.wav", "--json")
    assert told.status == 0, told.json["findings"]
    assert run("mark", "R-90", "verified").status == 0
