"""What is told of a tape after other things were done: how it lies, where it lies, what the plan rests on."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from typing import Any

from core.clock import Span, later
from core.conditioning.alarms import alarm_of
from core.evening.around.closing import closing
from core.evening.around.stop_early import put_away
from core.evening.playing.left_lying import left_lying
from core.evening.playing.passes import end_pass, lay_aside, start_pass, stop_pass
from core.evening.tonight.runsheet import run_sheet
from core.evening.tonight.sheet import Step
from core.evening.tonight.steps import start_step


def local(book: Any) -> Any:
    return book.now().astimezone(book.shelf.studio.zone)


def test_a_joint_that_is_remade_after_a_tape_was_played_leaves_it_tails_out(book: Any) -> None:
    now = local(book)
    shelf = end_pass(start_pass(book.shelf, "R-008", 1, now), "R-008 1", later(now, minutes=22))
    (played,) = [
        one
        for one in run_sheet(shelf, book.plans.kept_plan(), now).steps
        if one.key.startswith("transfer R-008")
    ]
    played = replace(played, state="done", started=now, finished=later(now, minutes=22))
    span = Span(later(now, minutes=30), later(now, minutes=40))
    mended = Step("repair R-008", "repair", "R-008", span, "done", span.start, span.end, reels=("R-008",))
    (back,) = closing(shelf, None, [played, mended], later(now, hours=1)).back
    assert (back.reel, back.tape) == ("R-008", "tails out")


def test_whoever_stops_early_puts_back_no_tape_whose_files_alone_were_verified(book: Any) -> None:
    now = local(book)
    sheet = run_sheet(book.shelf, book.plans.kept_plan(), now)
    steps = tuple(
        replace(one, state="done", started=now, finished=now) if one.kind == "verify" else one
        for one in sheet.steps
    )
    told = put_away(book.shelf, replace(sheet, steps=steps), later(now, hours=1), now)
    back = [one for one in told if one.startswith("back to")]
    assert back and all(", if it was fetched: " in one for one in back), "nothing was in the hands"


def test_a_tape_that_was_laid_aside_is_on_no_deck_on_which_something_ran_since(book: Any) -> None:
    """R-001 stands at 5:00, to be played again; D1 is lined up anew after it."""
    now = local(book)
    plan = book.plans.kept_plan()
    steps = {one.what[:2]: one for one in run_sheet(book.shelf, plan, now).steps}
    shelf = start_step(book.shelf, steps["transfer", "R-001"], now, "as it is")
    shelf = start_pass(shelf, "R-001", 1, now)
    shelf = stop_pass(shelf, "R-001 1", later(now, minutes=5), "stopped")
    shelf = lay_aside(shelf, "R-001", "heard at another speed")
    tomorrow = now + timedelta(days=1)
    (lies,) = left_lying(shelf, later(now, minutes=6))
    aside = "R-001 lies on both reels of D1 at 5:00 (heard at another speed): "
    assert lies.says == f"{aside}stop it, and wind it back before it plays again"
    (lies,) = left_lying(shelf, tomorrow)
    assert lies.says == f"{aside}wind it back before it plays again", "it does not run overnight"
    lined = start_step(shelf, steps["align", "D1"], later(now, minutes=30), "it is off the deck")
    (lies,) = left_lying(lined, tomorrow)
    assert lies.says.startswith("R-001 lies on both reels at 5:00 (heard at another speed): wind it back")


def test_a_base_seen_as_the_plan_took_it_leaves_the_plan_as_it_is(book: Any) -> None:
    """R-006 is of a stock whose row says polyester; acetate is another thing, and a base nobody told too."""
    assert not book.shelf.reel("R-006").base
    book.shelving.set_fields("R-006", {"base": "polyester", "base_seen": "yes"})
    assert book.plans.plan_is_stale() is None
    book.shelving.set_fields("R-006", {"base": "acetate"})
    assert "R-006" in book.plans.plan_is_stale()


def test_a_plan_that_was_begun_before_an_answer_rests_on_the_answer(book: Any) -> None:
    """R-001 is tried by hand while a plan is made; what the kept plan took in, the new one does too."""
    from core.evening.answers import tried

    made = book.plans.plan(days=4, effort=0, keep=False, kept=None)
    book.plans.keep_plan(made)
    book.change(lambda shelf: tried(shelf, "R-001", "clean"), what="tried by hand")
    assert book.plans.plan_is_stale() is None
    book.plans.keep_plan(made)
    assert book.plans.plan_is_stale() is None
    other = replace(book.shelf.reel("R-001"), year="1971")
    book.change(lambda shelf: shelf.with_reel(other), what="another thing")
    book.plans.keep_plan(made)
    assert "R-001" in book.plans.plan_is_stale(), "what no answer took in is told"


async def test_the_box_that_held_another_tape_points_at_notes_of_others(
    book: Any, at_machine: Any, begun: list[str]
) -> None:
    """R-003, outside the exchange, says that it goes on on R-004."""
    told = replace(book.shelf.reel("R-003"), notes="goes on on R-004")
    book.change(lambda shelf: shelf.with_reel(told), what="a note")
    async with at_machine(book) as seat:
        await seat.go_to("transfer R-008")
        await seat.press("p", "2")
        await seat.types("R-004")
        text = " ".join(seat.text.replace("│", "").split())
        assert "R-003: its note names R-004; see whether that is still so" in text


async def test_a_box_that_held_another_tape_asks_for_its_stock_before_it_runs_on(
    book: Any, at_machine: Any, begun: list[str]
) -> None:
    """R-001 runs, of a stock that plays; the box of R-004 says one that becomes sticky: it may be that."""
    stocks = {"R-001": "BASF SM 911", "R-004": "Ampex 456"}
    seen = {"base": "polyester", "base_seen": "yes"}
    told = [replace(book.shelf.reel(key), stock=stock, **seen) for key, stock in stocks.items()]
    book.change(lambda shelf: shelf.with_reel(*told), what="stocks")
    book.mark("R-001", "aligned")
    async with at_machine(book) as seat:
        await seat.go_to("transfer R-001")
        await seat.press("space", "escape")
        await seat.wait(minutes=2)
        await seat.press("p", "2")
        await seat.types("R-004")
        said = "Stock not known any more: R-001: BASF SM 911 or Ampex 456, asked before it runs on"
        assert said in " ".join(seat.text.replace("│", "").split())
        await seat.press("down", "enter")
        await seat.until(lambda: alarm_of(seat.shelf, "R-001") is not None)
        assert "written like Ampex 456" in alarm_of(seat.shelf, "R-001")
        assert seat.shelf.reel("R-004").stock == "Ampex 456 or BASF SM 911"


async def test_a_squeal_with_gum_says_first_what_is_done_now(
    book: Any, at_machine: Any, begun: list[str]
) -> None:
    book.mark("R-001", "aligned")
    async with at_machine(book) as seat:
        await seat.go_to("transfer R-001")
        await seat.press("space", "escape")
        await seat.wait(minutes=2)
        await seat.press("p", "4", "1")
        told = "R-001: it does not run on: lift both reels off together, warm it before it plays; brown gum"
        assert told in " ".join(seat.text.split())


async def test_a_load_begins_without_the_tape_that_was_just_seen_to_be_acetate(
    book: Any, at_machine: Any
) -> None:
    """What was answered of the others is not asked a second time."""
    kept = book.plans.kept_plan()
    load = next(item for item in kept.items if item.kind == "condition")
    both = replace(load, members=(*load.members, replace(load.members[0], reel="R-003")))
    book.plans.keep_plan(replace(kept, items=tuple(both if one is load else one for one in kept.items)))
    for key in ("R-002", "R-003"):
        unseen = replace(book.shelf.reel(key), base_seen="", chamber="", loaded_at=None)
        book.change(lambda shelf, unseen=unseen: shelf.with_reel(unseen), what="nobody looked")
    async with at_machine(book) as seat:
        await seat.wait(minutes=70)
        await seat.press("home")
        assert "›  20:10  load chamber C1: R-002, R-003" in seat.text
        await seat.press("space", "escape")  # no calendar
        assert "First heat of R-002 and R-003" in seat.text, seat.text
        await seat.press("1", "3")  # R-002 is seen to be acetate
        assert seat.shelf.reel("R-002").base_seen == "acetate"
        await seat.press("3")  # R-003 in by the box's word
        assert seat.shelf.reel("R-003").chamber == "C1", seat.text
        assert not seat.shelf.reel("R-002").chamber


def test_a_shelf_that_was_read_before_keeps_its_records_when_one_is_changed(book: Any) -> None:
    """What a row of the chart rests on is held against the shelf before: that one must not change with it."""
    from core.evening.warming.load import load
    from tui.board.chamber import next_touches
    from tui.board.rows import Board

    book.change(
        lambda shelf: load(shelf, "C1", ["R-002", "R-007"], book.now(), "someone is there"), what="in"
    )
    late, before, plan = later(local(book), minutes=140), book.shelf, book.plans.kept_plan()
    board = Board(before, late, plan)
    assert board.row("R-002").step.words == board.row("R-007").step.words == "turn, 21:00"
    touch = next_touches(before, late)[0]
    book.change(lambda shelf: touch.done(shelf, late), what="turn", at=late)
    assert book.shelf.of_kind("load") != before.of_kind("load")
    (told,) = before.of_kind("load").values()
    assert not told.get("touches"), "the shelf of before, read since"
    anew = Board(book.shelf, late, plan, board)
    assert anew.row("R-002").step.words == anew.row("R-007").step.words == "turn at 23:00"
