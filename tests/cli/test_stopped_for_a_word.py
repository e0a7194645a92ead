"""A line-up or a first hearing that was stopped with a word that warns does not begin again unasked."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
from alarmshelf import STEP, Clock
from doorshelf import STUDIO

WORDS = ("mould on it", "smells of vinegar", "it squeals")


def heard_first(there: Any) -> None:
    """The studio auditions, and P-1 is heard before its pass."""
    Path("studio.toml").write_text(f"{STUDIO}\n[minutes]\naudition = 10\n")
    assert there("import", "studio.toml", "--update").status == 0
    assert there("plan", "--days", "3", "--effort", "0.3").status == 0


@pytest.mark.parametrize("word", WORDS)
def test_a_line_up_that_was_stopped_for_mould_asks_before_it_begins_again(
    there: Any, clock: Clock, word: str
) -> None:
    assert there("tonight", "begin", STEP).status == 0
    clock.at += timedelta(minutes=2)
    assert there("tonight", "stop", "--because", word).status == 0
    clock.at += timedelta(minutes=1)
    again = there("tonight", "begin", STEP)
    assert again.status == 1 and "C-1 says" in again.err, again.err
    assert there("tonight", "looked", "C-1").status == 0
    assert there("tonight", "begin", STEP).status == 0


@pytest.mark.parametrize("word", [*WORDS, "the telephone"])
def test_a_hearing_that_was_stopped_for_mould_asks_before_it_begins_again(
    there: Any, clock: Clock, word: str
) -> None:
    heard_first(there)
    assert there("tonight", "begin", "audition P-1").status == 0
    clock.at += timedelta(minutes=2)
    assert there("tonight", "stop", "--because", word).status == 0
    clock.at += timedelta(minutes=1)
    again = there("tonight", "begin", "audition P-1")
    if word == "the telephone":
        assert again.status == 0
    else:
        assert again.status == 1 and "P-1 says" in again.err, again.err


def test_a_note_at_a_hearing_is_noted_on_its_tape(there: Any, clock: Clock) -> None:
    heard_first(there)
    assert there("tonight", "begin", "audition P-1").status == 0
    noted = there("tonight", "note", "white mould on the edge")
    assert noted.status == 0 and "P-1 runs and says" in noted.err, noted.err
    assert "white mould on the edge" in there("note", "P-1").out
    assert there("undo").status == 0
    assert "white mould" not in there("note", "P-1").out
