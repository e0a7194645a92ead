"""How soon the full-screen program is there, and how soon it answers a key, on a shelf of a thousand reels.

    python tests/benchmarks/screen.py

Opening is measured in a pseudo-terminal of 120x40, from the start of the process until the last word of the
first full picture has been written, against a Textual program that has one empty table and nothing else; both
in turns, so that other load meets both, on the clock and in the processor's own time. Keys are measured
inside the program, headless, from the key until the screen has been drawn anew, both ways too.
"""

from __future__ import annotations

import asyncio
import os
import pty
import resource
import select
import statistics
import struct
import subprocess
import sys
import tempfile
import time
from datetime import UTC, datetime
from fcntl import ioctl
from pathlib import Path
from termios import TIOCSWINSZ
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tui.app import ReelturnApp

ROOT = Path(__file__).resolve().parents[2]
REELS = 1000
RUNS = 9
#: Compiled modules are kept, as they are after any installation.
ENVIRONMENT = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
BARE = """
from textual.app import App
from textual.widgets import DataTable
class Bare(App):
    def compose(self):
        table = DataTable()
        table.add_columns("reel", "format", "lastword")
        yield table
Bare().run()
"""
OURS = "import sys; from tui.cli import main; sys.exit(main(['--shelf', sys.argv[1]]))"
LAST_WORDS = {"bare": b"lastword", "ours": b"machine time left"}


def main() -> None:
    """Lays a shelf out, measures both, and prints medians and the ratio."""
    with tempfile.TemporaryDirectory() as folder:
        shelf = lay_out(Path(folder))
        commands = {"bare": [sys.executable, "-c", BARE], "ours": [sys.executable, "-c", OURS, str(shelf)]}
        times: dict[str, list[tuple[float, float]]] = {name: [] for name in commands}
        for _ in range(RUNS):
            for name, command in commands.items():
                times[name].append(until_painted(command, LAST_WORDS[name]))
        for number, what in enumerate(("on the clock", "of processor time")):
            bare, ours = (statistics.median(one[number] for one in times[name][1:]) for name in commands)
            ratio = f"bare {bare:.0f} ms, {REELS} reels {ours:.0f} ms, {ours / bare:.2f} times"
            print(f"first full frame, {what}: {ratio}")
        asyncio.run(answer_keys(shelf))


def lay_out(folder: Path) -> Path:
    """A shelf of a thousand made-up reels, imported from files as a person would."""
    from core.store.studio_toml import read_studio_file
    from core.workbook import Workbook

    studio = ROOT / "demo" / "studio.toml"
    book = Workbook.create(folder / "long.json", read_studio_file(studio), lambda: datetime.now(UTC))
    rows = (ROOT / "demo" / "reels.csv").read_text(encoding="utf-8").splitlines()
    body = [row for row in rows[1:] if not row.startswith("CAL")]
    many = [rows[0], *(f"L-{n:04},{body[n % len(body)].partition(',')[2]}" for n in range(REELS))]
    (folder / "reels.csv").write_text("\n".join(many) + "\n", encoding="utf-8")
    book.import_files([folder / "reels.csv"])
    return book.path


def until_painted(command: list[str], word: bytes) -> tuple[float, float]:
    """Milliseconds from starting the process until that word was on its terminal; and of processor time."""
    ours, theirs = pty.openpty()
    ioctl(ours, TIOCSWINSZ, struct.pack("HHHH", 40, 120, 0, 0))
    environment = {
        **ENVIRONMENT,
        "TERM": "xterm-256color",
        "COLUMNS": "120",
        "LINES": "40",
        "PYTHONPATH": str(ROOT),
    }
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    begin = time.perf_counter()
    process = subprocess.Popen(
        command, stdin=theirs, stdout=theirs, stderr=theirs, env=environment, close_fds=True
    )
    os.close(theirs)
    seen = b""
    try:
        while word not in seen and time.perf_counter() - begin < 20:
            if select.select([ours], [], [], 0.2)[0]:
                seen += os.read(ours, 65536)
        took = (time.perf_counter() - begin) * 1000
    finally:
        process.kill()
        process.wait()
        os.close(ours)
    if word not in seen:
        raise SystemExit(f"{word!r} was never written; the end of what was: {seen[-400:]!r}")
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    spent = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
    return took, spent * 1000


async def answer_keys(path: Path) -> None:
    """Presses keys on the chart and tells how long each took until its picture was there."""
    from core.workbook import Workbook
    from tui.app import ReelturnApp

    app = ReelturnApp(Workbook.open(path, lambda: datetime.now(UTC)))
    groups = {
        "moving (down, page, end, home)": ["down"] * 60 + ["pagedown"] * 20 + ["end", "home"] * 10,
        "finding as one types": ["slash", *"low tide", *["backspace"] * 6, *"arram", "escape"] * 4,
        "a stage and its undo, on the disk": ["n", "o", "k", "enter", "down"] * 8,
    }
    async with app.run_test(size=(120, 40)) as pilot:
        await pilot.pause(0.5)
        everything: list[tuple[float, float]] = []
        for name, keys in groups.items():
            took = [await one_key(app, key) for key in keys]
            everything += took
            await pilot.pause()
            print(f"{name}: {told(took)}")
        print(f"all {len(everything)} keys: {told(everything)}")


async def one_key(app: ReelturnApp, key: str) -> tuple[float, float]:
    """Milliseconds until the key's work is done and the screen has been drawn; and of processor time."""
    drawn = asyncio.Event()
    begin, spent = time.perf_counter(), time.process_time()
    app.simulate_key({" ": "space"}.get(key, key))
    await asyncio.sleep(0)
    app.call_after_refresh(drawn.set)
    await drawn.wait()
    return (time.perf_counter() - begin) * 1000, (time.process_time() - spent) * 1000


def told(took: list[tuple[float, float]]) -> str:
    """Median and 95th percentile, on the clock and of processor time."""
    clock, spent = ([one[number] for one in took] for number in (0, 1))
    return (
        f"median {statistics.median(clock):.1f} ms, 95th percentile {percentile(clock):.1f} ms on the clock; "
        f"{statistics.median(spent):.1f} and {percentile(spent):.1f} ms of processor time"
    )


def percentile(values: list[float], share: float = 0.95) -> float:
    """The value below which that share of the values lies."""
    return sorted(values)[min(len(values) - 1, int(len(values) * share))]


if __name__ == "__main__":
    main()
