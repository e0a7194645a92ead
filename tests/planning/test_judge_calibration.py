"""The judge on calibration reels: which fits, which of several, and what stands in where none does."""

from pathlib import Path
from typing import Any

import reeljudge
from reelevening import NAB, QUARTER, Week, at


def _judged(week: Week, folder: Path) -> list[str]:
    return reeljudge.judge(week.write(folder), week.plan)


def _line_ups(week: Week, **changes: Any) -> None:
    for item in week.items:
        if item["kind"] == "align":
            item.update(changes)


def test_where_none_fits_a_line_up_is_made_as_it_stands(tmp_path: Path) -> None:
    week = Week()
    week.reel("CAL").update(speed="7.5 ips")
    _line_ups(week, calibration=None, by="as it stands")
    assert _judged(week, tmp_path) == []
    _line_ups(week, by="tones")
    assert any(line.startswith("6: ") for line in _judged(week, tmp_path))
    _line_ups(week, by=None)
    assert any(line.startswith("6: ") for line in _judged(week, tmp_path))


def test_where_none_fits_the_tones_of_a_reel_that_it_serves_are_used(tmp_path: Path) -> None:
    week = Week()
    week.reels.remove(week.reel("CAL"))
    week.reel("A").update(tones="1 kHz, 10 kHz, 100 Hz")
    _line_ups(week, calibration=None, by="tones")
    week.item("align").update(by="as it stands")
    assert _judged(week, tmp_path) == []
    week.items[0].update(by="as it stands")
    assert any("should be 'tones'" in line for line in _judged(week, tmp_path))


def test_a_barred_one_fits_nothing(tmp_path: Path) -> None:
    for columns in (
        {"condition": "mould"},
        {"condition": "sticky", "base": "acetate"},
        {"condition": "squeal"},
        {"stock": "Ampex 456 Grand Master"},
    ):
        week = Week()
        week.reel("CAL").update(columns)
        assert any(line.startswith("3: align") for line in _judged(week, tmp_path)), columns
        _line_ups(week, calibration=None, by="as it stands")
        assert _judged(week, tmp_path) == [], columns


def test_where_one_fits_it_is_waited_for(tmp_path: Path) -> None:
    week = Week()
    week.reel("CAL").update(condition="sticky")
    _line_ups(week, calibration=None, by="as it stands")
    assert any("though one fits" in line for line in _judged(week, tmp_path))
    week.studio["deck"][0]["calibration_needed"] = False
    assert _judged(week, tmp_path) == []


def test_nominal_speeds_and_widths_are_one(tmp_path: Path) -> None:
    week = Week()
    week.reel("CAL").update(speed="38 cm/s", width="6.3 mm")
    assert _judged(week, tmp_path) == []
    week.reel("CAL").update(speed="38.1 cm/s", width="1/2 in")
    assert _judged(week, tmp_path) == []


def test_of_several_the_nearest_by_equalisation(tmp_path: Path) -> None:
    week = Week()
    week.reels.append(QUARTER | {"reel": "CAL-2", "role": "calibration", "tracks": 1, "eq": "IEC1"})
    assert _judged(week, tmp_path) == []
    _line_ups(week, calibration="CAL-2")
    assert any("CAL is nearer" in line for line in _judged(week, tmp_path))
    # The nearer one has not been looked at yet: it would not do.
    week.reel("CAL").update(stage="found")
    assert _judged(week, tmp_path) == []


def test_of_several_alike_the_nearest_by_level(tmp_path: Path) -> None:
    week = Week()
    week.reel("CAL").update(level="320 nWb/m")
    week.reels.append(QUARTER | {"reel": "CAL-2", "role": "calibration", "tracks": 1, "level": "200 nWb/m"})
    assert any("CAL-2 is nearer" in line for line in _judged(week, tmp_path))
    _line_ups(week, calibration="CAL-2")
    assert _judged(week, tmp_path) == []


def test_one_line_up_serves_two_names_of_one_set_up(tmp_path: Path) -> None:
    # IASA-TC 04, 5.4.10, Table 1: IEC1 and CCIR are one curve at 15 ips; NAB is another.
    week = Week()
    week.reel("A").update(eq="IEC1", speed="38.1 cm/s", level="0.25 uWb/m")
    _line_ups(week, setup=NAB | {"eq": "CCIR"})
    week.reel("B").update(eq="ccir")
    assert _judged(week, tmp_path) == []
    week.reel("B").update(eq="NAB")
    assert any(line.startswith("6: transfer B") for line in _judged(week, tmp_path))


def test_the_nominal_speed_is_the_exact_one(tmp_path: Path) -> None:
    # 1500 ft at exactly 15 ips play 20 min; at 38 cm/s 3 s more, which would take the next grid step.
    week = Week()
    week.reel("A").update(speed="38 cm/s")
    assert _judged(week, tmp_path) == []
    week.item("transfer", "A").update(end=at(7, "19:10"))
    assert any(line.startswith("8: transfer A") for line in _judged(week, tmp_path))
