"""Doors by facts: combinations of base, condition, signs and stock ask each command if heat is offered."""

from __future__ import annotations

from itertools import product
from pathlib import Path
from typing import Any

import pytest
from doorshelf import STUDIO, put
from pypdf import PdfReader
from tapejudge import STOCKS, heat, word_of

AT = "2026-12-01T10:00"
BASES = ("", "polyester", "acetate", "unknown")
CONDITIONS = ((), ("ok",), ("sticky",), ("squeal",), ("squeal", "sticky"), ("mould",))
SIGNS = ((), ("vinegar",), ("mould",), ("layers adhere",), ("white powder",), ("loose oxide",))


def cases() -> list[dict[str, str]]:
    rows = []
    for number, (base, condition, signs, stock) in enumerate(product(BASES, CONDITIONS, SIGNS, STOCKS)):
        if signs and "ok" in condition:
            continue
        rows.append(
            {
                "reel": f"R-{number}", "base": base, "condition": ";".join(condition),
                "signs": ";".join(signs), "stock": stock, "width": "1/4 in", "tracks": "2",
                "speed": "15 ips", "eq": "NAB", "level": "250 nWb/m", "stage": "identified",
            }
        )  # fmt: skip
    return rows


def told(row: dict[str, str]) -> tuple[str, frozenset[str], frozenset[str], str]:
    split = lambda text: frozenset(filter(None, text.split(";")))  # noqa: E731
    return row["base"], split(row["condition"]), split(row["signs"]), row["stock"]


@pytest.fixture
def shelf(run: Any, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "studio.toml").write_text(STUDIO)
    monkeypatch.setenv("REELTURN_SHELF", str(tmp_path / "doors.json"))
    assert run("new", "--studio", "studio.toml").status == 0
    return tmp_path


def test_the_word_that_reels_gives_is_that_of_the_second_reading(run: Any, shelf: Path) -> None:
    rows = cases()
    assert put(run, rows).status == 0
    words = {one["reel"]: one["advice"] for one in run("reels", "--json").json}
    wrong = [
        (told(row), words[row["reel"]], wanted)
        for row in rows
        if words[row["reel"]] != (wanted := word_of(*told(row), playable=False))
    ]
    assert wrong == []
    assert set(words.values()) >= {"warm", "never", "cold", "other way", "test first", "which stock"}


def test_the_load_command_opens_to_nothing_else(run: Any, shelf: Path) -> None:
    """Each case that differs in what the second reading says of heat, by base and by what keeps it out."""
    some = [
        row for row in cases() if row["stock"] in ("Ampex 456", "Sony PR-150", "3M Scotch 226", "Harbour 12")
    ]
    some = [row for row in some if row["base"] in ("", "polyester")]
    assert put(run, some).status == 0
    let_in = {"yes": 0, "reason": 0, "no": 0}
    for row in some[::2]:
        wanted = heat(*told(row))
        bare = run("load", "C1", row["reel"], "--at", AT).status
        if wanted == "yes":
            assert bare == 0, told(row)
            assert run("undo").status == 0
        else:
            assert bare == 1, told(row)
            reasoned = run("load", "C1", row["reel"], "--at", AT, "--because", "to see").status
            assert reasoned == (0 if wanted == "reason" else 1), told(row)
            if reasoned == 0:
                assert run("undo").status == 0
        let_in[wanted] += 1
    assert all(let_in.values())


GOOD = {"base": "polyester", "condition": "sticky", "signs": "", "stock": "Ampex 456"}


@pytest.mark.parametrize(
    ("column", "text", "says"),
    [
        ("signs", "vinegar", "vinegar"), ("signs", "mold", "mould"), ("signs", "loose oxide", "coating"),
        ("base", "acetate", "acetate"), ("stock", "Ampex 456 Grand Master", "written like"),
        ("set_aside", "lent out", "lent out"),
    ],
)  # fmt: skip
def test_what_is_learnt_while_it_is_warm_is_an_alarm_at_every_door(
    run: Any, shelf: Path, column: str, text: str, says: str
) -> None:
    row = next(row for row in cases() if all(row[name] == value for name, value in GOOD.items()))
    assert put(run, [row, row | {"reel": "R-other"}]).status == 0
    assert run("load", "C1", row["reel"], "R-other", "--at", AT).status == 0
    assert {one["alarm"] for one in run("reels", "--json").json} == {None}
    Path("u.csv").write_text(f"reel,{column}\n{row['reel']},{text}\n")
    assert run("import", "u.csv", "--update").status == 0
    alarm = {one["reel"]: one["alarm"] for one in run("reels", "--json").json}
    assert alarm["R-other"] is None
    assert alarm[row["reel"]].startswith(f"Take {row['reel']} out of chamber C1 now")
    assert says in alarm[row["reel"]]
    assert run("reels").out.startswith(f"! {alarm[row['reel']]}")
    assert run("chamber").out.lstrip().startswith(f"! {alarm[row['reel']]}")
    tonight = run("tonight").out
    assert tonight.startswith(f"! {alarm[row['reel']]}")
    touches = [line.rstrip() for line in tonight.splitlines() if "  turn" in line or "  take out" in line]
    named = [line for line in touches if line.endswith(row["reel"])]
    assert len(named) == 1  # it comes out now, and is turned no more
    assert "take out chamber C1" in named[0]
    assert run("chamber", "--out", row["reel"], "--at", "2026-12-01T10:20").status == 0
    after = {one["reel"]: one for one in run("reels", "--json").json}[row["reel"]]
    assert (after["alarm"], after["stage"], after["playable_until"]) == (None, "identified", None)


def test_the_hard_stop_is_an_alarm_for_all_that_is_inside(run: Any, shelf: Path) -> None:
    """60 °C: common practice; harm is reported above 70 °C (ARSC list, May 2004)."""
    row = next(row for row in cases() if all(row[name] == value for name, value in GOOD.items()))
    assert put(run, [row]).status == 0
    assert run("load", "C1", row["reel"], "--at", AT).status == 0
    assert run("chamber", "--read", "59.9 °C top", "--at", "2026-12-01T11:00").status == 0
    assert run("reels", "--json").json[0]["alarm"] is None
    assert run("chamber", "--read", "60 °C top", "--at", "2026-12-01T11:05").status == 0
    assert "Switch chamber C1 off" in run("reels", "--json").json[0]["alarm"]
    assert run("chamber", "--read", "54 °C top", "--at", "2026-12-01T11:20").status == 0
    assert "it read 60 °C at 11:05" in run("reels", "--json").json[0]["alarm"]  # what was too hot comes out
    assert run("chamber", "--out", row["reel"], "--at", "2026-12-01T11:21").status == 0
    assert run("reels", "--json").json[0]["alarm"] is None


def test_a_tape_that_came_out_early_is_not_treated(run: Any, shelf: Path) -> None:
    row = next(row for row in cases() if all(row[name] == value for name, value in GOOD.items()))
    assert put(run, [row]).status == 0
    assert run("load", "C1", row["reel"], "--at", AT).status == 0
    early = run("mark", row["reel"], "conditioned", "--at", "2026-12-01T10:20")
    assert early.status == 1
    assert "20 min of 4 h" in early.err
    assert run("chamber", "--out", row["reel"], "--at", "2026-12-01T10:20").status == 0
    (after,) = run("reels", "--json").json
    assert (after["advice"], after["stage"], after["playable_until"]) == ("warm", "identified", None)


def test_a_tape_that_was_in_no_load_is_conditioned_at_the_owners_word_and_says_so(
    run: Any, shelf: Path
) -> None:
    """Its hours are not up, since it had none here: a reason passes that gate, and it is told ever after."""
    row = next(row for row in cases() if all(row[name] == value for name, value in GOOD.items()))
    row |= {"length": "300 ft", "conditioned_at": ""}
    elsewhere = row | {"reel": "R-csv", "conditioned_at": "2026-11-30T10:00"}
    assert put(run, [row, elsewhere]).status == 0
    assert run("mark", "R-csv", "conditioned", "--at", AT).status == 0  # its take-out is written down
    bare = run("mark", row["reel"], "conditioned", "--at", AT)
    assert bare.status == 1
    assert "in no load that gave it its 4 h of warmth" in bare.err
    assert run("mark", row["reel"], "conditioned", "--at", AT, "--because", "by a friend").status == 0
    assert run("export", "out").status == 0
    assert run("plan", "--effort", "0.2", "--from", AT).status == 0
    orders = run("orders", "--out", "paper").out.split("\n")
    assert run("calendar", "--out", "c.ics").status == 0
    ics = Path("c.ics").read_text(encoding="utf-8").replace("\r\n ", "")
    pages = [page.extract_text() for name in orders if name for page in PdfReader(name).pages]
    told = (run("reels").out, " ".join(" ".join(pages).split()), ics)
    assert [one.count("your word") for one in told] == [
        1,
        2,
        1,
    ]  # the order: at its step, and what is to know
    again = run("mark", row["reel"], "conditioned", "--at", "2026-12-20T10:00")
    assert again.status == 1  # its days are over: it is as it was before
    assert run("set", row["reel"], "conditioned_at=2026-12-01T11:00").status == 0
    assert "your word" not in run("reels").out


def test_a_load_that_began_earlier_is_corrected(run: Any, shelf: Path) -> None:
    row = next(row for row in cases() if all(row[name] == value for name, value in GOOD.items()))
    assert put(run, [row]).status == 0
    assert run("load", "C1", row["reel"], "--at", AT).status == 0
    assert run("chamber", "--began", "2026-12-01T09:30").status == 0
    assert run("mark", row["reel"], "conditioned", "--at", "2026-12-01T13:30").status == 0


def test_a_load_with_nobody_home_takes_a_reason(run: Any, shelf: Path) -> None:
    row = next(row for row in cases() if all(row[name] == value for name, value in GOOD.items()))
    assert put(run, [row]).status == 0
    late = run("load", "C1", row["reel"], "--at", "2026-12-01T20:00")
    assert late.status == 1
    assert "nobody is home" in late.err
    assert run("load", "C1", row["reel"], "--at", "2026-12-01T20:00", "--because", "up all night").status == 0


@pytest.mark.parametrize("signs", ["vinegar, mould", "ok", "vinegar;ok", "rust"])
def test_a_sign_that_nobody_knows_is_refused_with_its_row(run: Any, shelf: Path, signs: str) -> None:
    row = next(iter(cases())) | {"signs": signs, "condition": "sticky"}
    done = put(run, [row])
    assert done.status == 1
    assert "row 2" in done.err
    assert "signs" in done.err


def test_ok_beside_a_sign_is_a_contradiction(run: Any, shelf: Path) -> None:
    done = put(run, [next(iter(cases())) | {"signs": "white powder", "condition": "ok"}])
    assert done.status == 1
    assert "'ok' is not so beside" in done.err
