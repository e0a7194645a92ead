"""Files that were looked at and left: what waits to be taken is kept, and nothing else."""

from __future__ import annotations

from typing import Any

import pytest


@pytest.mark.parametrize(
    ("rows", "kept"), [("R-001,A1\n", False), ("R-001,A9\n", True), ("R-001,A1,\n", True)]
)
async def test_a_file_of_which_nothing_is_new_is_not_typed_and_untaken(
    book: Any, opened: Any, typed: Any, seen: Any, until: Any, tmp_path: Any, rows: str, kept: bool
) -> None:
    """As it is, changed, refused."""
    own = tmp_path / "own.csv"
    own.write_text(f"reel,location\n{rows}")
    async with opened(book) as pilot:
        await pilot.press("p", "4")
        await until(pilot, lambda: bool(pilot.app.screen.query("Input")))
        await typed(pilot, str(own))
        await pilot.press("enter")
        await until(pilot, lambda: any("What the files hold" in line for line in seen(pilot.app)))
        await pilot.press("escape")
        await until(pilot, lambda: any("nothing was taken" in line for line in seen(pilot.app)))
        assert ("files in" in pilot.app.drafts) == kept
