"""A made-up song of two minutes at a low rate, and a second take of it to the same click."""

from __future__ import annotations

import json
import shutil
from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import madeupsongs as songs
import numpy as np
import pytest
import soundfile
from quay import STUDIO

from core.capture.timecode.encode import timecode
from core.capture.timecode.labels import RATES
from tui.cli import main

RATE = 8_000
SECONDS = 100


@pytest.fixture(scope="session")
def band() -> dict[str, np.ndarray]:
    """Six tracks of one take."""
    return songs.band(SECONDS, RATE, 1)


@pytest.fixture(scope="session")
def other_take() -> dict[str, np.ndarray]:
    """Six tracks of another take to the same click."""
    return songs.band(SECONDS, RATE, 77)


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


@pytest.fixture(scope="session")
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


def at_home(patch: pytest.MonkeyPatch, folder: Path) -> None:
    """The shelf in that folder, on an evening that stands still."""
    patch.setenv("REELTURN_SHELF", str(folder / "tapes.json"))
    patch.setenv("REELTURN_DEBUG", "1")
    patch.setattr("tui.commands.command.now", lambda: datetime(2026, 12, 1, 18, 52, 31, tzinfo=UTC))
    patch.chdir(folder)


@pytest.fixture
def run(capfd, monkeypatch, tmp_path) -> Callable[..., Ran]:
    at_home(monkeypatch, tmp_path)

    def ran(*words: object) -> Ran:
        capfd.readouterr()
        status = main([str(word) for word in words])
        return Ran(status, *capfd.readouterr())

    return ran


@pytest.fixture(scope="session")
def checked(tmp_path_factory, captures) -> Path:
    """The folder of a shelf with all four captures checked; tests work on copies of it."""
    folder = tmp_path_factory.mktemp("checked")
    for name, text in (
        ("studio.toml", STUDIO),
        ("reels.csv", REELS),
        ("songs.csv", SONGS),
        ("sheets.csv", SHEETS),
    ):
        (folder / name).write_text(text)
    with pytest.MonkeyPatch.context() as patch:
        at_home(patch, folder)
        assert main(["new", "--studio", "studio.toml"]) == 0
        assert main(["import", "reels.csv", "songs.csv", "sheets.csv"]) == 0
        for reel, name in (("R-1", "one.wav"), ("R-2", "two.wav"), ("R-3", "mix.wav"), ("R-4", "other.wav")):
            assert main(["check", reel, str(captures / name), "--json"]) in (0, 1)
    return folder


@pytest.fixture
def shelf(run, tmp_path, checked) -> Path:
    """A shelf of its own with all four captures checked."""
    shutil.copytree(checked, tmp_path, dirs_exist_ok=True)
    return tmp_path


@pytest.fixture(scope="session")
def after(tmp_path_factory, checked) -> Callable[..., Path]:
    """``after("tie", "R-1", "R-3")``: a copy of that folder after that command line, run once a session."""
    done: dict[tuple[str, ...], Path] = {}

    def ran(*words: str) -> Path:
        if words not in done:
            folder = tmp_path_factory.mktemp("after")
            shutil.copytree(checked, folder, dirs_exist_ok=True)
            with pytest.MonkeyPatch.context() as patch:
                at_home(patch, folder)
                assert main([*words]) == 0
            done[words] = folder
        return done[words]

    return ran


@pytest.fixture
def tied(run, tmp_path, after) -> Path:
    """A shelf of its own whose mix R-3 is tied to R-1 by sound."""
    shutil.copytree(after("tie", "R-1", "R-3"), tmp_path, dirs_exist_ok=True)
    return tmp_path
