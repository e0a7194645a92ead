"""A tape that must be wound slowly before it plays: counted, asked about, and offered on an evening before.

Common practice of the trade, with no source: a treated or spliced tape is wound at play speed before a pass.
2,400 ft at 15 ips play for 2400 * 12 / 15 / 60 = 32 minutes.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from typing import Any

import pytest
from pypdf import PdfReader

from core.errors import Refused
from core.evening.playing.left_lying import left_lying
from core.evening.tonight.steps import deck_awaits
from core.paper.evening.calendar import calendar
from core.paper.evening.orders import print_orders


def lies_tails_out(book: Any) -> None:
    """R-001, treated, lies tails out; its deck has no gentle wind and plays forwards only."""
    decks = tuple(replace(one, gentle_wind_speed=None) for one in book.shelf.studio.decks)
    studio = replace(book.shelf.studio, decks=decks)
    book.change(lambda shelf: replace(shelf, studio=studio), what="no gentle wind")
    tails = replace(book.shelf.reel("R-001"), wind="tails")
    book.change(lambda shelf: shelf.with_reel(tails), what="tails")


async def test_space_asks_whether_it_is_wound_and_the_wind_is_a_step_of_its_own(
    book: Any, at_machine: Any
) -> None:
    lies_tails_out(book)
    book.mark("R-001", "aligned")
    async with at_machine(book) as seat:
        head = seat.text.splitlines()[0]
        assert "on time + 32 wind" in " ".join(seat.text.split()), head
        await seat.go_to("transfer R-001")
        await seat.press("space", "escape")  # no calendar
        text = " ".join(seat.text.replace("│", "").split())
        assert "R-001 lies tails out: is it wound?" in text
        assert "No fast winding: 32 min at 15 ips, not planned" in text
        await seat.press("escape")
        assert not seat.passes() and seat.shelf.reel("R-001").wind == "tails"
        await seat.press("space", "2")
        text = " ".join(seat.text.split())
        assert "WIND R-001" in text and "+ 32 wind" not in text
        assert "tails out: wind it to its head" in text
        await seat.go_to("transfer R-001")
        await seat.press("space")
        assert not seat.passes(), "one thing on a deck"
        assert "the wind of R-001 runs" in " ".join(seat.text.split())
        await seat.go_to("wind R-001")
        await seat.wait(minutes=32)
        await seat.press("space")
        assert seat.shelf.reel("R-001").wind == "heads" and "lies heads out" in seat.text
        await seat.go_to("transfer R-001")
        assert "heads out: no wind first" in seat.text
        await seat.press("space")
        assert seat.passes()[0]["state"] == "running", "what is wound is asked about no more"


async def test_a_wound_tape_answers_so_and_a_stopped_wind_leaves_it_as_it_lay(
    book: Any, at_machine: Any
) -> None:
    lies_tails_out(book)
    book.mark("R-001", "aligned")
    async with at_machine(book) as seat:
        await seat.go_to("transfer R-001")
        await seat.press("space", "escape", "2")
        await seat.wait(minutes=5)
        await seat.press("e")
        assert "the wind is stopped" in seat.text and seat.shelf.reel("R-001").wind == "tails"
        await seat.press("h")
        assert "R-001 wound in part: both reels as they lie" in " ".join(seat.text.split())
        await seat.press("escape")
        await seat.go_to("transfer R-001")
        await seat.press("space", "1")
        assert seat.passes()[0]["state"] == "running"


@pytest.mark.parametrize(
    ("answer", "wind", "lies"), [("1", "heads", False), ("2", "tails", False), ("3", "tails", True)]
)
async def test_a_wind_that_was_stopped_is_asked_about_on_the_next_evening(
    book: Any, at_machine: Any, reopened: Any, clock: Any, answer: str, wind: str, lies: bool
) -> None:
    """R-001 lies on both reels of D1, wound in part, as the next evening lines D1 up."""
    lies_tails_out(book)
    plan = book.plans.kept_plan()
    (align,) = [one for one in plan.items if one.kind == "align"]
    day = timedelta(days=1)
    again = replace(align, start=align.start + day, end=align.end + day)
    book.plans.keep_plan(replace(plan, items=(*plan.items, again)))
    book.mark("R-001", "aligned")
    async with at_machine(book) as seat:
        await seat.go_to("transfer R-001")
        await seat.press("space", "escape", "2")
        await seat.wait(minutes=5)
        await seat.press("e")
    clock.on(hours=24)
    says = "R-001 lies on both reels of D1, its slow wind stopped Tue 19:05: wind it on to its head"
    async with at_machine(reopened()) as seat:
        assert says in " ".join(seat.text.split()), "told above all"
        await seat.press("h")
        assert "R-001 wound in part: both reels as they lie" in " ".join(seat.text.split())
        await seat.press("escape")
        (step,) = [one for one in seat.app.screen.sheet.steps if one.kind == "align"]
        with pytest.raises(Refused, match="does not begin: R-001 lies on both reels of D1, its slow wind"):
            deck_awaits(seat.shelf, step, clock(), "")
        await seat.go_to("line up D1 to 15 ips NAB 250 nWb/m")
        await seat.press("space", answer)
        told = [one.reel for one in left_lying(seat.shelf, clock())]
        assert (told == ["R-001"], seat.shelf.reel("R-001").wind) == (lies, wind)
        begun = [one for one in seat.shelf.of_kind("actual").values() if one["kind"] == "align"]
        assert bool(begun) != lies


@pytest.mark.parametrize("home", [True, False], ids=["time left", "no time left"])
def test_it_is_offered_on_an_evening_before_by_command(
    book: Any, clock: Any, monkeypatch: pytest.MonkeyPatch, capfd: Any, *, home: bool
) -> None:
    """R-001 plays on Wednesday; tonight nothing is left to do."""
    from tui.cli import main

    lies_tails_out(book)
    plan, day = book.plans.kept_plan(), timedelta(days=1)
    mine = tuple(
        replace(one, start=one.start + day, end=one.end + day)
        for one in plan.items
        if one.kind == "align" or one.reel == "R-001"
    )
    book.plans.keep_plan(replace(plan, items=mine))
    clock.on(minutes=60 if home else 200)  # loud until 22:00
    monkeypatch.setenv("REELTURN_SHELF", str(book.path))
    monkeypatch.setattr("tui.commands.command.now", clock)
    assert main(["tonight"]) == 0
    told = capfd.readouterr().out
    offered = "wind R-001  fits: until 20:32, plays Wed 2 Dec 19:15"
    assert (offered in told) == home
    if not home:
        return
    assert main(["tonight", "begin", "wind R-001"]) == 0
    clock.on(minutes=32)
    assert main(["tonight", "end", "wind R-001"]) == 0
    book.reload()
    assert book.shelf.reel("R-001").wind == "heads"
    assert not book.plans.plan_is_stale()
    capfd.readouterr()
    assert main(["closing"]) == 0
    assert "R-001 heads out, wound slowly" in capfd.readouterr().out


def test_the_command_that_begins_its_pass_says_how_it_lies(
    book: Any, clock: Any, monkeypatch: pytest.MonkeyPatch, capfd: Any
) -> None:
    from tui.cli import main

    lies_tails_out(book)
    book.mark("R-001", "aligned")
    monkeypatch.setenv("REELTURN_SHELF", str(book.path))
    monkeypatch.setattr("tui.commands.command.now", clock)
    assert main(["tonight", "begin", "transfer", "R-001"]) == 0
    told = capfd.readouterr().err
    assert "R-001 lies tails out; no fast winding: 32 min at 15 ips, not planned: was it wound?" in told


def test_order_and_calendar_offer_it_behind_an_evenings_work(book: Any, tmp_path: Any) -> None:
    """R-001 plays on Wednesday; Tuesday is a look of ten minutes at R-004, then there is time until 22:00."""
    lies_tails_out(book)
    plan, day = book.plans.kept_plan(), timedelta(days=1)
    mine = tuple(
        one if one.reel == "R-004" else replace(one, start=one.start + day, end=one.end + day)
        for one in plan.items
        if one.kind == "align" or one.reel in ("R-001", "R-004")
    )
    plan = replace(plan, items=mine)
    offered = "wind R-001 on D1, no fast winding: 32 min at 15 ips, not planned; plays Wed 2 Dec 19:15"
    paths = print_orders(book.shelf, plan, tmp_path, made=book.now())
    told = [
        " ".join(" ".join(page.extract_text() for page in PdfReader(path).pages).split()) for path in paths
    ]
    assert [offered in one for one in told] == [True, False, False]  # Tuesday, Wednesday, the weeks
    assert "If there is time" in told[0]
    events = calendar(book.shelf, plan, made=book.now()).decode().replace("\r\n ", "")
    assert events.replace("\\,", ",").replace("\\;", ";").count(f"If there is time: {offered}") == 1
    for lies in ("heads", ""):  # one that nobody saw may be wound off its reel
        other = book.shelf.with_reel(replace(book.shelf.reel("R-001"), wind=lies))
        (first, *_) = print_orders(other, plan, tmp_path, made=book.now())
        assert "If there is time" not in " ".join(page.extract_text() for page in PdfReader(first).pages)


def test_the_command_that_begins_a_pass_past_loud_time_says_so(
    book: Any, clock: Any, monkeypatch: pytest.MonkeyPatch, capfd: Any
) -> None:
    """At 21:40 on the screen Space asks the same: 32 minutes of R-001 end at 22:12, loud time at 22:00."""
    from tui.cli import main

    book.mark("R-001", "aligned")
    monkeypatch.setenv("REELTURN_SHELF", str(book.path))
    monkeypatch.setattr("tui.commands.command.now", clock)
    assert main(["tonight", "begin", "transfer", "R-001"]) == 0
    assert "is loud until" not in capfd.readouterr().err
    book.undo()
    clock.on(hours=2, minutes=40)
    assert main(["tonight", "begin", "transfer", "R-001"]) == 0
    assert "D1 is loud until 22:12, and loud time ends 22:00." in capfd.readouterr().err
