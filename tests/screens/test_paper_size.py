"""The paper is chosen once: the screen and the command line print on it until another is named.

Sizes in points: A4 by ISO 216 (210 x 297 mm), Letter by ANSI/ASME Y14.1 (8.5 x 11 in).
Pages are read by pypdf.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from pypdf import PdfReader

from core.workbook.papers import PRINTABLE
from tui.cli import main

A4 = (595, 842)
LETTER = (612, 792)


def page_sizes(folder: Path) -> set[tuple[int, int]]:
    """The sizes of all pages of all papers in a folder, in whole points."""
    pages = [page for path in folder.glob("*.pdf") for page in PdfReader(path).pages]
    return {(round(float(page.mediabox.width)), round(float(page.mediabox.height))) for page in pages}


async def test_the_paper_chosen_while_printing_is_kept_and_can_be_taken_back(
    on_disk: Any, opened: Any, seen: Any, until: Any, tmp_path: Path
) -> None:
    async with opened(on_disk) as pilot:
        await pilot.press("o")
        await until(pilot, lambda: any("on A4 paper   F5 takes Letter" in line for line in seen(pilot.app)))
        await pilot.press("f5")
        await until(pilot, lambda: any("on Letter paper   F5 takes A4" in line for line in seen(pilot.app)))
        await pilot.press("home", *["down"] * list(PRINTABLE).index("cards"), "enter")
        await until(pilot, lambda: any("printed into" in line for line in seen(pilot.app)))
        assert page_sizes(tmp_path / "paper") == {LETTER}
        await pilot.press("u")
        await until(pilot, lambda: on_disk.shelf.chosen.paper_size == "A4")


async def test_the_paper_is_chosen_in_any_place(on_disk: Any, opened: Any, seen: Any, until: Any) -> None:
    async with opened(on_disk) as pilot:
        await pilot.press("f5")
        await until(
            pilot, lambda: any("printed on Letter from now on. U takes" in line for line in seen(pilot.app))
        )
        assert on_disk.shelf.chosen.paper_size == "Letter"


@pytest.mark.parametrize(("named", "pages"), [([], LETTER), (["--size", "A4"], A4)])
def test_the_command_line_prints_on_the_shelfs_paper_unless_another_is_named(
    on_disk: Any, tmp_path: Path, named: list[str], pages: tuple[int, int]
) -> None:
    on_disk.change(lambda shelf: shelf.choosing("paper", "Letter"), what="paper")
    out = tmp_path / "printed"
    assert main(["--shelf", str(on_disk.path), "print", "cards", "--out", str(out), *named]) == 0
    assert page_sizes(out) == {pages}


def test_a_paper_that_nobody_has_is_a4(on_disk: Any) -> None:
    on_disk.change(lambda shelf: shelf.choosing("paper", "papyrus"), what="paper")
    assert on_disk.shelf.chosen.paper_size == "A4"
