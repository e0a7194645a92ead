"""What is said of a tape at a stop, beside a mark, as it leaves the heat, is asked about as a note is."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

import pytest
from alarmshelf import Clock, alarms, plays


@pytest.mark.parametrize("why", ["mould", "smells of vinegar", "white powder on heads", "sheds"])
def test_the_word_with_which_a_tape_is_stopped_is_asked_about(there: Any, clock: Clock, why: str) -> None:
    plays(there, clock)
    stopped = there("tonight", "stop", "--because", why)
    assert stopped.status == 0 and "P-1 stands stopped and says" in stopped.err
    refused = there("tonight", "go-on")
    assert refused.status == 1 and "in its notes" in refused.err
    assert there("tonight", "looked", "P-1").status == 0
    assert there("tonight", "go-on").status == 0


def test_a_stop_of_which_the_reason_is_the_decks_own_asks_nothing(there: Any, clock: Clock) -> None:
    plays(there, clock)
    assert there("tonight", "stop", "--because", "deck won't play, no heat in the room").status == 0
    assert there("tonight", "go-on").status == 0


def test_why_a_tape_came_out_of_the_heat_and_why_a_load_was_broken_off_is_asked_about(
    there: Any, clock: Clock
) -> None:
    assert there("load", "C1", "W-1", "W-2", "W-3").status == 0
    clock.at += timedelta(minutes=60)
    assert there("chamber", "C1", "--out", "W-1", "--because", "mould seen").status == 0
    assert 'says "mould" in its notes' in blocked(there, "W-1")
    assert there("chamber", "C1", "--broken-off", "W-2 smells of vinegar").status == 0
    refused = there("chamber", "C1", "--go-on")
    assert refused.status == 1 and 'W-2 says "vinegar" in its notes' in refused.err
    assert "W-3 says" not in refused.err  # the reason named the other


def test_words_beside_a_mark_and_why_a_step_was_left_out_are_asked_about(there: Any) -> None:
    noted = ("mark", "P-1", "aligned", "--because", "x", "--note", "white mould on the flange")
    assert there(*noted).status == 0
    assert 'says "mould" in its notes' in blocked(there, "P-1")
    assert there("tonight", "skip", "transfer P-2", "--because", "mould on it, smells").status == 0
    assert there("tonight", "begin", "transfer P-2", "--because", "").status == 1
    assert 'says "mould" in its notes' in blocked(there, "P-2")


def test_what_warmth_cured_is_past_where_the_mark_says_that_it_was_warmed(there: Any) -> None:
    told = ("mark", "W-1", "conditioned", "--because", "warmed elsewhere", "--note")
    assert there(*told, "was sticky as any").status == 0
    assert "sticky" not in blocked(there, "W-1")
    assert there(*("W-2" if one == "W-1" else one for one in told), "still smells of vinegar").status == 0
    assert 'says "vinegar"' in blocked(there, "W-2")


@pytest.mark.parametrize("fact", ["condition=squeal", "tried=gum", "notes=mouldy", "stock=Scotch 175"])
def test_a_tape_goes_on_no_easier_than_it_begins(there: Any, clock: Clock, fact: str) -> None:
    plays(there, clock)
    assert there("tonight", "stop", "--because", "phone").status == 0
    assert there("set", "P-1", fact).status == 0
    assert there("tonight", "go-on").status == 1


@pytest.mark.parametrize(
    "note", ["base is acetate, held to the light", "looks like acetate", "Azetat", "PVC"]
)
def test_a_base_told_in_a_note_is_obeyed_as_in_the_cell(there: Any, clock: Clock, note: str) -> None:
    assert there("set", "W-2", "base_seen=").status == 0
    assert there("note", "W-2", note).status == 0
    assert advice(there, "W-2") == "look first"
    assert there("load", "C1", "W-2").status == 1
    assert there("set", "W-2", "base_seen=polyester").status == 0
    assert there("load", "C1", "W-2").status == 0


def test_a_base_told_in_a_note_of_a_tape_in_the_heat_is_an_alarm(there: Any, clock: Clock) -> None:
    assert there("set", "W-2", "base_seen=").status == 0
    assert there("load", "C1", "W-1", "W-2").status == 0
    told = there("note", "W-2", "held to the light: acetate")
    assert "Take W-2 out of chamber C1 now" in told.err and "W-2" in alarms(there)


def test_an_answer_that_names_the_word_is_no_new_sight(there: Any) -> None:
    assert there("note", "W-1", "mould?").status == 0
    assert there("load", "C1", "W-1", "--because", "looked for mould, there is none").status == 0
    assert there("chamber", "C1", "--out", "W-1", "--because", "to see").status == 0
    assert "says" not in blocked(there, "W-1")


def blocked(run: Any, key: str) -> str:
    return next(one["blocked"] or "" for one in run("reels", "--json").json if one["reel"] == key)


def advice(run: Any, key: str) -> str:
    return next(one["advice"] for one in run("reels", "--json").json if one["reel"] == key)


def test_warmth_answers_that_a_tape_was_sticky_before_it(there: Any, clock: Clock) -> None:
    words = ("--because", "elsewhere", "--note", "such tapes get sticky like any other")
    assert there("mark", "P-1", "conditioned", *words).status == 0
    assert there("set", "P-1", "conditioned_at=2026-12-02T12:00").status == 0
    assert "says" not in blocked(there, "P-1")


def test_a_take_out_before_the_hours_are_up_is_no_treatment_by_the_evenings_door_either(
    there: Any, clock: Clock
) -> None:
    assert there("load", "C1", "W-1", "W-2", "W-3").status == 0
    clock.at += timedelta(minutes=55)
    assert there("tonight", "begin", "take out", "--because", "have to leave").status == 0
    row = next(one for one in there("reels", "--json").json if one["reel"] == "W-1")
    assert (row["stage"], row["advice"]) == ("identified", "warm")
