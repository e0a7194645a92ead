"""What a person with one run of keys types: numbers for reels, figures over figures, codes and cooling."""

from __future__ import annotations

from datetime import date
from threading import Event
from typing import Any

import pytest

from core.reels.by_number import by_number, needs_by_number
from core.store.rows.tables import REELS
from tui.board.fields import Field
from tui.board.studio import studio_lines
from tui.frame.acts.draft_words import told as told_draft
from tui.places.chart.boxes import box_told


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
            await until(pilot, lambda name=name: told(pilot, f"wants an {name.upper()}: "))
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


def test_a_box_tells_its_tracks_beside_its_width_and_a_dot_keeps_the_field(studio: Any) -> None:
    before = {"width": "1/4 in", "location": "A1"}
    told = box_told("Gullpoint; 1 inch 16 track; .", "R-004", before, studio)
    assert (str(told.width), told.tracks, told.location) == ("1 inch", 16, "A1")
    kept = box_told("Gullpoint; .; A9", "R-004", before, studio)
    assert (str(kept.width), kept.tracks, kept.location) == ("1/4 in", None, "A9")
    for typed, width, tracks in (
        ("1/2 8", "1/2 in", 8),
        ("Halbzoll 8-Spur", "1/2 in", 8),
        ("1/4 Zoll 2 Spur", "1/4 in", 2),
        ("1/4 in 2 pistes", "1/4 in", 2),
        ("6,3 mm Stereo", "6,3 mm", 2),
        ("2 track", "1/4 in", 2),  # the width is as on the box before
    ):
        told = box_told(f"Gullpoint; {typed}; A1", "R-004", before, studio)
        assert (str(told.width), told.tracks) == (width, tracks), typed
    with pytest.raises(ValueError, match="tracks"):
        box_told("Gullpoint; 1/2 in 99 track", "R-004", before, studio)


def test_words_with_a_sign_in_them_are_no_key(studio: Any) -> None:
    for words in ("Low Tide=High; 1/4", "Side A = mixes"):
        with pytest.raises(ValueError, match=f"no key such as R-004: .*, R-004= {words}"):
            box_told(words, "R-004", {}, studio)
    assert box_told("R-004= Low Tide=High; 1/4", "R-004", {}, studio).box_label == "Low Tide=High"
    assert box_told("Reel 7= Low Tide; 1/4", "R-004", {}, studio).key == "Reel 7"


def test_words_on_american_boxes_are_read_and_kept(studio: Any) -> None:
    """Common practice of the trade; no authority lists them."""
    for name, typed, meant in (("base", "Mylar", "polyester"), ("base", "cellulose", "acetate"),
        ("base_seen", "y", "yes"), ("base_seen", "Nein", "no"),
    ):  # fmt: skip
        assert Field(name, REELS.columns[name]).read(typed, studio) == meant
    assert Field("condition", REELS.columns["condition"]).read("SSS", studio) == ("sticky",)
    level = Field("level", REELS.columns["level"])
    assert level.meant("510 nWb", studio) == "510 nWb/m"
    assert not any(
        '"' in line.says for line in studio_lines(studio, date(2026, 12, 1)) if line.table == "deck"
    )


def test_what_is_half_typed_in_the_studio_is_named_in_words() -> None:
    assert told_draft("studio treatment 1 hours") == "the studio's treatment 2, hours"
    assert told_draft("studio studio 0 assume_length") == "the studio, assume length"


async def test_what_is_asked_of_a_plan_is_refused_in_its_line_and_answered_while_keys_go_on(
    book: Any, opened: Any, typed: Any, until: Any, told: Any, plan: Any, monkeypatch: Any
) -> None:
    book.plans.keep_plan(plan)
    looked, found, asked = Event(), Event(), []

    def slowly(what: str, *_: Any, **__: Any) -> tuple[Any, ...]:
        asked.append(what)
        looked.set()
        assert found.wait(20)
        return ()

    monkeypatch.setattr(type(book.plans), "why", lambda _, what, *a, **k: slowly(what, *a, **k))
    async with opened(book, (80, 24)) as pilot:
        await pilot.press("w")
        await until(pilot, lambda: pilot.app.current_mode == "week" and pilot.app.screen.is_laid_out)
        await pilot.press("home", "b")
        await until(pilot, lambda: told(pilot, "Why not sooner?"))
        await typed(pilot, "88")
        await pilot.press("enter")
        await until(pilot, lambda: told(pilot, "! no reel or song '88' on this shelf"))
        assert told(pilot, "Why not sooner?") and not asked
        await pilot.press("escape")  # it is kept, and the next key is for another answer
        await until(pilot, lambda: not told(pilot, "Why not sooner?"))
        await pilot.press("b")
        await until(pilot, lambda: told(pilot, "Why not sooner?") and pilot.app.screen.typed == "88")
        await pilot.press("9")
        await until(pilot, lambda: pilot.app.screen.typed == "9")
        await pilot.press("escape", "b")  # that was half typed, and none of it is lost
        await until(pilot, lambda: told(pilot, "Why not sooner?") and pilot.app.screen.typed == "9")
        await pilot.press("8")
        await until(pilot, lambda: pilot.app.screen.typed == "98")
        await pilot.press("home", "delete", "enter")
        await until(pilot, lambda: looked.is_set())
        await until(pilot, lambda: told(pilot, "looking for what stands in the way of R-008 ..."))
        found.set()
        await until(pilot, lambda: told(pilot, "nothing stands in its way"))
        assert asked == ["R-008"]
        await pilot.press("escape")
        await until(pilot, lambda: pilot.app.current_mode == "week" and len(pilot.app.screen_stack) == 1)
