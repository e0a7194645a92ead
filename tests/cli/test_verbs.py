"""Every verb: what it prints, what it keeps, and its exit status."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from tui.cli import VERBS

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
    }  # fmt: skip
    # 2400 ft at 15 in/s: 2400 x 12 / 15 = 1920 s. On the deck: 5 to load, 32 to play, 28800 in / 180 in/s =
    # 160 s to wind, 5 to clean: 44 min 40, on a grid of 5 min 45.
    assert first["play_seconds"] == 1920.0 and first["machine_minutes"] == 45
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
    told = run("mark", "R-002", "conditioned", "--at", "2026-12-01T12:00", "--note", "eight hours", "--json")
    assert told.status == 0
    assert {row["field"] for row in told.json["changed"]} == {"stage", "conditioned_at", "playable_until"}
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
    assert run("load", "C1", "R-002", "R-007", "--at", "2026-12-01T08:00").status == 0
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
    run("mark", "R-008", "conditioned")
    assert run("undo").out == "taken back: mark R-008 conditioned\n"
    assert run("undo", "--redo").out == "done again: mark R-008 conditioned\n"


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
    parts = {one["part"]: one for one in run("parts", "S-01", "--json").json["parts"]}
    assert (parts["kick"]["best"]["reel"], parts["kick"]["best"]["generation"]) == ("R-001", 0)
    assert [(one["reel"], one["generation"]) for one in parts["kick"]["others"]] == [("R-013", 1)]
    assert parts["kick"]["place"]["start"] == 40.0  # the song needs R-001 from 0:40


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
    assert "R-001 went back to identified" in told.err


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
