"""What is left out so that the screen answers soon, and that nothing is left out which would be missed."""

from __future__ import annotations

import subprocess
import sys
from typing import Any

import screenwait
from textual.geometry import Size
from textual.screen import Screen

from tui.places.chart.chart_list import ChartList


def first_line_style(app: Any) -> Any:
    """The style of what the first line of the list shows."""
    return app.screen.query_one(ChartList).render_line(1)._segments[0].style


async def test_a_question_is_laid_out_once_for_its_size(
    on_disk: Any, opened: Any, until: Any, monkeypatch: Any
) -> None:
    sizes: list[tuple[str, Size | None]] = []
    layout = Screen._refresh_layout

    def counted(screen: Any, size: Size | None = None, scroll: bool = False) -> None:
        sizes.append((type(screen).__name__, size))
        layout(screen, size, scroll)

    async with opened(on_disk) as pilot:
        monkeypatch.setattr(Screen, "_refresh_layout", counted)
        await pilot.press("n")
        await until(pilot, lambda: type(pilot.app.screen).__name__ == "AskText")
        await pilot.pause(0.1)
        assert sizes.count(("AskText", Size(80, 24))) == 1
        assert not [one for one in sizes if one[0] == "ChartScreen" and one[1] is not None]


async def test_a_question_stays_in_the_middle_when_the_terminal_grows(
    on_disk: Any, opened: Any, until: Any, seen: Any
) -> None:
    async with opened(on_disk) as pilot:
        await pilot.press("n")
        await until(pilot, lambda: any("Note on" in line for line in seen(pilot.app)))
        await pilot.resize_terminal(120, 40)
        await until(pilot, lambda: len(seen(pilot.app)) == 40)
        await until(pilot, lambda: next(r for r, t in enumerate(seen(pilot.app)) if "Note on" in t) > 12)
        await pilot.press("escape")
        await until(pilot, lambda: any("machine time" in line for line in seen(pilot.app)))
        assert len(seen(pilot.app)) == 40


async def test_a_look_chosen_in_another_place_is_there_on_coming_back(
    on_disk: Any, opened: Any, until: Any
) -> None:
    async with opened(on_disk) as pilot:
        app = pilot.app
        dark = first_line_style(app)
        await pilot.press("s")
        await until(pilot, lambda: app.current_mode == "songs")
        await pilot.press("f8")
        await until(pilot, lambda: app.theme == "reelturn-light")
        await pilot.press("c")
        await until(pilot, lambda: app.current_mode == "chart" and app.screen.is_current)
        await until(pilot, lambda: first_line_style(app) != dark)


async def test_a_change_of_one_reel_draws_its_line_and_no_other(
    on_disk: Any, opened: Any, until: Any, monkeypatch: Any
) -> None:
    drawn: list[str] = []
    strip = ChartList._strip

    def told(listed: Any, told: Any) -> Any:
        drawn.append("".join(text for text, _ in told[0] or ()))
        return strip(listed, told)

    async with opened(on_disk) as pilot:
        app = pilot.app
        app.screen.rows.go_to("R-010")
        await pilot.pause()
        screenwait.painted(app)
        monkeypatch.setattr(ChartList, "_strip", told)
        key = app.screen.rows.key
        app.do(lambda: app.book.mark(key, "identified", because="seen through its bag"))
        await until(pilot, lambda: app.book.shelf.reel(key).stage == "identified")
        screenwait.painted(app)
        assert {line.strip("› ").split()[0] for line in drawn} == {key}


def test_the_search_for_unused_memory_waits_for_the_first_picture() -> None:
    program = (
        "import gc; from tui.memory import hold, settle; hold();"
        "print(gc.isenabled(), gc.get_freeze_count());"
        "settle(); print(gc.isenabled(), gc.get_freeze_count() > 1000, gc.get_threshold()[0] > 700)"
    )
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True)
    assert done.stdout.split() == ["False", "0", "True", "True", "True"]
