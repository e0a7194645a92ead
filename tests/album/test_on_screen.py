"""A song in time on the screen: what ties each capture, finding, two taps, letting go, laying copies."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

import pytest
import screenwait
from screenseat import Seat

from core.workbook.workbook import Workbook
from tui.app import ReelturnApp


@pytest.fixture(autouse=True)
def quiet(monkeypatch) -> None:
    screenwait.wait_by_work(monkeypatch)
    screenwait.parse_each_style_once(monkeypatch)
    monkeypatch.setenv("TEXTUAL_ANIMATIONS", "none")


def opened(folder: Path) -> Workbook:
    return Workbook.open(folder / "tapes.json", lambda: datetime(2026, 12, 1, 18, 52, tzinfo=UTC))


@pytest.fixture
def book(shelf) -> Workbook:
    return opened(shelf)


async def in_time(seat: Seat) -> None:
    await seat.until("machine time")
    await seat.press("s", "i")
    await seat.until("Low Tide: in time")


async def test_a_capture_is_found_by_sound_and_shown_in_its_place(book):
    app = ReelturnApp(book)
    async with app.run_test(size=(80, 24)) as pilot:
        seat = Seat(pilot)
        await in_time(seat)
        assert "zero is 0:10.000 of R-1" in seat.text
        assert "by timecode" in seat.text and "R-3          nothing ties it" in seat.text
        await seat.press("down", "down")
        assert "nothing ties it to the clock yet" in seat.text
        await seat.press("f")
        await seat.until("R-3          by sound, within")
        assert [tie.by for tie in book.time.kept_ties()] == ["sound"]
        await seat.press("x")
        await seat.until("R-3          nothing ties it")


async def test_two_taps_lay_a_capture_and_a_ring_that_misses_is_told(book):
    app = ReelturnApp(book)
    async with app.run_test(size=(80, 24)) as pilot:
        seat = Seat(pilot)
        await in_time(seat)
        await seat.press("down", "down", "t")
        await seat.until("where does it lie?")
        await seat.types("0:32.1 soon")
        assert "is no place" in seat.text
        await seat.press(*["backspace"] * 4)
        await seat.types("20")
        await seat.press("enter")
        await seat.until("R-3          as told, within 30 ms")
        assert "R-1: 0" not in seat.text
        await seat.press("up", "f")
        await seat.until("round R-1, R-2 it misses by")


async def test_the_clocks_own_capture_is_not_tied_to_itself(book):
    app = ReelturnApp(book)
    async with app.run_test(size=(80, 24)) as pilot:
        seat = Seat(pilot)
        await in_time(seat)
        await seat.press("f")
        assert "the song's clock is this capture's own" in seat.text and app.reading is None


async def test_copies_are_laid_from_the_screen(book, shelf):
    app = ReelturnApp(book)
    async with app.run_test(size=(80, 24)) as pilot:
        seat = Seat(pilot)
        await in_time(seat)
        await seat.press("d")
        await seat.until("which way?")
        await seat.press("enter")
        await seat.until("Into which folder?")
        await seat.press("enter")
        await seat.until("files in")
        assert len(list((shelf / "laid" / "S-1").glob("*.wav"))) >= 4
        assert (shelf / "laid" / "S-1" / "SHA256SUMS").exists()


async def test_a_mix_is_held_against_the_tracks_by_one_key(tied):
    app = ReelturnApp(opened(tied))
    async with app.run_test(size=(80, 24)) as pilot:
        seat = Seat(pilot)
        await in_time(seat)
        await seat.press("down", "down", "m")
        await seat.until("nothing stands out that the 5 captured tracks do not explain")


async def test_find_all_listens_to_the_copies_and_tells_the_opposed_one(book):
    app = ReelturnApp(book)
    async with app.run_test(size=(80, 24)) as pilot:
        seat = Seat(pilot)
        await in_time(seat)
        await seat.press("a")
        await seat.until("open: R-3:2 mix right is opposed to")
        app.tick()
        assert "another program" not in seat.text  # the thread that listened is the program itself
        assert len(book.shelf.of_kind("tie")) + len(book.shelf.of_kind("claim")) > 1
        await seat.press("u")
        await seat.until("taken back: find all of Low Tide")  # each was kept as it was found; one act
        assert not book.shelf.of_kind("tie") and not book.shelf.of_kind("claim")
        await seat.press("ctrl+y", "escape", "p")
        await seat.until("open: R-3:2 mix right is opposed to")
