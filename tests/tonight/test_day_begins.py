"""A new evening begins with what was not marked; many steps are caught up with in one go; what to fetch."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from typing import Any

import pytest

from core.errors import Refused
from core.evening.afterwards.catch_up import unmarked
from core.evening.around.begins import still_to_fetch
from core.evening.around.fetch import by_place
from core.evening.around.put_back import put_back
from core.evening.around.stop_early import stops_at
from core.evening.mark import mark
from core.evening.playing.passes import notes_of
from core.evening.tonight.runsheet import run_sheet
from tui.places.tonight.acts.mishaps import PROBLEMS

REPLAN = "tui.places.tonight.acts.replan.ReplanActs.replan"


async def test_steps_are_caught_up_with_in_a_few_keys(book: Any, at_machine: Any, monkeypatch: Any) -> None:
    asked: list[str] = []
    monkeypatch.setattr(
        REPLAN,
        lambda self, happened, **how: asked.append(happened),
    )
    async with at_machine(book) as seat:
        await seat.wait(minutes=135)  # 21:15: all seven steps of the evening, and the load
        await seat.press("m")
        assert "Catching up: 7 steps until now" in seat.text
        assert "line up D1" in seat.text and "19:00-19:15" in seat.text and "load C1" in seat.text
        await seat.press("pagedown", "enter")
        assert "What is R-004" in seat.text, "one box was not looked at: what was seen is asked"
        await seat.press("1", "pagedown", "enter")
        assert seat.shelf.reel("R-004").condition
        assert "verify R-001: verified?" in seat.text and "The gate is not met" in seat.text
        await seat.press("2")
        await seat.types("heard it whole")
        assert "verify R-008: verified?" in seat.text, "one reason proves no two captures"
        await seat.press("2")
        await seat.types("by the paper")
        states = {(one["kind"], one["subject"]): one for one in seat.shelf.of_kind("actual").values()}
        assert len(states) == 7 and {one["state"] for one in states.values()} == {"done"}
        assert states["align", "D1"]["finished"][11:16] == "19:15"
        assert seat.shelf.reel("R-001").stage == "verified" and seat.shelf.reel("R-002").chamber == "C1"
        assert f"{seat.shelf.reel('R-002').loaded_at:%H:%M}" == "20:10"
        assert seat.passes()[0]["pieces"][0]["started"][11:16] == "19:15"
        why = {(event.new, event.because) for event in seat.shelf.history if event.field == "stage"}
        told = "verify R-001: heard it whole; verify R-008: by the paper"  # each its own reason
        assert ("verified", told) in why and ("transferred", "by the paper") not in why
        assert len(asked) <= 1  # one plan at the end
        await seat.press("u")
        kinds = {one["kind"] for one in seat.shelf.of_kind("actual").values()}
        assert kinds == {"identify"} and not seat.shelf.reel("R-002").chamber  # one change, the look its own


async def test_what_was_typed_is_there_again_where_it_was_refused_or_left(
    book: Any, at_machine: Any, monkeypatch: Any
) -> None:
    """The load may not be told any more: another program found out about its tape meanwhile."""
    monkeypatch.setattr(REPLAN, lambda self, happened, **how: None)
    async with at_machine(book) as seat:
        await seat.wait(minutes=135)
        await seat.press("m")
        await seat.types("19:02-19:17")  # the line-up, in place of its planned times
        await seat.press("pagedown", "enter")
        await seat.press("pagedown", "enter")  # nothing is told of the box
        assert "verify R-001: verified?" in seat.text
        await seat.press("escape", "m")
        assert "19:02-19:17" in seat.text, "the reason was not given, and the times stand"
        await seat.press("pagedown", "enter")
        await seat.press("pagedown", "enter")
        other = type(book).open(book.path, book.now)
        other.change(
            lambda shelf: shelf.with_reel(replace(shelf.reel("R-002"), condition=("mould",))), what="mould"
        )
        await seat.press("2")
        await seat.types("by the paper")
        await seat.press("1")
        assert "mould" in seat.text and seat.shelf.reel("R-001").stage == "conditioned"
        drafts = seat.app.drafts
        assert "19:02-19:17" in drafts.values()
        await seat.press("m")
        assert "19:02-19:17" in seat.text


async def test_a_look_that_told_no_condition_is_left_and_says_so(
    book: Any, at_machine: Any, monkeypatch: Any
) -> None:
    """Marked as done it came back with every plan, "it was not done then"."""
    said: list[str] = []
    monkeypatch.setattr(
        REPLAN,
        lambda self, happened, **how: said.append(happened),
    )
    async with at_machine(book) as seat:
        await seat.wait(minutes=135)
        await seat.press("m", "pagedown", "enter")
        assert "What is R-004, 1 of 1?" in seat.text
        await seat.press("pagedown", "enter")  # nothing typed
        assert "identify R-004" not in seat.text, "no reason makes a look of it"
        await seat.press("3")
        marked = {(one["kind"], one["subject"]): one for one in seat.shelf.of_kind("actual").values()}
        left = marked["verify", "R-001"]
        assert left["state"] == "skipped" and left["because"].startswith("not done: ")
        assert "gate" not in left["because"] and not left["because"].endswith("."), "what the bench reads"
        assert seat.shelf.reel("R-001").stage == "transferred" == seat.shelf.reel("R-008").stage
        (look,) = (one for one in seat.shelf.of_kind("actual").values() if one["kind"] == "identify")
        assert (look["state"], look["because"]) == ("skipped", "not done: nobody told its condition")
        assert seat.shelf.reel("R-004").stage == "found"
        look = "the look at R-004: nobody told its condition"
        assert said == [f"catch up: 4 done, 3 not done ({look}) (left, not proved: R-001 and R-008)"]


async def test_what_rests_on_a_step_that_was_not_done_follows_it_and_is_never_taken_as_done(
    book: Any, at_machine: Any, monkeypatch: Any
) -> None:
    from core.standing.not_tonight import left_out_until

    monkeypatch.setattr(REPLAN, lambda self, happened, **how: None)
    async with at_machine(book) as seat:
        await seat.wait(minutes=75)  # 20:15: line-up, transfer and verify of R-001
        await seat.press("m")
        await seat.fills(None, "lef")  # the line-up was done, the transfer was not
        verify = next(line for line in seat.text.splitlines() if "verify R-001" in line)
        assert "lef" in verify, "its verify follows"
        await seat.fills("20:00-20:10")
        told = " ".join(seat.text.replace("│", "").split())
        assert "verify R-001: R-001 is not transferred yet: there is nothing to verify" in told
        assert seat.shelf.reel("R-001").stage == "conditioned" and not seat.shelf.of_kind("actual")
        await seat.fills("left")
        assert seat.shelf.reel("R-001").stage == "aligned"
        at = seat.clock().astimezone(seat.shelf.studio.zone)
        assert [key for key, _ in left_out_until(seat.shelf, at)] == ["R-001"], "left: not again tonight"


async def test_what_was_not_marked_yesterday_comes_first(
    book: Any, at_machine: Any, clock: Any, monkeypatch: Any
) -> None:
    asked: list[str] = []
    monkeypatch.setattr(
        REPLAN,
        lambda self, happened, **how: asked.append(happened),
    )
    clock.on(hours=24)
    async with at_machine(book) as seat:
        assert "M marks: C1 never loaded Tue 1 Dec (R-002); 7 steps of Tue 1 Dec not marked" in seat.text
        await seat.press("m")
        assert "7 steps of Tue 1 Dec not marked" in seat.text
        first = next(line for line in seat.text.splitlines() if "Tue " in line and "load" in line)
        assert "moved" in first  # a load is never taken as begun
        rows = [step.kind for step in seat.app.unmarked()]
        assert rows[0] == "load"
        await seat.press("enter")  # the load: moved
        assert "Tue transfer R-001  19:15-20:00" in seat.text  # a name and its times never touch
        await seat.types("19:02-19:20")  # typed over the planned times
        await seat.fills(None, "left", "moved", "m", "l")
        actual = {(one["kind"], one["subject"]): one for one in seat.shelf.of_kind("actual").values()}
        assert actual["load", "C1"]["because"] == "not done: still to do"
        assert actual["align", "D1"]["finished"][:16] == "2026-12-01T19:20"
        assert actual["transfer", "R-001"]["state"] == "done"
        assert actual["verify", "R-001"]["because"] == "not done: left out"
        assert "M marks" not in seat.text and asked  # and it is planned again, once
        await seat.press("c")
        assert "not marked" not in seat.text
        await seat.press("t", "u")
        assert "M marks" in seat.text


async def test_a_plan_that_was_waited_for_comes_after_what_was_not_marked(
    book: Any, at_machine: Any, reopened: Any, clock: Any, monkeypatch: Any
) -> None:
    """Left while it was planned again: that plan would have what nobody marked as not done."""
    from core.store.beside.plan_again import ask, asked
    from tui.places.tonight.acts import replan

    begun: list[str] = []
    monkeypatch.setattr(replan.Search, "run", lambda self: begun.append("planned"))
    ask(book.path, book.now() + timedelta(minutes=5))
    clock.on(hours=24)
    async with at_machine(again := reopened()) as seat:
        assert "so it was left; M first, for what was not marked; then planned again" in seat.text
        assert not begun and asked(again.path) is not None
        seat.app.screen.replans.new = again.plans.kept_plan()  # found before they were marked
        seat.app.screen.replans.offer()
        assert "M first, for what was not marked" in seat.text and seat.app.screen.replans.new is None
        await seat.press("r")
        text = " ".join(seat.text.replace("│", "").split())
        assert "A plan made now takes all of it as not done" in text and not begun
        await seat.press("escape", "m")
        await seat.fills("moved", "moved", "m", "m", "m", "m", "m")
        assert not seat.app.unmarked(), seat.text
        await seat.until(lambda: begun == ["planned"])
    clock.on(hours=24)
    async with at_machine(reopened()) as seat:
        await seat.press("r", "enter")
        await seat.until(lambda: len(begun) == 2)


async def _left_running(book: Any, at_machine: Any) -> None:
    """R-001 begins at 19:00, plays 32:00, and the evening ends at 19:20: the program is left in order."""
    book.mark("R-001", "aligned")
    book.change(lambda shelf: stops_at(shelf, book.now() + timedelta(minutes=20), home=True), what="early")
    async with at_machine(book) as seat:
        await seat.go_to("transfer R-001")
        await seat.press("space", "enter")
        while not seat.passes():
            await seat.press("enter")
        assert "stop it at 19:20, when the evening" in seat.text


@pytest.mark.parametrize(("answer", "state", "place"), [("1", "done", 32 * 60), ("2", "stopped", 20 * 60)])
async def test_a_tape_that_was_left_running_is_asked_about_on_the_next_evening(
    book: Any, at_machine: Any, reopened: Any, clock: Any, answer: str, state: str, place: int
) -> None:
    """R-001 plays 32:00 from 19:00; the evening ends at 19:20, and the program is left in order."""
    await _left_running(book, at_machine)
    clock.on(hours=24)
    async with at_machine(reopened()) as seat:
        assert "R-001 runs since Tue 19:00 by the log: what became of it?" in seat.text
        await seat.press("escape", "m")
        assert "19:00-19:32" in seat.text  # and no hour and a half for half an hour of tape
        await seat.press("escape", "e", answer)
        (kept,) = seat.passes()
        assert (kept["state"], kept["pieces"][-1]["to"]) == (state, place)
        assert seat.shelf.reel("R-001").past("transferred") == (state == "done")


async def test_a_tape_that_ran_out_unattended_is_lifted_off_and_put_back(
    book: Any, at_machine: Any, reopened: Any, clock: Any
) -> None:
    """R-001 plays 32:00 from 19:00, nobody is there any more: on the next evening D1 still holds it."""
    from core.evening.around.closing import closing
    from core.evening.playing.left_lying import cleared, left_on
    from core.evening.tonight.steps import deck_awaits

    await _left_running(book, at_machine)
    clock.on(hours=24)
    ran_out = "R-001 ran out on D1 Tue 19:32: lift it off, tails out"
    async with at_machine(reopened()) as seat:
        await seat.press("1")
        assert ran_out in seat.text
        now, shelf, plan = book.now().astimezone(book.shelf.studio.zone), seat.shelf, book.plans.kept_plan()
        await seat.press("h")
        assert "R-001 tails out" in seat.text
    (step,) = [one for one in run_sheet(shelf, plan, now - timedelta(days=1)).steps if one.kind == "align"]
    with pytest.raises(Refused, match=r"line up D1 .* does not begin: R-001 ran out on D1"):
        deck_awaits(shelf, step, now, "")
    lies = left_on(shelf, "D1", "CAL-1", now)
    assert lies is not None and lies.told_by.startswith("`reelturn tonight lifted R-001`")
    free = cleared(shelf, lies)
    deck_awaits(free, step, now, "")
    backs = [[(one.reel, one.tape) for one in closing(one, plan, (), now).back] for one in (shelf, free)]
    assert backs == [[("R-001", "tails out")], [("R-001", "tails out")]]
    assert not closing(put_back(free, ["R-001"], now), plan, (), now).back
    assert left_on(put_back(shelf, ["R-001"], now), "D1", "CAL-1", now) is None


async def test_a_load_that_was_begun_on_an_earlier_evening_is_marked(
    book: Any, at_machine: Any, clock: Any
) -> None:
    clock.on(minutes=95)
    async with at_machine(book) as seat:
        await seat.go_to("load chamber C1")
        await seat.press("space", "enter", "enter", "escape")
        assert seat.shelf.reel("R-002").chamber == "C1"
    clock.on(hours=24)
    book.change(lambda shelf: mark(shelf, "R-002", "conditioned", book.now(), "it had all night"), what="out")
    now = book.now().astimezone(book.shelf.studio.zone)
    assert not [one for one in unmarked(book.shelf, book.plans.kept_plan(), now) if one.kind == "load"]


async def test_the_chart_says_what_was_not_marked(book: Any, at_machine: Any, clock: Any) -> None:
    clock.on(hours=24)
    async with at_machine(book) as seat:
        await seat.press("c")
        await seat.settle()
        assert "! T, M: C1 never loaded Tue 1 Dec (R-002); 7 steps of Tue 1 Dec not marked" in seat.text


async def test_the_chart_names_no_other_day_for_what_waits_tonight(
    book: Any, at_machine: Any, clock: Any
) -> None:
    """R-004 was to be looked at until 20:30 tonight, and has a look on Thursday too; it is 20:40."""
    plan, days = book.plans.kept_plan(), timedelta(days=2)
    (look,) = [one for one in plan.items if one.reel == "R-004"]
    later_on = replace(look, start=look.start + days, end=look.end + days)
    book.plans.keep_plan(replace(plan, items=(*plan.items, later_on)))
    clock.on(minutes=100)
    async with at_machine(book) as seat:
        await seat.press("c")
        await seat.settle()
        (row,) = [line for line in seat.text.split("\n") if "R-004" in line]
        assert "Thu" not in row
        await seat.press("t")
        await seat.go_to("identify R-004")
        await seat.press("k", *"later", "enter", "c")
        await seat.settle()
        (row,) = [line for line in seat.text.split("\n") if "R-004" in line]
        assert "Thu" in row
    # Where only a step behind it is planned then, its day is not that of the look.
    book.plans.keep_plan(replace(plan, items=(*plan.items[:-1], replace(later_on, kind="repair"))))
    async with at_machine(book) as seat:
        await seat.press("c")
        await seat.settle()
        (row,) = [line for line in seat.text.split("\n") if "R-004" in line]
        assert "identify" in row and "Thu" not in row


async def test_a_plan_that_fits_no_more_is_said_on_tonight_and_chart(book: Any, at_machine: Any) -> None:
    async with at_machine(book) as seat:
        assert "plans again:" not in seat.text
        book.mark("R-001", "identified", because="it must be warmed after all")
        seat.app.took_over()
        await seat.settle()
        assert "! R plans again: R-001 must not be done as planned (sticky, and this plan" in seat.text
        await seat.press("c")
        await seat.settle()
        assert "R-001 must not be done as planned (sticky, and this plan" in seat.text


async def test_before_one_begins_it_is_told_what_to_fetch_and_switch_on(book: Any, at_machine: Any) -> None:
    async with at_machine(book) as seat:
        line = next(one for one in seat.text.splitlines() if "B before you begin: " in one)
        assert "on: D1, C1; helper not needed" in line and not line.endswith(".."), "nothing is cut"
        await seat.press("b")
        text = seat.text
        assert "Before you begin" in text and "D1, for the line-up of D1 at 19:00" in text
        assert "R-002" in text and ": warm 20:10" in text
        assert "the helper comes" in text
        await seat.press("escape", "space", "escape")
        assert "before you begin" not in seat.text


def test_places_are_in_the_order_of_their_numbers_and_what_is_warm_is_not_fetched(book: Any) -> None:
    from dataclasses import replace

    def put(shelf: Any) -> Any:
        places = {"R-001": "shelf 10", "R-002": "shelf 2", "R-004": "shelf 2", "R-008": ""}
        return shelf.with_reel(*(replace(shelf.reel(k), location=place) for k, place in places.items()))

    shelf = put(book.shelf)
    plan, now = book.plans.kept_plan(), book.now()
    told = by_place(still_to_fetch(shelf, run_sheet(shelf, plan, now), now))
    # A place that is numbered like a deck is told as one of the shelf's.
    assert [place for place in told if place.startswith("shelf ")] == ["shelf 2", "shelf 10", "shelf D1"]
    assert list(told)[-1] == "place not written down" and [one.reel for one in told[list(told)[-1]]] == [
        "R-008"
    ]
    assert [one.reel for one in told["shelf 2"]] == ["R-002", "R-004"]
    book.load("C1", ["R-002"])
    warm = still_to_fetch(put(book.shelf), run_sheet(put(book.shelf), plan, now), now)
    assert "R-002" not in [one.reel for one in warm]


async def test_several_notes_stand_on_one_line_of_the_paper(book: Any, at_machine: Any) -> None:
    book.mark("R-001", "aligned")
    async with at_machine(book) as seat:
        await seat.wait(minutes=120)
        await seat.go_to("transfer R-001")
        await seat.press("p", str(list(PROBLEMS).index("paper") + 1))
        await seat.fills(None, "1925-1938 to 1231 clean heads", "1945-2005")
        await seat.fills("400 1 left; 1020 6", None, None)
        notes = [(one.seconds, one.kind, one.words) for _, one in notes_of(seat.shelf, "R-001")]
        assert notes == [(240.0, "dropout", "left"), (620.0, "song start", "")]
        (step,) = seat.shelf.of_kind("actual").values()
        assert (step["started"][11:16], step["finished"][11:16]) == ("19:25", "20:05")  # by its runs


def test_a_tape_that_was_warmed_as_planned_did_not_go_back_whatever_stage_it_had(book: Any) -> None:
    """As a calibration reel that lined a deck up before, and is conditioned again by the plan."""
    from dataclasses import replace

    def at_stage(stage: str, *keys: str) -> None:
        book.change(
            lambda shelf: shelf.with_reel(*(replace(shelf.reel(key), stage=stage) for key in keys)),
            what=stage,
        )

    at_stage("aligned", "R-002", "R-008")
    book.plans.keep_plan(book.plans.kept_plan())
    at_stage("conditioned", "R-002")  # the plan's own load has it
    assert "went back" not in (book.plans.plan_is_stale() or "")
    at_stage("conditioned", "R-008")  # no load of the plan has this one
    assert book.plans.plan_is_stale().startswith("R-008 went back to conditioned")


def test_what_becomes_known_of_a_tape_whose_work_is_over_makes_no_plan_old(book: Any) -> None:
    from dataclasses import replace

    book.plans.keep_plan(book.plans.kept_plan())
    for stage, old in (("transferred", True), ("verified", False)):
        told = replace(book.shelf.reel("R-008"), stage=stage, storage="damp cellar")
        book.change(lambda shelf, told=told: shelf.with_reel(told), what=stage)
        assert ("R-008 is not as it was" in (book.plans.plan_is_stale() or "")) is old, stage


def test_what_waits_for_a_load_that_never_began_is_moved_with_it(book: Any) -> None:
    """Until somebody writes that the load went in: then the tape's own times stand there again."""
    from core.clock import Span, later
    from core.evening.tonight.sheet import Step
    from tui.places.tonight.paper.catch_form import catch_form

    begins = book.now()

    def step(kind: str, subject: str, at: int, *reels: str) -> Step:
        span = Span(later(begins, minutes=at), later(begins, minutes=at + 10))
        return Step(f"{kind} {subject}", kind, subject, span, reels=reels)

    steps = (
        step("load", "C1", 0, "R-002"),
        step("transfer", "R-002", 300),
        step("verify", "R-002", 330),
        step("verify", "R-021", 340),
    )
    page = catch_form(book.shelf, steps, later(begins, hours=30), earlier=True)
    assert [line.text for line in page.form.lines({})] == ["moved", "moved", "moved", "00:40-00:50"]
    texts = [line.text for line in page.form.lines({"load C1": "18:55"})]
    assert texts[1:] == ["00:00-00:10", "00:30-00:40", "00:40-00:50"]


async def test_a_line_left_open_keeps_the_evening_from_being_planned_away(
    book: Any, at_machine: Any, monkeypatch: Any
) -> None:
    asked: list[str] = []
    monkeypatch.setattr(
        REPLAN,
        lambda self, happened, **how: asked.append(happened),
    )
    async with at_machine(book) as seat:
        await seat.wait(minutes=75)  # 20:15: line-up, transfer and verify of R-001
        await seat.press("m")
        await seat.fills(None, "left")
        await seat.press("ctrl+u", "enter")  # the line of its verify stays open
        assert not asked and "still to mark, then R plans" in seat.text


def test_an_empty_run_that_runs_is_to_be_read_and_not_to_be_begun(book: Any) -> None:
    from core.conditioning.loads.trial import EmptyRun

    at = book.now().astimezone(book.shelf.studio.zone)
    due = EmptyRun("C1", at + timedelta(days=2), at, at + timedelta(hours=3))
    assert due.brief.endswith("run C1 empty, two places read") and not due.runs
    begun = replace(due, since=at)
    assert begun.brief == "C1's empty run runs since 19:00: read two places"
    assert begun.words.startswith(begun.brief) and begun.dated.startswith(begun.brief)


async def test_the_head_of_tonight_asks_for_no_empty_run_that_runs(
    book: Any, at_machine: Any, monkeypatch: Any, clock: Any
) -> None:
    from tui.cli import main

    monkeypatch.setenv("REELTURN_SHELF", str(book.path))
    monkeypatch.setattr("tui.commands.command.now", clock)
    kept, by = book.plans.kept_plan(), timedelta(days=1, hours=-4)  # the load on Wednesday at 16:10
    (load,) = [one for one in kept.items if one.kind == "condition"]
    touches = tuple(replace(one, start=one.start + by, end=one.end + by) for one in load.touches)
    late = replace(load, start=load.start + by, end=load.end + by, touches=touches)
    items = tuple(late if one is load else one for one in kept.items)
    book.plans.keep_plan(replace(kept, items=items))
    async with at_machine(book) as seat:
        assert "run C1 empty, two places read: F2 E begins it" in " ".join(seat.text.split())
    assert main(["chamber", "C1", "--empty-run", "54 C"]) == 0
    async with at_machine(book) as seat:
        told = " ".join(seat.text.split())
        assert "C1's empty run runs since 19:00: read two places" in told and "begins it" not in told
