"""A line-up whose tape is in the heat: a reel's own tones, or a calibration reel past its hours."""

from __future__ import annotations

from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from alarmshelf import NOW, ROW, Clock, printed
from doorshelf import STUDIO, put

LINE_UP = "line up D1 to 15 ips NAB 250 nWb/m"
STICKY = {"condition": "sticky", "stock": "Ampex 456", "length": "300 ft"}
TONES = ROW | STICKY | {"reel": "T-1", "tones": "1 kHz 0 VU; 10 kHz"}
NOW_AS_IT_STANDS = "as it stands; T-1's own tones once it may run"


def begin(run: Any, rows: list[dict[str, str]], studio: str = STUDIO) -> list[dict[str, Any]]:
    """T-1 with tones of its own lies in the chamber since noon, and all is planned."""
    Path("studio.toml").write_text(studio)
    assert run("new", "--studio", "studio.toml").status == 0
    assert put(run, rows).status == 0
    assert run("load", "C1", "T-1").status == 0
    planned = run("plan", "--days", "2", "--effort", "0.2", "--json")
    assert planned.status == 0
    return list(planned.json["items"])


def at(item: dict[str, Any]) -> datetime:
    return datetime.fromisoformat(item["start"])


def test_it_is_planned_for_when_that_reel_may_run(run: Any, clock: Clock) -> None:
    items = begin(run, [TONES])
    (align,) = (one for one in items if one["kind"] == "align")
    (load,) = (one for one in items if one["kind"] == "condition")
    cool = datetime.fromisoformat(load["reels"][0]["cool_until"])
    assert cool == NOW + timedelta(hours=8)  # contract: out after 4 h, then 4 h of cooling
    assert (align["by"], at(align)) == ("tones", cool)
    assert "by the reel's own tones" in printed(run, "orders")
    refused = run("tonight", "begin", LINE_UP)
    assert refused.status == 1 and "by its own tones T-1 may not be played: in chamber C1" in refused.err
    assert run("tonight", "begin", LINE_UP, "--because", "as the deck stands").status == 0


def test_it_begins_once_that_reel_has_cooled(run: Any, clock: Clock) -> None:
    begin(run, [TONES])
    clock.at = NOW + timedelta(hours=4)
    assert run("mark", "T-1", "conditioned").status == 0
    clock.at += timedelta(hours=3)
    assert "T-1 may not be played: still cooling" in run("tonight", "begin", LINE_UP).err
    clock.at += timedelta(hours=1)
    assert run("tonight", "begin", LINE_UP).status == 0


def test_for_another_tape_before_it_the_deck_is_taken_as_it_stands(run: Any, clock: Clock) -> None:
    items = begin(run, [TONES, ROW | {"reel": "P-1", "tones": "", "length": "300 ft"}])
    (align,) = (one for one in items if one["kind"] == "align")
    assert at(align) < NOW + timedelta(hours=1), "P-1 does not wait for it"
    assert NOW_AS_IT_STANDS in printed(run, "orders")
    assert NOW_AS_IT_STANDS in run("why", "P-1").out
    clock.at += timedelta(minutes=10)
    assert run("tonight", "begin", LINE_UP).status == 0


def test_where_every_minute_counts_it_says_what_waits_and_begins_so(run: Any, clock: Clock) -> None:
    items = begin(run, [TONES], STUDIO + '[comfort]\ncount = "hours"\n')
    (align,) = (one for one in items if one["kind"] == "align")
    assert at(align) < NOW + timedelta(hours=8)
    assert NOW_AS_IT_STANDS in printed(run, "orders")
    clock.at = at(align)
    assert run("mark", "T-1", "conditioned", "--at", "2026-12-02T16:00").status == 0
    assert run("tonight", "begin", LINE_UP).status == 0


def test_a_calibration_reel_left_in_the_heat_past_its_hours_is_told_at_the_line_up_without_it(
    run: Any, clock: Clock
) -> None:
    Path("studio.toml").write_text(STUDIO)
    assert run("new", "--studio", "studio.toml").status == 0
    rows = [ROW | STICKY | {"reel": "C-1", "role": "calibration"}, ROW | {"reel": "P-1", "length": "300 ft"}]
    assert put(run, rows).status == 0
    assert run("load", "C1", "C-1").status == 0
    clock.at += timedelta(hours=5)  # its four are up
    assert run("plan", "--days", "2", "--effort", "0.2").status == 0
    says = "C-1 fits, and is in C1 still: take it out, then plan again"
    for told in (printed(run, "orders"), run("plan", "--show").out, run("why", "P-1").out):
        told = " ".join(told.split())
        assert says in told and "as it stands" in told and "no calibration reel fits" not in told
    assert run("chamber", "C1", "--out", "C-1").status == 0
    assert says not in printed(run, "orders")
    assert run("plan", "--days", "2", "--effort", "0.2").status == 0
    assert "with C-1" in run("plan", "--show").out


@pytest.mark.parametrize("fields", [("signs=mould", "condition="), ("stock=Ampex 456 Grand Master",)])
def test_where_it_is_barred_since_nothing_is_lined_up_by_it(run: Any, clock: Clock, fields: Any) -> None:
    begin(run, [TONES])
    assert run("set", "T-1", *fields).status == 0
    refused = run("tonight", "begin", LINE_UP)
    assert refused.status == 1 and "must not be done any more" in refused.err
