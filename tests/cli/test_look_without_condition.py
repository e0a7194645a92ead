"""A look that is ended without a condition: the command says what is missing, and how it is told."""

from __future__ import annotations

from typing import Any

from alarmshelf import ROW
from doorshelf import put


def test_the_end_of_a_look_says_what_is_still_missing(there: Any) -> None:
    assert put(there, [ROW | {"reel": "L-1", "stage": "found", "condition": ""}]).status == 0
    assert there("plan", "--days", "2", "--effort", "0.2").status == 0
    assert there("tonight", "begin", "identify L-1").status == 0
    assert "not known yet: condition" in there("tonight", "end", "identify L-1").err
    ended = there("tonight", "end", "identify L-1", "--because", "done by paper")
    assert ended.status == 0 and "its condition is not told, so the look is planned again" in ended.err
    assert there("undo").status == 0
    assert there("set", "L-1", "condition=ok").status == 0
    ended = there("tonight", "end", "identify L-1")
    assert ended.status == 0 and "condition" not in ended.err
