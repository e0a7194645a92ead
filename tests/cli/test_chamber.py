"""The chamber from the command line: the load that runs, what is read and done there, the printed log."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path
from typing import Any

import pytest
from pypdf import PdfReader


@pytest.fixture
def loaded(run: Any, shelf: Path) -> str:
    """A load of a 1-inch reel (8 h) and a quarter-inch one (4 h) since 16:30; it is 18:52."""
    words = ("load", "C1", "R-002", "R-014", "--at", "2026-12-01T16:30", "--because", "home till one")
    assert run(*words).status == 0
    return "2026-12-01T16:30"


def test_it_tells_hours_limits_turns_and_cautions(run: Any, loaded: str) -> None:
    told = run("chamber")
    assert told.status == 0
    assert "R-002 Marram (take 3): 2 h 22 of 8 h" in told.out
    assert "At the reels 52 °C to 56 °C" in told.out
    assert "had no empty run yet" in told.out
    assert "Mains" in told.out and "licensed" in told.out


def test_what_was_read_and_done_is_kept_and_taken_back(run: Any, loaded: str) -> None:
    assert run("chamber", "C1", "--read", "130 °F top", "--at", "2026-12-01T18:00").status == 0
    turned = run("chamber", "--turned", "--at", "2026-12-01T18:40")
    assert turned.status == 0
    # Told afterwards, but how the load stands is told of now, 18:52.
    assert "R-002 Marram (take 3): 2 h 22 of 8 h" in turned.out
    assert "2 h 10 of 8 h" in run("chamber", "--at", "2026-12-01T18:40").out
    assert run("chamber", "--weigh", "R-002", "1.5 kg").status == 0
    told = run("chamber", "--json").json
    assert told["readings"] == [
        {"at": "2026-12-01T18:00+00:00", "celsius": pytest.approx(54.444, abs=0.001), "place": "top"}
    ]
    assert told["turns"][0] == {
        "due": "2026-12-01T18:30+00:00", "done": "2026-12-01T18:40+00:00", "state": "done"
    }  # fmt: skip
    assert [one["before_g"] for one in told["reels"]] == [1500, None]
    assert run("undo").status == 0
    assert run("chamber", "--json").json["reels"][0]["before_g"] is None


def test_a_load_told_ahead_of_its_time_is_not_warm_before_it_begins(run: Any, shelf: Path) -> None:
    assert "this load begins 86 h" in run("load", "C1", "R-002", "--at", "2026-12-05T09:00").err
    assert "is warm" not in run("closing").out
    told = run("chamber", "C1", "--read", "53.5")
    assert told.status == 1 and "C1: its load begins Sat 5 Dec 09:00, nothing is warm before" in told.err
    warming_up = run("chamber", "C1", "--read", "50", "--at", "2026-12-05T08:45", "--because", "to see")
    assert warming_up.status == 0
    assert run("chamber", "C1", "--began", "2026-12-01T18:00").status == 0
    assert "C1 is warm: somebody stays home" in run("closing").out


def test_a_moment_years_ahead_is_a_slip_in_its_year(run: Any, shelf: Path, tmp_path: Path) -> None:
    for words in (("load", "C1", "R-002"), ("mark", "R-002", "conditioned"), ("note", "R-002", "seen")):
        told = run(*words, "--at", "2040-12-01T16:30")
        assert told.status == 2 and "is not a time within 4 years: look at its year" in told.err
    told = run("load", "C1", "R-002", "--at", "1999-12-01T16:30")
    assert told.status == 2 and "is not a time within 4 years: look at its year" in told.err
    told = run("set", "R-001", "conditioned_at=2040-12-01T16:30")
    assert told.status == 1 and "a time within 4 years" in told.err
    (tmp_path / "late.csv").write_text("reel,heard\nR-90,2040-12-01T16:30\n", encoding="utf-8")
    told = run("import", "late.csv")
    assert told.status == 1 and "late.csv row 2 (R-90), column heard: " in told.err


@pytest.mark.parametrize(
    ("at", "says"),
    [
        ("2027-12-01T08:05", "this load begins Wed 1 Dec 2027, in 365 days: look at month and year"),
        ("2025-12-01T08:05", "this load began Mon 1 Dec 2025, 365 days ago: look at month and year"),
    ],
)
def test_a_load_a_year_away_tells_its_whole_date(run: Any, shelf: Path, at: str, says: str) -> None:
    told = run("load", "C1", "R-002", "--at", at, "--because", "a slip")
    assert told.status == 0 and says in told.err and "8759" not in told.err
    year = at[:4]
    assert f"1 Dec {year} " in run("chamber", "C1").out
    row = next(one for one in run("reels", "--json").json if one["reel"] == "R-002")
    assert f"1 Dec {year} " in row["next"]
    assert run("undo").status == 0
    near = run("load", "C1", "R-002", "--at", "2026-12-05T09:00", "--because", "x")
    assert near.status == 0 and "look at month and year" not in near.err


def test_a_touch_long_before_its_time_is_not_logged_by_a_word_given_twice(run: Any, loaded: str) -> None:
    """After the last turn the next touch is the take-out: `--turned` once more would end the load."""
    assert run("chamber", "--turned", "--at", "2026-12-01T18:20").status == 0
    again = run("chamber", "--turned", "--at", "2026-12-01T18:21")
    assert again.status == 1
    assert "the next in C1 is to take out R-014 at 20:30, in 2 h 09" in again.err
    inside = {one["reel"]: one["out"] for one in run("chamber", "--json").json["reels"]}
    assert inside == {"R-002": None, "R-014": None}
    told = run("chamber", "--turned", "--at", "2026-12-01T18:22", "--because", "I leave now")
    assert told.status == 0
    assert run("export", "out").status == 0 and "I leave now" in Path("out/history.csv").read_text()
    staged = {one["reel"]: one["stage"] for one in run("reels", "--json").json}
    assert (staged["R-002"], staged["R-014"]) == ("identified", "identified")  # too early is no treatment


def test_a_load_broken_off_goes_on_while_it_is_warm_or_not_at_all(run: Any, loaded: str) -> None:
    off = run("chamber", "--broken-off", "power", "--at", "2026-12-01T18:30")
    assert "R-014 had 2 h of 4 h" in off.out
    planned = run("plan", "--seconds", "0").out
    words = (
        "R-002 and R-014 lie in C1, off since Tue 1 Dec 18:30 (power): on again by 19:30 their hours count"
    )
    assert planned.startswith(f"! {words}; else take them out and say so (`chamber C1 --go-on`, ")
    late = run("chamber", "--go-on", "--at", "2026-12-01T20:00", "--because", "told ahead")
    assert (late.status, "cooled" in late.err) == (1, True)
    on = run("chamber", "--go-on", "--at", "2026-12-01T19:00", "--because", "told ahead", "--json").json
    assert "off since" not in run("plan", "--seconds", "0").out
    assert (on["state"], on["reels"][1]["due"]) == ("runs", "2026-12-01T21:00+00:00")
    assert on["gaps"] == [{"off": "2026-12-01T18:30+00:00", "on": "2026-12-01T19:00+00:00", "why": "power"}]


def test_an_empty_run_comes_before_the_first_load(run: Any, shelf: Path) -> None:
    assert run("chamber").status == 1
    begun = run("chamber", "C1", "--empty-run", "--at", "2026-12-01T10:00")
    assert "a second thermometer, not its own" in begun.out
    for place in ("top", "bottom"):
        run("chamber", "--read", f"54 {place}", "--at", "2026-12-01T12:00")
    assert "within limits: loads may go in" in run("chamber").out
    assert run("chamber", "C1", "--empty-run", "70 C").status == 2


def test_how_it_ran_and_what_worked(run: Any, loaded: str) -> None:
    assert run("chamber", "--out", "R-014", "--at", "2026-12-01T20:30", "--because", "as planned").status == 0
    assert run("chamber", "--ran", "R-014", "some shed").status == 0
    (row,) = run("chamber", "--worked", "--json").json
    assert (row["hours"], row["some_shed"], row["clean_heads"]) == (4, 1, 0)


def test_its_log_is_printed(run: Any, loaded: str, tmp_path: Path) -> None:
    run("chamber", "--read", "57 dial", "--at", "2026-12-01T18:00")
    printed = run("chamber", "--print", str(tmp_path / "paper"))
    (name,) = printed.out.split()
    text = " ".join(page.extract_text() for page in PdfReader(name).pages)
    assert "above 56 °C, turn it down" in text
    assert "heat.reading_band_c (practice" in text
    assert run("print", "logs", "--out", str(tmp_path / "all")).out.count(".pdf") == 1


@pytest.mark.parametrize(
    ("words", "status", "says"),
    [
        (("chamber", "C7"), 1, "no chamber 'C7'"),
        (("chamber", "--read", "warm"), 2, "a reading such as 54 °C top"),
        (("chamber", "--read", "540"), 1, "no reading of a chamber"),
        (("chamber", "--weigh", "R-002", "heavy"), 2, "a weight such as"),
        (("chamber", "--weigh", "R-003", "1500"), 1, "R-003 is not in that load"),
        (("chamber", "--load", "2026-01-01T10:00"), 1, "no load began"),
        (("chamber", "--load", "soon"), 2, "--load"),
        (("chamber", "--out", "R-003"), 1, "R-003 is in no chamber"),
        (("chamber", "--ran", "R-003", "fine"), 1, "a tape ran with"),
        (("print", "money"), 2, "nothing to print"),
        (("print", "lineups"), 1, "no line-up is kept"),
    ],
)
def test_bad_input_is_one_line(run: Any, loaded: str, words: tuple[str, ...], status: int, says: str) -> None:
    told = run(*words)
    assert (told.status, told.out) == (status, "")
    assert says in told.err
    assert told.err.count("\n") == 1


def test_paper_log_and_screen_name_one_start(run: Any, loaded: str, tmp_path: Path) -> None:
    """A load that really began at 16:20 is of 16:20 on order, sheet, log and chamber's place."""
    assert run("plan", "--seconds", "0").status == 0
    wrong = run("chamber", "--began", "08:45")
    assert wrong.status == 2 and "--began: '08:45' is not" in wrong.err
    before = run("chamber", "--began", "2026-12-01T16:20")
    assert (before.status, "load of Tue 1 Dec 16:20" in before.out) == (0, True)
    assert run("orders", "--out", str(tmp_path / "o"), "--with", "conditioning").status == 0
    text = " ".join(
        " ".join(page.extract_text().split())
        for page in PdfReader(tmp_path / "o" / "order-2026-12-01.pdf").pages
    )
    # The order's block of the chamber, and the head of the sheet to fill in behind it.
    assert text.count("load of Tue 1 Dec 16:20") >= 2 and "16:30" not in text
    made = run("chamber", "--print", str(tmp_path / "log")).out.strip()
    log = " ".join(" ".join(page.extract_text().split()) for page in PdfReader(made).pages)
    assert "16:20" in log and "16:30" not in log


def test_tapes_past_their_hours_stand_above_tonight_and_a_new_plan(
    run: Any, loaded: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """R-014 was to come out at 20:30; at 21:10 both lists say so first; the words of its line take it out."""
    monkeypatch.setattr("tui.commands.command.now", lambda: datetime.fromisoformat("2026-12-01T21:10+00:00"))
    says = "! take R-014 out of C1 now: due at 20:30, 40 min ago"
    told = run("tonight").out
    assert says in told.splitlines()[1] and "  chamber late, work " in told.splitlines()[0]
    line = next(one for one in told.splitlines() if "take out chamber C1: R-014" in one)
    assert "20:30" in line and "40 min late: now" in line
    planned = run("plan", "--seconds", "0")
    assert says in planned.out.splitlines()[0], planned.err
    assert run("tonight", "begin", "take out chamber C1: R-014").status == 0
    assert "take R-014" not in run("tonight").out


def test_a_load_that_runs_keeps_its_turns_and_its_set_point_on_every_face(
    run: Any, loaded: str, tmp_path: Path
) -> None:
    """Changed by a file while tape is in the heat: what stood there when it went in goes on to its end."""
    assert run("export", str(tmp_path / "out")).status == 0
    studio = tmp_path / "out" / "studio.toml"
    assert studio.read_text().count('turn_every = "2 h"') == 1
    other = studio.read_text().replace('turn_every = "2 h"', 'turn_every = "3 h"')
    studio.write_text(other.replace('temperature = "54 degC"', 'temperature = "50 degC"'))
    brought = run("import", str(studio), str(tmp_path / "out" / "reels.csv"), "--update")
    assert brought.status == 0
    assert "the load in C1 now goes on being turned every 2 h: 3 h counts from the next load" in brought.err
    assert "the load in C1 now keeps its 54 degC: 50 degC counts from the next load" in brought.err
    told = run("chamber").out
    assert "At the reels 52 °C to 56 °C" in told and "every 2 h" in told
    planned = run("plan", "--seconds", "0", "--days", "6", "--json")
    assert planned.status == 0, planned.err
    loads = [one for one in planned.json["items"] if one["kind"] == "condition"]
    (now,) = (one for one in loads if one["start"].startswith("2026-12-01T16:30"))
    assert now["temperature"] == "54 degC" and {one["temperature"] for one in loads if one is not now} == {
        "50 degC"
    }
    assert [touch["start"][11:16] for touch in now["touches"]] == ["20:30", "22:30", "00:30"]
    (later, *_) = (one for one in loads if one is not now and len(one["touches"]) > 2)
    first = [datetime.fromisoformat(one["start"]) for one in later["touches"][:2]]
    assert (first[1] - first[0]).total_seconds() == 3 * 3600
    assert run("orders", "--out", str(tmp_path / "paper")).status == 0
    order = "".join(
        page.extract_text() for page in PdfReader(next((tmp_path / "paper").glob("order-2026-12-01*"))).pages
    )
    assert "Chamber C1 at 54" in order and "22:30" in order
    assert "T223000" in run("calendar").out
    assert "22:30" in run("tonight").out


def test_after_a_power_cut_order_and_log_take_their_times_and_places_from_the_chamber_s_log(
    run: Any, loaded: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The plan was made before the power went; all behind it is 20 min later, the reels where they lie."""
    assert run("plan", "--seconds", "0", "--days", "6").status == 0
    monkeypatch.setattr("tui.commands.command.now", lambda: datetime.fromisoformat("2026-12-01T20:00+00:00"))
    assert run("chamber", "--turned", "--at", "2026-12-01T18:30").status == 0
    assert run("chamber", "--broken-off", "power", "--at", "2026-12-01T19:00").status == 0
    assert run("chamber", "--go-on", "--at", "2026-12-01T19:20").status == 0, run("chamber").err
    for again in (False, True):
        if again:
            assert run("plan", "--seconds", "0", "--days", "6").status == 0
        assert run("orders", "--out", str(tmp_path / "paper")).status == 0
        order = "".join(
            page.extract_text()
            for page in PdfReader(next((tmp_path / "paper").glob("order-2026-12-01*"))).pages
        )
        rows = order[order.index("Chamber C1 at 54") :].split("fetch")[0]
        assert "20:50" in rows and "22:50" in rows, rows


def test_tape_in_the_heat_keeps_the_hours_with_which_its_load_began(
    run: Any, loaded: str, tmp_path: Path
) -> None:
    """Another studio counts from the next load; what was said of these tapes goes when they come out."""
    assert run("export", str(tmp_path / "out")).status == 0
    studio = tmp_path / "out" / "studio.toml"
    was = '[[treatment]]\nwidth = "1 in"\ntemperature = "54 degC"\nhours = "8 h"'
    assert was in studio.read_text()
    studio.write_text(studio.read_text().replace(was, was.replace("8 h", "10 h")))
    brought = run("import", str(studio), str(tmp_path / "out" / "reels.csv"), "--update")
    assert brought.status == 0
    assert "R-002, in C1 now, keeps its 8 h: 10 h counts from the next load" in brought.err
    assert "R-002 Marram (take 3): 2 h 22 of 8 h" in run("chamber").out
    planned = run("plan", "--seconds", "0", "--days", "3", "--json")
    assert planned.status == 0, planned.err
    load = next(
        one for one in planned.json["items"]
        if one["kind"] == "condition" and one["start"].startswith("2026-12-01T16:30")
    )  # fmt: skip
    assert next(one["out"] for one in load["reels"] if one["reel"] == "R-002").startswith("2026-12-02T00:30")
    assert run("mark", "R-014", "conditioned", "--at", "2026-12-01T20:30").status == 0
    assert run("mark", "R-002", "conditioned", "--at", "2026-12-02T00:30").status == 0
    assert run("export", str(tmp_path / "after")).status == 0
    rows = (tmp_path / "after" / "reels.csv").read_text().splitlines()
    hours = rows[0].split(",").index("treatment_hours")
    assert next(row for row in rows if row.startswith("R-002")).split(",")[hours] == ""
    assert "short" not in run("reels").out.casefold()  # eight hours were what it was to have
