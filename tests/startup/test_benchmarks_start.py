"""Every benchmark starts: what it names is where it says, also after rooms were moved."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

THERE = Path(__file__).parent.parent / "benchmarks"


def test_every_benchmark_finds_what_it_measures() -> None:
    names = sorted(path.stem for path in THERE.glob("*.py"))
    assert "capture_stages" in names
    code = (
        f"import importlib; [importlib.import_module(name) for name in {names!r}]\n"
        "import capture_stages\n"
        "for owner, name, _ in capture_stages.PARTS: getattr(owner, name)"
    )
    done = subprocess.run(
        [sys.executable, "-c", code], cwd=THERE, capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stderr
