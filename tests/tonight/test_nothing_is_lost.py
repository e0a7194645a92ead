"""Killed in mid-pass, across midnight, across a clock change: the tape stands where it stands."""

from __future__ import annotations

import subprocess
import sys
from datetime import datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

import pytest

from core.evening.playing.passes import notes_of, passes_of, standing

ZONE = ZoneInfo("Europe/Lisbon")
KILLED = """
import asyncio, os, signal, sys
from datetime import datetime, timedelta
from pathlib import Path
from core.workbook.workbook import Workbook
from tui.app import ReelturnApp

class Clock:
    moment = datetime.fromisoformat(sys.argv[2])
    def __call__(self):
        return self.moment

async def main():
    clock = Clock()
    app = ReelturnApp(Workbook.open(Path(sys.argv[1]), clock))
    async with app.run_test(size=(80, 24)) as pilot:
        for keys in (["t"], ["space"], ["escape"]):  # the line-up stands, so the pass is next
            await pilot.press(*keys)
            await pilot.pause()
        clock.moment += timedelta(minutes=7)
        app.tick()
        await pilot.press("n", "2")
        await pilot.pause()
        os.kill(os.getpid(), signal.SIGKILL)

asyncio.run(main())
"""


async def test_killed_in_mid_pass_and_opened_again(
    book: Any, at_machine: Any, reopened: Any, clock: Any
) -> None:
    book.mark("R-001", "aligned")
    done = subprocess.run(
        [sys.executable, "-c", KILLED, str(book.path), clock().isoformat()], capture_output=True, text=True
    )
    assert done.returncode == -9, done.stderr
    clock.on(minutes=10)  # three minutes went by with no program there; the tape ran on
    again = reopened()
    async with at_machine(again) as seat:
        assert "did the tape run on?" in seat.text
        await seat.press("1")
        assert "at 10:00 of 32:00" in seat.text
        assert "1 note, last 7:00 squeal" in seat.text
        ends = f"{clock() + timedelta(minutes=22):%H:%M}"
        await seat.press("escape")  # the chart's head and its line tell of the tape that plays
        assert f"R-001 ends {ends}" in seat.text.splitlines()[0]
        line = next(line for line in seat.text.splitlines() if "R-001" in line[:8])
        assert f"plays to {ends}" in line
        await seat.press("t")
        await seat.wait(minutes=22)
        await seat.press("space")
        assert seat.shelf.reel("R-001").stage == "transferred"
    assert again.path.read_bytes()
    assert not list(again.path.parent.glob("*.tmp"))


async def test_opened_again_with_a_load_running_the_overdue_turn_comes_first(
    book: Any, at_machine: Any, reopened: Any, clock: Any
) -> None:
    async with at_machine(book) as seat:
        await seat.go_to("load chamber C1")
        await seat.press("space", "escape")
        await seat.wait(minutes=5)
        await seat.press("space")
        await seat.press("q")
        assert "Next touch: C1: turn R-002" in str(seat.app._exit_renderables)
    clock.on(hours=2, minutes=10)
    async with at_machine(reopened()) as seat:
        assert "TURN  -  CHAMBER C1" in seat.text
        await seat.press("space", "t")
        (load,) = seat.shelf.of_kind("load").values()
        assert (load["touches"][0]["do"], load["touches"][0]["late_minutes"]) == ("turn", 15)
        touches = [step for step in seat.app.screen.sheet.steps if step.kind == "turn"]
        # The load tells its own turns; the planned ones are not there beside them.
        assert [(step.state, f"{step.planned.start:%H:%M}") for step in touches] == [
            ("done", "21:00"),
            ("waiting", "23:00"),
            ("waiting", "01:00"),
        ]


async def test_a_pass_stopped_before_midnight_is_gone_on_with_the_next_evening(
    book: Any, at_machine: Any, clock: Any
) -> None:
    book.mark("R-001", "aligned")
    async with at_machine(book) as seat:
        await seat.go_to("transfer R-001")
        await seat.press("space", "escape")
        await seat.wait(minutes=12, seconds=31)
        await seat.press("e")
        await seat.choose(0)
        await seat.wait(hours=5)  # half past midnight is the same evening still
        head = seat.text.splitlines()[1]
        assert head.startswith(" Tue 1 Dec ") and "loud until 22:00" in head
        assert "STOPPED: clean heads" in seat.text and "at 12:31 of 32:00" in seat.text
        (tape,) = passes_of(seat.shelf, clock(), "R-001")
        assert standing(tape) == "stopped at 12:31 of 32:00 (clean heads)"
        await seat.wait(hours=19)
        assert "Wed 2 Dec" in seat.text.splitlines()[1]


async def test_the_night_on_which_the_clock_goes_back(lay_evening: Any, at_machine: Any, clock: Any) -> None:
    # Europe/Lisbon, 2026-10-25: at 02:00 WEST (01:00 UTC) the clock goes back to 01:00 (IANA tz, EU rule:
    # last Sunday of October). The evening of Saturday the 24th is 24 hours long from four to four, and one.
    clock.moment = datetime(2026, 10, 24, 23, 30, tzinfo=ZONE).astimezone(clock.moment.tzinfo)
    book = lay_evening(clock)
    book.mark("R-008", "transferred", because="as if it was over")
    async with at_machine(book) as seat:
        await seat.wait(minutes=80)  # 00:50 summer time
        await seat.go_to("identify R-004")
        await seat.press("space")  # the chamber's touch is past: no calendar is offered
        await seat.wait(minutes=30)  # 01:20 summer time
        await seat.press("n")
        assert "no tape is running" in seat.text
        started = datetime.fromisoformat(next(iter(seat.shelf.of_kind("actual").values()))["started"])
        assert started.utcoffset() == timedelta(hours=1)
        await seat.wait(minutes=60)  # 01:20 again, winter time
        assert "Sat 24 Oct" in seat.text.splitlines()[1]
        step = seat.app.screen.sheet.current
        assert step.started == started and f"{book.now():%H:%M %z}" == "01:20 +0000"
        assert "+1:20:00" in countdown_of(seat)


def countdown_of(seat: Any) -> str:
    """The countdown that is drawn large, told from the same sheet."""
    from tui.board.digits import countdown
    from tui.places.tonight.step_facts import seconds_left

    view = seat.app.screen.list.view
    return countdown(seconds_left(view, view.sheet.current))


async def test_a_pass_across_the_clock_change_runs_by_elapsed_time(
    lay_evening: Any, at_machine: Any, clock: Any
) -> None:
    clock.moment = datetime(2026, 10, 25, 1, 30, tzinfo=ZONE).astimezone(clock.moment.tzinfo)  # summer time
    book = lay_evening(clock)
    book.change(lambda s: s.with_reel(_playable(s, clock())), what="as if warmed lately")
    async with at_machine(book) as seat:
        await seat.go_to("transfer R-001")
        await seat.press("space", "enter", "enter")  # not in loud time, and in the way of the load
        await seat.wait(minutes=31)  # the clock shows 01:01, half an hour before the start
        assert f"{book.now():%H:%M}" == "01:01"
        assert "at 31:00 of 32:00" in seat.text
        await seat.press("n", "1")
        assert notes_of(seat.shelf, "R-001")[0][1].seconds == 31 * 60
        await seat.wait(minutes=1)
        await seat.press("space")
        assert seat.shelf.reel("R-001").stage == "transferred"


def _playable(shelf: Any, now: datetime) -> Any:
    from dataclasses import replace

    noon = now - timedelta(days=2)
    return replace(shelf.reel("R-001"), stage="aligned", conditioned_at=noon, playable_until=None)


@pytest.mark.parametrize("broken", [False, True])
def test_a_load_begun_between_two_minutes_keeps_one_log(
    book: Any, clock: Any, reopened: Any, broken: bool
) -> None:
    from core.conditioning.loads.kept_loads import loads_of
    from core.evening.tonight.steps import finish_step
    from core.evening.warming.load_broken import break_off, go_on
    from tui.board.chamber import next_touches

    clock.on(seconds=33)
    book.load("C1", ["R-002"])
    before = set(loads_of(book.shelf))
    if broken:
        clock.on(minutes=20, seconds=11)
        (key,) = [one for one in before if one.startswith("C1 2026-12-01")]
        book.change(lambda shelf: break_off(shelf, key, book.now(), "power"), what="power")
        clock.on(minutes=7, seconds=20)
        book.change(lambda shelf: go_on(shelf, key, book.now()), what="on again")
    again = reopened()
    assert set(loads_of(again.shelf)) == before
    (touch,) = next_touches(again.shelf, again.now())
    again.change(lambda shelf: finish_step(shelf, touch.step(touch.due), touch.due), what="turned")
    assert set(loads_of(again.shelf)) == before
    (log,) = [one for key, one in again.shelf.of_kind("load").items() if key.startswith("C1 2026-12-01")]
    assert [one["do"] for one in log["touches"]] == ["turn"]
