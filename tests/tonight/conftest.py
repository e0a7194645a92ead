"""An evening of the made-up shelf in a real file, a clock that tests move, and the screen to work it on."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Iterator
from contextlib import asynccontextmanager
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from functools import cache
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

import pytest
import screenwait

from core.clock import later
from core.plan import Item, Member, Plan, Touch
from core.studio.studio import WEEKDAYS, HoursRow

ZONE = ZoneInfo("Europe/Lisbon")
#: Somebody is at home whatever the hour, so that an evening's load may run on into the night.
ALL_NIGHT = HoursRow(WEEKDAYS, (), 0, 24 * 60, bench=False, home=True)


class MovedClock:
    """A clock that stands until a test moves it on by elapsed time."""

    def __init__(self, moment: datetime) -> None:
        self.moment = moment.astimezone(UTC)

    def __call__(self) -> datetime:
        return self.moment

    def on(self, **elapsed: float) -> None:
        """Lets time pass."""
        self.moment += timedelta(**elapsed)


def an_evening(shelf: Any, start: datetime) -> Plan:
    """Line up, a 16-track reel, a load, a sound reel, a look at an unnamed box, a late verify."""

    def at(minutes: int) -> datetime:
        return later(start, minutes=minutes)

    setup = tuple(shelf.reel("R-001").setup.words().items())
    warm = (Member("R-002", at(70 + 490), at(70 + 970), at(70 + 490 + 14 * 1440)),)
    touches = tuple(
        Touch("load" if n == 0 else "turn" if n < 4 else "take out", at(70 + 120 * n), at(80 + 120 * n))
        for n in range(5)
    )
    items = (
        Item("align", at(0), at(15), deck="D1", setup=setup, calibration="CAL-1"),
        Item("transfer", at(15), at(60), deck="D1", reel="R-001", passes=1),
        Item("verify", at(60), at(70), reel="R-001"),
        Item(
            "condition", at(70), at(560), chamber="C1", temperature="54 degC", members=warm, touches=touches
        ),
        Item("identify", at(80), at(90), reel="R-004"),
        Item("transfer", at(90), at(120), deck="D1", reel="R-008", passes=1),
        Item("verify", at(120), at(130), reel="R-008"),
    )
    until = later(start, hours=24 * 14)
    return Plan(shelf.name, start, until, 1.0, "feasible", 200.0, 150.0, 0.25, items)


@pytest.fixture
def clock() -> MovedClock:
    """Tuesday of the made-up story, seven o'clock."""
    return MovedClock(datetime(2026, 12, 1, 19, 0, tzinfo=ZONE))


@pytest.fixture(scope="session")
def laid_evening(tmp_path_factory: pytest.TempPathFactory) -> Callable[[datetime], Path]:
    """A folder with the made-up shelf and that evening planned from a moment on; made once, to be copied."""
    from tui.commands.demo_ import lay_out

    @cache
    def lay(moment: datetime) -> Path:
        book = lay_out(tmp_path_factory.mktemp("evening"), lambda: moment)
        at_home = replace(book.shelf.studio, hours=(*book.shelf.studio.hours, ALL_NIGHT))
        book.change(lambda shelf: replace(shelf, studio=at_home), what="stay at home")
        # What is asked before is tested apart: a trial by hand, a look at the base, a slow wind.
        tested = replace(book.shelf.reel("R-008"), tried="clean", wind="heads")
        seen = replace(book.shelf.reel("R-002"), base_seen="polyester")
        wound = replace(book.shelf.reel("R-001"), wind="heads")
        book.change(lambda shelf: shelf.with_reel(tested, seen, wound), what="what was done before")
        book.plans.keep_plan(an_evening(book.shelf, book.now()))
        return book.path.parent

    return lay


@pytest.fixture
def lay_evening(tmp_path: Path, laid_evening: Callable[[datetime], Path]) -> Callable[..., Any]:
    """The made-up shelf with that evening planned from the clock's moment on."""
    from core.workbook.workbook import Workbook

    def lay(clock: MovedClock) -> Any:
        shutil.copytree(laid_evening(clock()), tmp_path, dirs_exist_ok=True)
        return Workbook.open(tmp_path / "shelf.json", clock)

    return lay


@pytest.fixture
def book(lay_evening: Callable[..., Any], clock: MovedClock) -> Any:
    """The workbook of the evening."""
    return lay_evening(clock)


@pytest.fixture
def reopened(book: Any, clock: MovedClock) -> Callable[[], Any]:
    """The same file read by a program that starts anew."""
    from core.workbook.workbook import Workbook

    return lambda: Workbook.open(book.path, clock)


@pytest.fixture
def begun(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """Searches that were begun; none of them is run."""
    from tui.places.tonight.acts import replan

    found: list[str] = []
    monkeypatch.setattr(replan.Search, "run", lambda self: found.append("planned"))
    return found


@pytest.fixture(autouse=True)
def quiet(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """No blinking, no look from the machine that runs the tests, and searches that end soon."""
    for name in ("NO_COLOR", "TEXTUAL_THEME", "REELTURN_SHELF"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setenv("TEXTUAL_ANIMATIONS", "none")
    monkeypatch.setattr("tui.app.draws_signs", lambda: True)
    screenwait.wait_by_work(monkeypatch)
    screenwait.parse_each_style_once(monkeypatch)
    yield


class Seat:
    """Someone at the machine: presses keys, lets time pass, reads the screen."""

    def __init__(self, pilot: Any, clock: MovedClock) -> None:
        self.pilot, self.app, self.clock = pilot, pilot.app, clock

    async def settle(self) -> None:
        """Waits for the screen's own work."""
        for _ in range(3):
            await self.pilot.pause()
        if self.app._exception is not None:
            raise self.app._exception

    async def press(self, *keys: str) -> None:
        """Presses keys one after the other."""
        for key in keys:
            await self.pilot.press(key)
            await self.settle()

    async def types(self, text: str) -> None:
        """Types a text into what is open, and enters it."""
        signs = {
            " ": "space",
            ":": "colon",
            "-": "minus",
            ",": "comma",
            "=": "equals_sign",
            ".": "full_stop",
            "/": "slash",
        }
        await self.press(*(signs.get(letter, letter) for letter in text), "enter")

    async def fills(self, *texts: str | None) -> None:
        """Fills a form line by line: None leaves the line as it is, a text stands in its place."""
        for text in texts:
            if text is not None:
                await self.press("ctrl+u")
            await (self.press("enter") if text is None else self.types(text))

    async def choose(self, line: int) -> None:
        """Chooses that line of a list, counted from nought."""
        await self.press("home", *["down"] * line, "enter")

    async def plays(self, minutes: float) -> None:
        """R-001 begins, without the calendar, and has run for so long."""
        await self.go_to("transfer R-001")
        await self.press("space", "escape")
        await self.wait(minutes=minutes)

    async def wait(self, **elapsed: float) -> None:
        """Lets time pass."""
        self.clock.on(**elapsed)
        self.app.tick()
        await self.settle()

    async def until(self, condition: Callable[[], bool]) -> None:
        """Waits for a condition."""
        await screenwait.until(self.pilot, condition, lambda: self.text)

    @property
    def text(self) -> str:
        """The screen as it stands."""
        strips = self.app.screen._compositor.render_strips()
        return "\n".join("".join(segment.text for segment in strip).rstrip() for strip in strips)

    @property
    def shelf(self) -> Any:
        """The shelf as the program has it."""
        return self.app.shelf

    def passes(self) -> list[Any]:
        """The passes that were begun this evening; the made-up shelf may have others of earlier days."""
        day = f"{self.app.now().astimezone(ZONE):%Y-%m}"
        kept = self.shelf.of_kind("pass").values()
        return [one for one in kept if one["pieces"][-1]["started"].startswith(day)]

    async def go_to(self, words: str) -> None:
        """Puts the cursor on the step of that name."""
        from core.evening.tonight.steps import words as words_of

        listed = self.app.screen.list
        steps = {words_of(step): step.key for step in self.app.screen.sheet.steps}
        listed.cursor = listed._keys.index(steps[words])
        await self.settle()


@pytest.fixture
def at_machine(clock: MovedClock) -> Callable[..., Any]:
    """Opens the program on Tonight: ``async with at_machine(book) as seat``."""
    from tui.app import ReelturnApp

    @asynccontextmanager
    async def open_on(book: Any, size: tuple[int, int] = (80, 24), own: MovedClock | None = None) -> Any:
        async with ReelturnApp(book).run_test(size=size) as pilot:
            seat = Seat(pilot, own or clock)
            await seat.settle()
            await seat.press("t")
            yield seat

    return open_on


@pytest.fixture
def run_turn(book: Any, clock: MovedClock, monkeypatch: pytest.MonkeyPatch, capfd: Any) -> Callable[..., Any]:
    """``reelturn turn ...`` on the evening's shelf: what it printed and what it said."""
    from tui.cli import main

    monkeypatch.setenv("REELTURN_SHELF", str(book.path))
    monkeypatch.setattr("tui.commands.command.now", clock)

    def ran(*words: str) -> tuple[str, str]:
        capfd.readouterr()
        main(["turn", *words])
        return tuple(capfd.readouterr())

    return ran
