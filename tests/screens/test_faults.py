"""A fault of the program is one line at the foot and a log file; screen, bell and clock go on."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
import screenwait
from textual.screen import ModalScreen

from core.errors import ReelturnError
from tui.app import ReelturnApp
from tui.faults import LOG_BYTES, write_down
from tui.frame.place import SayLine


@pytest.fixture(autouse=True)
def as_at_home(book: Any, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Tests ask for faults to end the program; nobody else does."""
    monkeypatch.delenv("REELTURN_DEBUG")
    monkeypatch.setattr(book, "path", tmp_path / "harbour.json")


def foot(app: Any) -> str:
    """What is said at the foot."""
    return str(app.screen_stack[0].query_one(SayLine).text)


def broken(*given: Any, **more: Any) -> Any:
    raise KeyError("R-009")


def told(app: Any, log: Path) -> bool:
    """The line names fault and file, and the file tells where."""
    line = foot(app)
    assert "KeyError: 'R-009'" in line and log.name in line, line
    return "in broken" in log.read_text()


async def test_a_key_whose_work_fails_leaves_everything_else(
    book: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    async with ReelturnApp(book).run_test(size=(80, 24)) as pilot:
        monkeypatch.setattr(book, "undo", broken)
        await pilot.press("u")
        await pilot.pause()
        assert told(pilot.app, book.path.with_name(f"{book.path.name}.log"))
        await pilot.press("w")
        await pilot.pause()
        assert pilot.app.current_mode == "week" and pilot.app.is_running


async def test_a_failing_place_stops_neither_bell_nor_clock(
    book: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    rung: list[Any] = []
    monkeypatch.setattr("tui.workers.bell.ring", lambda app, now: rung.append(now))
    async with ReelturnApp(book).run_test(size=(80, 24)) as pilot:
        monkeypatch.setattr(type(pilot.app.screen), "tick", broken, raising=False)
        monkeypatch.setattr(book, "reload", broken)
        before = len(rung)
        for _ in range(3):
            pilot.app.tick()
        assert len(rung) == before + 3
        assert told(pilot.app, book.path.with_name(f"{book.path.name}.log"))
        written = book.path.with_name(f"{book.path.name}.log").read_text().count("Traceback")
        assert written == 1, "the same fault is written once"


async def test_a_handler_a_timer_and_a_thread_that_fail_are_told(book: Any) -> None:
    async with ReelturnApp(book).run_test(size=(80, 24)) as pilot:
        app, log = pilot.app, book.path.with_name(f"{book.path.name}.log")
        for begin in (
            lambda: app.screen.call_later(broken),
            lambda: app.set_timer(0.001, broken),
            lambda: app.run_worker(broken, thread=True),
        ):
            app.faults.clear()
            app.say("")
            begin()
            await screenwait.until(pilot, lambda: "R-009" in foot(app), lambda: foot(app))
            assert told(app, log) and app.is_running
        await pilot.press("t")
        await pilot.pause()
        assert app.current_mode == "tonight"


async def test_a_page_that_cannot_open_is_taken_away(book: Any) -> None:
    class Page(ModalScreen[None]):
        def on_mount(self) -> None:
            broken()

    async with ReelturnApp(book).run_test(size=(80, 24)) as pilot:
        app = pilot.app
        app.push_screen(Page())
        await screenwait.until(pilot, lambda: len(app.screen_stack) == 1, lambda: str(app.screen_stack))
        assert "R-009" in foot(app)
        await pilot.press("w")
        await pilot.pause()
        assert app.current_mode == "week"


async def test_a_sentence_for_the_person_is_no_fault(book: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    def refused() -> None:
        raise ReelturnError("the shelf is held by another program: try again")

    async with ReelturnApp(book).run_test(size=(80, 24)) as pilot:
        monkeypatch.setattr(book, "reload", refused)
        pilot.app.tick()
        assert foot(pilot.app) == "the shelf is held by another program: try again"
        assert not book.path.with_name(f"{book.path.name}.log").exists()


def test_a_log_that_has_grown_is_put_beside(tmp_path: Path, book: Any) -> None:
    shelf = tmp_path / "s.json"
    log = tmp_path / "s.json.log"
    log.write_bytes(b"x" * (LOG_BYTES + 1))
    assert write_down(KeyError("a"), shelf, book.now()) == log
    assert log.stat().st_size < 1000 and (tmp_path / "s.json.log.1").exists()
    later = book.now() + timedelta(hours=1)
    write_down(KeyError("b"), shelf, later)
    assert later.isoformat() in log.read_text()
