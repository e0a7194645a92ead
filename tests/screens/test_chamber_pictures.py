"""Pictures of the chamber and of a line-up at 80x24, 120x40 and without colour, held to those kept."""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import Any

import pytest

from core.conditioning.on_shelf import log_reading, log_weights
from core.lineup.on_shelf import keep, sheet_for
from core.lineup.record import LineupRecord, ToneReading
from core.shelf import Shelf

KEY = "C1 2026-12-01T17:15+00:00"
SIZES = [((80, 24), False), ((120, 40), False), ((80, 24), True)]
IDS = ["80x24", "120x40", "80x24-bare"]


def warm(shelf: Shelf, at: datetime) -> Shelf:
    """The load that runs, with two readings and a weight."""
    read = log_reading(shelf, KEY, at - timedelta(minutes=40), 52.5, "top")
    read = log_reading(read, KEY, at - timedelta(minutes=5), 57.0, "bottom")
    return log_weights(read, KEY, "R-002", before_g=2310)


def lined_up(shelf: Shelf, at: datetime) -> Shelf:
    """Two tracks of D1 read as found and as left, the second too bright."""
    sheet = sheet_for(shelf, "D1", "R-001", "CAL-1")
    off = {"level-1000": 0.7, "treble-10000": 1.8, "treble-16000": -3.6, "bass-100": 0.4, "bass-50": 0.9}
    read = [
        ToneReading(line.key, track, (line.expected or 0.0) + off[line.key] * share, when)
        for line in sheet.tones
        if line.key in off
        for track in (1, 2)
        for when, share in (("before", float(track) / 2), ("after", 0.2))
    ]  # fmt: skip
    words = shelf.reel("R-001").setup.words()
    ticked = frozenset({"clean", "demagnetise", "safe", "monitors"})
    began = at - timedelta(minutes=10)
    made = LineupRecord(began, "D1", words, "calibration tape", "CAL-1", ticked, tuple(read), "R-001")
    return keep(shelf, made)


@pytest.mark.parametrize(("size", "bare"), SIZES, ids=IDS)
@pytest.mark.parametrize("place", ["chamber", "line-up", "response"])
def test_the_place_looks_as_it_did(
    book: Any,
    snap_compare: Any,
    seen: Any,
    until: Any,
    monkeypatch: pytest.MonkeyPatch,
    place: str,
    size: tuple[int, int],
    bare: bool,
) -> None:
    from tui.app import ReelturnApp

    if bare:
        monkeypatch.setenv("NO_COLOR", "1")
    book.lay_out(lined_up(warm(book.shelf, book.moment), book.moment))
    steps = {
        "chamber": [("f2", "turn it down")],
        "line-up": [("j", "Line-up of D1")],
        "response": [("j", "Line-up of D1"), ("f7", "plain letters"), ("h", "the furthest off")],
    }[place]

    async def settle(pilot: Any) -> None:
        await until(pilot, lambda: any("machine time" in line for line in seen(pilot.app)))
        for key, sign in steps:
            await pilot.press(key)
            await until(pilot, lambda sign=sign: any(sign in line for line in seen(pilot.app)))

    assert snap_compare(ReelturnApp(book), terminal_size=size, run_before=settle)
