"""Lengths that are worked out, at the command line: what they rest on, and what they may be off by."""

from __future__ import annotations

import re
from collections.abc import Callable
from math import pi
from pathlib import Path
from typing import Any

import pytest

Run = Callable[..., Any]


@pytest.fixture
def told(run: Run, demo: Path, tmp_path: Path) -> Callable[[str], tuple[float, str, float]]:
    """Feet, how they were got, and the share that they may be off by, of a reel with those columns."""
    assert run("new", "--studio", str(demo / "studio.toml")).status == 0

    def estimate(row: str) -> tuple[float, str, float]:
        head = "reel,width,tracks,speed,base,condition,pack_diameter,hub_diameter,thickness,reel_size"
        (tmp_path / "r.csv").write_text(f"{head}\nL-1,1/4 in,2,15 ips,polyester,ok,{row}\n")
        done = run("import", "r.csv")
        assert done.status == 0, done.err
        told = run("estimate", "L-1", "--json").json
        text = run("estimate", "L-1").out
        off = re.search(r"within about (\d+)%", text) or re.search(r"within about (\d+) %", text)
        assert off is not None, text
        return told["length_feet"], told["from"]["length_feet"], int(off[1]) / 100

    return estimate


def area(pack: float, hub: float, mil: float) -> float:
    """Feet of tape in a pack by its area: L = pi (D2 - d2) / 4t."""
    return pi * (pack**2 - hub**2) / 4 / (mil / 1000) / 12


def test_a_base_on_the_box_is_taken_with_its_coatings(told: Any) -> None:
    """A 1.5 mil tape is about 2 mil thick in all (50 to 52 um in makers' sheets): not a third more tape."""
    feet, how, off = told("10 in,4.5 in,1.5 mil,10.5 in")
    assert feet == pytest.approx(area(10, 4.5, 2.0), rel=1e-3) and "with its coatings" in how
    assert off <= 0.1


def test_a_whole_thickness_is_taken_as_it_is(told: Any) -> None:
    feet, how, off = told("9 in,4.5 in,2 mil,")
    assert feet == pytest.approx(area(9, 4.5, 2.0), rel=1e-3)
    assert "coatings" not in how and off == 0.05


def test_a_thickness_that_nobody_knows_says_how_far_off_that_may_be(told: Any) -> None:
    feet, how, off = told("8 in,4.5 in,1.7 mil,")
    assert "if that is the whole tape" in how
    assert (1 - off) * feet <= area(8, 4.5, 2.2) <= (1 + off) * feet


def test_the_hole_given_for_the_hub_is_within_what_is_said(told: Any) -> None:
    """The 3 in hole of a hub on which the tape winds at 4.5 in makes a 10 in pack 14 % too long."""
    feet, how, off = told("9.5 in,3 in,2 mil,")
    assert "the hole of a hub" in how
    assert (1 - off) * feet <= area(9.5, 4.5, 2.0) <= (1 + off) * feet


def test_a_pack_never_holds_more_than_the_reel(make_reel: Any, shelf_of: Any) -> None:
    """Where it was not refused when it was entered, it is cut to the longest that was made for that size."""
    from core.quantities import read_quantity
    from core.reels.length import length_of

    size = {name: read_quantity(text, "length") for name, text in
            {"pack_diameter": "4 in", "hub_diameter": "1.75 in", "reel_size": "3 in"}.items()}  # fmt: skip
    reel = make_reel(length=None, thickness="1 mil", **size)
    found = length_of(reel, shelf_of(reel).studio)
    assert float(found.inches) / 12 == 450 < area(4, 1.75, 1.378) and "more than the 450 ft" in found.how


def test_the_stock_tells_how_much_a_full_reel_holds(run: Run, demo: Path, tmp_path: Path) -> None:
    """1.5 mil tape: 1200 ft on 7 in and 2500 ft on 10.5 in, as boxes of such tape have it.

    The studio's word counts, as the table of columns has it; what the stock's row tells is said beside it.
    """
    rows = "A,1/4 in,2,15 ips,ok,Scotch 111,7 in\nB,1/4 in,2,15 ips,ok,Ampex 456,10.5 in\n"
    (tmp_path / "r.csv").write_text(f"reel,width,tracks,speed,condition,stock,reel_size\n{rows}")
    assert run("new", "--studio", str(demo / "studio.toml")).status == 0  # assume_length is 2500 ft there
    assert run("import", "r.csv").status == 0
    told = [run("estimate", key, "--json").json for key in "AB"]
    assert [one["length_feet"] for one in told] == [2500, 2500]
    says = "assumed: 2500 ft, and a full 7 in reel of Scotch 111 holds 1200 ft only: "
    says += "`set A length=1200 ft` counts that"
    assert [one["from"]["length_feet"] for one in told] == [says, "assumed: 2500 ft"]
    assert says in run("estimate", "A").out


def test_a_pack_whose_hub_nobody_measured_is_not_a_full_reel(told: Any) -> None:
    """A 5 in reel winds on about 1.75 in; 600 ft of 2 mil tape fill it."""
    feet, how, off = told("4 in,,1.5 mil,5 in")
    most = area(4, 1.75, 2.0)
    assert feet == 600 and f"holds {most:.0f} ft at most: measure the hub" in how
    assert (1 - off - 0.005) * feet <= most


def test_a_pack_that_fills_the_reel_needs_no_hub(told: Any) -> None:
    assert told("4.9 in,,1.5 mil,5 in")[1:] == ("a full 5 in reel of 1.5 mil tape", 0.1)
