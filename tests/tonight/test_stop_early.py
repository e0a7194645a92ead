"""I must stop at ten to ten; not on Thursday; an extra evening; what was left out is not planned again."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime, timedelta
from typing import Any

import pytest

from core.clock import later
from core.errors import Refused
from core.evening.around.stop_early import stops_at, without_bench
from core.evening.tonight.runsheet import run_sheet
from core.evening.tonight.steps import finish_step, skip_step
from core.evening.tonight.transfer import leave_out
from core.standing.not_tonight import left_out_until
from core.studio.opening import opening
from core.words import day_meant
from tui.places.tonight.acts.mishaps import PROBLEMS


@pytest.fixture
def asked(monkeypatch: Any) -> list[str]:
    """Planning again is told of but not waited for."""
    from tui.places.tonight.acts.replan import ReplanActs

    found: list[str] = []
    monkeypatch.setattr(ReplanActs, "replan", lambda self, happened, **how: found.append(happened))
    return found


def spans(shelf: Any, flag: Any, at: datetime) -> list[str]:
    """The stretches of that evening in which the flag holds."""
    day = at.replace(hour=5, minute=0)
    return [
        f"{one.start:%H:%M}-{one.end:%H:%M}" for one in opening(shelf.studio, flag, day, later(day, hours=22))
    ]


async def test_an_evening_ends_early_in_four_keys(book: Any, at_machine: Any, asked: list[str]) -> None:
    now = book.now().astimezone(book.shelf.studio.zone)
    align = run_sheet(book.shelf, book.plans.kept_plan(), now).steps[0]
    book.change(lambda shelf: finish_step(shelf, align, now), what="lined up", at=now)
    async with at_machine(book) as seat:
        await seat.go_to("transfer R-001")
        await seat.press("space")
        await seat.wait(minutes=15)  # 19:15
        assert next(iter(PROBLEMS)) == "stop"
        await seat.press("p", "1")
        assert "a now, 19:15" in seat.text and "b 19:20" in seat.text and "h 20:20" in seat.text
        await seat.press("c")
        assert "You stop at 19:30" in seat.text
        told = " ".join(seat.text.replace("│", "").split())
        assert "R-001 plays, at 30:00 then: stop it, and take it off; it would run 2 min more" in told
        assert "back to shelf D1: CAL-1" in told, "the calibration tape was in the hands, too"
        fetched = told[told.index("back to shelf D1: CAL-1") : told.index("switch off D1")]
        assert "if it was fetched: " in fetched and "R-008" in fetched and "R-004" in fetched
        assert "switch off D1" in told and "not tonight any more, since it is loud: " in told
        await seat.press("1")
        shelf, now = seat.shelf, seat.app.now()
        assert spans(shelf, "bench", now) == ["19:00-19:30"] and spans(shelf, "loud", now) == ["19:00-19:30"]
        home = opening(shelf.studio, "home", now, now)
        assert any(one.end >= now.replace(hour=22, minute=30) for one in home)
        assert asked == ["stop at 19:30"]
        await seat.press("u")
        assert spans(seat.shelf, "bench", now) == ["19:00-22:30"]


async def test_no_moment_is_offered_behind_the_evenings_own_end(book: Any, at_machine: Any) -> None:
    async with at_machine(book) as seat:
        await seat.wait(minutes=140)  # 21:20; the bench ends at 22:30
        await seat.press("p", "1")
        assert "22:20" in seat.text and "22:30" not in seat.text and "23:" not in seat.text


async def test_where_no_chamber_is_warm_nobody_is_asked_to_stay(
    book: Any, at_machine: Any, asked: list[str]
) -> None:
    plan = book.plans.kept_plan()
    cold = tuple(item for item in plan.items if item.kind != "condition")
    book.plans.keep_plan(replace(plan, items=cold))
    async with at_machine(book) as seat:
        await seat.press("p", "1", "c")
        assert "You stop at 19:20" in seat.text and "stay at home" not in seat.text
        await seat.press("enter")
        assert spans(seat.shelf, "bench", seat.app.now()) == ["19:00-19:20"] and asked == ["stop at 19:20"]


async def test_a_chamber_that_would_be_left_alone_is_said(
    book: Any, at_machine: Any, asked: list[str]
) -> None:
    book.load("C1", ["R-002"])

    def usual(shelf: Any) -> Any:
        from dataclasses import replace

        rows = tuple(row for row in shelf.studio.hours if row.to_minutes < 24 * 60 or row.bench)
        return replace(shelf, studio=replace(shelf.studio, hours=rows))

    book.change(usual, what="away at night")
    async with at_machine(book) as seat:
        await seat.wait(minutes=30)
        await seat.press("p", "1")
        await seat.types("2030")  # the first digit of a time chooses no moment
        assert "If you leave: C1: nobody is home for the turn at Tue 21:00" in " ".join(
            seat.text.replace("│", "").split()
        )
        await seat.press("2")
        assert spans(seat.shelf, "home", seat.app.now()) == ["19:00-20:30"]
        assert "nobody is home for the turn at Tue 21:00" in seat.text and asked


async def test_not_on_thursday_and_an_extra_evening(book: Any, at_machine: Any, asked: list[str]) -> None:
    line = list(PROBLEMS).index("evening")
    async with at_machine(book) as seat:
        await seat.press("p")
        await seat.choose(line)
        await seat.press("t", "h", "u")
        assert "Thu 3 Dec: no work" in seat.text
        await seat.press("enter", "1")
        thursday = seat.app.now() + timedelta(days=2)
        assert spans(seat.shelf, "bench", thursday) == []
        assert spans(seat.shelf, "bench", thursday + timedelta(days=7)) == ["19:00-22:30"]  # that one alone
        await seat.press("p")
        await seat.choose(line)
        await seat.types("fri 19-22")
        assert spans(seat.shelf, "bench", thursday + timedelta(days=1)) == ["19:00-22:00"]
        assert len(asked) == 2 and asked[1].startswith("an evening on Fri 4 Dec")
        await seat.press("p")
        await seat.choose(line)
        await seat.types("sun")
        assert "there are no bench hours on Sun 6 Dec" in seat.text


def test_a_day_is_the_next_of_its_name(book: Any) -> None:
    tuesday = date(2026, 12, 1)
    assert day_meant("tue", tuesday) == tuesday and day_meant("Monday", tuesday) == date(2026, 12, 7)
    assert day_meant("2026-12-24", tuesday) == date(2026, 12, 24)
    for word in ("th", "someday", "24.12."):
        with pytest.raises(ValueError):
            day_meant(word, tuesday)


def test_only_hours_that_are_there_can_end(book: Any) -> None:
    now = book.now().astimezone(book.shelf.studio.zone)
    with pytest.raises(Refused, match="no bench hours on Sun 6 Dec"):
        without_bench(book.shelf, date(2026, 12, 6), home=True)
    with pytest.raises(Refused, match="no bench hours on Sun 6 Dec"):
        stops_at(book.shelf, now + timedelta(days=5), home=True)


def test_what_was_left_out_is_not_planned_again_tonight(book: Any, clock: Any) -> None:
    zone = book.shelf.studio.zone
    plan = book.plans.plan(days=14, effort=0.1)
    tonight = [
        i for i in plan.items if i.kind == "transfer" and i.start.date() == book.now().astimezone(zone).date()
    ]
    assert tonight, "the shelf's own plan plays something tonight"
    key = tonight[0].reel
    sheet = run_sheet(book.shelf, plan, book.now().astimezone(zone))
    step = next(one for one in sheet.steps if one.kind == "transfer" and one.subject == key)
    book.change(lambda s: leave_out(s, step, book.now(), "no hands"), what="skip")
    assert left_out_until(book.shelf, book.now().astimezone(zone)) == ((key, date(2026, 12, 2)),)
    again = book.plans.plan(days=14, effort=0.1)
    for item in again.items:
        assert key not in item.reels or item.start.astimezone(zone).date() > date(2026, 12, 1)
    assert any(item.kind == "transfer" and item.reel == key for item in again.items)
    clock.on(hours=24)
    assert left_out_until(book.shelf, book.now().astimezone(zone)) == ()


def test_a_look_that_was_left_out_is_not_planned_again_tonight_either(book: Any) -> None:
    now = book.now()
    look = next(
        one for one in run_sheet(book.shelf, book.plans.kept_plan(), now).steps if one.kind == "identify"
    )
    book.change(lambda shelf: skip_step(shelf, look, now, "too tired", tonight=True), what="left out")
    made = book.plans.plan(days=8, effort=0)
    days = {item.start.date() for item in made.items if item.kind == "identify" and item.reel == look.subject}
    assert days and min(days) > now.date()


def test_a_verify_that_was_left_out_is_not_planned_again_tonight_either(book: Any) -> None:
    """Nothing but its verify is left of the tape: no gate holds that back but what the owner said."""
    now = book.now()
    made = book.plans.plan(days=8, effort=0)
    alone = [
        one for one in made.items if one.kind == "verify" and book.shelf.reel(one.reel).past("transferred")
    ]
    tonight = [one for one in alone if one.start.date() == now.date()]
    assert tonight
    step = next(
        one
        for one in run_sheet(book.shelf, made, now).steps
        if (one.kind, one.subject) == ("verify", tonight[0].reel)
    )
    book.change(lambda shelf: skip_step(shelf, step, now, "no files yet", tonight=True), what="left out")
    for effort in (0, 0.3):
        again = book.plans.plan(days=8, effort=effort)
        days = {
            item.start.date() for item in again.items if (item.kind, item.reel) == ("verify", step.subject)
        }
        assert days and min(days) > now.date(), effort


def test_a_line_up_that_was_left_out_leaves_out_its_reels(book: Any) -> None:
    now = book.now().astimezone(book.shelf.studio.zone)
    align = run_sheet(book.shelf, book.plans.kept_plan(), now).steps[0]
    left = leave_out(book.shelf, align, now, "no calibration tape")
    reels = {key for key, _ in left_out_until(left, now)}
    assert {"R-001", "R-008"} <= reels and "R-013" not in reels


async def test_a_tape_stopped_past_the_end_of_the_evening_lets_what_waited_be_planned(
    book: Any, at_machine: Any, begun: list[str]
) -> None:
    book.mark("R-001", "aligned")
    async with at_machine(book) as seat:
        await seat.plays(minutes=5)
        await seat.press("e", "1")
        assert not begun, "nothing waits yet, and it goes on after the heads are clean"
        await seat.press("g", "p", "1", "a", "1")  # stop now, and stay at home
        assert "planned again when R-001 is over" in seat.text and not begun
        await seat.press("e", "1")
        await seat.until(lambda: bool(begun))


async def test_what_the_slack_alone_keeps_out_is_offered_and_taken_by_one_key(
    book: Any, clock: Any, at_machine: Any, capfd: Any, monkeypatch: Any
) -> None:
    """Bench 19:00-22:30: a tenth, rounded up to the grid, stays free from 22:05 on (rule 1 of the plan)."""
    from core.plan import Item
    from tui.cli import main

    first = later(book.now(), hours=24)
    verify = Item("verify", first, later(first, minutes=10), reel="R-021")
    look = Item("identify", later(first, minutes=10), later(first, minutes=20), reel="R-004")
    book.plans.keep_plan(replace(book.plans.kept_plan(), items=(verify, look), until=later(first, hours=40)))
    monkeypatch.setenv("REELTURN_SHELF", str(book.path))
    monkeypatch.setattr("tui.commands.command.now", clock)
    async with at_machine(book) as seat:
        await seat.wait(hours=2, minutes=50)
        assert "verify R-021" not in seat.text, "at 21:50 it would end before what stays free"
        await seat.wait(minutes=8)
        assert "verify R-021  " in seat.text, "at 21:58 a plan would begin it at 22:00, past what stays free"
        await seat.wait(minutes=12)
        row = next(line for line in seat.text.splitlines() if "verify R-021" in line)
        assert "fits, tight: until 22:20" in row and "identify R-004" in seat.text
        assert "10 min spare then: what is not over by 22:30 is left half done" in seat.text
        assert main(["tonight"]) == 0
        assert "verify R-021  fits, tight: until 22:20, else Wed 2 Dec 19:00" in capfd.readouterr().out
        assert main(["tonight", "skip", "1", "--because", "tired"]) == 1
        assert "only offered tonight" in capfd.readouterr().err
        await seat.press("k")
        assert "it stays planned for Wed 2 Dec 19:00" in seat.text
        await seat.press("space")
        assert "NOW    VERIFY R-021" in seat.text and "tight" not in seat.text
        await seat.wait(minutes=9)
        await seat.press("space", *"heard", "enter")
        assert seat.shelf.reel("R-021").stage == "verified" and "plans again" not in seat.text
        assert "tight" in seat.text
        await seat.wait(minutes=3)
        assert "tight" not in seat.text, "at 22:22 ten minutes do not fit any more"


async def test_a_tape_that_ends_in_loud_time_has_room_whatever_its_hands_take(
    book: Any, at_machine: Any, capfd: Any, clock: Any, monkeypatch: Any
) -> None:
    """45 minutes with the hands, 32 of tape: at 21:15, behind ten of loading, on a deck loud until 22:00."""
    from tui.cli import main

    now = book.now().astimezone(book.shelf.studio.zone)
    align = run_sheet(book.shelf, book.plans.kept_plan(), now).steps[0]
    monkeypatch.setenv("REELTURN_SHELF", str(book.path))
    monkeypatch.setattr("tui.commands.command.now", clock)
    async with at_machine(book) as seat:
        await seat.wait(hours=2, minutes=15)
        lined = book.now()
        book.change(lambda shelf: finish_step(shelf, align, lined), what="lined up", at=lined)
        seat.app.took_over()
        await seat.settle()
        row = next(line for line in seat.text.splitlines() if "transfer R-001" in line)
        assert "no room" not in row and "R-001" not in seat.text.partition("will not fit tonight")[2]
        assert main(["tonight"]) == 0
        row = next(line for line in capfd.readouterr().out.splitlines() if "transfer R-001" in line)
        assert "no room" not in row
        await seat.go_to("transfer R-001")
        await seat.press("space")
        assert "now all the same?" not in seat.text and "loud time" not in seat.text


async def test_what_only_the_loud_hours_leave_no_room_for_says_so(book: Any, at_machine: Any) -> None:
    async with at_machine(book) as seat:
        await seat.wait(hours=2, minutes=45)  # 21:45: bench to 22:30, loud to 22:00
        told = next(line for line in seat.text.splitlines() if "will not fit tonight" in line)
        assert "R-001" in told and told.rstrip().endswith("(loud only until 22:00)")


async def test_what_only_the_helper_is_wanted_for_says_so_and_not_that_it_is_loud(
    book: Any, at_machine: Any
) -> None:
    """A full line-up of D1 without the helper; what has no room shows no time of the past."""
    plan = book.plans.kept_plan()
    full = replace(plan.items[0], full=True, start=plan.items[0].start, end=later(book.now(), minutes=40))
    book.plans.keep_plan(replace(plan, items=(full, *plan.items[1:])))

    def nobody(shelf: Any) -> Any:
        hours = tuple(replace(row, helper=False) for row in shelf.studio.hours)
        return replace(shelf, studio=replace(shelf.studio, hours=hours))

    async with at_machine(book) as seat:
        assert "will not fit tonight" not in seat.text
        book.change(nobody, what="the helper is ill")
        await seat.wait(minutes=5)
        told = next(line for line in seat.text.splitlines() if "will not fit tonight" in line)
        assert "D1" in told and told.rstrip().endswith("(no helper)")
        row = next(line for line in seat.text.splitlines() if "line up D1" in line)
        assert "no room" in row and "19:00" not in row


@pytest.mark.parametrize(("seconds", "over"), [(40, True), (59, True), (61, False), (150, False)])
async def test_a_tape_that_ends_seconds_after_the_stop_is_over_by_then_on_the_page_and_beside_it(
    book: Any, at_machine: Any, asked: list[str], seconds: int, over: bool
) -> None:
    """Its pass plays 32 minutes; the stop is told for 19:40, with so much of it left by then."""
    now = book.now().astimezone(book.shelf.studio.zone)
    align = run_sheet(book.shelf, book.plans.kept_plan(), now).steps[0]
    book.change(lambda shelf: finish_step(shelf, align, now), what="lined up", at=now)
    async with at_machine(book) as seat:
        await seat.wait(minutes=8, seconds=seconds)
        await seat.go_to("transfer R-001")
        await seat.press("space")
        await seat.wait(minutes=15)
        await seat.press("p", "1")
        await seat.types("1940")
        told = " ".join(seat.text.replace("│", "").split())
        assert ("R-001 is over by 19:40: take it off" in told) == over
        assert ("stop it, and take it off" in told) != over
        await seat.press("1")
        beside = " ".join(seat.text.split())
        assert ("stop it at 19:40, when the evening" in beside) != over, seat.text
        assert "verify R-001" in seat.text.partition("will not fit tonight: ")[2].splitlines()[0]


async def test_what_has_room_before_the_stop_is_not_called_too_late(
    book: Any, at_machine: Any, asked: list[str]
) -> None:
    """19:35, lined up: R-008's 30 min have room before 21:30, though its row stood behind it."""
    now = book.now().astimezone(book.shelf.studio.zone)
    align = run_sheet(book.shelf, book.plans.kept_plan(), now).steps[0]
    book.change(lambda shelf: finish_step(shelf, align, now), what="lined up", at=now)
    async with at_machine(book) as seat:
        await seat.wait(minutes=35)
        await seat.press("p", "1")
        await seat.types("2100")
        told = " ".join(seat.text.replace("│", "").split())
        quiet = told.partition("since it is loud: ")[2]
        left = stops_at(seat.shelf, now.replace(hour=21, minute=0), home=True)
        sheet = run_sheet(left, book.plans.kept_plan(), book.now().astimezone(now.tzinfo))
        for key in ("R-001", "R-008"):
            fits = any(one.kind == "transfer" and one.subject == key for one in sheet.will_not_fit)
            assert (key in quiet) == fits, (key, told)
        assert "R-001" not in quiet and "You stop at 21:00" in told
        await seat.press("1")
        rows = seat.app.screen.sheet
        named = seat.text.partition("will not fit tonight: ")[2].splitlines()[0]
        for step in rows.will_not_fit:
            room = any(one.fits and one.subject == step.subject for one in rows.waiting)
            assert not room or f"{step.kind} {step.subject}" in named
