"""Heavy packages load only when their work starts: told by the modules loaded, in a clean process."""

from __future__ import annotations

import json
import subprocess
import sys
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

import pytest

from core.store.studio.studio_toml import read_studio_file
from core.workbook.workbook import Workbook

DEMO = Path(__file__).resolve().parents[2] / "demo"
HEAVY = set(
    [
        "textual",
        "rich",
        "pint",
        "ortools",
        "pandas",
        "numpy",
        "scipy",
        "soundfile",
        "reportlab",
        "icalendar",
        "PIL",
    ]
)
SCRIPT = """
import contextlib, io, json, sys
from tui.cli import main
with contextlib.redirect_stdout(io.StringIO()):
    status = main(sys.argv[1:])
print(json.dumps([status, sorted({name.split(".")[0] for name in sys.modules})]))
"""

Loaded = Callable[..., set[str]]


@pytest.fixture
def shelf(tmp_path: Path) -> Path:
    """The made-up shelf."""
    book = Workbook.create(
        tmp_path / "tapes.json",
        read_studio_file(DEMO / "studio.toml"),
        lambda: datetime(2026, 12, 1, 18, 50, tzinfo=UTC),
    )
    book.import_files(sorted(DEMO.glob("*.csv")))
    return book.path


@pytest.fixture
def loaded(shelf: Path) -> Loaded:
    """The packages loaded after a command line has run in a process of its own."""

    def packages(*words: str) -> set[str]:
        command = [sys.executable, "-c", SCRIPT, "--shelf", str(shelf), *words]
        done = subprocess.run(
            command, capture_output=True, text=True, timeout=120, check=True, cwd=shelf.parent
        )
        status, names = json.loads(done.stdout)
        assert status == 0, done.stderr
        return set(names)

    return packages


def test_help_loads_next_to_nothing(loaded: Loaded) -> None:
    there = loaded("--help")
    assert not there & HEAVY
    assert not there & {"tinydb", "orjson", "argparse", "dataclasses"}


@pytest.mark.parametrize(
    "words",
    [
        ["reels"],
        ["reels", "--json"],
        ["songs"],
        ["estimate", "R-001"],
        ["mark", "R-008", "conditioned"],
        ["note", "R-001", "x"],
        ["load", "C1", "R-002", "--because", "at whatever hour the test runs"],
        ["parts", "S-01"],
        ["restore"],
    ],
    ids=" ".join,
)
def test_the_everyday_verbs_load_nothing_heavy(loaded: Loaded, words: list[str]) -> None:
    assert not loaded(*words) & HEAVY


def test_the_shelf_goes_through_tinydb_when_it_is_written(loaded: Loaded) -> None:
    assert "tinydb" in loaded("note", "R-001", "x")


@pytest.mark.parametrize(
    ("words", "needed", "not_needed"),
    [
        (
            ["plan", "--days", "3", "--effort", "0.2"],
            {"ortools"},
            {"textual", "pint", "reportlab", "soundfile", "icalendar"},
        ),
        (["orders"], {"reportlab"}, {"textual", "ortools", "pint", "soundfile", "icalendar"}),
        (["calendar", "--out", "evenings.ics"], {"icalendar"}, {"textual", "ortools", "pint", "soundfile"}),
    ],
    ids=["plan", "orders", "calendar"],
)
def test_what_is_deferred_is_loaded_when_its_work_starts(
    loaded: Loaded, words: list[str], needed: set[str], not_needed: set[str]
) -> None:
    if words[0] != "plan":
        loaded("plan", "--seconds", "0")
    there = loaded(*words)
    assert needed <= there and not there & not_needed


def test_a_unit_is_read_by_pint_when_a_row_brings_one(loaded: Loaded, tmp_path: Path) -> None:
    (tmp_path / "reels.csv").write_text("reel,length\nR-90,762 m\n")
    assert "pint" in loaded("import", str(tmp_path / "reels.csv"))
