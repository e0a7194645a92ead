"""Planning in this process: through the program's own command line, or by the planner alone."""

import contextlib
import io
import json
from datetime import datetime
from pathlib import Path
from typing import Any


def run(*words: str) -> tuple[int, str, str]:
    """One command: exit status, standard output, standard error."""
    from tui.cli import main

    out, err = io.StringIO(), io.StringIO()
    with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
        try:
            status = main(list(words))
        except SystemExit as ended:
            status = ended.code if isinstance(ended.code, int) else 1
    return int(status or 0), out.getvalue(), err.getvalue()


def fill(folder: Path) -> Path:
    """A fresh shelf file beside the folder's files, with everything in them imported."""
    shelf = folder / "shelf.json"
    shelf.unlink(missing_ok=True)
    files = [
        str(folder / name) for name in ("reels.csv", "songs.csv", "segments.csv") if (folder / name).exists()
    ]
    for words in (("new", "--studio", str(folder / "studio.toml")), ("import", *files)):
        status, _, err = run("--shelf", str(shelf), *words)
        if status:
            raise AssertionError(f"{' '.join(words)}: {status}: {err}")
    return shelf


def printed_plan(shelf: Path, start: str, days: int, *how: str) -> str:
    """What `plan --json` prints, planned by `--seconds S` or `--effort E`."""
    status, out, err = run(
        "--shelf", str(shelf), "plan", "--from", start, "--days", str(days), *how, "--json"
    )
    if status:
        raise AssertionError(f"plan: {status}: {err}")
    return out


def plan(
    folder: Path, start: str, days: int, seconds: float = 4, *, effort: float | None = None
) -> dict[str, Any]:
    """The plan of a shelf folder as the JSON document that the program prints."""
    how = ("--seconds", str(seconds)) if effort is None else ("--effort", str(effort))
    document: dict[str, Any] = json.loads(printed_plan(fill(folder), start, days, *how))
    return document


def planned(folder: Path, start: str, days: int, effort: float) -> dict[str, Any]:
    """The same document by the planner alone: no promises, nothing kept. Effort 0 is the first plan.

    By effort, so that a busy machine finds the same plan.
    """
    from core.clock import read_time
    from core.planning.plan_evenings import plan_evenings
    from core.workbook.workbook import Workbook

    noon = datetime.fromisoformat("2026-01-05T12:00+00:00")
    shelf = Workbook.open(fill(folder), now=lambda: noon).shelf
    made = plan_evenings(shelf, read_time(start, shelf.studio.zone), days, effort=effort)
    document: dict[str, Any] = json.loads(json.dumps(made.to_json()))
    return document
