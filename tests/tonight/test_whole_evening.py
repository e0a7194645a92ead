"""A whole evening by the keyboard alone, with all that goes wrong; then the shelf tells what happened."""

from __future__ import annotations

import subprocess
import sys
from dataclasses import replace
from datetime import datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

import pytest

from core.clock import later
from core.store.disk.changes.undo import ACT
from core.workbook.papers import PRINTABLE
from core.workbook.workbook import Workbook
from tui.places.tonight.acts.mishaps import PROBLEMS

ZONE = ZoneInfo("Europe/Lisbon")


@pytest.fixture(autouse=True)
def no_search(monkeypatch: Any) -> None:
    """Planning again has tests of its own."""
    from tui.places.tonight.acts.replan import ReplanActs

    monkeypatch.setattr(ReplanActs, "replan", lambda self, happened, **how: None)


def acts(shelf: Any, since: datetime) -> list[tuple[str, str]]:
    """Day and time of every act, as the history has it."""
    told = [(event, dict(event.extra).get(ACT)) for event in shelf.history if event.at >= since]
    return [(f"{event.at.astimezone(ZONE):%d %H:%M}", what) for event, what in told if what]


async def problem(seat: Any, step: str, what: str) -> None:
    """Opens the list of what goes wrong on that step, and chooses."""
    await seat.go_to(step)
    await seat.press("p")
    await seat.choose(list(PROBLEMS).index(what))


async def printed(seat: Any, book: Any, name: str) -> None:
    """Waits until that sheet lies in the folder of paper."""
    path = book.path.parent / "paper" / name
    await seat.until(path.exists)
    assert path.read_bytes().startswith(b"%PDF")


async def play_with_trouble(seat: Any) -> None:
    """R-001: notes, heads cleaned, a joint remade, and at last another conditioning."""
    await seat.press("space")
    await seat.wait(minutes=4)
    await seat.press("n", "1")
    await seat.wait(minutes=6)
    await seat.press("e")
    await seat.choose(0)
    await seat.wait(minutes=3)
    await seat.press("g")
    await seat.wait(minutes=8)
    await problem(seat, "transfer R-001", "splice")
    await seat.press("enter")
    await seat.wait(minutes=6)
    await problem(seat, "transfer R-001", "repaired")
    await seat.press("space")
    await seat.wait(minutes=6)
    await problem(seat, "transfer R-001", "again")
    await seat.press("enter")


async def swap_boxes_and_print(seat: Any, book: Any) -> None:
    """The box of R-008 held R-004's tape; then the evenings are planned again, and its slip is printed."""
    await problem(seat, "transfer R-008", "box")
    await seat.types("R-004")
    assert "print the new labels now" in seat.text
    await seat.press("enter")
    await printed(seat, book, "labels-2-reels.pdf")
    await seat.press("u")  # it was the right one after all: the light was bad
    assert seat.shelf.reel("R-008").box_label == "Tar and Rope"
    plan = book.plans.kept_plan()
    moved = tuple(
        replace(one, start=later(one.start, minutes=5), end=later(one.end, minutes=5))
        if one.reel == "R-008"
        else one
        for one in plan.items
    )
    book.plans.keep_plan(replace(plan, items=moved))
    seat.app.took_over()
    await seat.press("o")
    await seat.choose(list(PRINTABLE).index("slips"))
    await printed(seat, book, "changes-1-to-2.pdf")


async def test_the_whole_evening(book: Any, at_machine: Any, clock: Any, reopened: Any) -> None:
    began = book.now()
    async with at_machine(book) as seat:
        await seat.press("space", "enter")  # the calendar, then the line-up
        await seat.wait(minutes=14)
        await seat.press("space")
        await play_with_trouble(seat)
        await seat.wait(minutes=13)
        await seat.go_to("load chamber C1")
        await seat.press("space")
        await seat.wait(minutes=10)
        await seat.press("space")
        await problem(seat, "transfer R-008", "helper")
        await seat.press("1")  # does not come
        await swap_boxes_and_print(seat, book)
        await seat.go_to("transfer R-008")
        await seat.press("space")
        assert "is R-001 lifted off?" in seat.text, "it is to be warmed again before it runs"
        await seat.press("enter")
        assert "is the path of D1 clean?" in seat.text  # R-001 shed on it
        await seat.press("enter")
        await seat.wait(minutes=22)
        await seat.press("space")
        if "reckoned" in seat.text:
            await seat.press("escape")  # its length stays as it was
        await seat.go_to("verify R-008")
        await seat.press("space")
        await seat.wait(minutes=8)
        await seat.press("space")
        await seat.types("listened to head and tail")
        await seat.go_to("identify R-004")
        await seat.press("k")
        await seat.types("too late")
        await seat.wait(minutes=90)
        assert "TURN  -  CHAMBER C1" in seat.text  # whatever place is open
        await seat.press("l")
        await seat.wait(minutes=4)
        assert "TURN  -  CHAMBER C1" not in seat.text and "late" in seat.text  # the bar stays
        await seat.wait(minutes=2)
        assert "TURN  -  CHAMBER C1" in seat.text
        await seat.press("space")
        await seat.press("q")
        assert "Next touch: C1: turn R-002 at 00:00" in str(seat.app._exit_renderables)

    clock.on(hours=2, minutes=16)  # past midnight
    async with at_machine(reopened()) as seat:
        assert "TURN  -  CHAMBER C1" in seat.text
        await seat.press("space", "t")
        assert "Tue 1 Dec  bench 19:00-22:30" in seat.text  # the evening goes on until four
    told = reopened().shelf
    assert acts(told, began)[3:] == [tuple(line.strip().split("  ", 1)) for line in HAPPENED.splitlines()]
    assert told.reel("R-008").stage == "verified" and told.reel("R-008").wind == "tails"
    assert (told.reel("R-001").stage, told.reel("R-001").conditioned_at) == ("identified", None)
    pieces = told.of_kind("pass")["R-001 1"]["pieces"]
    assert [(one["from"], one["to"], one["why"]) for one in pieces] == [
        (0.0, 600.0, "clean heads"),
        (590.0, 1070.0, "splice"),  # ten seconds before it stopped, then eight minutes
        (1060.0, 1420.0, "needs another conditioning"),
    ]
    (load,) = [one for one in told.of_kind("load").values() if one["at"].startswith("2026-12-01")]
    assert [
        (one["planned"][8:16], one["late_minutes"], one["within_tolerance"]) for one in load["touches"]
    ] == [
        ("01T22:00", 16, False),
        ("02T00:00", 32, False),
    ]
    because = {event.new: event.because for event in told.history if event.key == "R-008" and event.because}
    assert because["verified"] == "listened to head and tail"


HAPPENED = """\
    01 19:00  line up D1 to 15 ips NAB 250 nWb/m: start
    01 19:14  line up D1 to 15 ips NAB 250 nWb/m: finish
    01 19:14  transfer R-001: start
    01 19:18  note on pass R-001 1
    01 19:18  dropout at 4:00
    01 19:24  stop pass R-001 1
    01 19:24  why pass R-001 1 stopped
    01 19:27  go on with pass R-001 1
    01 19:35  a joint of R-001 let go
    01 19:41  splices of R-001 repaired
    01 19:41  transfer R-001: go on
    01 19:47  R-001 needs another 8 h
    01 20:00  load chamber C1: start
    01 20:10  load chamber C1: finish
    01 20:10  no helper on Tue 1 Dec
    01 20:10  the box of R-008 held another tape (R-008, R-004)
    01 20:10  taken back: the box of R-008 held another tape (R-008, R-004)
    01 20:10  keep a plan
    01 20:10  R-001 lifted off
    01 20:10  path of D1 wiped
    01 20:10  transfer R-008: start
    01 20:32  transfer R-008: finish
    01 20:32  verify R-008: start
    01 20:40  verify R-008: finish
    01 20:40  skip identify R-004
    01 22:16  turn chamber C1
    02 00:32  turn chamber C1"""

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
        clock.moment += timedelta(hours=1, minutes=57)
        app.tick()
        await pilot.pause()
        assert app.next_touch is not None and not app.next_touch.late(clock.moment)
        os.kill(os.getpid(), signal.SIGKILL)

asyncio.run(main())
"""


async def test_killed_in_mid_countdown_the_bell_rings_at_its_hour(
    book: Any, at_machine: Any, clock: Any, reopened: Any
) -> None:
    book.load("C1", ["R-002"])
    before = book.path.read_bytes()
    done = subprocess.run(
        [sys.executable, "-c", KILLED, str(book.path), clock().isoformat()], capture_output=True, text=True
    )
    assert done.returncode == -9, done.stderr
    assert book.path.read_bytes() == before
    clock.on(hours=1, minutes=58)
    async with at_machine(reopened()) as seat:
        assert "turn R-002 at 21:00, in 2 min" in seat.text
        await seat.wait(minutes=2)
        assert "TURN  -  CHAMBER C1" in seat.text


async def test_an_evening_over_the_clock_change_is_told_by_elapsed_time(
    lay_evening: Any, at_machine: Any, clock: Any
) -> None:
    # Europe/Lisbon, 2026-10-25 02:00 WEST: back to 01:00 WET (IANA tz; last Sunday of October).
    clock.moment = datetime(2026, 10, 24, 23, 30, tzinfo=ZONE).astimezone(clock.moment.tzinfo)
    book = lay_evening(clock)
    began = book.now()
    book.change(
        lambda s: s.with_reel(
            replace(
                s.reel("R-001"),
                stage="aligned",
                conditioned_at=began - timedelta(days=2),
                playable_until=began + timedelta(days=9),
            )
        ),
        what="warmed on Thursday",
    )
    book.load("C1", ["R-002"])  # turned at 01:30 summer time, and at 02:30 winter time: two hours each
    async with at_machine(book) as seat:
        assert "turn R-002 at 01:30, in 2 h 00" in seat.text
        await seat.wait(minutes=120)
        await seat.press("space", "t")
        assert "turn R-002 at 02:30, in 2 h 00" in seat.text
        await seat.go_to("transfer R-001")
        await seat.press("space")
        assert "D1 is loud until 01:02, and this is no loud time." in seat.text
        await seat.press("enter")
        await seat.wait(minutes=20)  # 01:50 in summer time
        await seat.press("n", "1")
        await seat.wait(minutes=12)  # 01:02 in winter time: the clock went back, the tape ran on
        assert "at 32:00 of 32:00" in seat.text
        await seat.press("space")
        assert seat.shelf.reel("R-001").stage == "transferred"
    told = Workbook.open(book.path, clock).shelf
    (kept,) = [one for one in told.of_kind("pass").values() if one["reel"] == "R-001"]
    assert [kept["pieces"][0][name][11:] for name in ("started", "stopped")] == ["01:30+01:00", "01:02+00:00"]
    assert kept["pieces"][0]["to"] == 1920.0
    (load,) = [one for one in told.of_kind("load").values() if one["at"].startswith("2026-10-24")]
    assert load["touches"][0]["late_minutes"] == 0
