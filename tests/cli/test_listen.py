"""Excerpts for the ear: cut at the right places, opened by other readers, answered by number.

The samples of an excerpt are held against those of the capture itself, read by libsndfile (soundfile), and
its header by the standard library's own reader of WAV files.
"""

from __future__ import annotations

import csv
import json
import sys
import types
import wave
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import soundfile


@pytest.fixture(scope="module")
def capture(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A minute, two tracks, 96 kHz, 24 bit: track 2 drops out at 30 s, track 1 clips at 45 s."""
    rate = 96_000
    rng = np.random.default_rng(4)
    t = np.arange(60 * rate) / rate
    sound = 0.2 * np.sin(2 * np.pi * np.outer(t, (330.0, 523.0))) + 0.002 * rng.standard_normal((len(t), 2))
    sound[30 * rate : 30 * rate + 9600, 1] *= 0.02
    sound[45 * rate : 45 * rate + 50, 0] = 1.0
    path = tmp_path_factory.mktemp("captures") / "R-003 sides.wav"
    soundfile.write(path, sound, rate, subtype="PCM_24")
    return path


@pytest.fixture
def checked(once: Any, shelf: Path, capture: Path) -> Path:
    assert once(("set", "R-021", "tracks=2"), ("check", "R-021", str(capture))).status == 1  # it clips
    return shelf.parent / "heard"


def rows(folder: Path) -> list[dict[str, str]]:
    with open(folder / "list.csv", encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def test_every_place_is_a_file_that_others_open(run: Any, checked: Path, capture: Path) -> None:
    ran = run("listen", "R-021", "--out", str(checked), "--json")
    assert ran.status == 0
    told = json.loads(ran.out)
    kinds = {one["kind"]: one for one in told}
    assert {"clipping", "dropout"} <= set(kinds)
    assert [one["file"].rpartition("/")[2] for one in told] == [row["file"] for row in rows(checked)]
    playlist = (checked / "all.m3u8").read_text().splitlines()
    assert playlist[0] == "#EXTM3U" and len(playlist) == 1 + 2 * len(told)
    for one in told:
        with wave.open(one["file"]) as file:  # 16 bit and at most 48 kHz
            assert (file.getsampwidth(), file.getframerate()) == (2, 48_000)
    drop = kinds["dropout"]
    assert drop["track"] == 2 and abs(drop["start"] - 30) < 0.05
    heard, rate = soundfile.read(drop["file"])
    assert heard.ndim == 1 and 4 < len(heard) / rate < 5
    whole, _ = soundfile.read(capture, start=round((drop["start"] - 2) * 96_000), frames=96_000)
    # the first second lies before the place: the capture's own tone, at its own level, at half the rate
    assert np.corrcoef(heard[: rate - 200], whole[: 2 * (rate - 200) : 2, 1])[0, 1] > 0.99
    at = round(drop["begins_in_file"] * rate)
    before, inside = heard[at - 4800 : at - 480], heard[at + 480 : at + 4300]
    assert np.sqrt(np.mean(inside**2)) < 0.1 * np.sqrt(np.mean(before**2))


def test_cut_again_the_old_files_go_and_nothing_else(run: Any, checked: Path) -> None:
    assert run("listen", "R-021", "--out", str(checked)).status == 0
    before = {path.name for path in checked.iterdir()}
    (checked / "my own.wav").write_bytes(b"mine")
    assert run("listen", "R-021", "--out", str(checked)).status == 0
    assert {path.name for path in checked.iterdir()} == before | {"my own.wav"}


def test_answers_are_kept_by_number(run: Any, checked: Path) -> None:
    ran = run("listen", "R-021", "--fine", "1", "--again", "2")
    assert ran.status == 0
    assert "1 clipping at 45.000 s: listened, fine" in ran.out and "to be captured again" in ran.out
    assert run("listen", "R-021", "--fine", "99").status == 1
    assert run("listen", "R-021", "--fine", "one").status == 2


def test_played_where_the_system_can_and_told_where_not(
    run: Any, checked: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    played: list[int] = []
    device = types.SimpleNamespace(
        play=lambda sound, rate: played.append(len(sound)), wait=lambda: None, stop=lambda: None
    )
    monkeypatch.setitem(sys.modules, "sounddevice", device)
    assert run("listen", "R-021", "--out", str(checked), "--play").status == 0
    assert len(played) == len(rows(checked))
    monkeypatch.setitem(sys.modules, "sounddevice", None)  # as where it is not installed
    ran = run("listen", "R-021", "--out", str(checked), "--play")
    assert ran.status == 0 and "any player opens the files" in ran.err


def test_without_a_check_or_a_file_it_says_what_to_do(run: Any, checked: Path, capture: Path) -> None:
    assert "no check of R-001 is kept" in run("listen", "R-001").err
    away = capture.rename(capture.with_name("away"))
    ran = run("listen", "R-021", "--out", str(checked))
    away.rename(capture)
    assert ran.status == 1 and "put it back, or check the reel anew" in ran.err


async def test_your_own_notes_are_heard_and_marked_by_key_and_by_number(
    run: Any, checked: Path, shelf: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from datetime import UTC, datetime

    from core.logbook.passes import TapeNote, with_note
    from core.workbook.workbook import Workbook
    from tui.app import ReelturnApp
    from tui.workers.playing import Player

    now = datetime(2026, 12, 1, 18, 52, tzinfo=UTC)
    book = Workbook.open(shelf, lambda: now)
    book.change(lambda s: with_note(s, TapeNote("R-021", 1, now, 10.0, "squeal", "at the edge")), what="note")
    book.change(
        lambda s: with_note(s, TapeNote("R-021", 1, now, 31.0, "dropout")), what="note"
    )  # a place's own
    heard: list[str] = []
    monkeypatch.setattr(Player, "play", lambda self, path: heard.append(path.name) or "")
    monkeypatch.setattr(Player, "can", True, raising=False)
    async with ReelturnApp(book).run_test(size=(80, 24)) as pilot:
        app = pilot.app
        await pilot.pause()
        app.open_door("captures", "R-021")
        await pilot.pause()
        place = app.screen
        listed = place.query_one("PlacesList")
        own = [n for n, row in enumerate(listed.rows) if getattr(row, "kind", "") == "note"]
        assert len(own) == 1 and listed.rows[own[0] - 1] == "your own notes:"
        listed.cursor = own[0]
        await pilot.press("h")
        while not heard:
            await pilot.pause(0.05)
        assert heard[-1].endswith("note-at-0m10.wav")
        await pilot.press("x")
        await pilot.pause()
        assert book.shelf.of_kind("listened")["R-021 pass 1"]["marks"] == {"note all 10.000": "again"}
    told = run("listen", "R-021", "--json").json
    number = next(one["number"] for one in told if one["kind"] == "note")
    assert "squeal at the edge" in told[number - 1]["says"]
    # A place to be captured again shuts the gate, be it your own note: here of a check with remarks alone.
    kept = book.shelf.of_kind("check")["R-021 pass 1"]
    book.change(
        lambda s: s.with_record("check", "R-021 pass 1", {**kept, "verdict": "remarks"}), what="let be"
    )
    assert "1 place is to be captured again in pass 1" in run("mark", "R-021", "verified").err
    assert run("listen", "R-021", "--fine", str(number)).status == 0
    assert "to be captured again" not in run("mark", "R-021", "verified").err
