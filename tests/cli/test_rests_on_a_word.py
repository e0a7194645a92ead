"""Warmth that rests on a word: said as it is typed or brought in, and wherever the tape is played."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from pathlib import Path
from typing import Any

import icalendar
import pytest
from alarmshelf import NOW, STEP, Clock, printed

SAYS = "it is acetate, never to be warmed, and counts as warmed by a word alone: it rests on yours"


def told_of(run: Any, key: str) -> dict[str, Any]:
    return next(one for one in run("reels", "--json").json if one["reel"] == key)


@pytest.mark.parametrize("stage", ["conditioned", "aligned"])
def test_sticky_acetate_that_its_stage_alone_calls_warmed_is_told_so_at_every_door(
    there: Any, tmp_path: Path, stage: str
) -> None:
    set_ = there("set", "P-1", "base=acetate", "base_seen=", "condition=sticky", f"stage={stage}")
    assert set_.status == 0 and f"P-1: {SAYS}" in set_.err
    (tmp_path / "more.csv").write_text(f"reel,base,condition,stage\nW-3,acetate,sticky,{stage}\n")
    assert f"W-3: {SAYS}" in there("import", "--update", "more.csv").err
    assert told_of(there, "P-1")["next"].startswith("acetate, your word: ")
    made = there("plan", "--days", "2", "--effort", "0.2")
    assert made.status == 0 and "warmed or runs: P-1: acetate, your word" in made.out
    for act in ("begin", "end"):
        assert there("tonight", act, STEP).status == 0
    refused = there("tonight", "begin", "transfer P-1")
    assert refused.status == 1 and f"transfer P-1 does not begin: P-1: {SAYS}" in refused.err
    assert f"! P-1: {SAYS}" in there("tonight").out
    assert printed(there, "orders").count(SAYS) > 1, "beside its step, and on its card"
    assert there("tonight", "begin", "transfer P-1", "--because", "its owner asks for it").status == 0
    assert SAYS in printed(there, "print", "labels")
    events = icalendar.Calendar.from_ical(there("calendar").out).walk("VEVENT")
    assert any("acetate, never to be warmed" in str(one.get("description")) for one in events)


def test_a_take_out_that_is_still_to_come_is_told_and_rests_on_a_word(there: Any, clock: Clock) -> None:
    words = ("set", "W-1", "stage=conditioned", "conditioned_at=2026-12-02T13:00")
    told = there(*words)
    ahead = "W-1: its take-out Wed 02 Dec 2026 13:00 is 1 h ahead, and counts as done then: was that meant?"
    assert told.status == 0 and ahead in told.err
    word = "it was in no load here: that it was warmed rests on your word"
    assert f"W-1: {word}" in told.err
    clock.at = NOW + timedelta(hours=6)
    assert "warmed at your word: " in told_of(there, "W-1")["next"]
    assert word in printed(there, "print", "labels")
    slip = there("set", "W-2", "stage=conditioned", "conditioned_at=1900-01-01T00:00")
    assert slip.status == 1 and "since there is tape, 1928 at the earliest: look at its year" in slip.err
    back = there("set", "W-2", "stage=conditioned", "conditioned_at=2026-12-01T10:00")
    assert back.status == 0 and "ahead" not in back.err and "word" not in back.err


def test_more_playable_days_than_any_source_says_are_told(there: Any) -> None:
    told = there("set", "W-1", "stage=conditioned", "conditioned_at=2026-10-05T20:00",
                 "playable_until=2027-12-01T00:00")  # fmt: skip
    says = "is playable for 421 days by your word, and no source says more than 31"
    assert told.status == 0 and f"W-1: it {says}" in told.err
    assert told_of(there, "W-1")["next"].startswith("playable 421 days by your word: ")
    assert says in printed(there, "print", "labels")
    assert "by your word" not in there("set", "W-1", "playable_until=2026-11-04T00:00").err


def test_a_tape_told_into_the_heat_by_its_columns_says_what_a_load_asks(there: Any, tmp_path: Path) -> None:
    assert there("set", "W-1", "stage=conditioned", "conditioned_at=2026-12-01T10:00").status == 0
    why = "W-1: it needs no warmth: it was warmed, and is playable until Tue 15 Dec 10:00"
    assert why in there("load", "C1", "W-1").err.replace("reelturn: ", "")
    told = there("set", "W-1", "chamber=C1", "loaded_at=2026-12-02T11:55")
    assert told.status == 0 and why in told.err
    (tmp_path / "more.csv").write_text("reel,chamber,loaded_at\nW-2,C1,2026-12-02T11:55\n")
    assert there("set", "W-2", "box_label=do not bake", "base_seen=").status == 0
    told = there("import", "--update", "more.csv")
    assert 'W-2 says "do not bake" on its box' in told.err and "W-2: nobody has seen its base" in told.err
    ahead = there("set", "W-3", "chamber=C1", "loaded_at=2026-12-02T11:55", "--json")
    assert "ahead" not in ahead.err


def test_a_load_told_ahead_by_its_columns_says_so(there: Any) -> None:
    told = there("set", "W-3", "chamber=C1", "loaded_at=2027-12-02T18:00")
    assert "W-3: its load Thu 02 Dec 2027 18:00 is " in told.err and "counts as begun then" in told.err


def test_a_bare_no_is_no_reason_to_set_a_tape_aside(there: Any) -> None:
    for text in ("no", "No", "false"):
        told = there("set", "P-1", f"set_aside={text}")
        assert told.status == 1 and "an empty cell where it is not so" in told.err, text
    assert there("set", "P-1", "set_aside=no deck takes it").status == 0
    assert "no deck takes it" in there("reels").out


def test_what_an_edit_did_not_write_is_not_said_to_be_so(there: Any) -> None:
    assert there("load", "C1", "W-1").status == 0
    told = there("set", "W-1", "stage=conditioned", "conditioned_at=2026-12-01T10:00")
    assert told.out.strip() == "W-1: nothing is written"
    assert "its take-out and stage are told when it is out" in told.err
    assert there("set", "W-1", "condition=sticky").out.strip() == "W-1: it is so already"


def test_a_plan_made_before_a_song_counted_otherwise_says_so_in_words(there: Any) -> None:
    from core.plan import plan_from_json
    from core.standing.of_plan.made_from import made_from
    from core.store.book import Book
    from core.workbook.keeping import why_not_kept

    book = Book.open(Path("tapes.json"), lambda: NOW)
    kept = plan_from_json(book.shelf.of_kind("plan")["kept"], book.shelf.studio.zone)
    plan = replace(kept, rests_on=made_from(book.shelf))
    assert there("set", "S-1", "priority=1").status == 0
    told = why_not_kept(Book.open(Path("tapes.json"), lambda: NOW).shelf, plan, NOW)
    assert told == "the songs: what is to be done, or what it is worth, is another now"


def test_an_undo_while_a_plan_is_made_is_told_by_its_reel(there: Any) -> None:
    from core.plan import plan_from_json
    from core.standing.of_plan.made_from import made_from
    from core.store.book import Book
    from core.workbook.keeping import why_not_kept

    assert there("set", "W-1", "condition=", "signs=vinegar").status == 0
    assert there("plan", "--days", "3", "--effort", "0.2").status == 0
    book = Book.open(Path("tapes.json"), lambda: NOW)
    kept = plan_from_json(book.shelf.of_kind("plan")["kept"], book.shelf.studio.zone)
    plan = replace(kept, rests_on=made_from(book.shelf))
    assert there("set", "W-1", "condition=sticky", "signs=").status == 0
    told = why_not_kept(Book.open(Path("tapes.json"), lambda: NOW).shelf, plan, NOW)
    assert told == "W-1: what is to be done, or what it is worth, is another now"


def test_a_cell_alone_makes_no_tape_treated_without_a_word(there: Any) -> None:
    told = there("set", "W-1", "playable_until=2026-12-20T00:00")
    says = "it is playable by what is written alone, no take-out is: its warmth rests on your word"
    assert told.status == 0 and f"W-1: {says}" in told.err
    assert told_of(there, "W-1")["next"].startswith("your word: ")
    assert says in printed(there, "print", "labels")
    acetate = there("set", "P-1", "condition=sticky", "base_seen=acetate", "playable_until=2026-12-20T00:00")
    assert f"P-1: {SAYS}" in acetate.err
    assert "your word" not in told_of(there, "W-2")["next"]


def test_gum_that_came_off_since_a_tape_was_warmed_is_told(there: Any, clock: Clock) -> None:
    words = ("stage=conditioned", "conditioned_at=2026-12-01T10:00")
    assert there("set", "W-2", "tried=gum").status == 0
    clock.at = NOW + timedelta(hours=1)
    for key in ("W-1", "W-2"):
        assert there("set", key, *words).status == 0
    told = there("set", "W-1", "tried=gum")
    assert "W-1: it left gum though it was warmed: warm it again before it runs" in told.err
    assert told_of(there, "W-1")["next"].startswith("gum since: ")
    assert "it left gum since it was warmed: warm it again" in printed(there, "print", "labels")


def test_a_late_evening_says_until_when_its_tapes_are_playable(there: Any, clock: Clock) -> None:
    until = ("stage=conditioned", "conditioned_at=2026-11-20T08:00", "playable_until=2026-12-02T15:00")
    assert there("set", "W-1", *until).status == 0
    assert there("plan", "--days", "3", "--effort", "0.3").status == 0
    says = "! W-1: it may be played until Wed 15:00 only, its pass ends "
    rows = there("tonight").out
    assert "transfer W-1" in rows and says not in rows  # in time, as it is planned
    clock.at += timedelta(minutes=80)
    assert says in there("tonight").out.partition("transfer W-1")[2]
    assert told_of(there, "W-1")["next"] == "line up D1 by 15:00"
    assert "by" not in told_of(there, "P-1")["next"]
