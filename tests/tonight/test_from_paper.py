"""A transfer that was carried by paper: its log is entered row by row, and nothing of it is made up."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest

from core.evening.afterwards.by_paper import by_paper
from core.evening.afterwards.paper_log import PaperLog, PaperPiece
from core.evening.playing.passes import notes_of, stop_pass, where_tape_is
from core.evening.tonight.planned_step import item_step
from core.evening.tonight.transfer import press
from tui.places.tonight.paper.paper_rows import PaperRows


@pytest.fixture(autouse=True)
def asked(monkeypatch: Any) -> list[str]:
    """Planning again is told of but not waited for."""
    from tui.places.tonight.acts.replan import ReplanActs

    told: list[str] = []
    monkeypatch.setattr(ReplanActs, "replan", lambda self, happened, **how: told.append(happened))
    return told


async def enter_paper(seat: Any, step: str) -> None:
    """Opens the form of that step."""
    from tui.places.tonight.acts.mishaps import PROBLEMS

    await seat.go_to(step)
    await seat.press("p")
    await seat.choose(list(PROBLEMS).index("paper"))


async def test_the_log_of_a_transfer_becomes_a_pass_with_its_times_and_notes(
    book: Any, at_machine: Any, reopened: Any
) -> None:
    book.mark("R-001", "aligned")
    async with at_machine(book) as seat:
        await seat.wait(minutes=120)
        await enter_paper(seat, "transfer R-001")
        assert "transfer R-001, from paper" in seat.text
        assert "(1231 1 left; 1402 2" in seat.text, "a hint stands in brackets, also without a colour"
        await seat.fills("19:20-20:05", "19:25-19:38 to 12:31 clean heads", "19:45-20:05", None)
        # the empty note is passed over; the sheet had two, so they go back up and are written there
        await seat.press("up")
        await seat.fills("4:00 1 left channel", "10:20 song start", None)
        await seat.fills(None)
    told = reopened().shelf
    assert (told.reel("R-001").stage, told.reel("R-001").wind) == ("transferred", "tails")
    kept = told.of_kind("pass")["R-001 1"]
    assert kept["state"] == "done" and kept["by paper"]
    assert [
        (p["from"], p["to"], p["started"][11:16], p["stopped"][11:16], p["why"]) for p in kept["pieces"]
    ] == [
        (0.0, 751.0, "19:25", "19:38", "clean heads"),
        (741.0, 1920.0, "19:45", "20:05", "end"),
    ]
    notes = [(one.seconds, one.kind, one.words, f"{one.at:%H:%M}") for _, one in notes_of(told, "R-001")]
    assert notes == [(240.0, "dropout", "left channel", "19:29"), (620.0, "song start", "", "19:35")]
    assert where_tape_is(told, "R-001") == "on the take-up reel"
    stages = [event for event in told.history if event.key == "R-001" and event.new == "transferred"]
    assert f"{stages[-1].at:%H:%M}" == "20:05"


async def test_a_tape_that_the_paper_leaves_on_the_way_stands_there(book: Any, at_machine: Any) -> None:
    book.mark("R-001", "aligned")
    async with at_machine(book) as seat:
        await seat.wait(minutes=120)
        await enter_paper(seat, "transfer R-001")
        await seat.fills("19:20-19:45", "19:25-19:38 to 12:31 squeal 19:40-20:05")
        assert "a ; before the next run" in " ".join(seat.text.split()), "never read as a reason"
        await seat.press("ctrl+u")
        await seat.fills("19:25-19:48 to 12:31 squeal")
        await seat.press("pagedown")
        await seat.fills(None)
        assert "the tape ran 19:25-19:48, and the step ended at 19:45: one" in " ".join(seat.text.split())
        assert not seat.passes()
        await seat.press("up", "up", "up", "up", "ctrl+u")
        await seat.fills("19:25-19:38 to 12:31 squeal")
        await seat.press("pagedown")
        await seat.fills(None)
        assert seat.shelf.reel("R-001").stage == "aligned"
        (step,) = seat.shelf.of_kind("actual").values()
        assert (step["state"], step["because"]) == ("skipped", "stands at 12:31: squeal")
        assert where_tape_is(seat.shelf, "R-001").startswith("stands at 12:31")
        await seat.press("u")
        assert not seat.passes()


def test_a_tape_that_goes_on_by_paper_leaves_its_earlier_row(book: Any) -> None:
    """Begun at 19:15, stopped at 14:00 of 32:00; planned anew for 20:15, and gone on with there by paper."""
    book.mark("R-001", "aligned")
    plan = book.plans.kept_plan()
    (first,) = [one for one in plan.items if (one.kind, one.reel) == ("transfer", "R-001")]
    hour = timedelta(hours=1)
    again = replace(first, start=first.start + hour, end=first.end + hour)
    early, late = item_step(first), item_step(again)
    shelf = press(book.shelf, early, first.start)
    shelf = stop_pass(shelf, "R-001 1", first.start + timedelta(minutes=14), "splice")
    log = PaperLog((PaperPiece(1, again.start, again.start + timedelta(minutes=19)),))
    done = by_paper(shelf, late, again.start, again.end, "", log)
    assert [done.of_kind("actual")[key]["state"] for key in (early.key, late.key)] == ["skipped", "done"]


def test_the_runs_of_a_tape_stand_on_one_line_as_its_notes_do() -> None:
    now = datetime(2026, 12, 1, 22, tzinfo=UTC)
    rows = PaperRows(now.date(), UTC, now, (1,))
    first, second = rows.pieces(1, "1926-1938 to 1231 clean heads; 1941-1953")
    assert (first.stop, first.why, f"{first.ended:%H:%M}") == (751.0, "clean heads", "19:38")
    assert (second.stop, second.why, f"{second.began:%H:%M}") == (None, "", "19:41")


async def test_what_the_hints_show_is_all_that_is_typed(book: Any, at_machine: Any) -> None:
    """A transfer with a stop and two notes: at most 60 keys; with times, places and words in full more."""
    book.mark("R-001", "aligned")
    async with at_machine(book) as seat:
        await seat.wait(minutes=120)
        await seat.go_to("transfer R-001")
        typed = ("1925-38 1231 1", "1945-05", "400 1 left; 1020 6")
        await seat.press("p", "6", "enter")
        assert "1905-1938; stopped at 12:31: 1905-20 1231 1 (1 clean heads, 2 squeal" in seat.text
        await seat.fills(*typed)
        await seat.press("enter", "enter")
        (kept,) = seat.passes()
        assert [
            (p["from"], p["to"], p["started"][11:16], p["stopped"][11:16], p["why"]) for p in kept["pieces"]
        ] == [
            (0.0, 751.0, "19:25", "19:38", "clean heads"),
            (741.0, 1920.0, "19:45", "20:05", "end"),
        ]
        assert [(one.seconds, one.kind, one.words) for _, one in notes_of(seat.shelf, "R-001")] == [
            (240.0, "dropout", "left"),
            (620.0, "song start", ""),
        ]
        assert 3 + sum(len(one) + 1 for one in typed) + 2 <= 60


async def test_only_the_end_is_known(book: Any, at_machine: Any) -> None:
    book.mark("R-001", "aligned")
    book.shelving.set_fields("R-001", {"stock": "Harbour 12", "condition": "ok"})  # test it first
    async with at_machine(book) as seat:
        await seat.wait(minutes=120)
        await enter_paper(seat, "transfer R-001")
        await seat.fills("20:05")
        await seat.press("pagedown")
        await seat.fills("own")
        (kept,) = seat.passes()
        # 2400 ft at 15 ips play 32 minutes
        assert kept["pieces"][0]["started"][11:16] == "19:33"
        assert where_tape_is(seat.shelf, "R-001") == "on its own reel, wound back"
        assert "R-001 is to be tested first: how did it run?" in seat.text  # asked of paper too
        await seat.press("1")
        assert seat.shelf.reel("R-001").tried == "clean"


async def test_a_row_that_does_not_read_is_refused_where_it_is_typed(book: Any, at_machine: Any) -> None:
    book.mark("R-001", "aligned")
    async with at_machine(book) as seat:
        await seat.wait(minutes=120)
        await enter_paper(seat, "transfer R-001")
        for row, why in (("later", "a time such as 19:40"), ("22:10", "this is still to come")):
            await seat.fills(row)
            assert why in seat.text
        await seat.fills("19:20-20:05", "19:25")
        assert "when it began and ended" in seat.text
        assert not seat.passes()


async def test_two_passes_have_a_row_each(book: Any, at_machine: Any) -> None:
    def fewer(shelf: Any) -> Any:
        return replace(shelf, studio=replace(shelf.studio, capture=replace(shelf.studio.capture, inputs=8)))

    book.change(fewer, what="eight inputs")
    book.mark("R-001", "aligned")
    async with at_machine(book) as seat:
        await seat.wait(minutes=120)
        await enter_paper(seat, "transfer R-001")
        await seat.fills("19:05-20:20", "19:10-19:42", "19:45-20:17")
        await seat.fills("2/ 3:00 splice", None, "both")
        assert [(one["pass"], one["state"]) for one in seat.passes()] == [(1, "done"), (2, "done")]
        ((_, note),) = notes_of(seat.shelf, "R-001")
        assert (note.number, note.kind, f"{note.at:%H:%M}") == (2, "splice", "19:48")


async def test_a_run_by_paper_that_differs_from_the_tape_asks_and_one_that_ran_backwards_says_so(
    book: Any, at_machine: Any, asked: list[str]
) -> None:
    book.mark("R-001", "aligned")
    decks = tuple(replace(one, reverse_play=one.id == "D1") for one in book.shelf.studio.decks)
    both_ways = replace(book.shelf.studio, decks=decks)
    tails = replace(book.shelf.reel("R-001"), wind="tails")
    book.change(lambda s: replace(s, studio=both_ways).with_reel(tails), what="a deck that plays both ways")
    async with at_machine(book) as seat:
        await seat.wait(minutes=120)
        await enter_paper(seat, "transfer R-001")
        assert "1905-1938 backwards" in seat.text  # it is offered where it may be
        await seat.fills("19:20-20:20", "19:25-20:15 backwards", "4:00 squeal", None, None)
        assert "R-001: it ran 50:00, reckoned 32:00: take 3750 ft?" in seat.text
        await seat.press("escape")
        # More of the evening is to be typed in: planned once, when all of it is there.
        assert not asked and "until now still to mark, then R plans again" in seat.text
        (kept,) = (one for one in seat.passes() if one["reel"] == "R-001")
        assert kept["backwards"] and kept["state"] == "done"
        assert seat.shelf.reel("R-001").wind == "heads"
        (note,) = (one for _, one in notes_of(seat.shelf, "R-001"))
        assert (note.seconds, f"{note.at:%H:%M}") == (3000.0 - 240.0, "19:29")  # from the head
        await seat.press("u")
        # What a deck that plays one way cannot have done is no silence either.
        book.change(lambda s: s.with_reel(replace(s.reel("R-001"), wind="heads")), what="heads out")
        seat.app.took_over()
        await enter_paper(seat, "transfer R-001")
        assert "1905-1938 backwards" not in seat.text
        await seat.fills("19:20-20:00", "19:25-19:57 backwards", None, None)
        told = "R-001 plays backwards only from its tail, on a deck that plays both ways"
        assert told in seat.text and not seat.passes()


async def test_a_squeal_on_the_paper_asks_what_lay_on_the_heads_as_at_the_tape(
    book: Any, at_machine: Any, reopened: Any
) -> None:
    """Brown gum on the heads is a sick binder: it is told of the tape whichever way the log came in."""
    book.mark("R-001", "aligned")
    async with at_machine(book) as seat:
        await seat.wait(minutes=120)
        await enter_paper(seat, "transfer R-001")
        assert "on the heads" not in seat.text
        await seat.fills("19:20-20:05", "19:25-19:38 to 1231 2", "19:45-20:05")
        assert "on the heads" in seat.text and "1 brown gum, 2 white powder" in seat.text
        await seat.fills("1", None)
        await seat.fills(None)
        assert "brown gum, a sick binder" in seat.text
    told = reopened().shelf
    assert {"squeal", "sticky"} <= set(told.reel("R-001").condition) and told.reel("R-001").tried == "gum"
    assert told.of_kind("pass")["R-001 1"]["pieces"][0]["why"] == "squeal"
    assert told.reel("R-001").stage == "transferred"


def test_a_squeal_whose_heads_the_paper_does_not_tell_is_one_that_nobody_looked_at(book: Any) -> None:
    plan = book.plans.kept_plan()
    (item,) = [one for one in plan.items if (one.kind, one.reel) == ("transfer", "R-001")]
    step, began = item_step(item), item.start
    runs = (PaperPiece(1, began, began + timedelta(minutes=10), None, 600.0, "squeal"),)
    told = by_paper(book.shelf, step, began, began + timedelta(minutes=10), "", PaperLog(runs))
    assert "squeal" in told.reel(step.subject).condition
    other = replace(runs[0], why="clean heads")
    told = by_paper(book.shelf, step, began, began + timedelta(minutes=10), "", PaperLog((other,)))
    assert "squeal" not in told.reel(step.subject).condition
