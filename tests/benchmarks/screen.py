"""How soon the full-screen program is there, on a shelf of a thousand reels.

    python tests/benchmarks/screen.py

Opening is measured in a pseudo-terminal of 120x40, from the start of the process until the last word of the
first full picture has been written, against a Textual program that has one empty table and nothing else; both
in turns, so that other load meets both, on the clock and in the processor's own time.
"""

from __future__ import annotations

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
LAST_WORDS = {"bare": b"lastword", "ours": b"not planned yet"}


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


def lay_out(folder: Path) -> Path:
    """A shelf of a thousand made-up reels, imported from files as a person would."""
    from core.store.studio.studio_toml import read_studio_file
    from core.workbook.workbook import Workbook

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


if __name__ == "__main__":
    main()
