"""What a hand, a look and a row of one's own tell of a tape is obeyed at the doors, after a treatment too.

A short unwind that leaves residue points to a sick binder; acetate is never warmed and, sticky, never played
by oneself: common practice of the trade (the rows of the tables tell their sources).
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from doorshelf import STUDIO, put

REEL = {
    "width": "1/4 in", "tracks": "2", "speed": "15 ips", "eq": "NAB", "level": "250 nWb/m",
    "stock": "BASF SM 911",
    "base": "polyester", "condition": "ok", "stage": "identified", "length": "300 ft", "base_seen": "yes",
}  # fmt: skip


def shelf(run: Any, folder: Path, *reels: dict[str, str]) -> dict[str, dict[str, Any]]:
    """A shelf of these tapes with a plan: what `reels` says of each."""
    (folder / "studio.toml").write_text(STUDIO)
    assert run("new", "--studio", "studio.toml").status == 0
    assert put(run, [REEL | reel for reel in reels]).status == 0
    assert run("plan", "--effort", "0.2").status == 0
    return {row["reel"]: row for row in run("reels", "--json").json}


def transferred(run: Any) -> set[str]:
    """The tapes that the plan plays."""
    return {
        item["reel"] for item in run("plan", "--show", "--json").json["items"] if item["kind"] == "transfer"
    }


def warmed(run: Any) -> set[str]:
    """The tapes that the plan warms."""
    items = run("plan", "--show", "--json").json["items"]
    return {one["reel"] for item in items if item["kind"] == "condition" for one in item["reels"]}


def test_residue_told_in_a_column_is_as_good_as_sticky(run: Any, tmp_path: Path) -> None:
    """In every door as where the hand test is answered by key: warmed by its base, or not played at all."""
    told = shelf(
        run, tmp_path,
        {"reel": "CLEAN", "tried": "clean"},
        {"reel": "GUM", "tried": "residue"},
        {"reel": "ACETATE", "tried": "residue", "base": "acetate"},
        {"reel": "WHICH", "tried": "residue", "base": "", "base_seen": "", "stock": ""},
    )  # fmt: skip
    assert {key: row["advice"] for key, row in told.items()} == {
        "CLEAN": "play", "GUM": "warm", "ACETATE": "never", "WHICH": "look first",
    }  # fmt: skip
    assert transferred(run) == {"CLEAN", "GUM"} and warmed(run) == {"GUM"}
    for key in ("ACETATE", "WHICH"):
        assert run("load", "C1", key, "--because", "I know").status == 1


def test_a_sticky_tape_of_another_base_plays_while_its_time_lasts_and_gets_no_heat_after(
    run: Any, tmp_path: Path
) -> None:
    warm = {"condition": "sticky", "stage": "conditioned", "conditioned_at": "2026-11-30T18:00"}
    told = shelf(
        run, tmp_path,
        {"reel": "POLY", **warm},
        {"reel": "ACETATE", "base": "acetate", **warm},
        {"reel": "WHICH", "base": "", "base_seen": "", "stock": "", **warm},
    )  # fmt: skip
    assert {key: row["advice"] for key, row in told.items()} == {
        "POLY": "play", "ACETATE": "play", "WHICH": "play",
    }  # fmt: skip
    assert transferred(run) == {"POLY", "ACETATE", "WHICH"}
    for key, word in (("ACETATE", "never"), ("WHICH", "look first")):
        assert run("set", key, "playable_until=2026-11-30T20:00").status == 0
        told = next(row for row in run("reels", "--json").json if row["reel"] == key)
        assert told["advice"] == word
        assert run("load", "C1", key, "--because", "I know").status == 1


@pytest.mark.parametrize(
    ("own", "seen", "advice"),
    [("acetate", "", "look first"), ("acetate", "yes", "warm"), ("polyester", "", "warm")],
)
def test_a_row_of_ones_own_that_contradicts_the_reel_is_seen_to_first(
    run: Any, tmp_path: Path, own: str, seen: str, advice: str
) -> None:
    """The table says polyester of that stock, and so does the reel: the owner's row still counts."""
    (tmp_path / "studio.toml").write_text(STUDIO)
    assert run("new", "--studio", "studio.toml").status == 0
    rows = [{"kind": "stock", "key": "Ampex 456", "value": {"sticky": "yes", "base": own}}]
    (tmp_path / "records.json").write_text(json.dumps({"reelturn records": 1, "records": rows}))
    assert run("import", "records.json").status == 0
    assert (
        put(
            run, [REEL | {"reel": "R-1", "stock": "Ampex 456", "condition": "sticky", "base_seen": seen}]
        ).status
        == 0
    )
    assert run("reels", "--json").json[0]["advice"] == advice


def test_a_base_that_was_seen_counts_where_none_is_written(run: Any, tmp_path: Path) -> None:
    sticky = {"condition": "sticky", "stock": "", "back_coat": "yes"}
    told = shelf(
        run, tmp_path,
        {"reel": "SEEN", **sticky, "base": "", "base_seen": "polyester"},
        {"reel": "NOT", **sticky, "base": "unknown", "base_seen": "polyester"},
        {"reel": "NOBODY", **sticky, "base": "", "base_seen": ""},
        {"reel": "OTHER", **sticky, "base": "polyester", "base_seen": "acetate"},
    )  # fmt: skip
    assert {key: row["advice"] for key, row in told.items()} == {
        "SEEN": "warm", "NOT": "warm", "NOBODY": "look first", "OTHER": "never",
    }  # fmt: skip


def test_turns_that_ran_clean_make_no_plan_old_and_residue_does(run: Any, tmp_path: Path) -> None:
    shelf(run, tmp_path, {"reel": "A"}, {"reel": "B"})
    for told, old in (("tried=clean", False), ("tried=residue", True)):
        assert run("set", "A", told).status == 0
        assert ("plan again" in run("tonight").out) is old, told
