"""The reel's own part: its tones outrank any calibration tape."""

from collections.abc import Callable

import pytest

from core.lineup.own_tones import OwnTone, captured_undecoded, own_part, own_tones, with_own_part
from core.lineup.record import LineupRecord
from core.lineup.sheet import lineup_sheet
from core.lineup.verdict import judge
from core.reels.reel import Reel
from core.studio.setup import Setup

Make = Callable[..., Reel]


@pytest.mark.parametrize(
    ("text", "tones"),
    [
        ("1 kHz 0 VU; 10 kHz; 100 Hz -10 dB", (OwnTone(1000, 0), OwnTone(10_000), OwnTone(100, -10))),
        ("1kHz, 15 khz, 50hz at 0dB, head", (OwnTone(1000), OwnTone(15_000), OwnTone(50, 0))),
        ("700 Hz −3 dB", (OwnTone(700, -3),)),
        ("7,5 kHz +3 VU", (OwnTone(7500, 3),)),
        ("pitch pipe A", ()),
        ("", ()),
        ("96 kHz", ()),
    ],
)
def test_tones_told_in_words_are_read(text: str, tones: tuple[OwnTone, ...]) -> None:
    assert own_tones(text) == tones


def test_varispeed_is_off_and_azimuth_is_put_back(multitrack: Make) -> None:
    # IASA-TC 04 and 05: azimuth for every tape, and back after it
    keys = [line.key for line in own_part(multitrack(tones="1 kHz; 10 kHz"))]
    assert keys[0] == "own-varispeed"
    assert keys.index("own-azimuth-mark") < keys.index("own-azimuth") < keys.index("own-azimuth-back")
    assert keys[-1] == "own-azimuth-back"


def test_azimuth_without_a_high_tone_is_set_by_programme(multitrack: Make) -> None:
    azimuth = next(line for line in own_part(multitrack(tones="1 kHz")) if line.key == "own-azimuth")
    assert "by programme" in azimuth.says
    azimuth = next(line for line in own_part(multitrack(tones="1 kHz, 10 kHz")) if line.key == "own-azimuth")
    assert (azimuth.hz, azimuth.unit) == (10_000, "°")


@pytest.mark.parametrize("decoded", ["", "no", "No", "0"])
def test_noise_reduction_is_captured_undecoded_unless_told(multitrack: Make, decoded: str) -> None:
    reel = multitrack(noise_reduction="type A", decoded=decoded)
    assert captured_undecoded(reel)
    assert any("captured undecoded" in line.says for line in own_part(reel))


def test_noise_reduction_that_is_decoded_is_said(multitrack: Make) -> None:
    reel = multitrack(noise_reduction="type A", decoded="yes")
    assert any("decoded in the capture" in line.says for line in own_part(reel))
    assert any("reference tone" in line.says for line in own_part(reel))


@pytest.mark.parametrize("none", ["", "none", " None "])
def test_without_noise_reduction_nothing_is_said_of_it(multitrack: Make, none: str) -> None:
    assert not any(line.key.startswith("own-nr") for line in own_part(multitrack(noise_reduction=none)))


def test_a_recorded_varispeed_is_told_and_left_for_the_file(multitrack: Make) -> None:
    assert "+2 %" in own_part(multitrack(varispeed="+2 %"))[0].says
    assert own_part(multitrack(varispeed="0"))[0].says == "Varispeed off."


def test_its_own_tones_are_judged_where_there_is_no_calibration_tape(
    multitrack: Make, setup_of: Callable[..., Setup], readings: Callable[..., LineupRecord]
) -> None:
    reel = multitrack(tracks=2, tones="1 kHz 0 VU; 10 kHz; 100 Hz")
    sheet = with_own_part(lineup_sheet("D1", setup_of(), 2, None), reel)
    record = readings(sheet, {("own-10000", 2): -1.5})
    verdicts = {(one.line.key, one.track): one.verdict for one in judge(sheet, record)}
    assert verdicts["own-1000", 1] == "pass"
    assert verdicts["own-10000", 2] == "fail"


def test_on_a_deck_used_as_it_stands_its_tones_are_only_read(
    multitrack: Make, setup_of: Callable[..., Setup], readings: Callable[..., LineupRecord]
) -> None:
    reel = multitrack(tracks=2, tones="1 kHz 0 VU")
    sheet = with_own_part(lineup_sheet("D1", setup_of(), 2, None, choice="as it stands"), reel)
    assert {one.verdict for one in judge(sheet, readings(sheet))} == {"not judged"}
