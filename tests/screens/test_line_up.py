"""Lining up on the screen: the path first, as found, then as left; pass or fail as one types; kept."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from core.conditioning.spreading.dirty_path import dirty_path
from core.evening.playing.told_afterwards import ran_on
from core.lineup.on_shelf import lineups_of
from core.quantities import read_quantity

QUARTER = read_quantity("1/4 in", "length")


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
            pilot,
            lambda: any("tick clean, demagnetise and all tracks" in line for line in seen(pilot.app)),
        )
        await pilot.press("home", *["space"] * 3, *["down"] * (level - 3), "enter")
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
        assert record.ticked == {"clean", "demagnetise", "safe"}
        assert [record.reading("level-1000", track, "before") for track in (1, 2)] == [0.7, -0.2]
        await pilot.press("h")
        await until(pilot, lambda: any("Track 1, the furthest off" in line for line in seen(pilot.app)))


async def test_a_tape_that_may_not_run_lines_no_deck_up(
    book: Any, opened: Any, seen: Any, until: Any
) -> None:
    async with opened(book) as pilot:
        await pilot.press("j", "space", "space")
        level = [row.key for row in pilot.app.screen.query_one("ReadingGrid").rows].index("level-1000")
        book.change(
            lambda s: s.with_reel(replace(s.reel("CAL-1"), condition=("mould",))), what="mould was seen"
        )
        await pilot.press(*["down"] * (level - 2))
        await until(
            pilot,
            lambda: any(
                "! No reading now: CAL-1 may not be played: mould" in line for line in seen(pilot.app)
            ),
        )
        await pilot.press("enter")
        await until(pilot, lambda: any("CAL-1 may not be played: mould" in line for line in seen(pilot.app)))
        await pilot.press("i")
        await until(pilot, lambda: any("CAL-1  (not now: mould" in line for line in seen(pilot.app)))
        at = book.now()
        book.change(lambda s: ran_on(s, "CAL-1", "D1", at, at, "by paper"), what="it ran")
        await pilot.press("end", "enter")  # as it stands, over a path that is not wiped
        unwiped = "! No reading now: D1's path is not wiped since CAL-1 ran"
        await until(pilot, lambda: any(unwiped in line for line in seen(pilot.app)))


async def test_its_own_rows_take_no_reading_of_a_reel_that_may_not_run(
    book: Any, opened: Any, seen: Any, until: Any
) -> None:
    async with opened(book) as pilot:
        await pilot.press("j", "space", "space")
        screen = pilot.app.screen
        own = [row.key for row in screen.query_one("ReadingGrid").rows].index("own-azimuth")
        mouldy = replace(book.shelf.reel(screen.reel), condition=("mould",))
        book.change(lambda s: s.with_reel(mouldy), what="mould was seen")
        await pilot.press(*["down"] * (own - 2))
        says = f"! No reading now: {screen.reel} may not be played: mould"
        await until(pilot, lambda: any(says in line for line in seen(pilot.app)))


async def test_a_reading_that_is_typed_when_its_tape_is_barred_is_kept_and_no_further_one_is_asked(
    book: Any, opened: Any, typed: Any, seen: Any, until: Any
) -> None:
    async with opened(book) as pilot:
        await _at_level(pilot)
        await pilot.press("enter")
        await typed(pilot, "0.2")
        book.change(lambda s: s.with_reel(replace(s.reel("CAL-1"), condition=("mould",))), what="seen")
        await pilot.press("enter")
        await until(pilot, lambda: any("! No reading now: CAL-1 may not" in line for line in seen(pilot.app)))
        assert not pilot.app.screen.query_one("Typing").is_open
        (record,) = lineups_of(book.shelf)
        assert [(one.line, one.track, one.value) for one in record.readings] == [("level-1000", 1, 0.2)]
        path = dirty_path(book.shelf, "D1")
        assert path is not None and path.reel == "CAL-1", "it was read: its tape ran"


async def test_a_reading_never_goes_onto_a_sheet_that_became_another_while_it_was_typed(
    book: Any, opened: Any, typed: Any, seen: Any, until: Any
) -> None:
    async with opened(book) as pilot:
        await _at_level(pilot)
        await pilot.press("enter")
        await typed(pilot, "0.2")
        thirty = read_quantity("30 ips", "speed")
        book.change(lambda s: s.with_reel(replace(s.reel("CAL-1"), speed=thirty)), what="another program")
        await until(pilot, lambda: any("D1 as it stands for" in line for line in seen(pilot.app)))
        await pilot.press("enter")
        told = "the sheet has changed meanwhile: 0.2 is not kept"
        await until(pilot, lambda: any(told in line for line in seen(pilot.app)))
        assert [one for record in lineups_of(book.shelf) for one in record.readings] == []


async def test_tones_of_the_reel_itself_read_beside_a_calibration_tape_tell_that_it_ran(
    book: Any, opened: Any, typed: Any, seen: Any, until: Any
) -> None:
    book.lay_out(book.shelf.with_reel(replace(book.shelf.reel("R-001"), tones="1 kHz 0 VU")))
    async with opened(book) as pilot:
        await pilot.press("j", "space", "space", "space")
        rows = [row.key for row in pilot.app.screen.query_one("ReadingGrid").rows]
        await pilot.press(*["down"] * (rows.index("own-1000") - 3), "enter")
        await typed(pilot, "0.2")
        await pilot.press("enter", "escape")
        await until(pilot, lambda: any(one.readings for one in lineups_of(book.shelf)))
    (record,) = lineups_of(book.shelf)
    assert (record.choice, record.reel) == ("calibration tape", "R-001")
    assert dirty_path(book.shelf, "D1") is None
    book.change(lambda s: s.with_reel(replace(s.reel("R-001"), condition=("mould",))), what="seen later")
    path = dirty_path(book.shelf, "D1")
    assert path is not None and path.reel == "R-001", "what its tape left lies on the deck's path"
    book.change(lambda s: s.with_reel(replace(s.reel("CAL-1"), condition=("mould",))), what="seen later")
    path = dirty_path(book.shelf, "D1")
    assert path is not None and path.reel == "R-001", "no tone of the calibration tape was read"


async def _at_level(pilot: Any) -> None:
    """The line-up of R-001 opened, its path ticked, the cursor on the level."""
    await pilot.press("j", "space", "space", "space")
    rows = [row.key for row in pilot.app.screen.query_one("ReadingGrid").rows]
    await pilot.press(*["down"] * (rows.index("level-1000") - 3))


async def test_to_take_the_deck_as_it_stands_is_a_choice_that_is_kept(
    book: Any, opened: Any, until: Any
) -> None:
    async with opened(book) as pilot:
        await pilot.press("j", "i", "end", "enter")
        await until(pilot, lambda: bool(lineups_of(book.shelf)))
        assert lineups_of(book.shelf)[0].choice == "as it stands"


async def test_it_opens_as_found_and_goes_on_as_left_where_that_was_begun(
    book: Any, opened: Any, typed: Any, seen: Any, until: Any
) -> None:
    async with opened(book) as pilot:
        await pilot.press("j")
        await until(pilot, lambda: any("AS FOUND" in line for line in seen(pilot.app)))
        keys = [row.key for row in pilot.app.screen.query_one("ReadingGrid").rows]
        await pilot.press(*["space"] * 3, *["down"] * (keys.index("level-1000") - 3), "v", "enter")
        await typed(pilot, "0.1")
        await pilot.press("enter", "escape", "escape")
        await until(pilot, lambda: bool(lineups_of(book.shelf)[0].readings))
        assert lineups_of(book.shelf)[0].reading("level-1000", 1, "after") == 0.1
        await pilot.press("j")
        await until(pilot, lambda: any("AS LEFT" in line for line in seen(pilot.app)))


async def test_nothing_is_cut_off_at_eighty_columns(book: Any, opened: Any, seen: Any, until: Any) -> None:
    book.lay_out(
        book.shelf.with_reel(
            replace(book.shelf.reel("R-001"), tones="1 kHz 0 VU; 10 kHz; 100 Hz -10 dB", varispeed="+2 %")
        )
    )
    async with opened(book) as pilot:
        await pilot.press("j")
        await until(pilot, lambda: any("AS FOUND" in line for line in seen(pilot.app)))
        rows = pilot.app.screen.query_one("ReadingGrid").rows
        for row in rows:
            lines = seen(pilot.app)
            assert [line for line in lines if ".." in line] == []
            told = " ".join(" ".join(lines).split())
            assert " ".join(row.says.split()) in told, "the whole of the line stands under the list"
            await pilot.press("down")


async def test_where_several_decks_fit_one_is_asked_for(
    book: Any, opened: Any, seen: Any, until: Any
) -> None:
    decks = book.shelf.studio.decks
    twin = replace(decks[0], id="D9")
    book.lay_out(replace(book.shelf, studio=replace(book.shelf.studio, decks=(*decks, twin))))
    async with opened(book) as pilot:
        await pilot.press("j")
        await until(pilot, lambda: any("Line up which deck for R-001?" in line for line in seen(pilot.app)))
        await pilot.press("down", "enter")
        await until(pilot, lambda: any("D9 by CAL-1" in line for line in seen(pilot.app)))


async def test_the_figures_behind_a_line_up_are_one_key_away(
    book: Any, opened: Any, seen: Any, until: Any
) -> None:
    async with opened(book) as pilot:
        await pilot.press("j")
        await until(pilot, lambda: any("AS FOUND" in line for line in seen(pilot.app)))
        await pilot.press("f3")
        await until(pilot, lambda: any("Figures of lineup" in line for line in seen(pilot.app)))
        await pilot.press("escape")
        await until(pilot, lambda: any("AS FOUND" in line for line in seen(pilot.app)))


async def test_a_tape_that_gives_no_targets_is_not_taken_and_no_tones_are_made_up(
    book: Any, opened: Any, seen: Any, until: Any
) -> None:
    book.lay_out(book.shelf.with_reel(replace(book.shelf.reel("R-001"), eq="", level=None)))
    async with opened(book) as pilot:
        await pilot.press("j", "i")
        await until(
            pilot, lambda: any("2 by calibration tape CAL-2, of another" in one for one in seen(pilot.app))
        )
        await pilot.press("1")
        await until(pilot, lambda: any("No targets: nothing tells its eq" in one for one in seen(pilot.app)))
        told = " ".join(seen(pilot.app))
        assert "D1 as it stands for R-001" in told and "own head" not in told
        assert lineups_of(book.shelf) == ()


async def test_a_tape_of_another_width_asks_for_no_reading_that_it_cannot_give(
    book: Any, opened: Any, seen: Any, until: Any
) -> None:
    """By geometry alone: quarter-inch tape lies over a quarter of one-inch tape."""
    narrow = replace(book.shelf.reel("CAL-1"), width=QUARTER)
    book.lay_out(book.shelf.with_reel(narrow))
    reel = book.shelf.reel("R-001")
    async with opened(book) as pilot:
        pilot.app.open_door("line-up", "R-001", "D1", "CAL-1", "")
        await until(pilot, lambda: any("AS FOUND" in line for line in seen(pilot.app)))
        rows = {row.key: row for row in pilot.app.screen.query_one("ReadingGrid").rows}
        assert len(rows["level-1000"].cells) == (reel.tracks or 0) // 4
        assert not any(key.startswith("azimuth") for key in rows)
        says = "it sets neither the others nor the azimuth of R-001"
        assert says in rows["other-width"].says
        await pilot.press("home", *["down"] * list(rows).index("other-width"))
        await until(pilot, lambda: says in " ".join(" ".join(seen(pilot.app)).split()))
