"""Every kind of finding by every door: command line, shelf, screen, paper, and out and in again."""

from __future__ import annotations

import json
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from capturedkinds import RATE, TAKES, Take, hiss, write
from pypdf import PdfReader

from core.findings import KINDS
from core.workbook.workbook import Workbook
from tui.cli import main

STUDIO = """[studio]
name = "Harbour Lane"
timezone = "Europe/Lisbon"

[[deck]]
id = "D1"
widths = ["1/4 in"]
tracks = 4
speeds = ["7.5 ips"]
wind_speed = "180 ips"
setup_minutes = 40
touch_up_minutes = 15

[capture]
inputs = 4
sample_rate = "48 kHz"
bit_depth = 24
guide_tracks = 0
"""
ROW = {
    "reel": "K-1", "width": "1/4 in", "tracks": "2", "speed": "7.5 ips", "eq": "NAB", "level": "250 nWb/m",
    "base": "polyester", "length": "3.75 ft", "condition": "ok", "stage": "transferred",
}  # fmt: skip


def test_every_kind_that_there_is_has_a_capture() -> None:
    assert set(TAKES) | {"guide"} == set(KINDS)


def when() -> datetime:
    """An evening that stands still."""
    return datetime(2026, 12, 1, 18, 52, tzinfo=UTC)


@pytest.fixture
def run(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capfd: Any) -> Callable[..., tuple[int, str, str]]:
    """Runs a command line on the shelf of this test."""
    monkeypatch.setenv("REELTURN_SHELF", str(tmp_path / "tapes.json"))
    monkeypatch.setattr("tui.commands.command.now", when)
    monkeypatch.chdir(tmp_path)

    def ran(*words: str) -> tuple[int, str, str]:
        capfd.readouterr()
        status = main(list(words))
        return (status, *capfd.readouterr())

    return ran


def begin(folder: Path, run: Any, take: Take, studio: str) -> None:
    """A shelf with the take's reel on it."""
    row = {**ROW, **take.fields}
    (folder / "studio.toml").write_text(studio)
    (folder / "reels.csv").write_text(f"{','.join(row)}\n{','.join(row.values())}\n")
    rows = [f"S-1,K-1,{track},{part}\n" for track, part in take.sheet.items()]
    (folder / "sheets.csv").write_text("sheet,reel,track,part\n" + "".join(rows))
    assert run("new", "--studio", "studio.toml")[0] == 0
    assert run("import", "reels.csv", "sheets.csv")[0] == 0


def two_passes(folder: Path, run: Any) -> list[Path]:
    """A reel of three tracks on two inputs, of which the first runs in both passes; the first is checked."""
    guide = hiss(1, 12 * RATE)
    first = write(folder / "one.wav", guide, hiss(2, 12 * RATE))
    second = write(folder / "two.wav", np.roll(guide, 2000), hiss(3, 12 * RATE))
    studio = STUDIO.replace("inputs = 4", "inputs = 2").replace("guide_tracks = 0", "guide_tracks = 1")
    begin(folder, run, Take([], {"tracks": "3", "length": "7.5 ft"}), studio)
    assert run("check", "K-1", str(first))[0] == 0
    return [second]


@pytest.mark.parametrize("kind", KINDS)
async def test_a_finding_of_that_kind_passes_every_door(kind: str, tmp_path: Path, run: Any) -> None:
    if kind == "guide":
        files, number = two_passes(tmp_path, run), "2"
    else:
        take, number = TAKES[kind](tmp_path), "1"
        rule = '\nfile_names = "{reel} {pass}"' if kind == "name" else ""
        begin(tmp_path, run, take, STUDIO.replace("guide_tracks = 0", f"guide_tracks = 0{rule}"))
        files = take.files
    status, out, err = run("check", "K-1", *map(str, files), "--pass", number, "--json")
    told = json.loads(out)
    (*_, found) = [one for one in told["findings"] if one["kind"] == kind]
    assert status == (1 if told["verdict"] == "fail" else 0) and "Traceback" not in err
    book = Workbook.open(tmp_path / "tapes.json", when)
    kept = book.shelf.of_kind("check")[f"K-1 pass {number}"]
    assert found in kept["findings"] and kept["findings"] == told["findings"]
    await on_screen(book, found, *(["right"] if number == "2" else []))
    on_paper(run, tmp_path, found)
    out_and_in_again(run, tmp_path, book)


OPEN = ("silence", "sound", "short", "long", "polarity")


@pytest.mark.parametrize("kind", [*OPEN, "copy", "hum", "dc", "dropout"])
def test_what_a_remark_leaves_open_keeps_the_gate_to_verified_shut(
    kind: str, tmp_path: Path, run: Any
) -> None:
    """A silent track, tape that is missing, a place nobody heard; hum and offset were only to be told."""
    take = TAKES[kind](tmp_path)
    begin(tmp_path, run, take, STUDIO)
    verdict = json.loads(run("check", "K-1", *map(str, take.files), "--json")[1])["verdict"]
    assert verdict == "remarks"
    status, _, err = run("mark", "K-1", "verified")
    if kind in OPEN:
        assert status == 1 and f"still open in pass 1: {kind}" in err, err
    elif kind == "dropout":
        assert status == 1 and "1 place not listened to" in err, err
    else:
        assert status == 0, err
        return
    assert len(err.splitlines()) == 1 and "--because" in err
    assert run("mark", "K-1", "verified", "--because", "heard all of it twice")[0] == 0


def test_files_whose_own_timecode_runs_backwards_are_turned_before_they_prove_anything(
    tmp_path: Path, run: Any
) -> None:
    take = TAKES["reversed"](tmp_path)
    begin(tmp_path, run, take, STUDIO)
    assert run("check", "K-1", *map(str, take.files))[0] == 0
    status, _, err = run("mark", "K-1", "verified")
    assert status == 1 and "pass 1 runs backwards by its timecode" in err and "reelturn turn K-1" in err


async def on_screen(book: Workbook, found: dict[str, Any], *further: str) -> None:
    """The capture's place shows the finding's sentence."""
    from tui.app import ReelturnApp

    async with ReelturnApp(book).run_test(size=(160, 50)) as pilot:
        app = pilot.app
        for key in ("enter", "d", *further):
            await pilot.press(key)
            await pilot.pause()
        assert app._exception is None
        strips = app.screen._compositor.render_strips()
        text = " ".join(" ".join("".join(part.text for part in strip) for strip in strips).split())
        assert "captures" in text and found["kind"] in text, text


def on_paper(run: Any, folder: Path, found: dict[str, Any]) -> None:
    """The printed report says it."""
    assert run("report", "K-1", "--out", "paper")[0] == 0
    text = "".join(page.extract_text() for page in PdfReader(folder / "paper" / "capture-K-1.pdf").pages)
    squeezed = "".join(text.split())
    assert "".join(found["says"].split()) in squeezed or "".join(found["says"][:40].split()) in squeezed


def out_and_in_again(run: Any, folder: Path, book: Workbook) -> None:
    """The shelf goes out and comes back with the same check."""
    assert run("export", "out")[0] == 0
    again = str(folder / "again.json")
    assert run("--shelf", again, "new", "--studio", "out/studio.toml")[0] == 0
    files = sorted(str(one) for one in (folder / "out").iterdir() if one.name != "studio.toml")
    assert run("--shelf", again, "import", *files)[0] == 0
    assert dict(Workbook.open(folder / "again.json", when).shelf.of_kind("check")) == dict(
        book.shelf.of_kind("check")
    )
