"""Every place and every sheet tells where its figures come from, by rows that are there."""

import re

import pytest

from core.tape.told.shown import figures_from, shown
from core.tape.where import source_of

PLACES = ("chart", "tonight", "week", "songs", "chamber", "lineup", "card", "sheet", "album")
SHEETS = (
    "work order", "conditioning log", "line-up sheet", "transfer log", "week sheet", "reel card",
    "box label", "track sheet", "change slip", "capture report", "album sheet",
)  # fmt: skip


def test_no_place_and_no_sheet_is_left_out() -> None:
    assert set(shown()) == {*PLACES, *SHEETS}


@pytest.mark.parametrize("where", [*PLACES, *SHEETS])
def test_every_row_that_is_named_is_there(where: str) -> None:
    for one in shown()[where]:
        assert one.figure and one.how
        for key in one.keys:
            assert source_of(key).row.source, key


# What a practitioner may ask of: the list of the owner, and where it must be answered.
@pytest.mark.parametrize(
    ("what", "where", "key"),
    [
        ("durations", "tonight", "minutes.load"),
        ("durations", "work order", "minutes.verify"),
        ("hours of warmth", "chart", "treatments.house-inch"),
        ("hours of warmth", "chamber", "treatments.house-quarter"),
        ("temperature", "chamber", "heat.reading_band_c"),
        ("temperature", "conditioning log", "heat.hard_stop_c"),
        ("playable days", "chart", "heat.playable_days"),
        ("playable days", "conditioning log", "heat.playable_days"),
        ("targets", "lineup", "formula.meter"),
        ("targets", "line-up sheet", "formula.flux"),
        ("tolerance", "lineup", "lineup.middle_db"),
        ("tolerance", "line-up sheet", "lineup.treble_down_db"),
        ("estimates", "card", "length.pack_share"),
        ("estimates", "transfer log", "formula.play"),
        ("cautions", "chamber", "cautions.condition-thermometer"),
        ("line-up minutes", "tonight", "machine.setup_minutes"),
        ("listen share", "week", "minutes.listen_share"),
        ("thresholds", "capture report", "capture.minimum_bits"),
        ("promise", "songs", "promise.share"),
        ("play time", "box label", "formula.play"),
        ("play time", "track sheet", "length.reel_share"),
        ("durations", "change slip", "minutes.load"),
        ("side lengths", "album", "carriers.twelve-inch-33"),
        ("side lengths", "album sheet", "carriers.compact-disc"),
    ],
)
def test_what_may_be_asked_of_is_answered_where_it_stands(what: str, where: str, key: str) -> None:
    assert key in {one for row in shown()[where] for one in row.keys}, what


def test_a_sheets_foot_names_rows_and_sources() -> None:
    told = figures_from("line-up sheet", ("equalisations.nab-15",))
    assert "lineup.middle_db (nla, verified)" in told
    assert "lineup.level_db (practice)" in told
    assert re.search(r"here: equalisations\.nab-15 \([a-z0-9-]+", told)
