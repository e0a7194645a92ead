"""Heavy packages load only when their work starts: told by the modules loaded, in a clean process."""

from __future__ import annotations

import json
import subprocess
import sys
from collections.abc import Callable, Sequence
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
for words in json.loads(sys.argv[1]):
    with contextlib.redirect_stdout(io.StringIO()):
        status = main(words)
    print(json.dumps([status, sorted({name.split(".")[0] for name in sys.modules})]))
"""

EVERYDAY = (
    ("reels",),
    ("reels", "--json"),
    ("songs",),
    ("estimate", "R-001"),
    ("mark", "R-008", "conditioned"),
    ("note", "R-001", "x"),
    ("load", "C1", "R-002", "--because", "at whatever hour the test runs"),
    ("parts", "S-01"),
    ("restore",),
)

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


def loaded_after_each(shelf: Path, *lines: Sequence[str]) -> list[set[str]]:
    """The packages loaded after each of those command lines, run one after the other in a new process."""
    asked = json.dumps([["--shelf", str(shelf), *words] for words in lines])
    command = [sys.executable, "-c", SCRIPT, asked]
    done = subprocess.run(command, capture_output=True, text=True, timeout=120, check=True, cwd=shelf.parent)
    told = [json.loads(line) for line in done.stdout.splitlines()]
    assert [status for status, _ in told] == [0] * len(lines), done.stderr
    return [set(names) for _, names in told]


@pytest.fixture
def loaded(shelf: Path) -> Loaded:
    """The packages loaded after a command line has run in a process of its own."""
    return lambda *words: loaded_after_each(shelf, words)[0]


def test_help_loads_next_to_nothing(loaded: Loaded) -> None:
    there = loaded("--help")
    assert not there & HEAVY
    assert not there & {"tinydb", "orjson", "argparse", "dataclasses"}


def test_the_everyday_verbs_load_nothing_heavy(shelf: Path) -> None:
    """What one of them loads stays for the next, so that all may run in one process."""
    for words, there in zip(EVERYDAY, loaded_after_each(shelf, *EVERYDAY), strict=True):
        assert not there & HEAVY, words


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
    loaded: Loaded, shelf: Path, words: list[str], needed: set[str], not_needed: set[str]
) -> None:
    if words[0] != "plan":
        Workbook.open(shelf, lambda: datetime.now(UTC)).plans.plan(seconds=0)
    there = loaded(*words)
    assert needed <= there and not there & not_needed


def test_a_unit_is_read_by_pint_when_a_row_brings_one(loaded: Loaded, tmp_path: Path) -> None:
    (tmp_path / "reels.csv").write_text("reel,length\nR-90,762 m\n")
    assert "pint" in loaded("import", str(tmp_path / "reels.csv"))
