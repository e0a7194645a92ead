"""The judge reads the files as people type them: semicolons, tabs, decimal commas, lengths that can be."""

from fractions import Fraction
from pathlib import Path

import pytest
import reeljudge
import reeljudge_nominal as nominal
import reeljudge_units as units
from reelevening import Week
from reeljudge_files import read_shelf


@pytest.mark.parametrize("between", [";", "\t"])
def test_columns_between_semicolons_or_tabs(between: str, tmp_path: Path) -> None:
    import csv

    week = Week()
    week.write(tmp_path)
    for name in ("reels.csv", "songs.csv"):
        rows = list(csv.reader((tmp_path / name).open(encoding="utf-8", newline="")))
        with (tmp_path / name).open("w", encoding="utf-8-sig", newline="") as file:
            csv.writer(file, delimiter=between).writerows(rows)
    assert reeljudge.judge(tmp_path, week.plan) == []


def test_a_comma_is_a_decimal_point_unless_three_digits_follow(tmp_path: Path) -> None:
    assert units.speed("7,5 ips") == Fraction(15, 2)
    assert units.length("6,25 mm") == Fraction("6.25") / units.INCH_MM
    with pytest.raises(ValueError, match="two readings"):
        units.length("2,500 ft")


def test_an_assumed_length_is_no_longer_than_its_reel_holds(tmp_path: Path) -> None:
    # 3600 ft of triple play on 7 in; 2500 ft assumed lie under what 10.5 in holds.
    week = Week()
    week.studio["studio"]["assume_length"] = "5000 ft"
    week.reel("A").update(length="", reel_size="7 in")
    week.reel("B").update(length="", reel_size="")
    week.write(tmp_path)
    reels = read_shelf(tmp_path).reels
    assert reels["A"].length == 3600 * 12
    assert reels["B"].length == 5000 * 12


def test_speeds_within_one_per_cent_and_widths_within_two_are_nominal() -> None:
    assert {nominal.speed(text) for text in ("15 ips", "38 cm/s", "38.1 cm/s", "381 mm/s")} == {Fraction(15)}
    assert nominal.speed("19 cm/s") == nominal.speed("7 1/2 ips") == Fraction(15, 2)
    assert nominal.speed("14 ips") == 14
    assert {nominal.width(text) for text in ("1/4 in", "6.3 mm", "6.25 mm", "0.25 in")} == {Fraction(1, 4)}
    assert nominal.width("12.5 mm") == nominal.width("12.7 mm") == Fraction(1, 2)
    assert nominal.width("8 mm") != Fraction(1, 4)
