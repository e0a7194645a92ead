"""No room, no right, a lock that nobody lets go of: one line, and the shelf is untouched."""

from __future__ import annotations

import errno
import os
import resource
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from core.errors import Refused, Unusable
from core.store.disk import lock
from core.workbook.workbook import Workbook


def test_a_full_disk_leaves_the_shelf_untouched(
    book: Workbook, monkeypatch: pytest.MonkeyPatch, now: Callable[[], Any]
) -> None:
    before, names = book.path.read_bytes(), sorted(os.listdir(book.path.parent))

    def full(descriptor: int) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    with monkeypatch.context() as patched:
        patched.setattr(os, "fsync", full)
        with pytest.raises(Unusable, match="no room left on the disk"):
            book.mark("R-021", "verified", because="listened")
    assert book.path.read_bytes() == before and sorted(os.listdir(book.path.parent)) == names
    assert book.mark("R-021", "verified", because="listened").reel("R-021").stage == "verified"
    assert Workbook.open(book.path, now).shelf.reel("R-021").stage == "verified"


def test_a_write_that_really_runs_out_of_room(book: Workbook) -> None:
    before = book.path.read_bytes()
    limit = len(before) // 2
    script = (
        "import resource, signal, sys\n"
        "signal.signal(signal.SIGXFSZ, signal.SIG_IGN)\n"
        f"resource.setrlimit(resource.RLIMIT_FSIZE, ({limit}, {limit}))\n"
        "from tui.cli import main\n"
        f"sys.exit(main(['--shelf', {str(book.path)!r}, 'note', 'R-001', 'no room']))\n"
    )
    done = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, timeout=60)
    assert done.returncode == 2 and "no room left on the disk" in done.stderr, done.stderr
    assert len(done.stderr.splitlines()) == 1
    assert book.path.read_bytes() == before
    assert [name for name in os.listdir(book.path.parent) if name.endswith(".new")] == []
    assert resource.getrlimit(resource.RLIMIT_FSIZE)[0] != limit


def test_a_lock_that_nobody_lets_go_of_is_waited_for_and_told_of(
    book: Workbook, monkeypatch: pytest.MonkeyPatch
) -> None:
    before = book.path.read_bytes()
    monkeypatch.setattr(lock, "WAIT_SECONDS", 0.05)
    with lock.locked(book.path), pytest.raises(Refused, match="another program is writing"):
        book.note("R-001", "while it is held")
    assert book.path.read_bytes() == before
    book.note("R-001", "and then it is free")


def test_an_export_where_nothing_can_be_written_is_told_of(book: Workbook, tmp_path: Path) -> None:
    (tmp_path / "taken").write_text("a file")
    with pytest.raises(Unusable, match="no folder can be made there"):
        book.export(tmp_path / "taken" / "out")


def test_without_hard_links_backups_are_copies(book: Workbook, monkeypatch: pytest.MonkeyPatch) -> None:
    def no_links(*_: Any, **__: Any) -> None:
        raise OSError(errno.EPERM, "Operation not permitted")

    monkeypatch.setattr(os, "link", no_links)
    before = book.path.read_bytes()
    book.note("R-001", "on a stick")
    from core.store.disk.backups import backups_of

    assert backups_of(book.path)[0].path.read_bytes() == before
