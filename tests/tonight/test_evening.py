"""One evening from the first key to the last at 80 by 24, by the keyboard alone."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from typing import Any

import pytest

from core.evening.playing.passes import notes_of
from core.evening.playing.told_afterwards import ran_on
from tui.places.tonight.acts.mishaps import PROBLEMS
from tui.safe_text import cells


@pytest.fixture(autouse=True)
def no_search(monkeypatch: Any) -> list[str]:
    """Planning again is told of but not waited for; it has a test of its own."""
    from tui.places.tonight.acts.replan import ReplanActs

    asked: list[str] = []
    monkeypatch.setattr(ReplanActs, "replan", lambda self, happened, **how: asked.append(happened))
    return asked


async def test_an_evening_with_a_wrong_reel_and_a_second_conditioning(
    book: Any, at_machine: Any, no_search: list[str], reopened: Any
) -> None:
    async with at_machine(book) as seat:
        assert "line up D1 to 15 ips NAB 250 nWb/m" in seat.text
        await seat.press("space")  # the evening's first key offers the calendar
        assert "a calendar for the pocket?" in seat.text
        await seat.press("enter")
        assert b"BEGIN:VCALENDAR" in (book.path.parent / "paper" / "evenings.ics").read_bytes()
        await seat.wait(minutes=14)
        await seat.press("space")
        assert seat.shelf.reel("R-001").stage == "aligned"

        # A pass with notes, stopped to clean, gone on with.
        assert "min before the load" in seat.text  # said before the tape runs
        await seat.press("space")
        assert "pass 1 of 1" in seat.text
        await seat.wait(minutes=4)
        await seat.press("n")
        assert "1 dropout 2 squeal" in seat.text and "8 other" in seat.text
        await seat.wait(seconds=20)
        await seat.press("1")
        await seat.wait(minutes=6)
        await seat.press("n", "6")
        await seat.press("e")
        await seat.choose(0)
        assert "STOPPED: clean heads" in seat.text
        await seat.wait(minutes=3)
        await seat.press("g")
        await seat.wait(minutes=2)
        notes = [(one.seconds, one.kind) for _, one in notes_of(seat.shelf, "R-001")]
        assert notes == [(240.0, "dropout"), (620.0, "song start")]
        await seat.press("enter", "home", "up", "up")
        await seat.types("left channel")
        await seat.press("escape")
        assert notes_of(seat.shelf, "R-001")[0][1].words == "left channel"

        # It sheds: another eight hours.
        await seat.press("p")
        await seat.choose(list(PROBLEMS).index("again"))
        assert "R-001 needs another conditioning" in seat.text
        await seat.press("enter")
        reel = seat.shelf.reel("R-001")
        assert (reel.stage, reel.conditioned_at, str(reel.treatment_hours)) == ("identified", None, "8 h")
        (stopped,) = seat.passes()
        assert (stopped["state"], stopped["pieces"][-1]["to"]) == ("stopped", 620.0 - 10 + 120)

        # The load goes in, and the chamber's bar begins to count.
        await seat.go_to("load chamber C1")
        await seat.press("space")
        await seat.wait(minutes=10)
        await seat.press("space")
        assert seat.shelf.reel("R-002").chamber == "C1"
        assert "C1: turn R-002" in seat.text

        # R-008's box held what the unnamed box should hold.
        await seat.go_to("transfer R-008")
        await seat.press("p")
        await seat.choose(list(PROBLEMS).index("box"))
        await seat.types("R-004")
        assert "New box labels" in seat.text and "(nothing written)" in seat.text
        await seat.press("enter")
        assert seat.shelf.reel("R-004").box_label == "Tar and Rope"
        assert seat.shelf.reel("R-008").box_label == "(nothing written)"
        await seat.press("u")
        assert seat.shelf.reel("R-008").box_label == "Tar and Rope"
        assert no_search == ["R-001 needs another 8 h", "the box of R-008 held another tape (R-008, R-004)"]

        # The sound reel plays to its end, over a path that was wiped; its check was by ear.
        await seat.press("space")
        assert "R-008: is R-001 lifted off?" in " ".join(seat.text.split())
        await seat.press("enter")
        assert "D1's path is not wiped since R-001 ran on it" in " ".join(seat.text.split())
        await seat.press("enter")
        await seat.wait(minutes=32)
        await seat.press("space")
        assert "R-008 ran out at " in seat.text
        await seat.press("2")  # it played until now
        assert "R-008: it ran 32:00, reckoned" in seat.text
        await seat.press("escape")
        assert seat.shelf.reel("R-008").stage == "transferred"
        assert seat.shelf.reel("R-008").wind == "tails"
        await seat.go_to("verify R-008")
        await seat.press("space")
        await seat.wait(minutes=8)
        await seat.press("space")
        await seat.types("listened to head and tail")
        assert seat.shelf.reel("R-008").stage == "verified"
        await seat.go_to("identify R-004")
        await seat.press("k")
        await seat.types("too late")
        assert "skipped: too late" in seat.text

    # What happened, as a program that starts anew tells it.
    told = reopened().shelf
    done = {
        key.rsplit(" ", 1)[0]: (one["state"], one.get("started", "")[11:16], one["finished"][11:16])
        for key, one in told.of_kind("actual").items()
    }
    assert done == {
        "align D1": ("done", "19:00", "19:14"),
        "transfer R-001": ("skipped", "19:14", "19:29"),
        "load C1": ("done", "19:29", "19:39"),
        "transfer R-008": ("done", "19:39", "20:11"),
        "verify R-008": ("done", "20:11", "20:19"),
        "identify R-004": ("skipped", "", "20:19"),
    }
    stages = [
        (f"{event.at:%H:%M}", event.key, event.new, event.because)
        for event in told.history
        if event.kind == "reel" and event.field == "stage" and event.at.day == 1
    ]
    assert ("19:29", "R-001", "identified", "needs another conditioning") in stages
    assert ("20:11", "R-008", "transferred", "") in stages
    assert ("20:19", "R-008", "verified", "listened to head and tail") in stages


async def test_a_look_that_ends_its_step_is_one_undo(book: Any, at_machine: Any) -> None:
    """A slip in the form, as vinegar for nothing, is gone with one key, and the step runs again."""
    async with at_machine(book, (80, 24)) as seat:
        await seat.go_to("identify R-004")
        await seat.press("space", "escape")
        await seat.press("space", "1", "pagedown", "enter")
        assert seat.shelf.reel("R-004").stage == "identified"
        state = {key.rsplit(" ", 1)[0]: one["state"] for key, one in seat.shelf.of_kind("actual").items()}
        assert state["identify R-004"] == "done"
        await seat.press("u")
        assert seat.shelf.reel("R-004").stage == "found"
        state = {key.rsplit(" ", 1)[0]: one["state"] for key, one in seat.shelf.of_kind("actual").items()}
        assert state["identify R-004"] != "done"


async def test_a_base_that_is_seen_to_be_what_was_told_leaves_the_plan_as_it_is(
    book: Any, at_machine: Any
) -> None:
    book.change(lambda s: s.with_reel(replace(s.reel("R-004"), base="polyester")), what="told by the box")
    book.plans.keep_plan(book.plans.kept_plan())
    async with at_machine(book, (80, 24)) as seat:
        await seat.go_to("identify R-004")
        await seat.press("space", "escape")
        await seat.press("space", "1", "enter", "enter", "enter", "1", "pagedown", "enter")
        assert seat.shelf.reel("R-004").base_seen == "yes" and seat.shelf.reel("R-004").stage == "identified"
        assert book.plans.plan_is_stale() is None and "plans again" not in seat.text


@pytest.mark.parametrize("size", [(80, 24), (120, 40), (60, 20)])
async def test_every_line_fits_the_screen_and_the_countdown_is_in_sight(
    book: Any, at_machine: Any, size: tuple[int, int]
) -> None:
    async with at_machine(book, size) as seat:
        await seat.press("space", "escape")
        await seat.wait(minutes=5)
        lines = seat.text.splitlines()
        assert len(lines) == size[1]
        assert max(cells(line) for line in lines) <= size[0]
        assert "██████" in seat.text and "NOW" in seat.text


async def test_a_line_up_done_in_mid_minute_is_on_the_chart_at_once(book: Any, at_machine: Any) -> None:
    async with at_machine(book) as seat:
        await seat.press("escape")
        line = next(line for line in seat.text.splitlines() if "R-001" in line[:8])
        assert "line up D1" in line
        await seat.press("t", "space", "escape")  # the evening's first key offers the calendar
        await seat.wait(seconds=20)
        await seat.press("space")  # a key that bounces, perhaps: it asks
        assert "It began at 19:00, less than a minute ago, and is planned for" in seat.text
        await seat.press("escape")
        assert seat.app.screen.step.state == "running"
        await seat.press("space", "enter", "escape")
        line = next(line for line in seat.text.splitlines() if "R-001" in line[:8])
        assert "transfer" in line


async def test_the_steps_can_be_chosen_by_the_cursor(book: Any, at_machine: Any) -> None:
    async with at_machine(book) as seat:
        await seat.press("down", "down")
        assert seat.app.screen.step.kind == "verify"
        await seat.wait(seconds=1)  # the clock does not take the cursor away
        assert seat.app.screen.step.kind == "verify"
        await seat.press("up")
        assert seat.app.screen.step.subject == "R-001"


async def test_a_tape_of_two_passes_is_done_after_the_second(
    book: Any, at_machine: Any, monkeypatch: Any
) -> None:
    from dataclasses import replace

    def fewer(shelf: Any) -> Any:
        capture = replace(shelf.studio.capture, inputs=8)
        return replace(shelf, studio=replace(shelf.studio, capture=capture))

    plan = book.plans.kept_plan()
    book.change(fewer, what="eight inputs")
    book.plans.keep_plan(
        replace(plan, items=tuple(replace(i, passes=2) if i.kind == "transfer" else i for i in plan.items))
    )
    book.mark("R-001", "aligned")
    async with at_machine(book) as seat:
        await seat.go_to("transfer R-001")
        await seat.press("space", "enter")
        assert "pass 1 of 2" in seat.text
        await seat.wait(minutes=32)
        await seat.press("space")
        assert "1 of 2 passes done: Space plays on" in seat.text
        assert "passes are done" not in seat.text, "said once"
        assert seat.shelf.reel("R-001").stage == "aligned"
        await seat.wait(minutes=3)
        await seat.press("space")
        assert "R-001 lies tails out: is it wound?" in seat.text
        await seat.press("1")
        await seat.wait(minutes=5)
        await seat.press("space")
        assert "is the pass over?" in seat.text  # 27 of 32 minutes are still to come
        await seat.press("escape")
        await seat.wait(minutes=27)
        await seat.press("space")
        assert seat.shelf.reel("R-001").stage == "transferred"
        assert [one["state"] for one in seat.passes()] == ["done", "done"]
        await seat.press("u")
        assert seat.shelf.reel("R-001").stage == "aligned"


async def test_a_pass_that_meets_the_touch_is_asked_about(book: Any, at_machine: Any) -> None:
    book.mark("R-001", "aligned")
    async with at_machine(book) as seat:
        await seat.wait(minutes=50)
        await seat.go_to("transfer R-001")
        await seat.press("space", "escape")  # without the calendar
        assert "start all the same?" in seat.text
        assert "min late" in seat.text and "it should have started by 19:38" in seat.text
        await seat.press("escape")
        assert not seat.passes()


async def test_no_room_on_the_disk_is_said_before_the_tape_runs(
    book: Any, at_machine: Any, monkeypatch: Any
) -> None:
    monkeypatch.setattr("tui.places.tonight.acts.step_acts.room_for_captures", lambda shelf: 10**9)
    book.mark("R-001", "aligned")
    async with at_machine(book) as seat:
        await seat.go_to("transfer R-001")
        await seat.press("space", "escape")
        # 32 min, 16 tracks, 96 kHz, 3 bytes: 1920 s x 16 x 96000 x 3 = 8.85 GB
        assert "no room: 32:00 takes 8.8 GB, 1.0 GB are free" in seat.text


async def test_a_tape_of_another_base_that_was_warmed_is_said_loudly(book: Any, at_machine: Any) -> None:
    book.change(lambda s: s.with_reel(replace(s.reel("R-001"), base="acetate")), what="seen against light")
    async with at_machine(book) as seat:
        assert "!! R-001 is acetate and was warmed: never again; look closely before it plays" in seat.text


async def test_what_is_said_loudly_is_told_to_its_end(book: Any, at_machine: Any) -> None:
    ran = book.now() - timedelta(hours=1)
    book.change(lambda s: ran_on(s, "R-019", "D2", ran, book.now()), what="R-019 ran before anyone knew")
    async with at_machine(book, (80, 24)) as seat:
        rows = seat.text.splitlines()
        first = next(n for n, row in enumerate(rows) if row.startswith("!! D2's path is not wiped"))
        told = " ".join(" ".join(rows[first : first + 3]).split())
        assert "gloves and a particle mask" in told and "bag the cloths" in told and ".." not in told
        assert "line up D1" in seat.text and "verify R-008" in seat.text
        acetate = replace(seat.shelf.reel("R-001"), base="acetate")
        book.change(lambda s: s.with_reel(acetate), what="seen against light")
        await seat.wait(seconds=2)
        assert "bag the cloths" in " ".join(seat.text.split()) and "never again" in seat.text
    async with at_machine(book, (80, 36)) as seat:
        await seat.wait(seconds=2)
        told = " ".join(seat.text.split())
        assert "bag the cloths" in told and "!! R-001 is acetate and was warmed: never again" in told


async def test_keys_that_cannot_be_used_say_why(book: Any, at_machine: Any) -> None:
    async with at_machine(book) as seat:
        for key, why in (
            ("n", "no tape is running"),
            ("g", "no tape stands stopped"),
            ("3", "no note waits for its kind"),
        ):
            await seat.press(key)
            assert f"not now: {why}" in seat.text


async def test_a_step_is_done_once_more(book: Any, at_machine: Any) -> None:
    async with at_machine(book) as seat:
        await seat.press("space", "escape")
        await seat.wait(minutes=15)
        await seat.press("space")
        await seat.press("home")
        await seat.press("space")
        assert "Y does it once more" in seat.text
        await seat.press("y")
        assert "NOW    LINE UP D1" in seat.text
        assert len(seat.shelf.of_kind("actual")) == 2


async def test_the_large_figures_are_the_tapes_where_something_else_runs_too(
    book: Any, at_machine: Any
) -> None:
    from dataclasses import replace

    async with at_machine(book) as seat:
        sheet = seat.app.screen.sheet
        begun = [replace(one, state="running") for one in sheet.steps if one.kind in ("verify", "transfer")]
        begun.sort(key=lambda step: step.kind, reverse=True)  # the verify stands first
        assert {begun[0].kind, begun[-1].kind} == {"verify", "transfer"} and begun[0].kind == "verify"
        both = replace(sheet, steps=(begun[0], begun[-1]))
        assert both.current.kind == "transfer"


async def test_a_look_that_finds_mould_is_over_once_it_is_answered(book: Any, at_machine: Any) -> None:
    """The tape stays as it was found, in its box; the row is done, and no key asks once more."""
    async with at_machine(book, (80, 24)) as seat:
        await seat.go_to("identify R-004")
        await seat.press("space", "escape")
        await seat.wait(minutes=8)
        await seat.press("space", "5", "pagedown", "enter")
        for _ in range(3):  # what else is not known is asked about
            if "lay it apart" not in seat.text:
                await seat.press("enter")
        assert "R-004: lay it apart" in seat.text and "mould" in seat.shelf.reel("R-004").troubles
        assert seat.shelf.reel("R-004").stage == "found"
        state = {key.rsplit(" ", 1)[0]: one["state"] for key, one in seat.shelf.of_kind("actual").items()}
        assert state["identify R-004"] == "done"
        step = next(one for one in seat.app.screen.sheet.steps if one.subject == "R-004")
        assert step.state == "done" and not seat.app.screen.query("OneAnswer")


async def test_a_look_at_a_tape_of_which_mould_was_told_elsewhere_ends_by_the_same_key(
    book: Any, at_machine: Any
) -> None:
    async with at_machine(book, (80, 24)) as seat:
        await seat.go_to("identify R-004")
        await seat.press("space", "escape")
        mouldy = replace(book.shelf.reel("R-004"), condition=("mould",))
        book.change(lambda shelf: shelf.with_reel(mouldy), what="told elsewhere")
        await seat.wait(minutes=8)
        await seat.press("space")
        state = {key.rsplit(" ", 1)[0]: one["state"] for key, one in seat.shelf.of_kind("actual").items()}
        assert state["identify R-004"] == "done" and not seat.app.screen.query("OneAnswer")
