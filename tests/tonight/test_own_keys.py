"""Keys bound anew on the page of keys, a foot switch too: kept, shown, refused where taken, given back."""

from __future__ import annotations

from typing import Any

import pytest

from tui.keys.binding import bound, heard_with, taken_by, why_not
from tui.keys.keys import KEYS


def key(name: str) -> Any:
    return next(one for one in KEYS if one.id == name)


def test_a_key_of_another_place_is_free() -> None:
    assert taken_by(key("tonight.note"), "x", {}) is None  # set aside on the chart, forbid in the week
    assert not heard_with(key("tonight.note"), key("week.forbid"))


@pytest.mark.parametrize(
    ("pressed", "why"),
    [
        ("e", "E is taken (tonight: stop tape)"),
        ("t", "T is taken (everywhere: tonight)"),
        ("up", "Up is taken (in a list: up)"),
        ("escape", "Esc is one step out, always"),
    ],
)
def test_a_key_that_is_taken_is_told_in_one_line(pressed: str, why: str) -> None:
    assert (why_not(key("tonight.note"), pressed, {}) or "").startswith(why)


def test_the_key_of_a_reel_is_not_taken_from_chart_or_card() -> None:
    assert taken_by(key("reel.note"), "enter", {}).id in ("chart.card", "card.edit")


def test_a_key_beside_ours_comes_first() -> None:
    own = bound({}, key("tonight.note"), "f13", beside=True)
    assert own == {"tonight.note": "f13,n,N"}
    assert bound(own, key("tonight.note"), "d", beside=False) == {"tonight.note": "d,D"}


async def to_the_line(seat: Any, words: str) -> None:
    """Puts the cursor of the page of keys on a line."""
    from tui.frame.help import KeyLines

    listed = seat.app.screen.query_one(KeyLines)
    while words not in (listed.key_here.says if listed.key_here else ""):
        before = listed.cursor
        await seat.press("down")
        assert listed.cursor != before, words


async def test_a_foot_switch_drops_the_notes(book: Any, at_machine: Any, reopened: Any) -> None:
    book.mark("R-001", "aligned")
    async with at_machine(book) as seat:
        await seat.press("question_mark")
        await to_the_line(seat, "Drop a note")
        await seat.press("a")
        assert "Which key for: Drop a note" in seat.text
        await seat.press("e")
        assert "! E is taken (tonight: stop tape)" in seat.text
        await seat.press("f13")
        assert "F13 or N" in seat.text
        await seat.press("escape")
        await seat.go_to("transfer R-001")
        await seat.press("space", "escape")
        assert "F13 note" in seat.text  # the foot names it
        await seat.wait(minutes=3)
        await seat.press("f13", "1")
        (note,) = [one for one in seat.shelf.of_kind("timed note").values() if one["reel"] == "R-001"]
        assert (note["seconds"], note["kind"]) == (180.0, "dropout")
    assert reopened().shelf.of_kind("setting")["keys"] == {"tonight.note": "f13,n,N"}


async def test_one_key_and_all_keys_are_given_back(book: Any, at_machine: Any) -> None:
    async with at_machine(book) as seat:
        for line, key_ in (("Drop a note", "f10"), ("Leave this step out", "f10")):
            await seat.press("question_mark")
            await to_the_line(seat, line)
            await seat.press("b", key_)
            if line != "Drop a note":
                assert "! F10 is taken (tonight: note)" in seat.text
                await seat.press("f14")
            await seat.press("escape")
        await seat.press("f14")
        assert "Skip line up D1" in seat.text
        await seat.press("escape", "k")
        assert "Skip line up D1" not in seat.text  # ours no longer means it
        await seat.press("question_mark")
        await to_the_line(seat, "Leave this step out")
        await seat.press("delete")
        assert seat.app.own_keys == {"tonight.note": "f10"}
        await seat.press("x", "escape", "k")
        assert seat.app.own_keys == {} and "Skip line up D1" in seat.text
