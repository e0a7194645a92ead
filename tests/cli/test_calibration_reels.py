"""Calibration reels as a person meets them: one that nobody looked at, and what that costs."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest
import reeljudge
from pypdf import PdfReader

STUDIO = """
[studio]
name = "Tern Loft"
timezone = "Europe/Lisbon"
assume_length = "1200 ft"
assume_condition = "sticky"
[[deck]]
id = "D1"
widths = ["1/2 in", "1/4 in"]
tracks = 8
speeds = ["7.5 ips", "15 ips"]
wind_speed = "180 ips"
setup_minutes = 40
touch_up_minutes = 15
[capture]
inputs = 8
sample_rate = "96 kHz"
bit_depth = 24
[[chamber]]
id = "C1"
trays = 4
trays_taken = { "1/2 in" = 1, "1/4 in" = 1 }
turn_every = "2 h"
touch_minutes = 10
[[treatment]]
width = "1/2 in"
temperature = "54 degC"
hours = "4 h"
cool = "4 h"
playable_days = 14
[[treatment]]
width = "1/4 in"
temperature = "54 degC"
hours = "4 h"
cool = "4 h"
playable_days = 14
[[hours]]
days = ["tue", "wed", "thu"]
from = "19:00"
to = "22:30"
bench = true
home = true
"""
HEAD = "reel,role,width,tracks,speed,eq,level,base,condition,stage,stock,tones,length\n"
OK = "15 ips,NAB,250 nWb/m,polyester,ok,identified,,,1200 ft\n"


@pytest.fixture
def shelf(run: Any, tmp_path: Path) -> Any:
    """Begins a shelf of those rows of reels.csv, with a song of each reel, and plans it."""

    def begin(rows: str, studio: str = STUDIO) -> dict[str, Any]:
        (tmp_path / "studio.toml").write_text(studio)
        (tmp_path / "reels.csv").write_text(HEAD + rows)
        reels = [row.split(",")[0] for row in rows.splitlines() if ",calibration," not in row]
        songs = "".join(f"S-{one},Song of {one},Tideway,5,{one}\n" for one in reels)
        (tmp_path / "songs.csv").write_text(f"song,title,album,priority,needs\n{songs}")
        assert run("new", "--studio", str(tmp_path / "studio.toml")).status == 0
        assert run("import", "reels.csv", "songs.csv").status == 0
        plan: dict[str, Any] = run("plan", "--effort", "0.1", "--json").json
        assert reeljudge.judge(tmp_path, plan) == []
        return plan

    return begin


def _kinds(plan: dict[str, Any], kind: str) -> list[dict[str, Any]]:
    return [one for one in plan["items"] if one["kind"] == kind]


def test_one_that_nobody_looked_at_is_looked_at_first_and_named(shelf: Any, run: Any) -> None:
    """Likely sticky, on no known base: it cannot be warmed, and what waits for it waits for ten minutes."""
    plan = shelf("CAL,calibration,1/2 in,8,15 ips,NAB,250 nWb/m,,,found,,,600 ft\n" + f"R-1,,1/2 in,8,{OK}")
    assert [(one["reel"], one["start"][:16]) for one in _kinds(plan, "identify")] == [
        ("CAL", "2026-12-01T19:00")
    ]
    why = "lined up yet: nobody has looked at CAL; 10 minutes of looking at CAL, then planning again"
    assert why in plan["left_over"][0]["why"] and why in run("why", "R-1").out
    assert run("set", "CAL", "condition=ok").status == 0
    assert run("mark", "CAL", "identified").status == 0
    looked = run("plan", "--effort", "0.1", "--json").json
    assert [one["calibration"] for one in _kinds(looked, "align")] == ["CAL"] and not looked["left_over"]
    assert run("set", "CAL", "condition=sticky").status == 0
    barred = run("plan", "--effort", "0.1", "--json").json
    assert [one["by"] for one in _kinds(barred, "align")] == ["as it stands"] and not barred["left_over"]


def test_an_equalisation_taken_for_granted_where_there_is_none_of_that_name(run: Any, tmp_path: Path) -> None:
    """AES is 17.5 us at 30 ips; at 15 ips there are NAB and IEC1 (IEC 60094-1, NAB 1965)."""
    (tmp_path / "studio.toml").write_text(STUDIO.replace("[[deck]]", 'assume_eq = "AES"\n[[deck]]', 1))
    (tmp_path / "reels.csv").write_text(f"{HEAD}R-1,,1/2 in,8,{OK}R-2,,1/2 in,8,{OK.replace('NAB', '')}")
    words = "assume_eq = AES: the table of the trade has none of that name at 15 ips"
    assert words in run("new", "--studio", str(tmp_path / "studio.toml")).err
    told = run("import", "reels.csv").err
    assert f"{words}, and it is used for R-2; there it has IEC1 and NAB" in told


BLANK = "15 ips,,,polyester,ok,identified,,,1200 ft\n"
HELPED = STUDIO.replace("touch_up_minutes = 15", "touch_up_minutes = 15\nsetup_needs_helper = true")
HELPED += '[[hours]]\ndays = ["wed"]\nfrom = "19:00"\nto = "22:30"\nhelper = true\n'
ON_CARD = "eq NAB, level 250 nWb/m on the card of R-2, if that is what it has, may spare a full line-up"
SPARES = '`set R-2 eq=NAB level="250 nWb/m"`, if that is what it has, may spare a full line-up'


def _order(run: Any, folder: Path, *more: str) -> str:
    assert run("orders", "--out", str(folder / "out"), *more).status == 0
    pages = [page for one in sorted((folder / "out").glob("order-*.pdf")) for page in PdfReader(one).pages]
    return re.sub(r"\s+", " ", " ".join(page.extract_text() for page in pages))


def test_a_line_up_by_no_tape_and_no_tones_says_what_is_done_in_its_minutes(
    shelf: Any, run: Any, tmp_path: Path
) -> None:
    """The set-up of R-1 is told in full, and no calibration reel is of its speed: nothing can be set."""
    other = OK.replace("15 ips", "7.5 ips")
    assert other != OK
    plan = shelf(f"R-1,,1/2 in,8,{other}", STUDIO)
    (full,) = [one for one in _kinds(plan, "align") if one["full"]]
    assert full["calibration"] in ("", None)
    does = "nothing is set by it: path cleaned and demagnetised, azimuth and balance by the programme of R-1"
    for told in (run("plan", "--show").out, _order(run, tmp_path)):
        assert does in told and "if that is done sooner, go on" in told, told


def test_a_line_up_that_sets_nothing_says_so_and_what_would_spare_it(
    shelf: Any, run: Any, tmp_path: Path
) -> None:
    cal = "CAL,calibration,1/2 in,8,15 ips,NAB,250 nWb/m,polyester,ok,identified,,,600 ft\n"
    plan = shelf(f"{cal}R-1,,1/2 in,8,{OK}R-2,,1/2 in,8,{BLANK}", HELPED)
    full = [one for one in _kinds(plan, "align") if one["full"]]
    assert len(full) == 2
    does = "nothing is set by it: path cleaned and demagnetised, azimuth and balance by the programme of R-2"
    does += "; if that is done sooner, go on"
    lines = run("plan", "--show").out
    faces = lines, run("why", "R-2").out, _order(run, tmp_path), _order(run, tmp_path, "--with", "line-ups")
    for told, spares in zip(faces, (SPARES, SPARES, ON_CARD, ON_CARD), strict=True):
        assert does in told and spares in told  # at a deck no command is told
    assert "…" not in faces[2], "no step of the order is cut"
    assert "R-2: eq and level are not told, so D1 is lined up for 40 min with the helper on Wed" in lines
    tried = run("suppose", "--assume", "eq=NAB", "--assume", "level=250 nWb/m", "--effort", "0.1", "--json")
    assert tried.json[0]["saved"] > 0
    assert run("set", "R-2", "eq=NAB", "level=250 nWb/m").status == 0
    again = run("plan", "--effort", "0.1", "--json").json
    assert sum(one["full"] for one in _kinds(again, "align")) == 1 and again["score"] < plan["score"]
    assert "may spare" not in run("plan", "--show").out


def test_a_reel_left_over_for_want_of_a_helper_says_which_words_would_do(shelf: Any, run: Any) -> None:
    stands = 'lined_up = { speed = "15 ips", eq = "NAB", level = "250 nWb/m" }\n[capture]'
    alone = HELPED.split('[[hours]]\ndays = ["wed"]')[0].replace("[capture]", stands)
    plan = shelf(f"R-2,,1/2 in,8,{BLANK}", alone)
    words = '`set R-2 eq=NAB level="250 nWb/m"`, if that is what it has, would do it'
    assert plan["left_over"][0]["why"].endswith(f"{words} too") and words in run("why", "R-2").out
    assert run("set", "R-2", "eq=NAB", "level=250 nWb/m").status == 0
    assert not run("plan", "--effort", "0.1", "--json").json["left_over"]


def test_a_tape_of_another_width_says_what_it_leaves_unset(shelf: Any, run: Any, tmp_path: Path) -> None:
    """By geometry: quarter-inch tape lies over half the tracks of a half-inch tape."""
    own = "HALF,calibration,1/2 in,8,15 ips,NAB,250 nWb/m,polyester,sticky,identified,,,600 ft\n"
    other = "QUART,calibration,1/4 in,2,15 ips,NAB,250 nWb/m,polyester,ok,identified,,,600 ft\n"
    shelf(f"{own}{other}R-1,,1/2 in,8,{OK}")
    half = (
        "QUART is 1/4 in tape and lies over 4 of 8 tracks at most: it sets neither the others nor the azimuth"
    )
    sheet = _order(run, tmp_path, "--with", "line-ups")
    assert half in run("plan", "--show").out and half in sheet
    # It asks for nothing that the tape cannot tell: a blank for each of the tracks under it, and no other.
    assert "track 1 2 3 4" in sheet and "track 1 2 3 4 5" not in sheet.partition("own part")[0]
    assert "phase between" not in sheet.partition("own part")[0]


def test_one_of_the_reels_own_width_is_warmed_with_it_where_that_costs_nothing(shelf: Any, run: Any) -> None:
    """Both are as near; the quarter-inch one is at hand, the half-inch one goes into the reel's own load."""
    own = "HALF,calibration,1/2 in,8,15 ips,NAB,250 nWb/m,polyester,sticky,identified,,,600 ft\n"
    other = "A-4,calibration,1/4 in,2,15 ips,NAB,250 nWb/m,polyester,ok,identified,,,600 ft\n"
    home = '[[hours]]\ndays = ["sat"]\nfrom = "09:00"\nto = "18:00"\nhome = true\nbench = true\n'
    plan = shelf(f"{own}{other}R-1,,1/2 in,8,{OK.replace(',ok,', ',sticky,')}", STUDIO + home)
    (load,) = _kinds(plan, "condition")
    assert {one["reel"] for one in load["reels"]} == {"HALF", "R-1"}
    assert {one["calibration"] for one in _kinds(plan, "align")} == {"HALF"}
    assert run("set", "HALF", "condition=ok").status == 0
    plan = run("plan", "--effort", "0.1", "--json").json
    assert {one["calibration"] for one in _kinds(plan, "align")} == {"HALF"}
    assert [one["reel"] for load in _kinds(plan, "condition") for one in load["reels"]] == ["R-1"]


def test_a_line_up_with_a_tape_looked_at_the_same_evening_says_what_it_rests_on(
    shelf: Any, run: Any, tmp_path: Path
) -> None:
    """The first evening leaves no earlier one for the look; a look that is done takes the words away."""
    sound = STUDIO.replace('assume_condition = "sticky"', 'assume_condition = "ok"')
    cal = "CAL,calibration,1/2 in,8,15 ips,NAB,250 nWb/m,polyester,,found,,,600 ft\n"
    plan = shelf(f"{cal}R-1,,1/2 in,8,{OK}", sound)
    assert {one["start"][:10] for one in plan["items"]} == {"2026-12-01"}
    says = "provisional: CAL is looked at this evening; if it is not fit, this waits"
    assert run("calendar", "--out", "c.ics").status == 0
    calendar = (tmp_path / "c.ics").read_text().replace("\n ", "").replace("\\", "")
    assert says in run("plan", "--show").out and says in _order(run, tmp_path) and says in calendar
    assert run("set", "CAL", "condition=ok", "stage=identified").status == 0
    assert says not in run("plan", "--show").out


SATURDAY = """
[[hours]]
days = ["sat"]
from = "09:00"
to = "19:00"
bench = true
home = true
[[hours]]
days = ["sat"]
from = "10:00"
to = "14:00"
helper = true
"""


def test_a_line_up_while_its_only_tape_is_warm_says_when_that_is_to_set_the_heads(
    shelf: Any, run: Any, tmp_path: Path
) -> None:
    """The helper is there from ten to two, the tape has cooled at five: before that no programme is there."""
    studio = HELPED[: HELPED.index("[[hours]]")] + SATURDAY
    plan = shelf("R-2,,1/2 in,8," + BLANK.replace("ok", "sticky"), studio)
    (lined,), (load,) = _kinds(plan, "align"), _kinds(plan, "condition")
    assert lined["start"] < load["reels"][0]["cool_until"] == _kinds(plan, "transfer")[0]["start"]
    does = "azimuth and balance by the programme of R-2 when it plays"
    assert does in run("plan", "--show").out and does in _order(run, tmp_path)
