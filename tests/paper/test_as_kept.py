"""Logs and line-ups as they were kept, filled in: what was read, what was wrong, and the rows behind it."""

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime, timedelta
from io import BytesIO
from pathlib import Path

import pytest
from pypdf import PdfReader

from core.conditioning.loads.kept_loads import loads_of
from core.conditioning.on_shelf import log_reading, log_trial, log_weights
from core.errors import Refused
from core.evening.warming.load import load
from core.evening.warming.load_broken import break_off
from core.lineup.on_shelf import keep, sheet_for, sheet_of
from core.lineup.record import LineupRecord, ToneReading
from core.lineup.sheet import LineupSheet
from core.paper.kept.chamber_log import kept_log_pdf
from core.paper.kept.lineup_kept import kept_lineup_pdf
from core.paper.prints import print_lineups, print_loads
from core.reels.reel import Reel
from core.shelf import Shelf

Words = Callable[[bytes], str]


@pytest.fixture
def warm(shelf: Shelf, made: datetime) -> Shelf:
    """A sticky 1-inch reel in C1 since the moment of printing."""
    sick = next(
        reel for reel in shelf.reels.values() if reel.width is not None and reel.width.number == 1
        and not reel.calibration
    )  # fmt: skip
    sick = replace(
        sick, key="R-77", base="polyester", condition=("sticky",), stage="identified", set_aside="",
        conditioned_at=None, playable_until=None, chamber="", loaded_at=None, box_label="<b>Lanterns</b>",
    )  # fmt: skip
    empty = {key: replace(reel, chamber="", loaded_at=None) for key, reel in shelf.reels.items()}
    return load(replace(shelf, reels=empty).with_reel(sick), "C1", ["R-77"], made, "we stay up")


def test_a_kept_log_is_filled_in(warm: Shelf, made: datetime, words: Words) -> None:
    key = list(loads_of(warm))[-1]
    hot = log_reading(warm, key, made + timedelta(hours=2), 61, "top")
    hot = log_weights(hot, key, "R-77", before_g=1502)
    told = " ".join(words(kept_log_pdf(hot, key, made + timedelta(hours=3))).split())
    assert "61 °C" in told and "switch off and take the reels out" in told
    assert "<b>Lanterns</b>" in told, "what was typed is no markup"
    assert "1502" in told and "! missed" in told
    assert "heat.hard_stop_c (practice)" in told
    assert "licensed" in told


def test_a_log_of_a_load_broken_off_tells_the_next_step(warm: Shelf, made: datetime, words: Words) -> None:
    key = list(loads_of(warm))[-1]
    off = break_off(warm, key, made + timedelta(hours=3), "power")
    told = " ".join(words(kept_log_pdf(off, key, made + timedelta(hours=30))).split())
    assert "Broken off" in told and "power" in told
    assert "it has cooled, give it the whole" in told


def test_an_empty_run_has_a_log_too(shelf: Shelf, made: datetime, words: Words) -> None:
    tried = log_trial(shelf, "C1", made, 54)
    key = next(key for key, log in loads_of(tried).items() if log.trial)
    told = " ".join(words(kept_log_pdf(tried, key, made + timedelta(hours=1))).split())
    assert "Empty run, chamber C1" in told and "a second thermometer, not its own" in told


def a_lineup(shelf: Shelf, at: datetime, tracks: int = 16) -> tuple[Shelf, LineupRecord, LineupSheet]:
    """A 1-inch reel lined up to by a calibration tape of its own set-up, track 3 too bright as found."""
    from core.quantities import read_quantity

    setup = {
        "width": read_quantity("1 in", "length"), "tracks": tracks, "eq": "NAB",
        "speed": read_quantity("15 ips", "speed"), "level": read_quantity("250 nWb/m", "flux"),
    }  # fmt: skip
    reel, cal = Reel("R-88", **setup), Reel("CAL-88", role="calibration", **setup)
    there = shelf.with_reel(reel, cal)
    sheet = sheet_for(there, "D1", "R-88", "CAL-88")
    read = []
    for line in sheet.tones:
        for track in range(1, tracks + 1):
            off = 2.6 if (line.key, track) == ("treble-10000", 3) else 0.0
            read.append(ToneReading(line.key, track, (line.expected or 0.0) + off, "before"))
            read.append(ToneReading(line.key, track, line.expected or 0.0, "after"))
    record = LineupRecord(
        at, "D1", reel.setup.words(), "calibration tape", "CAL-88", frozenset({"clean"}), tuple(read), "R-88",
        "new heads",
    )  # fmt: skip
    return keep(there, record), record, sheet


def test_a_kept_line_up_is_filled_in_as_found_and_as_left(shelf: Shelf, made: datetime, words: Words) -> None:
    there, record, _ = a_lineup(shelf, made)
    told = " ".join(words(kept_lineup_pdf(there, record, made)).split())
    assert "As found" in told and "As left" in told
    assert "+2.6 !" in told, "what is out of tolerance is marked, and not by weight alone"
    assert "track 3: dB off; o as found, x as left" in told
    assert "new heads" in told
    assert "lineup.middle_db (nla, verified)" in told
    assert "equalisations.nab-15" in told and "fluxivities.f250" in told


def test_a_line_up_whose_tape_is_gone_is_printed_all_the_same(
    shelf: Shelf, made: datetime, words: Words
) -> None:
    there, record, _ = a_lineup(shelf, made, 2)
    reels = {key: reel for key, reel in there.reels.items() if key not in ("CAL-88", "R-88")}
    gone = replace(there, reels=reels)
    assert sheet_of(gone, record).tracks == 2
    assert "as kept" in words(kept_lineup_pdf(gone, record, made))


@pytest.mark.parametrize("size", ["A4", "Letter"])
def test_both_are_printed_from_the_shelf_by_name(
    warm: Shelf, made: datetime, tmp_path: Path, size: str
) -> None:
    there, _, _ = a_lineup(warm, made)
    logs = print_loads(there, tmp_path, size=size, made=made)
    lineups = print_lineups(there, tmp_path, deck="D1", size=size, made=made, newest=True)
    assert [path.suffix for path in (*logs, *lineups)] == [".pdf"] * (len(logs) + 1)
    assert len(PdfReader(BytesIO(lineups[0].read_bytes())).pages) <= 3
    assert print_lineups(there, tmp_path, size=size, made=made)[0].read_bytes() == lineups[0].read_bytes()


def test_where_nothing_was_kept_it_is_said(shelf: Shelf, made: datetime, tmp_path: Path) -> None:
    bare = replace(shelf, records={}, reels={k: replace(r, chamber="") for k, r in shelf.reels.items()})
    with pytest.raises(Refused, match="nothing was loaded"):
        print_loads(bare, tmp_path, made=made)
    with pytest.raises(Refused, match="no line-up"):
        print_lineups(bare, tmp_path, made=made)
