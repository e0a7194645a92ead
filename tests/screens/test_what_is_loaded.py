"""At the first paint nothing is loaded that only later work needs."""

from __future__ import annotations

import subprocess
import sys
from typing import Any

HEAVY = ("pint", "ortools", "numpy", "scipy", "reportlab", "icalendar", "soundfile", "pandas")
FIRST_PAINT = """
import asyncio, dataclasses, sys
from datetime import UTC, datetime
from pathlib import Path
import core.tape.sources, tui.commands.open_screen
from core.workbook.workbook import Workbook
from tui.app import ReelturnApp

def filled():  # kinds of values that were made, by whether one was filled
    ours = [vars(module) for name, module in sys.modules.items() if name.startswith(("core.", "tui."))]
    kinds = {one for told in ours for one in told.values() if isinstance(one, type)
             and dataclasses.is_dataclass(one) and one.__module__.startswith(("core.", "tui."))}
    frozen = [one for one in kinds if one.__setattr__ is not object.__setattr__]
    return sum(one.__init__.__name__ == "__init__" for one in frozen), len(frozen)

async def main():
    app = ReelturnApp(Workbook.open(Path(sys.argv[1]), lambda: datetime(2026, 12, 1, 18, 52, tzinfo=UTC)))
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        assert app.screen.rows.count == 13
        print("loaded", *sorted({name.partition(".")[0] for name in sys.modules}))
        print("ours", *sorted(name for name in sys.modules if name.startswith(("tui.", "core."))))
        print("filled", *filled())
        print("sources", core.tape.sources.sources.cache_info().currsize)

asyncio.run(main())
"""


def test_the_first_paint_loads_no_heavy_library_and_no_other_place(on_disk: Any) -> None:
    done = subprocess.run(
        [sys.executable, "-c", FIRST_PAINT, str(on_disk.path)], capture_output=True, text=True, check=True
    )
    lines = dict(line.split(" ", 1) for line in done.stdout.splitlines() if " " in line)
    assert not set(lines["loaded"].split()) & set(HEAVY)
    later = {
        "tui.places.week.week",
        "tui.places.songs.songs",
        "tui.asking.card",
        "core.planning",
        "core.paper",
    }
    assert later.isdisjoint(lines["ours"].split())
    assert {"argparse", "gettext", "hashlib"}.isdisjoint(lines["loaded"].split())
    assert len(lines["ours"].split()) <= 215
    filled, kinds = map(int, lines["filled"].split())
    assert kinds > 90 and 2 * filled < kinds, "a value that nobody fills writes no function for it"
    assert lines["sources"] == "0", "who wrote a figure down is read when somebody asks"


LOOKED_AT = """
import asyncio, sys
from datetime import UTC, datetime
from pathlib import Path
from core.workbook.workbook import Workbook
from tui.app import ReelturnApp
from tui.workers.ahead import LATER, at_ease

async def main():
    clock = lambda: datetime(2026, 12, 1, 18, 52, tzinfo=UTC)
    app = ReelturnApp(Workbook.open(Path(sys.argv[1]), clock), once_open=lambda: at_ease(app))
    async with app.run_test(size=(80, 24)) as pilot:
        while not set(LATER) <= set(sys.modules):
            await pilot.pause(0.05)
        print("loaded", *sorted({name.partition(".")[0] for name in sys.modules}))

asyncio.run(main())
"""


def test_what_is_loaded_ahead_is_every_place_and_no_heavy_library(on_disk: Any) -> None:
    done = subprocess.run(
        [sys.executable, "-c", LOOKED_AT, str(on_disk.path)],
        capture_output=True, text=True, check=True, timeout=120,
    )  # fmt: skip
    assert not set(done.stdout.split()) & set(HEAVY)
