"""The sheet of a line-up: order, tolerance, verdicts, what to turn first."""

from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, datetime

import orjson
import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.lineup.calibration import CalibrationTape
from core.lineup.drift import drift, history, last_before
from core.lineup.picture import response_picture
from core.lineup.record import LineupRecord, ToneReading, from_record, to_record
from core.lineup.sheet import CHOICES, LineupSheet, lineup_sheet
from core.lineup.tolerance import tolerances
from core.lineup.tones import tones
from core.lineup.verdict import judge, track_verdicts, turn_first
from core.studio.setup import Setup

Readings = Callable[..., LineupRecord]


@pytest.fixture
def sheet(setup_of: Callable[..., Setup], tape_of: Callable[..., CalibrationTape]) -> LineupSheet:
    """Four tracks, 15 ips NAB for 320, by a compensated 250 tape."""
    return lineup_sheet("D1", setup_of(level=320), 4, tape_of(250, compensated=True))


def test_no_calibration_tape_goes_over_an_uncleaned_path(sheet: LineupSheet) -> None:
    # Handbook for Sound Engineers, p. 1096: clean, demagnetise, azimuth, then level and equalisation
    keys = [line.key for line in sheet.lines]
    assert keys[:2] == ["clean", "demagnetise"]
    uses = [line.key.split("-")[0] for line in sheet.lines if line.hz]
    assert list(dict.fromkeys(uses)) == ["azimuth", "level", "treble", "bass"]


def test_azimuth_is_set_from_low_to_high(sheet: LineupSheet) -> None:
    # the same page: check at lower frequencies too, or a whole turn is taken for none
    hz = [line.hz for line in sheet.lines if line.key.startswith("azimuth")]
    assert hz == sorted(hz) == [1000, 10_000, 16_000]


def test_a_three_frequency_tape_has_1_khz_10_khz_and_50_hz() -> None:
    # a laboratory's Publication 070
    assert {tone.hz for tone in tones(15, "three frequencies")} == {1000, 10_000, 50}


def test_many_frequencies_ask_no_tone_twice() -> None:
    for speed in (3.75, 7.5, 15, 30):
        keys = [tone.key for tone in tones(speed, "many frequencies")]
        hz = [tone.hz for tone in tones(speed, "many frequencies") if tone.use != "azimuth"]
        assert len(keys) == len(set(keys))
        assert len(hz) == len(set(hz)) >= 15


def test_tolerances_of_the_response(sheet: LineupSheet) -> None:
    # National Library of Australia: ±1 dB to 10 kHz, +1/−2 dB above
    ten, sixteen = sheet.line("treble-10000"), sheet.line("treble-16000")
    assert ten is not None and sixteen is not None
    assert ten.expected == pytest.approx(-2.14, abs=0.005)
    assert (ten.low, ten.high) == (pytest.approx(-3.14, abs=0.005), pytest.approx(-1.14, abs=0.005))
    assert (sixteen.low, sixteen.high) == (pytest.approx(-4.14, abs=0.005), pytest.approx(-1.14, abs=0.005))


def test_the_owner_sets_tolerances_of_their_own() -> None:
    assert tolerances({"lineup.level_db": 0.1}).level_db == 0.1
    assert tolerances().level_db == 0.5
    with pytest.raises(ValueError):
        tolerances({"lineup.level_db": -1})


def test_a_deck_that_reads_what_is_expected_passes(sheet: LineupSheet, readings: Readings) -> None:
    record = readings(sheet)
    assert set(track_verdicts(judge(sheet, record), 4).values()) == {"pass"}
    assert turn_first(sheet, record) == ()


def test_a_blank_line_is_neither_pass_nor_fail(sheet: LineupSheet, readings: Readings) -> None:
    record = readings(sheet)
    gone = tuple(r for r in record.readings if (r.line, r.track) != ("bass-50", 3))
    verdicts = track_verdicts(judge(sheet, replace(record, readings=gone)), 4)
    assert verdicts == {1: "pass", 2: "pass", 3: "blank", 4: "pass"}


def test_one_track_that_is_off_fails_alone(sheet: LineupSheet, readings: Readings) -> None:
    record = readings(sheet, {("treble-10000", 2): -1.2})
    assert track_verdicts(judge(sheet, record), 4) == {1: "pass", 2: "fail", 3: "pass", 4: "pass"}
    assert turn_first(sheet, record) == ("treble of track 2 at 10000 Hz: 1.2 dB up",)


def test_at_the_edge_of_its_tolerance_it_passes(sheet: LineupSheet, readings: Readings) -> None:
    record = readings(sheet, {("treble-10000", 1): 1.0, ("level-1000", 1): 0.2})
    assert set(track_verdicts(judge(sheet, record), 4).values()) == {"pass"}


def test_a_path_not_cleaned_comes_before_everything(sheet: LineupSheet, readings: Readings) -> None:
    record = replace(readings(sheet, {("level-1000", 1): 2}), ticked=frozenset())
    first = turn_first(sheet, record)
    assert "Clean" in first[0]
    assert "Demagnetise" in first[1]


def test_azimuth_is_turned_before_treble(sheet: LineupSheet, readings: Readings) -> None:
    off = {("azimuth-10000", 0): 90.0} | {("treble-10000", track): -3.0 for track in range(1, 5)}
    assert turn_first(sheet, readings(sheet, off))[0].startswith("azimuth: +90°")


def test_treble_down_everywhere_points_at_an_azimuth_not_read(sheet: LineupSheet, readings: Readings) -> None:
    off = {(f"treble-{hz}", track): -5.0 for hz in (10_000, 16_000) for track in range(1, 5)}
    record = readings(sheet, off)
    blank = replace(record, readings=tuple(r for r in record.readings if not r.line.startswith("azimuth")))
    assert "look at azimuth" in turn_first(sheet, blank)[0]


def test_level_is_turned_before_treble_which_is_read_against_it(
    sheet: LineupSheet, readings: Readings
) -> None:
    record = readings(sheet, {("level-1000", 1): 2.0, ("treble-10000", 1): 2.0, ("bass-100", 1): 3.5})
    assert turn_first(sheet, record) == (
        "level of track 1: 2.0 dB down",
        "treble of track 1 at 10000 Hz: comes right with its level",
        "bass of track 1 at 100 Hz: 1.5 dB down",
    )


def test_tracks_that_pass_but_differ_are_brought_together(sheet: LineupSheet, readings: Readings) -> None:
    record = readings(sheet, {("level-1000", 1): 0.4, ("level-1000", 2): -0.4})
    assert turn_first(sheet, record) == ("tracks differ by 0.8 dB at 1 kHz: bring them together",)


@pytest.mark.parametrize("choice", CHOICES[1:])
def test_without_a_calibration_tape_the_choice_is_written_down(
    choice: str, setup_of: Callable[..., Setup]
) -> None:
    sheet = lineup_sheet("D1", setup_of(), 4, None, choice=choice)  # type: ignore[arg-type]
    assert sheet.choice == choice
    assert [line.key for line in sheet.lines][:2] == ["clean", "demagnetise"]
    assert not sheet.tones


def test_without_a_tape_and_a_choice_it_is_by_the_reels_own_tones(setup_of: Callable[..., Setup]) -> None:
    assert lineup_sheet("D1", setup_of(), 4, None).choice == "by the reel's own tones"
    with pytest.raises(ValueError):
        lineup_sheet("D1", setup_of(), 4, None, choice="calibration tape")


def test_a_set_up_that_no_table_knows_is_refused(
    setup_of: Callable[..., Setup], tape_of: Callable[..., CalibrationTape]
) -> None:
    with pytest.raises(ValueError, match="own tones"):
        lineup_sheet("D1", setup_of(eq="house"), 4, tape_of())
    with pytest.raises(ValueError, match="speed and level"):
        lineup_sheet("D1", replace(setup_of(), level=None), 4, tape_of())


def test_drift_is_as_found_now_against_as_left_then(sheet: LineupSheet, readings: Readings) -> None:
    last = readings(sheet, at=datetime(2026, 11, 1, 19, tzinfo=UTC))
    older = readings(sheet, {("level-1000", 1): 9}, at=datetime(2026, 10, 1, 19, tzinfo=UTC))
    now = readings(sheet, {("level-1000", 1): -0.7, ("level-1000", 2): 0.3}, when="before")
    found = {(one.line, one.track): one for one in drift(now, [older, last])}
    assert found["level-1000", 1].moved == pytest.approx(-0.7)
    assert found["level-1000", 1].since == last.at
    assert found["level-1000", 1].much
    assert not found["level-1000", 2].much


def test_another_deck_or_set_up_is_not_compared(sheet: LineupSheet, readings: Readings) -> None:
    last = readings(sheet, at=datetime(2026, 11, 1, 19, tzinfo=UTC))
    now = readings(sheet)
    assert (
        last_before(now, [replace(last, deck="D2"), replace(last, setup={**last.setup, "eq": "IEC1"})])
        is None
    )
    assert last_before(now, [replace(last, setup={**last.setup, "eq": " nab", "noise_reduction": "none"})])
    assert drift(now, []) == ()


def test_a_line_over_time(sheet: LineupSheet, readings: Readings) -> None:
    first = readings(sheet, at=datetime(2026, 10, 1, tzinfo=UTC))
    second = readings(sheet, {("bass-50", 1): 1.0}, at=datetime(2026, 11, 1, tzinfo=UTC))
    values = [value for _, value in history("bass-50", 1, [second, first], "after")]
    assert values[1] - values[0] == pytest.approx(1)


def test_the_picture_shows_before_and_after_against_the_band(sheet: LineupSheet, readings: Readings) -> None:
    found = readings(sheet, {("treble-16000", 1): -4}, when="before")
    both = replace(found, readings=(*found.readings, *readings(sheet).readings))
    picture = response_picture(sheet, both)
    assert dict(picture.before[1])[16_000] == pytest.approx(-4)
    assert dict(picture.after[1])[16_000] == pytest.approx(0)
    assert [hz for hz, _ in picture.after[1]] == sorted(hz for hz, _ in picture.after[1])
    assert dict(picture.low)[16_000] == pytest.approx(-2)
    assert response_picture(sheet, replace(both, readings=())).empty


def test_the_last_value_written_down_counts() -> None:
    at = datetime(2026, 12, 1, tzinfo=UTC)
    record = LineupRecord(
        at, "D1", {}, readings=(ToneReading("level-1000", 1, 1), ToneReading("level-1000", 1, 2))
    )
    assert record.reading("level-1000", 1) == 2
    assert record.reading("level-1000", 1, "before") is None


words = st.text(max_size=6)


@given(
    lineup=st.builds(
        LineupRecord,
        at=st.datetimes().map(lambda at: at.replace(microsecond=0, tzinfo=UTC)),
        deck=words,
        setup=st.dictionaries(words, words, max_size=3),
        choice=st.sampled_from(CHOICES),
        calibration=words,
        ticked=st.frozensets(words),
        readings=st.lists(
            st.builds(
                ToneReading,
                words,
                st.integers(0, 24),
                st.floats(-90, 90),
                st.sampled_from(["before", "after"]),
            ),
            max_size=4,
        ).map(tuple),
        reel=words,
        note=words,
    )
)
def test_a_line_up_comes_back_from_its_record(lineup: LineupRecord) -> None:
    assert from_record(orjson.loads(orjson.dumps(to_record(lineup)))) == lineup


@pytest.mark.parametrize("value", [float("nan"), float("inf"), 1e6])
def test_no_reading_is_refused(value: float) -> None:
    with pytest.raises(ValueError):
        ToneReading("level-1000", 1, value)
