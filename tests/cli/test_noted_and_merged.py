"""What stands in notes, or two keys of one tape told, is asked about before heat as the box's words are."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from alarmshelf import ROW
from doorshelf import put


def told_of(run: Any, key: str) -> dict[str, Any]:
    return next(one for one in run("reels", "--json").json if one["reel"] == key)


@pytest.mark.parametrize(
    ("column", "text", "asks"),
    [
        ("signs", "mould on edges", 'says "mould" in its notes: look, with gloves and a mask'),
        ("signs", "layers stuck", 'says "layers stuck" in its notes: look and smell'),
        ("base_seen", "acetate I think", "say acetate, not polyester"),
    ],
)
def test_what_a_file_could_not_say_but_in_notes_is_asked_about(
    there: Any, column: str, text: str, asks: str
) -> None:
    Path("more.csv").write_text(f"reel,{column}\nW-1,{text}\n")
    assert there("set", "W-1", "base_seen=").status == 0
    assert there("import", "--update", "--to-notes", "more.csv").status == 0
    refused = there("load", "C1", "W-1")
    assert refused.status == 1 and asks in refused.err


@pytest.mark.parametrize("how", ["cell", "note"])
def test_a_warning_in_a_note_is_asked_about_once(there: Any, how: str) -> None:
    words = "white mould on the edge!"
    done = there("set", "W-1", f"notes={words}") if how == "cell" else there("note", "W-1", words)
    assert done.status == 0
    refused = there("load", "C1", "W-1")
    assert refused.status == 1 and 'W-1 says "mould" in its notes: look, with gloves' in refused.err
    assert 'says "mould" in its notes' in told_of(there, "W-1")["next"] + there("reels").out
    assert there("tonight", "looked", "W-1").status == 0
    assert there("load", "C1", "W-1").status == 0


@pytest.mark.parametrize(
    ("mine", "other", "word"),
    [
        ({"base_seen": "polyester"}, {"base_seen": "acetate", "base": ""}, "never"),
        ({"base_seen": "polyester"}, {"base": "acetate", "base_seen": ""}, "look first"),
        ({"base_seen": "yes"}, {"base": "polyester", "base_seen": ""}, "warm"),
        ({}, {"stock": "Scotch 175", "condition": "squeal"}, "which stock"),
    ],
)
def test_two_keys_of_one_tape_keep_what_forbids_heat(
    there: Any, mine: dict[str, str], other: dict[str, str], word: str
) -> None:
    assert there("set", "W-1", *(f"{name}={text}" for name, text in mine.items()), "notes=").status == 0
    row = ROW | {"reel": "X-1", "stock": "Ampex 456", "condition": "sticky"}
    assert put(there, [row | other]).status == 0
    assert there("merge", "W-1", "X-1").status == 0
    assert told_of(there, "W-1")["advice"] == word
    assert (there("load", "C1", "W-1").status == 0) is (word == "warm")


def test_the_other_boxes_warning_is_asked_about(there: Any) -> None:
    assert there("set", "W-1", "box_label=Low Tide").status == 0
    assert put(there, [ROW | {"reel": "X-1", "stock": "Ampex 456", "box_label": "do not bake"}]).status == 0
    assert there("merge", "W-1", "X-1").status == 0
    refused = there("load", "C1", "W-1")
    assert refused.status == 1 and 'W-1 says "do not bake" in its notes: find out why' in refused.err


@pytest.mark.parametrize(("mine", "theirs"), [("yes", "no"), ("no", "yes"), ("unknown", "no")])
def test_a_sticky_tape_told_with_and_without_a_back_coat_is_tested_before_heat(
    there: Any, mine: str, theirs: str
) -> None:
    bare = ROW | {"stock": "", "condition": "sticky"}
    rows = [bare | {"reel": "X-1", "back_coat": mine}, bare | {"reel": "X-2", "back_coat": theirs}]
    assert put(there, rows).status == 0
    told = there("merge", "X-1", "X-2").out
    assert "warm" not in told.partition("next on it: ")[2].partition(", no more")[0]
    assert told_of(there, "X-1")["advice"] == "test first", told_of(there, "X-1")
    assert there("load", "C1", "X-1").status == 1


def test_a_sound_tape_told_with_and_without_a_back_coat_has_none_that_is_known(there: Any) -> None:
    bare = ROW | {"stock": ""}
    rows = [bare | {"reel": "X-1", "back_coat": "yes"}, bare | {"reel": "X-2", "back_coat": "no"}]
    assert put(there, rows).status == 0
    assert "back coat unknown" in there("merge", "X-1", "X-2").out
    assert told_of(there, "X-1")["advice"] == "test first"  # made since 1968, and it was not looked at
