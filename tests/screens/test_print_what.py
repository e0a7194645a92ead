"""Printing by key: tonight's order first, the reel under the cursor, ticks that are kept, the printer."""

from __future__ import annotations

from pathlib import Path
from typing import Any


def told(seen: Any, app: Any, words: str) -> bool:
    return any(words in line for line in seen(app))


async def test_the_reel_under_the_cursor_is_printed(
    on_disk: Any, opened: Any, seen: Any, until: Any, tmp_path: Path
) -> None:
    async with opened(on_disk) as pilot:
        await pilot.press("o")
        await until(pilot, lambda: told(seen, pilot.app, "all sheets of R-001: card"))
        await pilot.press("home", "down")
        await pilot.press("enter")
        await until(pilot, lambda: told(seen, pilot.app, "printed into"))
        assert (tmp_path / "paper" / "cards-R-001.pdf").exists()


async def test_what_is_ticked_is_kept_for_everything(
    on_disk: Any, opened: Any, seen: Any, until: Any, tmp_path: Path
) -> None:
    async with opened(on_disk) as pilot:
        await pilot.press("o")
        await until(pilot, lambda: told(seen, pilot.app, "[x] work orders of the kept plan"))
        await pilot.press("home", "down", "down", "down", "space", "down", "space", "up", "up", "enter")
        await until(pilot, lambda: told(seen, pilot.app, "printed into"))
        assert on_disk.papers.in_one_go == ("labels",)
        assert [path.name.split("-")[0] for path in (tmp_path / "paper").glob("*.pdf")] == ["labels"]
        await pilot.press("o")
        await until(pilot, lambda: told(seen, pilot.app, "[x] box labels"))
        assert told(seen, pilot.app, "[ ] work orders of the kept plan")


async def test_without_a_printer_the_key_says_so(
    on_disk: Any, opened: Any, seen: Any, until: Any, monkeypatch: Any, tmp_path: Path
) -> None:
    monkeypatch.setenv("PATH", str(tmp_path))
    async with opened(on_disk) as pilot:
        await pilot.press("f12")
        await until(pilot, lambda: told(seen, pilot.app, "this system has no lp command"))
        assert not on_disk.shelf.of_kind("setting").get("printer")
        await pilot.press("o")
        await until(pilot, lambda: told(seen, pilot.app, "into the folder: no printer here"))
        await pilot.press("f12")
        await until(pilot, lambda: told(seen, pilot.app, "! this system has no lp command"))


async def test_title_and_keys_are_seen_at_eighty_by_twenty_four(book: Any, opened: Any, seen: Any) -> None:
    async with opened(book, (80, 24)) as pilot:
        await pilot.press("o")
        await pilot.pause()
        told = "\n".join(seen(pilot.app))
        assert "│ Print" in told and "Enter prints" in told and "Tab goes to the folder" in told
