"""The empty run before a chamber's first load: one evening for it on every face, until it was made."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path
from typing import Any

import pytest
from pypdf import PdfReader

RUN = "19:00 to 22:30 run C1 empty: a second thermometer, two places read, someone at home"


def paper(folder: Path, day: str) -> str:
    (file,) = (folder / "paper").glob(f"order-{day}*.pdf")
    return " ".join(" ".join(page.extract_text().split()) for page in PdfReader(file).pages)


def test_it_stands_on_the_last_evening_before_the_load_on_every_face(
    run: Any, shelf: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The made-up shelf's first load is on a Saturday morning; somebody is home on the Thursday before."""
    told = run("plan", "--effort", "0.2")
    load = min(
        one["start"] for one in run("plan", "--show", "--json").json["items"] if one["kind"] == "condition"
    )
    assert load.startswith("2026-12-05T08:00")
    assert f"Thu 3 Dec {RUN}, before its first load Sat 5 Dec 08:00" in told.out
    days = run("plan", "--show").out.split("\n Thu 3 Dec")
    assert f"! {RUN}" in days[1].partition("\n Sat 5 Dec")[0] and RUN not in days[0]
    rung = run("calendar").out.replace("\r\n ", "")
    event = rung.partition("SUMMARY:Tapes: run chamber C1 empty")[2].partition("END:VEVENT")[0]
    assert "20261203T190000" in event and "20261203T223000" in event and "BEGIN:VALARM" in event
    assert run("orders", "--out", "paper").status == 0
    assert f"! {RUN}" in paper(tmp_path, "2026-12-03") and RUN not in paper(tmp_path, "2026-12-02")
    assert "before it the chamber's empty run, Thu 3 Dec 19:00" in paper(tmp_path, "2026-12-02")
    assert RUN not in run("tonight").out
    monkeypatch.setattr("tui.commands.command.now", lambda: datetime.fromisoformat("2026-12-03T18:30+00:00"))
    assert f"! {RUN} (`chamber C1 --empty-run`)" in run("tonight").out
    assert run("chamber", "C1", "--empty-run", "54 C").status == 0
    runs = "! C1's empty run runs since 18:30: read two places, somebody at home (`chamber C1 --read`)"
    assert runs in run("tonight").out and "--empty-run" not in run("tonight").out
    for place in ("top", "bottom"):
        at = "2026-12-03T20:30"
        monkeypatch.setattr(
            "tui.commands.command.now", lambda: datetime.fromisoformat("2026-12-03T20:40+00:00")
        )
        assert run("chamber", "C1", "--read", f"54 {place}", "--at", at).status == 0
    assert "run C1 empty" not in run("tonight").out + run("calendar").out + run("plan", "--show").out


def test_an_evening_with_nothing_else_has_a_sheet_for_it(run: Any, demo: Path, tmp_path: Path) -> None:
    """Three sticky tapes that were looked at: the load is the plan's first step, on Saturday."""
    assert run("new", "--studio", str(demo / "studio.toml")).status == 0
    rows = "".join(
        f"T-{n},1/4 in,2,15 ips,NAB,250 nWb/m,polyester,yes,1200 ft,sticky,identified,Ampex 456\n"
        for n in (1, 2, 3)
    )
    head = "reel,width,tracks,speed,eq,level,base,base_seen,length,condition,stage,stock\n"
    (tmp_path / "r.csv").write_text(head + rows)
    assert run("import", "r.csv").status == 0 and run("plan", "--effort", "0.2").status == 0
    days = {one["start"][:10] for one in run("plan", "--show", "--json").json["items"]}
    assert "2026-12-03" not in days and min(days) == "2026-12-05"
    assert run("orders", "--out", "paper").status == 0
    thursday = paper(tmp_path, "2026-12-03")
    assert f"! {RUN}" in thursday and "A second thermometer; no tape is touched." in thursday
    lines = thursday.partition("Empty run of C1, no tape in it")[2]
    for told in (
        "The two places differ by no more than 4 °C.",  # common practice of the trade, no single authority
        "Above 60 °C: switch off, door open.",
        "19:00 on, set to 54 °C its dial 20:00 second thermometer, one place 20:00 second thermometer, "
        "another place 22:30 off",
        'chamber C1 --empty-run, then chamber C1 --read "53.5 C top"',
    ):
        assert told in lines, lines
    assert "A warm appliance that runs for hours can overheat" in thursday and "Step by step" not in thursday
    named = "The time for it by the plan: Thu 3 Dec 19:00 to 22:30."
    assert "C1 had no empty run yet" in paper(tmp_path, "2026-12-05") and named in paper(
        tmp_path, "2026-12-05"
    )
    (weeks,) = (tmp_path / "paper").glob("weeks*.pdf")
    week = " ".join(" ".join(page.extract_text().split()) for page in PdfReader(weeks).pages)
    assert "Thu 3 Dec 19:00-22:30 run C1 empty, two places read" in week
    assert "Tapes: run chamber C1 empty" in run("calendar").out.replace("\r\n ", "")


def test_where_no_evening_is_left_it_comes_before_the_load(
    run: Any, shelf: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert run("plan", "--effort", "0.2").status == 0
    monkeypatch.setattr("tui.commands.command.now", lambda: datetime.fromisoformat("2026-12-04T23:30+00:00"))
    words = "run C1 empty first: a second thermometer, two places read, someone at home, and load when"
    assert f"! {words}" in run("plan", "--show").out.partition("\n Sat 5 Dec")[2]
    assert "Tapes: run chamber C1 empty" not in run("calendar").out


def test_a_load_that_began_without_it_leaves_it_to_the_next_on_paper_too(
    run: Any, shelf: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The first load goes in with a reason and no empty run: order and week ask for it before the second."""
    assert run("plan", "--effort", "0.2").status == 0
    loads = sorted(
        one["start"] for one in run("plan", "--show", "--json").json["items"] if one["kind"] == "condition"
    )
    first, second = loads[0], loads[1]
    assert first[:10] == second[:10]  # both stand on Saturday's sheet
    monkeypatch.setattr("tui.commands.command.now", lambda: datetime.fromisoformat(first))
    members = next(
        [reel["reel"] for reel in one["reels"]]
        for one in run("plan", "--show", "--json").json["items"]
        if one["kind"] == "condition" and one["start"] == first
    )
    assert run("load", "C1", *members, "--because", "I sit by it").status == 0
    assert run("orders", "--out", "paper").status == 0
    behind = paper(tmp_path, second[:10]).partition("Load chamber C1")[2].partition("Load chamber C1")[2]
    assert "C1 had no empty run yet: run it empty first" in behind
    assert "run C1 empty" in run("plan", "--show").out


def test_behind_a_load_that_went_in_without_it_it_comes_before_the_next(
    run: Any, demo: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert run("new", "--studio", str(demo / "studio.toml")).status == 0
    head = "reel,width,tracks,speed,eq,level,base,base_seen,length,condition,stage,stock\n"
    rows = (f"T-{n},1/4 in,2,15 ips,NAB,250 nWb/m,polyester,yes,1200 ft,sticky,identified,Ampex 456\n"
            for n in (1, 2))  # fmt: skip
    (tmp_path / "r.csv").write_text(head + "".join(rows))
    assert run("import", "r.csv").status == 0
    assert "before its first load Sat 5 Dec 08:00" in run("plan", "--effort", "0.2").out
    monkeypatch.setattr("tui.commands.command.now", lambda: datetime.fromisoformat("2026-12-05T08:00+00:00"))
    assert run("load", "C1", "T-1", "--because", "I sit by it").status == 0
    told = run("plan", "--effort", "0.2").out
    assert "before its next load Sat 5 Dec 13:05: run C1 empty first" in told
    assert "its first load" not in told + run("calendar").out.replace("\r\n ", "")
