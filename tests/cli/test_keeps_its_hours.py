"""A load keeps the hours with which it began, also where its treatment or its tape's width goes."""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
from alarmshelf import Clock
from doorshelf import STUDIO


def test_the_take_out_stands_where_the_treatment_goes(there: Any) -> None:
    assert there("load", "C1", "W-1").status == 0
    assert "take out chamber C1: W-1" in there("tonight").out
    head, _, tail = STUDIO.partition("[[treatment]]")
    Path("studio.toml").write_text(f"{head}[[{tail.partition(chr(10) + '[[')[2]}")
    done = there("import", "studio.toml", "--update")
    assert done.status == 0 and "W-1, in C1 now, keeps its 4 h: no treatment counts from" in done.err, (
        done.err
    )
    assert "take out chamber C1: W-1" in there("tonight").out


def test_the_take_out_stands_where_its_width_is_put_right(there: Any) -> None:
    assert there("load", "C1", "W-1").status == 0
    done = there("set", "W-1", "width=")
    assert done.status == 0 and "W-1, in C1 now, keeps its 4 h of warmth" in done.err
    assert "take out chamber C1: W-1" in there("tonight").out


def _without_treatment() -> str:
    head, _, tail = STUDIO.partition("[[treatment]]")
    return f"{head}[[{tail.partition(chr(10) + '[[')[2]}"


def _cool_none() -> str:
    head, _, tail = STUDIO.partition("[[treatment]]")
    return f"{head}[[treatment]]{re.sub('cool = .*', 'cool = ' + chr(34) + '0 h' + chr(34), tail, count=1)}"


@pytest.mark.parametrize(
    ("studio", "when"),
    [
        (_without_treatment, "while it cools"),
        (_cool_none, "while it cools"),
        (_cool_none, "while it is warm"),
    ],
)
def test_a_tape_that_cools_goes_on_cooling_where_its_treatment_goes(
    there: Any, clock: Clock, when: str, studio: Callable[[], str]
) -> None:
    assert there("load", "C1", "W-1").status == 0
    Path("studio.toml").write_text(studio())
    change = ("import", "studio.toml", "--update")
    if when == "while it is warm":
        assert there(*change).status == 0
    clock.at += timedelta(hours=4)
    assert there("chamber", "--out", "W-1").status == 0
    if when == "while it cools":
        assert there(*change).status == 0
    clock.at += timedelta(minutes=5)
    (row,) = [one for one in there("reels", "--json").json if one["reel"] == "W-1"]
    assert row["next"].startswith("cools to 20:00"), row
    assert "cools until 20:00" in there("chamber").out
    refused = there("mark", "W-1", "transferred")
    assert refused.status == 1 and "still cooling" in refused.err
    assert there("load", "C1", "W-1").status == 1
    clock.at += timedelta(hours=4)
    assert "still cooling" not in there("mark", "W-1", "transferred").err
    (row,) = [one for one in there("reels", "--json").json if one["reel"] == "W-1"]
    assert not row["next"].startswith("cools")
