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
            pilot, lambda: any("machine time; " in line and " planned " in line for line in seen(pilot.app))
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


async def test_an_undo_during_a_search_ends_in_a_refusal(
    on_disk: Any, opened: Any, seen: Any, until: Any, monkeypatch: Any, tmp_path: Path
) -> None:
    """Reels came, the evenings are planned, and the import is taken back before the plan is kept."""
    from core.planning import plan_evenings as planner

    monkeypatch.setattr("tui.places.week.week.SECONDS", 0.0)
    rows = "reel,width,tracks,speed,eq,level,base,length,condition,stage\n"
    rows += "Z-9,1 in,16,15 ips,NAB,250 nWb/m,polyester,900 ft,ok,identified\n"
    (tmp_path / "z.csv").write_text(rows)
    on_disk.import_files([tmp_path / "z.csv"])
    search = planner.plan_evenings

    def searched(*given: Any, **more: Any) -> Any:
        found = search(*given, **more)
        on_disk.undo()
        return found

    monkeypatch.setattr(planner, "plan_evenings", searched)
    async with opened(on_disk) as pilot:
        await pilot.press("r")
        await until(pilot, lambda: any("planned: the first plan" in line for line in seen(pilot.app)))
        await until(pilot, lambda: "Z-9" not in pilot.app.shelf.reels)
        for key in ("down", "down", "enter", "escape", "l", "escape"):
            await pilot.press(key)
        await pilot.press("k")
        await until(pilot, lambda: any("the plan was not kept" in line for line in seen(pilot.app)))
        assert on_disk.plans.kept_plan() is None
        await pilot.press("c")
        await until(pilot, lambda: pilot.app.current_mode == "chart")
