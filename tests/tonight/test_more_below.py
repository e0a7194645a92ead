"""That a page goes on below its last row is seen without a colour."""

from __future__ import annotations

from typing import Any

import pytest
from rich.segment import Segment

from tui.frame.drawn.scroll_sign import SignBar


def bar(top: int, whole: int = 26, seen: int = 20) -> str:
    segments: list[Segment] = list(
        SignBar.render_bar(size=20, virtual_size=whole, window_size=seen, position=top).segments
    )
    return "".join(one.text for one in segments)


def test_the_bar_says_what_is_above_and_below() -> None:
    assert bar(0) == "▌" * 15 + " " * 5
    assert bar(6) == " " * 5 + "▌" * 15
    assert bar(3)[0] == bar(3)[-1] == " " and bar(0, whole=21)[-1] == " ", "also where a line lies below"
    assert set(bar(0, whole=20)) == {" "}, "all of it is seen"


async def test_a_long_page_says_that_it_goes_on_and_where_its_end_is(
    book: Any, at_machine: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("NO_COLOR", "1")
    async with at_machine(book) as seat:
        await seat.press("question_mark")
        bars = [line.endswith("▌") for line in seat.text.splitlines()]
        assert any(bars), seat.text
        await seat.press("end")
        after = [line.endswith("▌") for line in seat.text.splitlines()]
        assert after.index(True) > bars.index(True), "it has gone down with the text"


async def test_a_closing_look_that_is_long_leaves_no_empty_lines_between_its_headings(
    book: Any, at_machine: Any
) -> None:
    from tui.places.tonight.closing_page import ClosingList

    book.mark("R-001", "aligned")
    async with at_machine(book) as seat:
        await seat.plays(minutes=10)
        await seat.press("e", "escape", "h")
        listed = seat.app.screen.query_one(ClosingList)
        rows = listed.count
        blank = [n for n in range(rows) if listed.skips(n)]
        assert blank and rows <= listed.size.height
        listed.show((*listed.told, ("head", "Moved", ()), ("word", "verify of R-008: to Thu 3 Dec", ())))
        await seat.settle()
        assert listed.count == rows - len(blank) + 2 and "verify of R-008: to Thu" in seat.text


def test_what_has_no_row_at_the_head_is_named() -> None:
    from tui.places.tonight.loud_rows import loud_rows

    first = "Stop P-1 on D1 now: " + "white powder is lubricant that has come out, " * 5
    second = "Take W-1 out of chamber C1 now, the fan off: mould is a danger to people and other tapes."
    rows = loud_rows((first, second), 80, 3).splitlines()
    assert len(rows) == 3
    assert rows[-1].rstrip() == "   and 1 more: Take W-1 out of chamber C1 now, the fan off"
    lies = "R-001 lies on both reels of D1 at 12:00: lift both off together, and keep them so until it plays"
    at_noon = loud_rows((first, lies), 80, 3).splitlines()
    assert at_noon[-1].rstrip() == "   and 1 more: R-001 lies on both reels of D1 at 12:00", "no time is cut"
