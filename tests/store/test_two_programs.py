"""Two programs on one shelf lose nothing, and a killed one loses nothing that it acknowledged."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

from core.workbook.workbook import Workbook

WRITER = """
import sys
from datetime import datetime, UTC
from pathlib import Path
from core.workbook.workbook import Workbook
path, name, count = Path(sys.argv[1]), sys.argv[2], int(sys.argv[3])
book = Workbook.open(path, lambda: datetime(2026, 12, 1, 19, tzinfo=UTC))
print("ready", flush=True)
for number in range(count):
    book.note("R-001", f"{name} {number}")
    print(number, flush=True)
"""


def start(path: Path, name: str, count: int) -> subprocess.Popen[str]:
    """A process that drops notes on the shelf and says each that is on the disk."""
    command = [sys.executable, "-c", WRITER, str(path), name, str(count)]
    return subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)


def notes(workbook: Workbook) -> list[str]:
    """The notes on the disk."""
    return [event.note for event in workbook.reel_history() if event.field == "note"]


def test_three_processes_hammering_lose_nothing(
    book: Workbook, reopened: Callable[[Workbook], Workbook]
) -> None:
    writers = [start(book.path, name, 40) for name in ("one", "two", "three")]
    told = [writer.communicate(timeout=60) for writer in writers]
    assert all(writer.returncode == 0 for writer in writers), told
    kept = notes(reopened(book))
    assert sorted(kept) == sorted(f"{name} {n}" for name in ("one", "two", "three") for n in range(40))
    for name in ("one", "two", "three"):
        assert [n for n in kept if n.startswith(f"{name} ")] == [f"{name} {n}" for n in range(40)]


def test_killed_at_any_moment_nothing_acknowledged_is_lost(
    book: Workbook, reopened: Callable[[Workbook], Workbook]
) -> None:
    for attempt in range(8):
        name = f"life {attempt}"
        writer = start(book.path, name, 100_000)
        assert writer.stdout is not None and writer.stdout.readline() == "ready\n"
        time.sleep(0.02 + 0.013 * attempt)
        os.kill(writer.pid, signal.SIGKILL)
        acknowledged = [line for line in writer.stdout.read().splitlines() if line]
        writer.wait()
        kept = [note for note in notes(reopened(book)) if note.startswith(name)]
        assert kept[: len(acknowledged)] == [f"{name} {n}" for n in acknowledged]
        assert len(kept) <= len(acknowledged) + 1  # one may be on the disk that was not told of yet
    book.note("R-001", "after all that")
    assert notes(reopened(book))[-1] == "after all that"


def test_the_open_screen_notices_what_another_program_wrote(
    book: Workbook, reopened: Callable[[Workbook], Workbook]
) -> None:
    assert not book.reload()
    reopened(book).mark("R-008", "conditioned")
    assert book.reload()
    assert book.shelf.reel("R-008").stage == "conditioned"
    assert not book.reload()


def test_a_change_is_applied_to_what_is_there_now(
    book: Workbook, reopened: Callable[[Workbook], Workbook]
) -> None:
    reopened(book).mark("R-008", "conditioned")
    book.mark("R-013", "conditioned")
    assert {book.shelf.reel(key).stage for key in ("R-008", "R-013")} == {"conditioned"}
    assert book.shelf == reopened(book).shelf
