"""Captures laid in time at the command line: by code, by sound, as told, and what is refused."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import madeupsongs as songs
import numpy as np
import pytest
import soundfile

from core.capture.timecode.encode import timecode
from core.capture.timecode.labels import RATES
from tui.cli import main

RATE = 8_000
STUDIO = """
[studio]
name = "Quay"
timezone = "Europe/Lisbon"
[[deck]]
id = "D1"
widths = ["1/4 in"]
tracks = 8
speeds = ["15 ips"]
wind_speed = "180 ips"
setup_minutes = 40
touch_up_minutes = 15
[capture]
inputs = 8
sample_rate = "8 kHz"
bit_depth = 24
[[hours]]
days = ["mon"]
from = "19:00"
to = "22:30"
bench = true
home = true
"""
REELS = "reel,role,width,tracks,speed,base,condition\n" + "".join(
    f"{key},{role},1/4 in,{tracks},15 ips,polyester,ok\n"
    for key, role, tracks in (
        ("R-1", "multitrack", 4),
        ("R-2", "multitrack", 3),
        ("R-3", "mix", 2),
        ("R-4", "multitrack", 2),
    )
)
SONGS = "song,title,needs\nS-1,Low Tide,R-1@0:10-1:20; R-2; R-3\nS-2,Other,R-4\n"
SHEETS = (
    "sheet,reel,song,track,part,take,copied_from\n"
    "T-1,R-1,S-1,1,drums,1,\nT-1,R-1,S-1,2,guitar,1,\nT-1,R-1,S-1,3,bass,1,\nT-1,R-1,S-1,4,timecode,,\n"
    "T-2,R-2,S-1,1,kit and guitar,1,R-1:1-2\nT-2,R-2,S-1,2,voice,1,\nT-2,R-2,S-1,3,timecode,,R-1:4\n"
    "T-3,R-3,S-1,1,mix left,,R-1:1-3\nT-3,R-3,S-1,2,mix right,,R-1:1-3\nT-4,R-4,S-2,1,drums,1,\n"
)
SECOND = songs.swaying(6.0, 1.004, 0.0015, 25, 0.4)
"""R-2: what R-1 plays at second(u), u being seconds of R-2's capture."""
MIX = songs.swaying(12.5, 0.981, 0.001, 30, 1.0)


@dataclass(frozen=True)
class Ran:
    status: int
    out: str
    err: str

    @property
    def json(self) -> Any:
        return json.loads(self.out)


@pytest.fixture(scope="module")
def captures(band, other_take, tmp_path_factory) -> Path:
    """Four captures: a multitrack with code, a bounce on its copied code, a mix without, a stranger."""
    folder = tmp_path_factory.mktemp("captures")
    rng = np.random.default_rng(11)

    def write(name: str, tracks: list[np.ndarray]) -> None:
        sound = np.stack([track + 1e-4 * rng.standard_normal(track.size) for track in tracks], 1)
        soundfile.write(folder / name, np.clip(sound, -1, 1), RATE, "PCM_24")

    size = 95 * RATE
    code = timecode("01:00:00:00", 25 * 95, RATES["25"], RATE, amplitude=0.3)
    code = np.pad(code, (0, max(0, size - code.size)))[:size]
    first = [band["drums"][:size], band["guitar"][:size], band["bass"][:size]]
    write("one.wav", [*first, code])
    bounce = first[0] + 0.7 * first[1]
    write("two.wav", [songs.played(one, RATE, SECOND, 80) for one in (bounce, band["voice"][:size], code)])
    mix = 0.8 * first[0] + 0.6 * first[1] + 0.9 * first[2]
    mixed = songs.played(mix, RATE, MIX, 75)
    write("mix.wav", [0.7 * mixed, -0.7 * mixed])
    write("other.wav", [other_take["drums"][:size], other_take["bass"][:size]])
    return folder


@pytest.fixture
def run(capfd, monkeypatch, tmp_path) -> Callable[..., Ran]:
    monkeypatch.setenv("REELTURN_SHELF", str(tmp_path / "tapes.json"))
    monkeypatch.setenv("REELTURN_DEBUG", "1")
    monkeypatch.setattr("tui.commands.command.now", lambda: datetime(2026, 12, 1, 18, 52, 31, tzinfo=UTC))
    monkeypatch.chdir(tmp_path)

    def ran(*words: object) -> Ran:
        capfd.readouterr()
        status = main([str(word) for word in words])
        return Ran(status, *capfd.readouterr())

    return ran


@pytest.fixture
def shelf(run, tmp_path, captures):
    """The shelf with all four captures checked."""
    for name, text in (
        ("studio.toml", STUDIO),
        ("reels.csv", REELS),
        ("songs.csv", SONGS),
        ("sheets.csv", SHEETS),
    ):
        (tmp_path / name).write_text(text)
    assert run("new", "--studio", "studio.toml").status == 0
    done = run("import", "reels.csv", "songs.csv", "sheets.csv")
    assert done.status == 0, done.err
    for reel, name in (("R-1", "one.wav"), ("R-2", "two.wav"), ("R-3", "mix.wav"), ("R-4", "other.wav")):
        done = run("check", reel, captures / name, "--json")
        assert done.status in (0, 1), done.err
    return tmp_path


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
    off = along(two["curve"], at) - (SECOND(at) - 10.0)
    assert len(two["curve"]) > 10 and np.diff(np.array(two["curve"])[:, 0]).max() <= 1.0001
    assert np.abs(off).max() * RATE < 2


def test_a_mix_without_code_is_tied_by_sound_and_the_ring_closes(run, shelf):
    before = run("parts", "S-1", "--json").json
    assert any("R-3" in line and "reelturn tie" in line for line in before["open"])
    tied = run("tie", "R-1", "R-3", "--json")
    assert tied.status == 0, tied.err
    assert tied.json["by"] == "sound" and tied.json["error_ms"] < 0.2 and tied.json["quality"] > 5
    at = np.arange(5.0, 70.0)
    true = MIX(at)
    assert np.sqrt(np.mean((along(tied.json["curve"], true) - at) ** 2)) < 0.0003
    assert run("tie", "R-2", "R-3").status == 0
    parts = run("parts", "S-1", "--json").json
    (loop,) = parts["loops"]
    assert set(loop["reels"]) == {"R-1", "R-2", "R-3"} and loop["misfit_ms"] < 2
    assert not any("nothing ties" in line for line in parts["open"])


def test_captures_that_share_nothing_are_refused_with_the_best_that_was_tried(run, shelf):
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


def test_a_wrong_tap_shows_as_a_ring_that_does_not_close_and_is_to_blame(run, shelf):
    assert run("tie", "R-1", "R-3").status == 0
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
