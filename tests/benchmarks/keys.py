"""How soon the full-screen program has answered a key, on a shelf of a thousand reels.

    python tests/benchmarks/keys.py [--each]

Keys are pressed inside the program, headless, at 120x40 with all that a terminal would see: the picture is
turned into the terminal's bytes too. A key is answered when the *last* picture that it leads to stands: after
it the program looks twelve times, 5 ms apart, whether there is something to do, and draws nothing. Both the
clock and the processor's own time are told, and the processor time that is spent after that last picture, so
that work put off is seen as well. The first key comes when all that is loaded ahead is there. ``--each``
tells every kind of key apart.
"""

from __future__ import annotations

import argparse
import asyncio
import statistics
import sys
import tempfile
import time
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT))

from tests.benchmarks.screen import REELS, lay_out  # noqa: E402
from tui.app import ReelturnApp  # noqa: E402
from tui.memory import hold  # noqa: E402
from tui.workers.ahead import LATER, at_ease  # noqa: E402

QUIET_LOOKS = 12
GROUPS: dict[str, Sequence[str]] = {
    "moving (down, page, end, home)": ["down"] * 60 + ["pagedown"] * 20 + ["end", "home"] * 10,
    "finding as one types": ["slash", *"low tide", *["backspace"] * 6, *"arram", "escape"] * 4,
    "a note and the next reel": ["n", "o", "k", "enter", "down"] * 8,
    "a reel set aside, with the reason, and its undo": ["home", *["x", "o", "k", "enter", "u", "down"] * 8],
    "cards, filter and pages, and out again": ["enter", "escape", "f", "escape", "question_mark", "escape"]
    * 6,
    "from place to place": ["t", "c", "w", "c", "s", "c", "f2", "c"] * 4,
}


@dataclass(frozen=True, slots=True)
class Answer:
    """What one key took, in milliseconds: on the clock, of processor time, and of that after the picture."""

    clock: float
    spent: float
    spent_after: float
    pictures: int


class Watched(ReelturnApp):
    """The program, telling of each picture."""

    CSS_PATH = str(ROOT / "tui" / "app.tcss")
    drawn = (0.0, 0.0)
    pictures = 0

    def _display(self, screen: Any, renderable: Any) -> None:
        super()._display(screen, renderable)
        if renderable is not None:
            renderable.render_segments(self.console)
            self.drawn = (time.perf_counter(), time.process_time())
            self.pictures += 1


async def answer(app: Watched, key: str) -> Answer:
    """Presses a key and waits until nothing is drawn any more."""
    begin, spent, before = time.perf_counter(), time.process_time(), app.pictures
    app.drawn = (begin, spent)
    app.simulate_key({" ": "space"}.get(key, key))
    seen, quiet = app.pictures, 0
    while quiet < QUIET_LOOKS:
        await asyncio.sleep(0.005)
        quiet = quiet + 1 if app.pictures == seen else 0
        seen = app.pictures
    clock, processor = app.drawn
    after = time.process_time() - processor
    return Answer((clock - begin) * 1000, (processor - spent) * 1000, after * 1000, seen - before)


async def press(path: Path, each: bool) -> None:
    """Presses all keys on the chart, group by group, and tells how long they took."""
    from textual.widgets import Input

    from core.workbook.workbook import Workbook

    hold()
    app = Watched(Workbook.open(path, lambda: datetime.now(UTC)), once_open=lambda: at_ease(app))
    everything: list[Answer] = []
    kinds: dict[str, list[Answer]] = {}
    async with app.run_test(size=(120, 40)) as pilot:
        while LATER[-1] not in sys.modules:  # a person has looked at the first picture for some seconds
            await pilot.pause(0.1)
        await pilot.pause(1.5)
        for name, keys in GROUPS.items():
            took = []
            for key in keys:
                for one in app.screen.query(Input):
                    one.cursor_blink = False  # a blink is no answer
                took.append(await answer(app, key))
                kinds.setdefault(f"{name[:12]} {key}", []).append(took[-1])
            everything += took
            print(f"{name}: {told(took)}")
    print(f"all {len(everything)} keys: {told(everything)}")
    for kind, took in kinds.items() if each else ():
        print(
            f"  {kind:24} {len(took):3} {told(took)}; {statistics.median(a.pictures for a in took):.0f} drawn"
        )


def told(took: Sequence[Answer]) -> str:
    """Median and 95th percentile, on the clock and of processor time."""
    clock, spent, after = ([getattr(one, name) for one in took] for name in ("clock", "spent", "spent_after"))
    return (
        f"median {statistics.median(clock):.1f} ms, 95th percentile {percentile(clock):.1f} ms on the clock; "
        f"{statistics.median(spent):.1f} and {percentile(spent):.1f} ms of processor time, "
        f"after the picture {percentile(after):.1f} ms"
    )


def percentile(values: list[float], share: float = 0.95) -> float:
    """The value below which that share of the values lies."""
    return sorted(values)[min(len(values) - 1, int(len(values) * share))]


def main() -> None:
    """Lays a shelf out and presses the keys."""
    options = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    options.add_argument("--each", action="store_true", help="tell every kind of key apart")
    given = options.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        print(f"{REELS} reels")
        asyncio.run(press(lay_out(Path(folder)), given.each))


if __name__ == "__main__":
    main()
