"""Line-ups on a shelf."""

from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, datetime

import pytest

from core.errors import Refused
from core.lineup.on_shelf import drift_since_last, keep, lineups_of, own_tolerances, sheet_for, still_off
from core.lineup.record import LineupRecord
from core.reels.reel import Reel
from core.shelf import Shelf
from core.studio.studio import Studio


@pytest.fixture
def shelf(multitrack: Callable[..., Reel]) -> Shelf:
    """A reel with tones of its own, and a calibration reel."""
    cal = replace(multitrack(role="calibration"), key="CAL-1")
    return Shelf(Studio("Harbour Lane", "UTC")).with_reel(multitrack(tones="1 kHz; 10 kHz", tracks=4), cal)


def test_the_sheet_of_a_reel_has_its_own_part_behind_it(shelf: Shelf) -> None:
    sheet = sheet_for(shelf, "D1", "R-1", "CAL-1")
    keys = [line.key for line in sheet.lines]
    assert keys[0] == "clean"
    assert keys.index("level-1000") < keys.index("own-varispeed")
    assert (sheet.calibration, sheet.tracks, sheet.choice) == ("CAL-1", 4, "calibration tape")


def test_without_a_calibration_reel_the_reels_tones_lead(shelf: Shelf) -> None:
    assert sheet_for(shelf, "D1", "R-1").choice == "by the reel's own tones"
    assert sheet_for(shelf, "D1", "R-1", choice="as it stands").choice == "as it stands"


def test_a_tape_that_cannot_be_read_for_the_reel_is_refused(shelf: Shelf) -> None:
    shelf = shelf.with_reel(replace(shelf.reel("CAL-1"), level=None))
    with pytest.raises(Refused, match="CAL-1"):
        sheet_for(shelf, "D1", "R-1", "CAL-1")


def test_kept_line_ups_come_back_and_show_drift(shelf: Shelf, readings: Callable[..., LineupRecord]) -> None:
    sheet = sheet_for(shelf, "D1", "R-1", "CAL-1")
    first = readings(sheet, at=datetime(2026, 11, 1, tzinfo=UTC))
    shelf = keep(keep(shelf, readings(sheet, {("bass-50", 2): 0.8}, when="before")), first)
    shelf = shelf.with_record("lineup", "odd", {"at": "soon"})
    old, new = lineups_of(shelf)
    assert old == first
    assert [(one.line, one.track) for one in drift_since_last(shelf, new) if one.much] == [("bass-50", 2)]


def test_a_sheet_tells_when_it_is_closed_what_it_leaves_to_be_turned(
    shelf: Shelf, readings: Callable[..., LineupRecord]
) -> None:
    sheet = sheet_for(shelf, "D1", "R-1", "CAL-1")
    at = datetime(2026, 12, 1, 19, 30, tzinfo=UTC)
    off = keep(shelf, readings(sheet, {("level-1000", 2): 1.5}, at=at))
    assert "level of track 2" in still_off(off, "D1", at)
    assert not still_off(off, "D2", at) and not still_off(off, "D1", at.replace(day=2))
    assert not still_off(keep(shelf, readings(sheet, at=at)), "D1", at)
    found = keep(shelf, readings(sheet, {("level-1000", 2): 1.5}, when="before", at=at))
    assert still_off(found, "D1", at).startswith("level of track 2")
    assert still_off(found, "D1", at).endswith("nothing was read as left")
    assert not still_off(keep(shelf, readings(sheet, when="before", at=at)), "D1", at)
    assert not still_off(shelf, "D1", at)


def test_the_owners_tolerances_are_on_the_shelf(shelf: Shelf) -> None:
    shelf = shelf.choosing("figures", {"lineup.level_db": {"value": 0.1}})
    line = sheet_for(shelf, "D1", "R-1", "CAL-1").line("level-1000")
    assert own_tolerances(shelf).level_db == 0.1
    assert line is not None
    assert line.high == pytest.approx(0.1)
