"""A captured calibration tape on the command line: table, picture, document, record, and what cannot be."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

import numpy as np
import pytest
import soundfile

from core.lineup.on_shelf import lineups_of
from core.workbook.workbook import Workbook
from tui.cli import main

DEMO = Path(__file__).resolve().parents[2] / "demo"
RATE = 48000
NOW = datetime(2026, 12, 1, 19, tzinfo=UTC)


@dataclass(frozen=True)
class Ran:
    status: int
    out: str
    err: str


@pytest.fixture
def run(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capfd: pytest.CaptureFixture[str]
) -> Callable[..., Ran]:
    """Runs a command line on the made-up shelf."""
    monkeypatch.setenv("REELTURN_SHELF", str(tmp_path / "tapes.json"))
    monkeypatch.setattr("tui.commands.command.now", lambda: NOW)
    monkeypatch.chdir(tmp_path)

    def ran(*words: str) -> Ran:
        capfd.readouterr()
        status = main(list(words))
        return Ran(status, *capfd.readouterr())

    assert ran("new", "--studio", str(DEMO / "studio.toml")).status == 0
    assert ran("import", str(DEMO / "reels.csv")).status == 0
    return ran


@pytest.fixture
def tones(tmp_path: Path) -> Callable[..., Path]:
    """2.5 s of each tone on 16 tracks at -18 dBFS; track 5 is down by so many dB at 10 kHz."""

    def write(down_db: float = 0.0) -> Path:
        time = np.arange(int(2.5 * RATE)) / RATE
        parts = []
        for hz in (1000, 10000, 16000):
            gains = np.full(16, 10 ** (-18 / 20))
            gains[4] *= 10 ** (-down_db / 20) if hz == 10000 else 1
            parts += [np.outer(np.sin(2 * np.pi * hz * time), gains), np.zeros((RATE // 2, 16))]
        soundfile.write(tmp_path / "tones.wav", np.concatenate(parts), RATE, "PCM_24")
        return tmp_path / "tones.wav"

    return write


def kept(tmp_path: Path) -> list[object]:
    return list(lineups_of(Workbook.open(tmp_path / "tapes.json", lambda: NOW).shelf))


def test_a_tape_that_reads_right_is_a_table_a_picture_and_a_record(run, tones, tmp_path) -> None:
    told = run("lineup", "D1", "CAL-1", str(tones()), "--zero", "-18")
    assert told.status == 0, told.err
    lines = told.out.splitlines()
    assert lines[0] == "D1: 15 ips NAB 250 nWb/m, by CAL-1"
    assert next(line for line in lines if line.startswith("level-1000")).count("0.0") >= 16
    assert " +0 |    16    16    16" in lines and "  Hz     1k   10k   16k" in lines
    (record,) = kept(tmp_path)
    assert (record.deck, record.calibration) == ("D1", "CAL-1")


def test_a_captured_tape_with_mould_left_it_on_the_path(run, tones, tmp_path) -> None:
    assert run("set", "CAL-1", "condition=mould").status == 0
    made = run("lineup", "D1", "CAL-1", str(tones()), "--zero", "-18")
    assert "! D1's path is not wiped since CAL-1 ran on it (mould" in made.err


def test_a_captured_tape_has_its_place_at_the_closing_look(run, tones, tmp_path) -> None:
    assert run("lineup", "D1", "CAL-1", str(tones()), "--zero", "-18").status == 0
    assert "CAL-1" in run("closing").out
    assert run("set", "CAL-1", "condition=mould").status == 0
    told = run("closing").out
    assert "Put back: apart from all tapes, in a closed bag, with gloves and a mask: CAL-1" in told


def test_a_track_that_is_down_at_ten_kilohertz_is_told(run, tones, tmp_path) -> None:
    plain = run("lineup", "D1", "CAL-1", str(tones(3.0)), "--zero", "-18")
    assert plain.status == 1 and "treble of track 5 at 10000 Hz: 3.0 dB up" in plain.out
    told = run("lineup", "D1", "CAL-1", str(tones(3.0)), "--zero", "-18", "--json")
    assert told.status == 1 and isinstance(json.loads(told.out), dict)
    record = kept(tmp_path)[-1]
    assert record.reading("treble-10000", 5, "before") == pytest.approx(-3.0, abs=0.02)
    assert record.reading("treble-10000", 6, "before") == pytest.approx(0.0, abs=0.02)


@pytest.mark.parametrize(
    ("words", "status", "says"),
    [
        (("lineup", "D9", "CAL-1", "tones.wav"), 1, "no deck 'D9'"),
        (("lineup", "D1", "R-001", "tones.wav"), 1, "no calibration reel"),
        (("lineup", "D1", "CAL-1", "nothing.wav"), 2, "nothing.wav"),
        (("lineup", "D1", "CAL-1", "tones.wav", "--zero", "loud"), 2, "--zero"),
        (("lineup", "D1", "CAL-1", "tones.wav", "--apart", "0"), 2, "more than 0 mm"),
    ],
)
def test_what_cannot_be_measured_is_one_line_and_keeps_nothing(
    run, tones, tmp_path, words, status, says
) -> None:
    tones()
    told = run(*words)
    assert told.status == status and says in told.err and len(told.err.splitlines()) == 1
    assert kept(tmp_path) == []
