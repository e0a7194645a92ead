"""What a person with one run of keys types: numbers for reels, figures over figures, codes and cooling."""

from __future__ import annotations

from typing import Any

import pytest

from core.reels.by_number import by_number, needs_by_number


@pytest.fixture
def told(seen: Any) -> Any:
    """Whether those words stand on the screen."""
    return lambda pilot, words: any(words in line for line in seen(pilot.app))


async def on_field(pilot: Any, until: Any, name: str) -> None:
    """Goes down to that line."""
    listed = pilot.app.screen.query_one("FieldList")
    await until(pilot, lambda: any(line.name == name for line in listed.lines))
    listed.cursor = [line.name for line in listed.lines].index(name)
    await pilot.pause()


def test_a_number_is_the_one_key_that_ends_in_it() -> None:
    keys = ["R-001", "R-017", "CAL-1", "R-020", "17b", "7"]
    assert [by_number(one, keys) for one in ("17", "017", "1", "7", "20", "99", "")] == [
        "R-017", "R-017", "", "", "R-020", "", "",
    ]  # fmt: skip
    assert needs_by_number("20; 17@2:00-4:00", keys) == "R-020; R-017@2:00-4:00"
    assert needs_by_number("20, 17 and R-001", keys) == "R-020; R-017; R-001"
    assert needs_by_number("R-020; R-017", keys) == needs_by_number("20; 99", keys) == ""
    assert needs_by_number("Tom, Dick", ["Tom, Dick", "Tom", "Dick"]) == ""  # a key with a comma is a key


async def test_a_song_takes_its_reels_by_their_numbers(
    book: Any, opened: Any, typed: Any, until: Any, told: Any
) -> None:
    async with opened(book, (80, 24)) as pilot:
        await pilot.press("s", "enter")
        await on_field(pilot, until, "needs")
        await pilot.press("enter", "ctrl+u")
        await typed(pilot, "3, 7 and 11")
        await until(pilot, lambda: told(pilot, "R-003; R-007; R-011? Enter takes it so"))
        await pilot.press("enter")
        needs = ["R-003", "R-007", "R-011"]
        await until(pilot, lambda: [one.reel for one in book.shelf.songs["S-01"].needs] == needs)


async def test_a_code_that_cannot_be_is_refused_while_it_is_typed(
    book: Any, opened: Any, typed: Any, until: Any, told: Any
) -> None:
    """AA-6Q7-20-00047: the registry's example (ISO 3901); T-034.524.680-1: that of ISO 15707."""
    async with opened(book, (80, 24)) as pilot:
        await pilot.press("s", "enter")
        for name, wrong, right in (
            ("isrc", "4;5;17", "AA-6Q7-20-00047"),
            ("iswc", "banana", "T-034.524.680-1"),
        ):
            await on_field(pilot, until, name)
            await pilot.press("enter")
            await typed(pilot, wrong)
            await until(pilot, lambda name=name: told(pilot, f"this one is no {name.upper()}"))
            await pilot.press("enter", "ctrl+u")
            assert not getattr(book.shelf.songs["S-01"], name)
            await typed(pilot, right)
            await pilot.press("enter")
            song = book.shelf.songs
            await until(pilot, lambda s=song, n=name, r=right: getattr(book.shelf.songs["S-01"], n) == r)


async def test_another_tapes_key_is_asked_for_until_there_is_one(
    book: Any, opened: Any, typed: Any, until: Any, told: Any
) -> None:
    async with opened(book, (80, 24)) as pilot:
        await pilot.press("k", "3")
        await until(pilot, lambda: told(pilot, "Which key is the same tape as R-001?"))
        await typed(pilot, "33")
        await until(pilot, lambda: told(pilot, "! no reel '33' on this shelf"))
        await pilot.press("enter")
        assert told(pilot, "Which key is the same tape as R-001?")  # it stays, with what was typed
        await pilot.press("ctrl+u")
        await typed(pilot, "8")
        await until(pilot, lambda: told(pilot, "R-008"))
        await pilot.press("enter")
        await until(pilot, lambda: "R-008" not in book.shelf.reels)


async def test_how_many_reels_are_added_is_typed_over(
    book: Any, opened: Any, typed: Any, until: Any, told: Any
) -> None:
    async with opened(book, (80, 24)) as pilot:
        await pilot.press("a")
        await on_field(pilot, until, "how many")
        for digits in ("4", "5"):
            await pilot.press("enter")
            await typed(pilot, digits)
            await pilot.press("enter", "up")
            await until(pilot, lambda d=digits: told(pilot, f"A adds {d} reels"))


async def test_cooling_that_nobody_gives_is_told_where_it_was_typed_and_a_bare_length_has_the_unit_there(
    book: Any, opened: Any, typed: Any, until: Any, told: Any
) -> None:
    """Cooled as long as it was warm: docs/treatment.md with its sources."""
    async with opened(book, (80, 24)) as pilot:
        await pilot.press("f9")
        await until(pilot, lambda: pilot.app.current_mode == "studio" and pilot.app.screen.is_laid_out)
        await on_field(pilot, until, "treatment 1 cool")
        await pilot.press("enter")
        await typed(pilot, "0")
        await pilot.press("enter")
        await until(pilot, lambda: told(pilot, "! 1/2 in: 0 min of cooling after 6 h of warmth"))
        await pilot.press("u")
        await on_field(pilot, until, "studio 0 assume_length")
        await pilot.press("enter")
        await typed(pilot, "2500 ft")
        await pilot.press("enter")
        await until(pilot, lambda: str(book.shelf.studio.assume_length) == "2500 ft")
        await on_field(pilot, until, "studio 0 assume_length")
        await pilot.press("enter")
        await typed(pilot, "3600")
        await until(pilot, lambda: told(pilot, "3600 ft? Enter takes it so"))
        await pilot.press("enter")
        await until(pilot, lambda: str(book.shelf.studio.assume_length) == "3600 ft")
