"""A reader that has enough, output that cannot be written, a year that no calendar has: one line or none."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from core.workbook.workbook import Workbook


def shell(line: str, folder: Path, unbuffered: bool = False) -> tuple[int, str]:
    """The exit status of ``reelturn`` in a line of bash, and what was said."""
    env = {**os.environ, "REELTURN_SHELF": str(folder / "tapes.json"), "R": f"{sys.executable} -m tui"}
    env.pop("PYTHONUNBUFFERED", None)
    env.pop("REELTURN_DEBUG", None)
    if unbuffered:
        env["PYTHONUNBUFFERED"] = "1"
    done = subprocess.run(
        ["bash", "-c", f"{line}; exit ${{PIPESTATUS[0]}}"],
        capture_output=True, env=env, stdin=subprocess.DEVNULL, timeout=120, text=True, cwd=Path.cwd(),
    )  # fmt: skip
    return done.returncode, done.stderr


@pytest.mark.parametrize("verb", ["reels --json", "stocks", "--help", "plan --help"])
def test_a_reader_that_has_enough_hears_no_word(book: Workbook, tmp_path: Path, verb: str) -> None:
    for head in ("head -0", "head -1"):
        assert shell(f"$R {verb} | {head} >/dev/null", tmp_path) == (0, "")


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="the system has no full device")
@pytest.mark.parametrize("verb", ["reels --json", "--help", "plan --help", "--version"])
@pytest.mark.parametrize("unbuffered", [False, True])
def test_output_that_cannot_be_written_is_one_line_and_2(
    book: Workbook, tmp_path: Path, verb: str, unbuffered: bool
) -> None:
    status, said = shell(f"$R {verb} >/dev/full", tmp_path, unbuffered)
    assert status == 2 and len(said.splitlines()) == 1, said
    assert "standard output: No space left on device" in said


def test_output_that_is_closed_is_one_line_and_2(book: Workbook, tmp_path: Path) -> None:
    status, said = shell("$R reels >&-", tmp_path)
    assert status == 2 and said == "reelturn: standard output: Bad file descriptor\n"


@pytest.mark.parametrize(
    "words",
    [
        "plan --from 9999-12-31T10:00 --seconds 0", "plan --from 9999-12-31 --seconds 0",
        "plan --from 0001-01-01T00:00 --seconds 0", "mark R-001 identified --at 9999-12-31T23:59",
        "note R-001 heard --at 0001-01-01T00:00", "plan --from 9999-12-31T23:59+00:00",
    ],
)  # fmt: skip
def test_a_year_beyond_reckoning_is_refused_in_one_line(book: Workbook, run: object, words: str) -> None:
    told = run(*words.split())  # type: ignore[operator]
    assert told.status == 2 and len(told.err.splitlines()) == 1, told
    assert "is not a time" in told.err and not told.out
