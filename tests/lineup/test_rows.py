"""A line-up sheet in words."""

from collections.abc import Callable

from core.lineup.calibration import CalibrationTape
from core.lineup.record import LineupRecord
from core.lineup.rows import sheet_rows
from core.lineup.sheet import lineup_sheet
from core.studio.setup import Setup


def test_a_sheet_to_write_on_has_blanks_for_every_track(
    setup_of: Callable[..., Setup], tape_of: Callable[..., CalibrationTape]
) -> None:
    rows = {row.key: row for row in sheet_rows(lineup_sheet("D1", setup_of(level=320), 4, tape_of(250)))}
    assert rows["clean"].cells == ()
    assert rows["level-1000"].cells == ("",) * 4
    assert rows["level-1000"].must == "-2.1 dB (-2.6 to -1.6)"
    assert rows["azimuth-10000"].must == "0° (-30 to +30)"
    assert rows["azimuth-10000"].cells == ("",)
    assert "only written down" in rows["bass-50"].must


def test_readings_stand_in_their_cells(
    setup_of: Callable[..., Setup],
    tape_of: Callable[..., CalibrationTape],
    readings: Callable[..., LineupRecord],
) -> None:
    sheet = lineup_sheet("D1", setup_of(), 2, tape_of(compensated=True))
    rows = {row.key: row for row in sheet_rows(sheet, readings(sheet, {("treble-10000", 2): -1.34}))}
    assert rows["treble-10000"].cells == ("0.0 dB", "-1.3 dB")
    assert rows["treble-10000"].verdicts == ("pass", "fail")
    assert rows["clean"].ticked
    assert not rows["monitors"].ticked
