"""The studio at the command's doors: days away, and the set-ups that no calibration reel serves."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest


def test_days_away_are_set_from_one_date_to_another(run: Any, shelf: Path) -> None:
    told = run("hours", "2026-12-07..2026-12-09", "off")
    assert told.status == 0 and "nobody" in told.out
    lines = run("hours").out.splitlines()
    assert sum("nobody  (this date only)" in line for line in lines) == 3
    assert run("undo").status == 0
    assert "this date only" not in run("hours").out
    assert run("hours", "2026-12-09..2026-12-07", "off").status == 2
    # A date as every face writes it; a weekday that is not that date's makes it none.
    assert run("hours", "Mon", "7", "Dec", "off").status == 0
    assert run("hours", "24 Dec", "off").out == "Thu 24 Dec  nobody  (this date only)\n"
    assert sum("nobody  (this date only)" in line for line in run("hours").out.splitlines()) == 1
    assert run("hours", "14 Dec..sunday", "off").out.count("nobody") == 7  # the Sunday behind that Monday
    told = run("hours", "Sun", "7", "Dec", "off")
    assert told.status == 2 and "7" in told.err and len(told.err.splitlines()) == 1


@pytest.mark.parametrize(
    "typed", ["mon 19 to 21", "mon 7 pm to 9 pm", "Montag 19 bis 21 Uhr", "lunes 19h a 21h"]
)
def test_hours_are_set_in_the_words_of_the_first_questions(run: Any, shelf: Path, typed: str) -> None:
    told = run("hours", *typed.split(), "bench", "home")
    assert told.status == 0 and "19:00-21:00 bench home" in told.out, told.err
    assert "19:00-21:00 helper" in run("hours", *typed.split(), "helper").out


def test_an_import_tells_which_set_ups_no_calibration_reel_serves(
    run: Any, shelf: Path, tmp_path: Path
) -> None:
    rows = "reel,width,tracks,speed,eq,level,condition\nR-901,1 in,16,30 ips,AES,320 nWb/m,ok\n"
    (tmp_path / "more.csv").write_text(rows, encoding="utf-8")
    (tmp_path / "tones.csv").write_text(
        "reel,width,tracks,speed,tones\nR-902,1/2 in,8,15 ips,1 kHz\n", encoding="utf-8"
    )
    before = run("reels").out.count("\n")
    told = run("import", str(tmp_path / "more.csv"))
    served = "no calibration reel fits 30 ips" in told.err
    assert told.status == 0 and run("reels").out.count("\n") == before + 1
    # The made-up shelf has reels of 30 ips already: what was told at their import is not told again.
    assert not served
    assert "no calibration reel" not in run("import", str(tmp_path / "tones.csv")).err


def test_what_would_serve_is_named_and_serves(run: Any, shelf: Path, tmp_path: Path) -> None:
    rows = "reel,width,tracks,speed,eq,level\nR-903,1/4 in,2,3.75 ips,IEC,250 nWb/m\n"
    (tmp_path / "slow.csv").write_text(rows, encoding="utf-8")
    studio = tmp_path / "out"
    assert run("export", str(studio)).status == 0
    text = (studio / "studio.toml").read_text(encoding="utf-8")
    text = text.replace('speeds = ["7.5 ips", "15 ips"]', 'speeds = ["3.75 ips", "7.5 ips", "15 ips"]')
    (studio / "studio.toml").write_text(text, encoding="utf-8")
    assert run("import", "--update", str(studio / "studio.toml")).status == 0
    told = run("import", str(tmp_path / "slow.csv")).err
    assert "no calibration reel fits 3.75 ips on D2 (R-903)" in told and "3.75 ips IEC 250 nWb/m" in told
    tape = "reel,role,width,tracks,speed,eq,level\nCAL-9,calibration,1/4 in,2,3.75 ips,IEC,250 nWb/m\n"
    (tmp_path / "tape.csv").write_text(tape, encoding="utf-8")
    assert run("import", str(tmp_path / "tape.csv")).status == 0
    other = rows.replace("R-903", "R-904")
    (tmp_path / "slow.csv").write_text(other, encoding="utf-8")
    assert "no calibration reel" not in run("import", str(tmp_path / "slow.csv")).err


def test_hours_of_a_date_say_what_they_take_away(run: Any, shelf: Path) -> None:
    """Rows stand in place of the day's own: an afternoon at home takes the evening, and says so."""
    usual = next(
        line for line in run("hours").out.splitlines() if "bench home" in line and "(this" not in line
    )
    told = run("hours", "2026-12-08", "08:00-16:10", "home")
    assert (
        told.status == 0
        and "no bench" in told.err
        and "`hours 2026-12-08 usual` brings them back" in told.err
    )
    assert len(told.err.splitlines()) == 1 and usual
    assert run("hours", "2026-12-08", "usual").err == ""
    assert "no bench" not in run("hours", "2026-12-08", "08:00-16:10", "home", "19:00-22:30").err
    assert run("hours", "2026-12-09", "off").err == ""


def test_hours_of_a_weekday_say_what_they_take_away_too(run: Any, shelf: Path) -> None:
    told = run("hours", "thu", "19:00-22:00", "helper")
    assert told.status == 0 and "every Thu: no bench and home any more (it was " in told.err
    assert "`undo` brings them back" in told.err
    assert run("undo").status == 0
    assert run("hours", "thu", "19:00-22:00").err == ""  # bench and home are meant where nothing is said


def test_hours_say_what_time_at_home_is_gone_and_that_a_loud_deck_runs_on(run: Any, shelf: Path) -> None:
    assert run("hours", "sun", "08:00-23:00", "home").status == 0
    told = run("hours", "2026-12-13", "19-23:30")
    gone = "no home 08:00-19:00 any more (it was 08:00-23:00 home)"
    assert f"Sun 13 Dec: {gone}; a loud deck may run until 23:30 then, not 22:00: give those" in told.err
    whole = ("2026-12-13", "08:00-19:00", "home", "19-23:30", "bench", "home", "loud", "22:00")
    assert run("hours", *whole).err == ""
    told = run("hours", "thu", "19:00-23:00")
    assert told.status == 0 and "every Thu: a loud deck may run until 23:00 then, not 22:00" in told.err


def test_away_is_said_as_off_is(run: Any, shelf: Path) -> None:
    assert "nobody" in run("hours", "2026-12-14", "away").out
    assert "nobody" in run("hours", "2026-12-24..2026-12-25", "away").out


@pytest.mark.parametrize("words", [("2026-12-24..2027-01-02",), ("24 Dec..2 Jan",), ("24", "Dec..2", "Jan")])
def test_hours_of_several_dates_answer_with_all_of_them(
    run: Any, shelf: Path, words: tuple[str, ...]
) -> None:
    told = run("hours", *words, "off")
    assert told.status == 0, told.err
    lines = told.out.splitlines()[:10]
    assert all(line.endswith("nobody  (this date only)") for line in lines)
    assert lines[0].startswith("Thu 24 Dec") and lines[-1].startswith("Sat 2 Jan")
