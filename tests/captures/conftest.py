"""The made-up shelf with its one capture, a second copy of it in another place, and small files for more."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Iterator
from contextlib import asynccontextmanager
from datetime import datetime
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

import numpy as np
import pytest
import screenseat
import screenwait
import soundfile

from core.capture.made_up.offcut import made_up_capture
from core.standing.proof import unlistened
from tui.app import ReelturnApp
from tui.commands.demo_ import CAPTURE, lay_out

EVENING = datetime(2026, 12, 1, 18, 52, tzinfo=ZoneInfo("Europe/Lisbon"))


@pytest.fixture(scope="session")
def made_up(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The made-up capture, computed once; tests work on copies."""
    return made_up_capture(tmp_path_factory.mktemp("made-up") / CAPTURE)


@pytest.fixture
def capture(made_up: Path, tmp_path: Path) -> Path:
    """The capture of R-022 in the folder of captures beside the shelf."""
    (tmp_path / "captures").mkdir()
    return Path(shutil.copy(made_up, tmp_path / "captures"))


@pytest.fixture
def copy(made_up: Path, tmp_path: Path) -> Path:
    """The second copy."""
    (tmp_path / "second-place").mkdir()
    return Path(shutil.copy(made_up, tmp_path / "second-place"))


@pytest.fixture
def book(tmp_path: Path) -> Any:
    """The made-up shelf; the clock stands still."""
    return lay_out(tmp_path, lambda: EVENING)


@pytest.fixture
def hear() -> Callable[..., None]:
    """``hear(book, "R-022")``: every place of the reel's checks was listened to and is fine."""

    def listen(book: Any, reel: str) -> None:
        for check in book.captures.kept_checks(reel):
            for place in unlistened(book.shelf, check.to_json()):
                book.captures.mark_place(reel, check.pass_number, place, "fine")

    return listen


@pytest.fixture
def small(tmp_path: Path) -> Callable[..., Path]:
    """``small(name, channels, seconds)``: hissing channels, 24 bit at 8 kHz, other ones for each name."""

    def write(name: str, channels: int = 1, seconds: float = 2.0, level: float = 0.1) -> Path:
        rng = np.random.default_rng(sum(name.encode()))
        sound = level * rng.standard_normal((round(seconds * 8000), channels))
        path = tmp_path / name
        path.parent.mkdir(parents=True, exist_ok=True)
        soundfile.write(path, np.clip(sound, -0.9, 0.9), 8000, "PCM_24")
        return path

    return write


@pytest.fixture
def flip() -> Callable[[Path], None]:
    """Changes one byte in the middle of a file, as a failing disk does; its length stays."""

    def change(path: Path) -> None:
        with open(path, "r+b") as file:
            file.seek(path.stat().st_size // 2)
            byte = file.read(1)
            file.seek(-1, 1)
            file.write(bytes([byte[0] ^ 1]))

    return change


@pytest.fixture(autouse=True)
def quiet(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """No blinking, and no look from the machine that runs the tests."""
    for name in ("NO_COLOR", "TEXTUAL_THEME", "REELTURN_SHELF"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setenv("TEXTUAL_ANIMATIONS", "none")
    monkeypatch.setattr("textual.widgets._input.Input._toggle_cursor", lambda self: None)
    monkeypatch.setattr("tui.app.draws_signs", lambda: True)
    screenwait.wait_by_work(monkeypatch)
    screenwait.parse_each_style_once(monkeypatch)
    yield


class Seat(screenseat.Seat):
    """The same, who goes to the captures of a reel."""

    async def to_captures(self, reel: str) -> None:
        """From the chart to the reel's captures."""
        await self.until("machine time")
        await self.press("slash")
        await self.types(reel)
        await self.press("enter", "d")
        await self.until(f"{reel}  captures")


@pytest.fixture
def at_captures() -> Callable[..., Any]:
    """Opens a reel's captures: ``async with at_captures(book, "R-022") as seat``."""

    @asynccontextmanager
    async def open_on(book: Any, reel: str, size: tuple[int, int] = (80, 24)) -> Any:
        async with ReelturnApp(book).run_test(size=size) as pilot:
            seat = Seat(pilot)
            await seat.to_captures(reel)
            yield seat

    return open_on
