"""The screen on a real file: marks are on the disk, another program's marks are on the screen."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from core.workbook.workbook import Workbook


async def test_a_mark_is_on_the_disk_and_can_be_taken_back(
    on_disk: Any, opened: Any, until: Any, evening: Any
) -> None:
    def on_file() -> str:
        return Workbook.open(on_disk.path, lambda: evening).shelf.reels["R-003"].stage

    async with opened(on_disk) as pilot:
        await pilot.press("down", "down", "space")
        await until(pilot, lambda: on_file() == "aligned")
        await pilot.press("u")
        await until(pilot, lambda: on_file() == "conditioned")
        await pilot.press("u")  # the next one back is the laying out itself
        await until(pilot, lambda: "R-003" not in on_disk.shelf.reels)


async def test_a_second_program_marks_while_the_screen_is_open(
    on_disk: Any, opened: Any, seen: Any, until: Any, evening: Any
) -> None:
    other = Workbook.open(on_disk.path, lambda: evening)
    async with opened(on_disk) as pilot:
        other.note("R-001", "seen from the other terminal")
        other.mark("R-006", "verified", because="listened to all of it")
        pilot.app.tick()
        await until(pilot, lambda: any("verified 2" in line for line in seen(pilot.app)))
        await pilot.press("slash", *"terminal")
        await until(pilot, lambda: any("note: seen from" in line for line in seen(pilot.app)))


async def test_planning_keeping_and_printing_from_inside(
    on_disk: Any, opened: Any, seen: Any, until: Any, tmp_path: Path, monkeypatch: Any
) -> None:
    monkeypatch.setattr("tui.places.week.week.SECONDS", 0.0)  # the first valid plan
    async with opened(on_disk) as pilot:
        await pilot.press("r")
        await until(pilot, lambda: any("planned: the first plan" in line for line in seen(pilot.app)))
        await pilot.press("k")
        await until(pilot, lambda: on_disk.plans.kept_plan() is not None)
        assert on_disk.plans.kept_plan().number == 1
        await pilot.press("o")
        await until(pilot, lambda: any("work orders of the kept plan" in line for line in seen(pilot.app)))
        await pilot.press("enter")
        await until(pilot, lambda: any("printed into" in line for line in seen(pilot.app)))
        assert list((tmp_path / "paper").glob("*.pdf"))
        await pilot.press("c")
        await until(
            pilot, lambda: any(" evenings" in line and "machine time" in line for line in seen(pilot.app))
        )


async def test_a_thousand_reels_are_shown_and_gone_through(
    book_of: Any, long_shelf: Any, opened: Any, seen: Any, until: Any
) -> None:
    async with opened(book_of(long_shelf)) as pilot:
        await pilot.press("end")
        await until(pilot, lambda: any("R-0999" in line for line in seen(pilot.app)))
        await pilot.press("pageup", "home")
        await until(pilot, lambda: any("R-0000" in line for line in seen(pilot.app)))
        assert len(pilot.app.board._rows) < 200  # only what was seen is worked out
