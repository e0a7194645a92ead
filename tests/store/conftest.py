"""A shelf on the disk made from the demo's files, and a clock that stands still."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

import pytest

from core.store.studio.studio_toml import read_studio_file
from core.workbook.workbook import Workbook

DEMO = Path(__file__).resolve().parents[2] / "demo"


@pytest.fixture
def now() -> Callable[[], datetime]:
    """The evening on which the tests stand still."""
    return lambda: datetime(2026, 12, 1, 18, 50, tzinfo=UTC)


@pytest.fixture
def demo_files() -> list[Path]:
    """The made-up shelf's CSV files."""
    return sorted(DEMO.glob("*.csv"))


@pytest.fixture
def empty(tmp_path: Path, now: Callable[[], datetime]) -> Workbook:
    """A shelf with a studio and nothing else."""
    return Workbook.create(tmp_path / "tapes.json", read_studio_file(DEMO / "studio.toml"), now)


@pytest.fixture
def book(empty: Workbook, demo_files: list[Path]) -> Workbook:
    """The made-up shelf."""
    empty.import_files(demo_files)
    return empty


@pytest.fixture
def reopened(now: Callable[[], datetime]) -> Callable[[Workbook], Workbook]:
    """The same shelf as another program sees it."""
    return lambda workbook: Workbook.open(workbook.path, now)


@pytest.fixture
def write(tmp_path: Path) -> Callable[[str, str], Path]:
    """A file of that name with that text."""

    def written(name: str, text: str) -> Path:
        path = tmp_path / name
        path.write_bytes(text.encode())
        return path

    return written
