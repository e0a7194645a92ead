"""Calibration reels as a person meets them: one that nobody looked at, and what that costs."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
import reeljudge

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
