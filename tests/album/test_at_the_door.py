"""Captures laid in time at the command line: by code, by sound, as told, and what is refused."""

from __future__ import annotations

from typing import Any

import madeupsongs as songs
import numpy as np
import pytest
import soundfile

RATE = 8_000
laid_second = songs.swaying(6.0, 1.004, 0.0015, 25, 0.4)
"""R-2: what R-1 plays at second(u), u being seconds of R-2's capture."""
laid_mix = songs.swaying(12.5, 0.981, 0.001, 30, 1.0)


def along(curve: list[list[float]], at: np.ndarray) -> np.ndarray:
    x, y = np.array(curve).T
    return np.interp(at, x, y)


def place(parts: dict[str, Any], name: str) -> dict[str, Any]:
    return next(part for part in parts["parts"] if part["part"] == name)["place"]


def test_what_carries_copied_code_lies_where_its_frames_lie(run, shelf):
    parts = run("parts", "S-1", "--json").json
    assert parts["zero"] == {"reel": "R-1", "seconds": 10.0}
    one, two = place(parts, "bass"), place(parts, "voice")
    assert (one["by"], two["by"]) == ("timecode", "timecode")
    assert len(one["curve"]) == 2 and abs(along(one["curve"], 30.0) - 20.0) < 0.001
    at = np.linspace(5, 75, 200)
    off = along(two["curve"], at) - (laid_second(at) - 10.0)
    assert len(two["curve"]) > 10 and np.diff(np.array(two["curve"])[:, 0]).max() <= 1.0001
    assert np.abs(off).max() * RATE < 2


def test_a_mix_without_code_is_tied_by_sound_and_the_ring_closes(run, shelf):
    before = run("parts", "S-1", "--json").json
    assert any("R-3" in line and "reelturn tie" in line for line in before["open"])
    tied = run("tie", "R-1", "R-3", "--json")
    assert tied.status == 0, tied.err
    assert tied.json["by"] == "sound" and tied.json["error_ms"] < 0.2 and tied.json["quality"] > 5
    at = np.arange(5.0, 70.0)
    true = laid_mix(at)
    assert np.sqrt(np.mean((along(tied.json["curve"], true) - at) ** 2)) < 0.0003
    assert run("tie", "R-2", "R-3").status == 0
    assert np.diff(np.array(tied.json["curve"])[1:-1, 0]).max() <= 1.0001
    parts = run("parts", "S-1", "--json").json
    (loop,) = parts["loops"]
    assert set(loop["reels"]) == {"R-1", "R-2", "R-3"} and loop["misfit_ms"] < 2
    assert not any("nothing ties" in line for line in parts["open"])


def test_captures_that_share_nothing_are_refused_with_the_best_that_was_tried(run, shelf, captures):
    sound, rate = soundfile.read(captures / "other.wav", frames=40 * RATE)
    soundfile.write(shelf / "short.wav", sound, rate, "PCM_24")
    assert run("check", "R-4", "short.wav").status in (0, 1)
    refused = run("tie", "R-1", "R-4")
    assert refused.status == 1 and refused.err.count("\n") == 1
    assert "share no sound that can be proved" in refused.err and "the best of" in refused.err


def test_two_taps_lay_a_capture_and_say_so(run, shelf):
    told = run("tie", "R-1", "R-3", "--at", "0:32.12", "20", "--at", "61.55", "50", "--json")
    assert told.status == 0 and told.json["by"] == "said" and told.json["error_ms"] >= 10
    tie = run("tie")
    assert "R-1 at" in tie.out and "as told at two places" in tie.out
    assert run("tie", "R-1", "R-3", "--let-go").status == 0
    assert run("tie").out.strip() == "no two captures are tied yet"
    assert run("tie", "R-1", "R-3", "--let-go").status == 1


def test_a_wrong_tap_shows_as_a_ring_that_does_not_close_and_is_to_blame(run, tied):
    assert run("tie", "R-2", "R-3", "--at", "30", "30").status == 0
    (loop,) = run("parts", "S-1", "--json").json["loops"]
    assert loop["misfit_ms"] > 100 and "R-2 and R-3 by said" in loop["says"]


@pytest.mark.parametrize(
    ("words", "status", "says"),
    [
        (("R-1",), 2, "two reels are wanted"),
        (("R-1", "R-9"), 1, "no reel 'R-9'"),
        (("R-1", "R-1"), 1, "name two"),
        (("R-1", "R-3", "--at", "soon", "3"), 2, "is no place"),
        (("R-1", "R-3", "--at", "3", "9", "--at", "9", "3"), 1, "in the same order"),
        (("R-1", "R-3", "--pass", "1", "7"), 1, "no check of R-3 pass 7"),
    ],
)
def test_what_cannot_be_tied_is_said_in_a_line(run, shelf, words, status, says):
    refused = run("tie", *words)
    assert refused.status == status and says in refused.err and refused.err.count("\n") == 1


def test_a_missing_file_is_named(run, shelf, captures, tmp_path):
    other = tmp_path / "gone.wav"
    other.write_bytes((captures / "mix.wav").read_bytes())
    assert run("check", "R-3", other, "--json").status in (0, 1)
    other.unlink()
    refused = run("tie", "R-1", "R-3")
    assert refused.status == 2 and "gone.wav" in refused.err


def test_a_tie_follows_its_tapes_to_other_keys_and_goes_with_one_undo(run, tied):
    assert run("rename", "R-3", "A-3").status == 0
    parts = run("parts", "S-1", "--json").json
    assert not any("A-3" in line and "nothing ties" in line for line in parts["open"])
    assert run("tie", "R-1", "A-3", "--let-go").status == 0
    assert run("undo").status == 0
    assert "A-3 at" in run("tie").out


def test_an_export_brings_ties_back_and_needs_no_courses(run, tied, tmp_path, monkeypatch):
    assert run("export", "out").status == 0
    monkeypatch.setenv("REELTURN_SHELF", str(tmp_path / "again.json"))
    assert run("new", "--studio", "out/studio.toml").status == 0
    names = ("reels", "songs", "sheets", "history")
    done = run("import", *(f"out/{name}.csv" for name in names), "out/records.json")
    assert done.status == 0, done.err
    parts = run("parts", "S-1", "--json").json
    assert {place(parts, "bass")["by"], place(parts, "voice")["by"]} == {"timecode"}
    assert run("tie").out.count("\n") == 1
