"""`?` on a line of the studio tells what that line asks for, and no word that is of another place."""

from __future__ import annotations

from typing import Any

from core.store.studio.fields import TABLES
from tui.board.studio import without_links


async def test_each_line_of_the_studio_is_told_by_its_own_sentence(
    book: Any, opened: Any, seen: Any, until: Any
) -> None:
    says = {field.key: without_links(field.says) for field in TABLES["studio"]}
    async with opened(book) as pilot:
        await pilot.press("f9")
        await until(pilot, lambda: pilot.app.current_mode == "studio" and pilot.app.screen.is_laid_out)
        listed = pilot.app.screen.query_one("FieldList")
        for key in ("name", "timezone", "assume_length", "assume_eq"):
            assert says[key]
            listed.cursor = [line.name for line in listed.lines].index(f"studio 0 {key}")
            await pilot.press("question_mark")
            told = f"{key.replace('_', ' ')}: {says[key]}"[:60]
            await until(pilot, lambda told=told: any(told in line for line in seen(pilot.app)))
            assert not any("its neighbours keep" in line for line in seen(pilot.app))
            await pilot.press("escape")
