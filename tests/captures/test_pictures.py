"""Pictures of a reel's captures, held against those that were looked at once."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

import pytest

from core.findings import AudioFile, ChannelMeasure, Check, Finding, Strip


def made_check(tracks: int) -> Check:
    """A check of made-up findings, the same on every machine."""
    columns, seconds = 400, 2000.0
    rows = tuple(
        bytes(round(36 + 24 * math.sin(column / (9 + track)) ** 2) for column in range(columns))
        for track in range(tracks)
    )
    found = (
        (
            "clipping",
            3,
            312.5,
            312.6,
            "fail",
            "Track 3 (kit left) clips at 5:12.5: 40 samples at full scale.",
        ),
        (
            "dropout",
            8,
            1201.25,
            1201.31,
            "remark",
            "Track 8 (piano) drops out at 20:01.2 by 18 dB for 60 ms.",
        ),
        ("zero run", tracks, 40.0, 40.006, "remark", "The last track holds nothing but zeros for 6.0 ms."),
        ("hum", 5, 0.0, seconds, "remark", "Track 5 (bass) hums at 50 Hz and its harmonics, -52 dBFS."),
        ("polarity", 1, 0.0, seconds, "remark", "Tracks 1 and 2 carry the same in opposed polarity."),
    )
    places = tuple(Finding(*one, size=44, feet=one[2] * 1.25) for one in found)
    noted = replace(places[1], notes=("dropout a flutter before the last verse",))
    places = (places[0], noted, *places[2:4], replace(places[4], other=2))
    numbers = tuple(range(1, tracks + 1))
    file = AudioFile("/captures/R-001.wav", "ab" * 32, 9_216_000_044, "RF64", "PCM_24", 96000, tracks,
                     192_000_000, seconds, "whole")  # fmt: skip
    levels = tuple(ChannelMeasure(track, 0, track - 1, -3.0, -2.9, -20.0, 0.0, 0, 0) for track in numbers)
    strip = Strip(seconds, numbers, columns, rows, rows)
    return Check(
        "R-001", (file,), levels, places, pass_number=1, tracks=numbers, seconds=seconds, strip=strip
    )


@pytest.mark.parametrize(
    ("tracks", "size", "bare"),
    [(16, (80, 24), False), (24, (80, 24), True), (24, (120, 40), False)],
    ids=["16-tracks-80x24", "24-tracks-80x24-bare", "24-tracks-120x40"],
)
def test_captures_look_as_they_did(
    book: Any,
    snap_compare: Any,
    monkeypatch: pytest.MonkeyPatch,
    tracks: int,
    size: tuple[int, int],
    bare: bool,
) -> None:
    from tui.app import ReelturnApp
    from tui.places.captures.capture import CaptureScreen

    if bare:
        monkeypatch.setenv("NO_COLOR", "1")
    found = book.captures.keep_check(made_check(tracks))
    book.captures.mark_place("R-001", 1, found.listening_list()[0], "again")
    book.captures.mark_place("R-001", 1, found.listening_list()[1], "fine")
    app = ReelturnApp(book)

    async def open_captures(pilot: Any) -> None:
        for _ in range(200):
            await pilot.pause()
            if app.is_open:
                break
        app.push_screen(CaptureScreen("R-001"))
        for _ in range(20):
            await pilot.pause()
        await pilot.press("down")
        for _ in range(10):
            await pilot.pause()

    assert snap_compare(app, terminal_size=size, run_before=open_captures)


def test_the_page_tells_every_letter() -> None:
    from pathlib import Path

    from tui.places.captures.lanes import LETTERS

    page = (Path(__file__).parents[2] / "docs" / "check.md").read_text("utf-8")
    assert all(f"| {letter} |" in page for letter in {*LETTERS.values(), "x"})
