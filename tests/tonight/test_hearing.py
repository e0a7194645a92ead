"""A first hearing: one dialog settles speed, set-up, contents, and whether the tape is transferred."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from typing import Any

import pytest

from core.plan import Item


@pytest.fixture(autouse=True)
def asked(monkeypatch: Any) -> list[str]:
    """Planning again is told of but not waited for."""
    from tui.places.tonight.acts.replan import ReplanActs

    told: list[str] = []
    monkeypatch.setattr(ReplanActs, "replan", lambda self, happened, **how: told.append(happened))
    return told


@pytest.fixture
def hearing(book: Any) -> Any:
    """The evening begins with a hearing of R-008."""
    plan = book.plans.kept_plan()
    start = book.now()
    item = Item("audition", start, start + timedelta(minutes=10), deck="D1", reel="R-008")
    book.plans.keep_plan(replace(plan, items=(item, *plan.items)))
    return book


async def test_a_hearing_settles_what_was_assumed(
    hearing: Any, at_machine: Any, asked: list[str], reopened: Any
) -> None:
    async with at_machine(hearing) as seat:
        await seat.go_to("audition R-008")
        await seat.press("space", "escape")
        assert "audition R-008".upper() in seat.text.upper()
        await seat.wait(minutes=8)
        await seat.press("space")
        assert "What was heard on R-008?" in seat.text
        assert seat.shelf.reel("R-008").heard is None
        await seat.fills("30 ips", "AES", None, None, None, "Tar and Rope, two takes", None)
        reel = seat.shelf.reel("R-008")
        assert (str(reel.speed), reel.eq, reel.contents) == ("30 ips", "AES", "Tar and Rope, two takes")
        assert f"{reel.heard:%H:%M}" == "19:08"
        (step,) = [one for one in seat.shelf.of_kind("actual").values() if one["kind"] == "audition"]
        assert (step["state"], step["finished"][11:16]) == ("done", "19:08")
        assert asked == ["R-008 was heard: speed 30 ips, eq AES, contents Tar and Rope, two takes"]
        await seat.press("u")
        assert seat.shelf.reel("R-008").heard is None
        assert str(seat.shelf.reel("R-008").speed) == "15 ips"


async def test_a_tape_that_is_not_worth_it_is_set_aside_with_the_reason(
    hearing: Any, at_machine: Any, reopened: Any
) -> None:
    async with at_machine(hearing) as seat:
        await seat.go_to("audition R-008")
        await seat.press("space", "escape", "space")
        await seat.press("pagedown")
        await seat.fills("no")
        assert "yes, or no and why" in seat.text  # a no wants its reason
        await seat.fills("no: only hiss")
    told = reopened().shelf
    assert told.reel("R-008").set_aside == "only hiss"
    fields = {(event.field, event.new) for event in told.history if event.key == "R-008"}
    assert ("set_aside", "only hiss") in fields
    assert any(field == "heard" for field, _ in fields)


async def test_nonsense_is_refused_in_its_line_and_typing_is_kept(hearing: Any, at_machine: Any) -> None:
    async with at_machine(hearing) as seat:
        await seat.go_to("audition R-008")
        await seat.press("space", "escape", "space")
        await seat.fills("fast")
        assert "! " in seat.text and "What was heard on R-008?" in seat.text
        await seat.press("escape")
        assert seat.shelf.reel("R-008").heard is None
        await seat.press("space")
        assert "fast" in seat.text


async def test_a_tape_is_heard_from_the_chart_too(book: Any, at_machine: Any) -> None:
    async with at_machine(book) as seat:
        await seat.press("c", "home", "e")
        assert "What was heard on R-001?" in seat.text
        await seat.press("pagedown", "enter")
        assert seat.shelf.reel("R-001").heard is not None
        assert "R-001 was heard: as it was assumed" in seat.text


async def test_heard_at_another_speed_in_mid_pass_nothing_of_the_wrong_one_is_gone_on_with(
    book: Any, at_machine: Any
) -> None:
    """Twice the speed is half the time: pass clock, length and what fits tonight follow at once."""
    from core.reels.length import play_seconds

    async with at_machine(book) as seat:
        played = float(play_seconds(seat.shelf.reel("R-008"), seat.shelf.studio))
        planned = next(one for one in seat.app.screen.sheet.steps if one.subject == "R-008")
        await seat.go_to("transfer R-008")
        await seat.press("space", "enter", "enter")  # the deck is not lined up; no calendar
        assert any(one["reel"] == "R-008" and one["state"] == "running" for one in seat.passes())
        await seat.wait(minutes=3)
        await seat.press("c")
        await seat.until(lambda: seat.app.current_mode == "chart")
        from tui.asking.hearing import ask_hearing

        def kept(act: Any, said: str) -> None:
            seat.app.do(lambda: book.change(act, what=said), said)

        ask_hearing(seat.app, "R-008", seat.app.now(), kept)
        await seat.settle()
        await seat.fills("30 ips", None, None, None, None, None, None)
        reel = seat.shelf.reel("R-008")
        assert str(reel.speed) == "30 ips"
        records = [one for one in seat.passes() if one["reel"] == "R-008"]
        assert [one["state"] for one in records] == ["stopped"]
        assert records[0]["void"] == "heard at 30 ips, not 15 ips"
        await seat.press("t")
        await seat.until(lambda: seat.app.current_mode == "tonight")
        step = next(one for one in seat.app.screen.sheet.steps if one.subject == "R-008")
        assert step.state == "waiting"
        shorter = (step.planned.end - step.planned.start) - (planned.planned.end - planned.planned.start)
        assert float(play_seconds(reel, seat.shelf.studio)) == pytest.approx(played / 2)
        assert shorter.total_seconds() < 0
        await seat.go_to("transfer R-008")
        await seat.press("space", "enter", "enter")  # it is wound back; the deck is not lined up
        (new,) = [one for one in seat.passes() if one["reel"] == "R-008" and one["state"] == "running"]
        assert new["total"] == pytest.approx(played / 2) and new["pieces"][0]["from"] == 0
