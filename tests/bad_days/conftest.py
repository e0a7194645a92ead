"""A shelf on which something goes wrong, and the command line that must say so in one line."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

import pytest

from core.store.studio.studio_toml import read_studio_file
from core.workbook.workbook import Workbook
from tui.cli import main

DEMO = Path(__file__).resolve().parents[2] / "demo"


@dataclass(frozen=True)
class Ran:
    """One process that has run."""

    status: int
    out: str
    err: str


@pytest.fixture
def now() -> Callable[[], datetime]:
    """An evening that stands still."""
    return lambda: datetime(2026, 12, 1, 18, 50, tzinfo=UTC)


@pytest.fixture
def book(tmp_path: Path, now: Callable[[], datetime]) -> Workbook:
    """The made-up shelf, with a few backups behind it."""
    book = Workbook.create(tmp_path / "tapes.json", read_studio_file(DEMO / "studio.toml"), now)
    book.import_files(sorted(DEMO.glob("*.csv")))
    book.mark("R-008", "conditioned")
    book.mark("R-013", "conditioned")
    return book


@pytest.fixture
def run(
    tmp_path: Path, capfd: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> Callable[..., Ran]:
    """Runs ``reelturn`` on the test's shelf, without a terminal; in a process of its own where it is to have
    another environment."""
    monkeypatch.setenv("REELTURN_SHELF", str(tmp_path / "tapes.json"))
    monkeypatch.chdir(tmp_path)

    def ran(*words: str, **environment: str) -> Ran:
        if environment:
            command = [sys.executable, "-m", "tui", *words]
            env = {**os.environ, **environment}
            done = subprocess.run(
                command, capture_output=True, env=env, stdin=subprocess.DEVNULL, timeout=120
            )
            return Ran(done.returncode, done.stdout.decode(), done.stderr.decode())
        capfd.readouterr()
        status = main(list(words))
        return Ran(status, *capfd.readouterr())

    return ran
