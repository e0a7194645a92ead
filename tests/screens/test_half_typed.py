"""What is half typed is there again: after leaving, and after the program was ended."""

from __future__ import annotations

import json
import os
from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
from textual.events import Paste

from core.store.beside.half_typed import HalfTyped
from tui.frame.acts.draft_words import told


def _kept(path: Path) -> dict[str, str]:
    beside = path.with_name(f".{path.name}.typed")
    return json.loads(beside.read_text(encoding="utf-8")) if beside.exists() else {}


async def _half_a_note(pilot: Any, typed: Any) -> None:
    await pilot.press("n")
    await typed(pilot, "half a nø")


async def test_leaving_keeps_it_or_drops_it_as_one_chooses(
    book: Any, opened: Any, typed: Any, seen: Any, until: Any
) -> None:
    async with opened(book) as pilot:
        await _half_a_note(pilot, typed)
        await pilot.press("escape", "q")
        await until(pilot, lambda: any("half a nø" in line for line in seen(pilot.app)))
        await pilot.press("escape")
        assert not pilot.app._exit
        await pilot.press("q", "enter")
        await until(pilot, lambda: pilot.app._exit)
    async with opened(book) as pilot:
        await until(pilot, lambda: any("half typed when" in line for line in seen(pilot.app)))
        await pilot.press("n")
        await until(pilot, lambda: any("half a nø" in line for line in seen(pilot.app)[:20]))
        await pilot.press("escape", "q", "2")
        await until(pilot, lambda: pilot.app._exit)
    assert _kept(book.path) == {}


async def test_every_second_it_lies_beside_the_shelf_until_it_was_taken(
    book: Any, opened: Any, typed: Any, until: Any
) -> None:
    async with opened(book) as pilot:
        await _half_a_note(pilot, typed)
        pilot.app.tick()
        assert _kept(book.path) == {"note R-001": "half a nø"}
        await pilot.press("enter")
        await until(pilot, lambda: not pilot.app.drafts)
        pilot.app.tick()
        assert not book.path.with_name(f".{book.path.name}.typed").exists()


async def test_several_lines_that_are_pasted_are_one_line_and_a_long_note_is_read_again(
    book: Any, opened: Any, seen: Any, until: Any
) -> None:
    async with opened(book) as pilot:
        await pilot.press("n")
        await until(pilot, lambda: bool(pilot.app.screen.query("Input")))
        pilot.app.post_message(Paste("oxide on the guides after song two,\nstopped and cleaned at 12:40\n"))
        await until(pilot, lambda: "stopped and cleaned" in next(iter(pilot.app.drafts.values()), ""))
        await pilot.press("enter", "h", "enter")
        await until(pilot, lambda: any("and cleaned at 12:40" in line for line in seen(pilot.app)))


async def test_readings_of_a_line_up_are_kept_too(
    book: Any, opened: Any, typed: Any, seen: Any, until: Any
) -> None:
    async with opened(book) as pilot:
        await pilot.press("j")
        await until(pilot, lambda: any("Clean heads" in line for line in seen(pilot.app)))
        keys = [row.key for row in pilot.app.screen.query_one("ReadingGrid").rows]
        await pilot.press(*["space"] * 3, *["down"] * (keys.index("level-1000") - 3), "enter")
        await typed(pilot, "0.1 -0.3 ")
        pilot.app.tick()
        assert list(_kept(book.path).values()) == ["0.1 -0.3 "]


def test_two_programs_on_a_shelf_take_nothing_from_one_another(tmp_path: Path) -> None:
    shelf = tmp_path / "quay.json"
    one, two = HalfTyped(shelf), HalfTyped(shelf)
    one.keep({"a": "1"})
    assert two.found() == {}
    two.keep({"b": "2"})
    _died(one)
    _died(two)
    third = HalfTyped(shelf)
    assert third.found() == {"a": "1", "b": "2"} == _kept(shelf)
    third.keep({})
    assert list(tmp_path.iterdir()) == []


def _died(one: HalfTyped) -> None:
    """A program that dies lets go of its file, and leaves it there."""
    assert one._held is not None
    os.close(one._held[1])


@pytest.mark.parametrize("text", [b"", b'{"a": ', b"[1]", b"\xff\xfe"])
def test_a_file_that_was_half_written_tells_nothing(tmp_path: Path, text: bytes) -> None:
    shelf = tmp_path / "quay.json"
    shelf.with_name(".quay.json.typed").write_bytes(text)
    assert HalfTyped(shelf).found() == {}


async def test_half_a_box_is_told_as_the_next_box(
    book: Any, opened: Any, typed: Any, seen: Any, until: Any
) -> None:
    async with opened(book) as pilot:
        await pilot.press("p", "1")
        await until(pilot, lambda: bool(pilot.app.screen.query("Input")))
        await typed(pilot, "Half a box")
        await pilot.press("escape", "q", "enter")
        await until(pilot, lambda: pilot.app._exit)
    async with opened(book) as pilot:
        told = "half typed when the program ended: the next box: Half a box; it stands there"
        await until(pilot, lambda: told in " ".join(" ".join(seen(pilot.app)).split()))


@pytest.fixture
def loaded(book: Any, opened: Any, seen: Any, until: Any) -> Callable[..., Any]:
    """Two sticky tapes wait; asks to load those that are named, while nobody is home to the end."""
    sticky = replace(book.shelf.reel("R-008"), base_seen="yes")
    nowhere = replace(book.shelf.reel("R-002"), chamber="", loaded_at=None)
    book.lay_out(book.shelf.with_reel(nowhere, sticky, replace(sticky, key="R-012")))

    async def ask(pilot: Any, *keys: str) -> Any:
        await pilot.press("l")
        await until(pilot, lambda: bool(pilot.app.screen.query("Toggles")))
        toggles = pilot.app.screen.query_one("Toggles")
        toggles.ticked = frozenset({"chamber C1", *(f"reel {key}" for key in keys)})
        await pilot.press("enter")
        alone = "a warm chamber is never left alone"
        await until(pilot, lambda: alone in " ".join(" ".join(seen(pilot.app)).split()))
        return pilot.app.screen.query_one("Input")

    return ask


WHY = "I sit up with it"


async def test_a_reason_that_was_taken_stands_in_no_line_any_more(
    book: Any, opened: Any, loaded: Any, typed: Any, until: Any
) -> None:
    """It stood ready at the next night's load, which a second Enter began."""
    async with opened(book) as pilot:
        await loaded(pilot, "R-008")
        await typed(pilot, WHY)
        await pilot.press("enter")
        await until(pilot, lambda: book.shelf.reel("R-008").chamber == "C1")
        await until(pilot, lambda: not pilot.app.screen.query("Toggles"))
        pilot.app.tick()
        assert not pilot.app.drafts and _kept(book.path) == {}
        await pilot.press("u")
        await until(pilot, lambda: not book.shelf.reel("R-008").chamber)
        for keys in (("R-008",), ("R-012",)):
            line = await loaded(pilot, *keys)
            assert line.value == ""
            await pilot.press("enter", "escape", "escape")
        assert not book.shelf.reel("R-008").chamber and not book.shelf.reel("R-012").chamber


async def test_half_a_reason_is_for_that_load_of_that_night_alone_and_never_taken_unseen(
    book: Any, opened: Any, loaded: Any, typed: Any, seen: Any, until: Any
) -> None:
    async with opened(book) as pilot:
        await loaded(pilot, "R-008")
        await typed(pilot, WHY)
        await pilot.press("escape", "escape")
        assert list(pilot.app.drafts) == ["because load C1 of R-008, 2026-12-01"]
        line = await loaded(pilot, "R-012")
        assert line.value == ""
        await pilot.press("escape", "escape")
        line = await loaded(pilot, "R-008")
        assert line.value == WHY, "nothing that was typed is lost"
        await pilot.press("enter")
        await until(pilot, lambda: any("typed before and not taken" in line for line in seen(pilot.app)))
        assert not book.shelf.reel("R-008").chamber
        await pilot.press("escape", "escape")
        book.moment += timedelta(days=1)
        line = await loaded(pilot, "R-008")
        assert line.value == ""
        await pilot.press("escape", "escape")
        book.moment -= timedelta(days=1)
        await loaded(pilot, "R-008")
        await pilot.press("enter", "enter")
        await until(pilot, lambda: book.shelf.reel("R-008").chamber == "C1")
        assert not pilot.app.drafts


def test_a_reason_is_told_by_its_step_and_day() -> None:
    assert told("because load C1 of R-008, 2026-12-01") == "why load C1 of R-008, Tue 1 Dec"
    assert told("note 2026-19-41") == "a note on 2026-19-41"
