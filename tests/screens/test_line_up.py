"""Lining up on the screen: the path first, pass or fail as one types, kept as a dated record."""

from __future__ import annotations

from typing import Any

from core.lineup.on_shelf import lineups_of


async def test_no_reading_before_the_path_is_clean_then_pass_and_fail(
    book: Any, opened: Any, typed: Any, seen: Any, until: Any
) -> None:
    async with opened(book) as pilot:
        await pilot.press("j")
        await until(pilot, lambda: any("Clean heads" in line for line in seen(pilot.app)))
        keys = [row.key for row in pilot.app.screen.query_one("ReadingGrid").rows]
        level = keys.index("level-1000")
        await pilot.press(*["down"] * level, "enter")
        await until(
            pilot, lambda: any("tick clean and demagnetise first" in line for line in seen(pilot.app))
        )
        await pilot.press("home", "space", "space", *["down"] * (level - 2), "enter")
        await typed(pilot, "0.7")
        # 250 nWb/m tape for a reel of 250: 0 dB; 0.5 dB is allowed at 1 kHz (common practice).
        await until(pilot, lambda: any("fail, +0.7 off" in line for line in seen(pilot.app)))
        assert any("next: level of track 1: 0.7 dB down" in line for line in seen(pilot.app))
        await pilot.press("enter")
        await typed(pilot, "-0.2")
        await until(pilot, lambda: any("pass, -0.2 off" in line for line in seen(pilot.app)))
        await pilot.press("enter", "escape")
        (record,) = lineups_of(book.shelf)
        assert (record.deck, record.calibration, record.reel) == ("D1", "CAL-1", "R-001")
        assert record.ticked == {"clean", "demagnetise"}
        assert [record.reading("level-1000", track) for track in (1, 2)] == [0.7, -0.2]
        await pilot.press("h")
        await until(pilot, lambda: any("Track 1: dB off" in line for line in seen(pilot.app)))


async def test_to_take_the_deck_as_it_stands_is_a_choice_that_is_kept(
    book: Any, opened: Any, until: Any
) -> None:
    async with opened(book) as pilot:
        await pilot.press("j", "i", "end", "enter")
        await until(pilot, lambda: bool(lineups_of(book.shelf)))
        assert lineups_of(book.shelf)[0].choice == "as it stands"
