"""The command line, run inside the test: what it printed, what it said, and its exit status."""

from __future__ import annotations

import json
import shutil
from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from alarmshelf import NOW, Clock, lay_out

from tui.cli import main

DEMO = Path(__file__).resolve().parents[2] / "demo"


@dataclass(frozen=True)
class Ran:
    """One command line that has run."""

    status: int
    out: str
    err: str

    @property
    def json(self) -> Any:
        """The one document that it printed."""
        return json.loads(self.out)


Run = Callable[..., Ran]


EVENING = datetime(2026, 12, 1, 18, 52, 31, tzinfo=UTC)


@pytest.fixture
def run(capfd: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Run:
    """Runs a command line on the test's own shelf, on an evening that stands still."""
    monkeypatch.setenv("REELTURN_SHELF", str(tmp_path / "tapes.json"))
    monkeypatch.setenv("REELTURN_DEBUG", "1")
    monkeypatch.setattr("tui.commands.command.now", lambda: EVENING)
    monkeypatch.chdir(tmp_path)

    def ran(*words: str) -> Ran:
        capfd.readouterr()
        status = main(list(words))
        out, err = capfd.readouterr()
        return Ran(status, out, err)

    return ran


@pytest.fixture
def demo() -> Path:
    """The folder with the made-up shelf's files."""
    return DEMO


@pytest.fixture(scope="session")
def made_up(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder of the made-up shelf, started and filled by the command line; tests work on copies."""
    folder = tmp_path_factory.mktemp("made-up")
    with pytest.MonkeyPatch.context() as patched:
        patched.setenv("REELTURN_SHELF", str(folder / "tapes.json"))
        patched.setattr("tui.commands.command.now", lambda: EVENING)
        assert main(["new", "--studio", str(DEMO / "studio.toml")]) == 0
        assert main(["import", *(str(file) for file in sorted(DEMO.glob("*.csv")))]) == 0
    return folder


@pytest.fixture
def shelf(run: Run, made_up: Path, tmp_path: Path) -> Path:
    """The made-up shelf, a copy of the test's own."""
    shutil.copytree(made_up, tmp_path, dirs_exist_ok=True)
    return tmp_path / "tapes.json"


@pytest.fixture(scope="session")
def ran_before(tmp_path_factory: pytest.TempPathFactory) -> Callable[[Any], tuple[Path, list[Ran]]]:
    """By what was run: a folder of its own, and what it said; empty until it has run once."""
    return cache(lambda lines: (tmp_path_factory.mktemp("ran"), []))


Lines = tuple[str, ...]


@pytest.fixture
def once(run: Run, shelf: Path, ran_before: Callable[[Any], tuple[Path, list[Ran]]]) -> Callable[..., Ran]:
    """``once(("plan", "--effort", "1"))``: command lines on the made-up shelf as it is at first.

    The first test of a session that wants them runs them; later ones get the folder and what the last line
    said as they were then.
    """

    def ran(*lines: Lines) -> Ran:
        folder, said = ran_before(lines)
        if said:
            shutil.copytree(folder, shelf.parent, dirs_exist_ok=True)
        else:
            said.extend([run(*line) for line in lines])
            shutil.copytree(shelf.parent, folder, dirs_exist_ok=True)
        return said[-1]

    return ran


@pytest.fixture
def clock(run: Run, monkeypatch: pytest.MonkeyPatch) -> Clock:
    """The moment at which commands run on the shelf of alarms."""
    clock = Clock()
    monkeypatch.setattr("tui.commands.command.now", lambda: clock.at)
    return clock


@pytest.fixture(scope="session")
def laid_out(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A shelf with a load, two transfers and a line-up planned at noon; tests work on copies."""
    folder = tmp_path_factory.mktemp("alarms")
    with pytest.MonkeyPatch.context() as patched:
        patched.chdir(folder)
        patched.setenv("REELTURN_SHELF", str(folder / "tapes.json"))
        patched.setattr("tui.commands.command.now", lambda: NOW)
        return lay_out(folder, main)


@pytest.fixture
def there(run: Run, clock: Clock, laid_out: Path, tmp_path: Path) -> Run:
    """Runs a command line on a copy of that shelf."""
    shutil.copy(laid_out, tmp_path / "tapes.json")
    return run
