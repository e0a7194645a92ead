"""The chart under the hand: one key a stage, undo, notes, gates, finding, filters, orders."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from core.logbook.noted import noted_of
from tui.frame.drawn.lines import HeadLine


def line_of(lines: list[str], key: str) -> str:
    return next(line for line in lines if key in line[:8])


async def test_space_marks_the_next_stage_and_undo_takes_it_back(
    book: Any, opened: Any, seen: Any, until: Any
) -> None:
    book.moment = book.moment.replace(hour=19, minute=5)
    async with opened(book) as pilot:
        await pilot.press("down", "down", "down", "down", "down", "space")  # R-006 waits to be verified
        await until(pilot, lambda: "The gate is not met" in "\n".join(seen(pilot.app)))
        await pilot.press("escape")
        assert book.shelf.reels["R-006"].stage == "transferred"
        await pilot.press("up", "up", "up", "space")  # the deck is lined up to it
        await until(pilot, lambda: book.shelf.reels["R-003"].stage == "aligned")
        await until(pilot, lambda: "transfer" in line_of(seen(pilot.app), "R-003"))
        await pilot.press("space")  # the same key once more, within the minute
        await until(pilot, lambda: "It was marked aligned at 19:05" in "\n".join(seen(pilot.app)))
        await pilot.press("escape")
        assert book.shelf.reels["R-003"].stage == "aligned"
        await pilot.press("u")
        await until(pilot, lambda: book.shelf.reels["R-003"].stage == "conditioned")
        await until(pilot, lambda: any("taken back" in line for line in seen(pilot.app)))


async def test_passing_a_gate_asks_why_and_keeps_the_reason(
    book: Any, opened: Any, typed: Any, until: Any
) -> None:
    async with opened(book) as pilot:
        await pilot.press(*["down"] * 5, "space")
        await typed(pilot, "heard it all")
        await pilot.press("enter")
        await until(pilot, lambda: book.shelf.reels["R-006"].stage == "verified")
        assert book.shelf.history[-1].because == "heard it all"


async def test_going_back_takes_a_reason_and_escape_keeps_what_was_typed(
    book: Any, opened: Any, typed: Any, seen: Any, until: Any
) -> None:
    async with opened(book) as pilot:
        await pilot.press("b")
        await typed(pilot, "wrong ree")
        await pilot.press("escape")
        assert book.shelf.reels["R-001"].stage == "conditioned"
        await pilot.press("b")
        await until(pilot, lambda: any("wrong ree" in line for line in seen(pilot.app)))
        await pilot.press("l", "enter")
        await until(pilot, lambda: book.shelf.reels["R-001"].stage == "identified")
        assert book.shelf.history[-1].because == "wrong reel"


async def test_a_note_goes_to_the_history_and_is_taken_back_by_itself(
    book: Any, opened: Any, typed: Any, seen: Any, until: Any
) -> None:
    async with opened(book) as pilot:
        await pilot.press("n")
        await typed(pilot, "dry leader")
        await pilot.press("enter")
        await until(pilot, lambda: book.shelf.history[-1].note == "dry leader")
        assert book.shelf.history[-1].key == "R-001"
        await until(pilot, lambda: any("noted on R-001. U takes it back" in line for line in seen(pilot.app)))
        await pilot.press("u")
        await until(pilot, lambda: any("taken back: note on R-001" in line for line in seen(pilot.app)))
        await pilot.press("slash")
        await typed(pilot, "dry leader")
        await until(pilot, lambda: pilot.app.screen.rows.count == 0)


async def test_one_note_is_taken_off_where_the_history_shows_it_and_comes_back_with_undo(
    book: Any, opened: Any, typed: Any, seen: Any, until: Any
) -> None:
    book.note("R-001", "of another tape", book.now().replace(hour=9))
    book.note("R-001", "dry leader")
    async with opened(book, (80, 24)) as pilot:
        await pilot.press("h")
        await until(pilot, lambda: any("Del takes a note off" in line for line in seen(pilot.app)))
        await pilot.press("end", "delete")
        await until(
            pilot, lambda: any("taken off R-001: of another tape. U takes" in one for one in seen(pilot.app))
        )
        lines = [line for line in seen(pilot.app) if "of another tape" in line and " Dec 2026 " in line]
        assert ["note taken off: " in line for line in lines] == [True, False]  # both rows of the log
        await pilot.press("delete")  # the cursor is on the note still: it is none any more
        await until(pilot, lambda: any("! that line is no note" in line for line in seen(pilot.app)))
        await pilot.press("escape")
        assert [one.note for one in noted_of(book.shelf, "R-001")] == ["dry leader"]
        await pilot.press("enter")  # the card
        await until(pilot, lambda: any("note Tue 1 Dec 18:52: dry leader" in one for one in seen(pilot.app)))
        assert not any("of another tape" in line for line in seen(pilot.app))
        await pilot.press("escape", "u")
        told = "taken back: take a note off R-001"
        await until(pilot, lambda: any(told in line for line in seen(pilot.app)))
        assert len(noted_of(book.shelf, "R-001")) == 2


async def test_a_key_that_cannot_be_used_says_why(book: Any, opened: Any, seen: Any, until: Any) -> None:
    async with opened(book) as pilot:
        await pilot.press(*["down"] * 6, "space")  # R-007 is verified
        await until(pilot, lambda: any("not now: R-007 is verified" in line for line in seen(pilot.app)))
        assert pilot.app.screen.reason_not("done") is not None


async def test_finding_narrows_with_each_key_and_escape_shows_all_again(
    book: Any, opened: Any, typed: Any, seen: Any, until: Any
) -> None:
    async with opened(book) as pilot:
        await pilot.press("slash")
        await typed(pilot, "moura")
        await until(pilot, lambda: any("1 of 13 reels shown" in line for line in seen(pilot.app)))
        assert "track 1: Ines Moura" in line_of(seen(pilot.app), "R-001")
        await pilot.press("enter", "n")  # the list has the keys again
        await until(pilot, lambda: any("Note on R-001" in line for line in seen(pilot.app)))
        await pilot.press("escape", "escape")
        await until(pilot, lambda: any("R-004" in line for line in seen(pilot.app)))
        await pilot.press("slash")
        await until(pilot, lambda: any("find moura" in line for line in seen(pilot.app)))


async def test_finding_works_from_another_place(
    book: Any, opened: Any, typed: Any, seen: Any, until: Any
) -> None:
    async with opened(book) as pilot:
        await pilot.press("s", "slash")
        await typed(pilot, "marram")
        await until(pilot, lambda: any("1 of 13 reels shown" in line for line in seen(pilot.app)))


async def test_filters_are_ticked_and_combine(book: Any, opened: Any, seen: Any, until: Any) -> None:
    async with opened(book) as pilot:
        await pilot.press("f", "down", "space")  # identified
        await pilot.press(*["down"] * 5, "space", "enter")  # blocked
        await until(pilot, lambda: any("identified, blocked" in line for line in seen(pilot.app)))
        shown = [line[1:6] for line in seen(pilot.app) if line[1:3] == "R-"]
        assert shown == ["R-002", "R-009", "R-011"]
        await pilot.press("escape")
        await until(pilot, lambda: any("R-004" in line for line in seen(pilot.app)))


async def test_the_order_is_chosen_and_turns_round(book: Any, opened: Any, seen: Any, until: Any) -> None:
    async with opened(book) as pilot:
        await pilot.press("z", "down", "enter")
        await until(pilot, lambda: "CAL-1" in seen(pilot.app)[2])
        await pilot.press("z", "enter")
        await until(pilot, lambda: "R-011" in seen(pilot.app)[2])


async def test_a_reel_is_set_aside_with_the_reason_and_taken_up_again(
    book: Any, opened: Any, typed: Any, until: Any
) -> None:
    async with opened(book) as pilot:
        await pilot.press("x")
        await typed(pilot, "blank tape")
        await pilot.press("enter")
        await until(pilot, lambda: book.shelf.reels["R-001"].set_aside == "blank tape")
        await pilot.press("x")
        await until(pilot, lambda: book.shelf.reels["R-001"].set_aside == "")


async def test_any_stage_can_be_marked_with_its_real_time(
    book: Any, opened: Any, typed: Any, until: Any
) -> None:
    async with opened(book) as pilot:
        await pilot.press(*["down"] * 2, "m", "enter")  # R-003 aligned
        await typed(pilot, "18:30")
        await pilot.press("enter")
        await until(pilot, lambda: book.shelf.reels["R-003"].stage == "aligned")
        assert f"{book.shelf.history[-1].at:%H:%M}" == "18:30"


async def test_a_load_is_started_from_the_chart(
    book: Any, opened: Any, seen: Any, typed: Any, until: Any
) -> None:
    inside = book.shelf.reels["R-002"]
    book.lay_out(book.shelf.with_reel(replace(inside, chamber="", loaded_at=None)))
    async with opened(book) as pilot:
        await pilot.press("down", "l")
        await until(pilot, lambda: any("2 of 6 trays" in line for line in seen(pilot.app)))
        await pilot.press("down", "down", "space")  # R-008 goes in too
        await until(pilot, lambda: any("4 of 6 trays" in line for line in seen(pilot.app)))
        assert any("R-009" in line and "not now" in line for line in seen(pilot.app))
        await pilot.press("enter")
        await until(pilot, lambda: any("nobody has seen the base" in line for line in seen(pilot.app)))
        await pilot.press("enter", "enter")  # a key that bounces looks at nothing, and begins nothing
        assert not book.shelf.reels["R-008"].chamber
        await pilot.press("enter", "3")  # by the box's word
        await typed(pilot, "the neighbour sits with it")  # the night is not home time
        await pilot.press("enter")
        await until(pilot, lambda: book.shelf.reels["R-008"].chamber == "C1")
        assert book.shelf.reels["R-002"].loaded_at == book.now()


async def test_what_another_program_did_is_named_before_it_is_taken_back(
    book: Any, opened: Any, seen: Any, until: Any
) -> None:
    async with opened(book) as pilot:
        await pilot.press("x")  # R-001 is set aside
        await pilot.press(*"lab", "enter")
        await until(pilot, lambda: book.shelf.reels["R-001"].set_aside == "lab")
        other = type(book).open(book.path, book.now)
        other.change(
            lambda s: s.with_reel(replace(s.reel("R-003"), condition=("mould",))), what="R-003 has mould"
        )
        await until(pilot, lambda: "mould" in book.shelf.reels["R-003"].condition)
        book.reload()
        pilot.app.took_over("read again")
        await pilot.press("u")
        await until(pilot, lambda: any("Take back: R-003 has mould?" in line for line in seen(pilot.app)))
        assert any(
            "It was done by another program, since this one was opened" in line for line in seen(pilot.app)
        )
        await pilot.press("escape")
        assert book.shelf.reels["R-003"].condition == ("mould",)
        await pilot.press("u")
        await until(pilot, lambda: any("Take back: R-003" in line for line in seen(pilot.app)))
        await pilot.press("enter")
        await until(pilot, lambda: book.shelf.reels["R-003"].condition != ("mould",))
        await pilot.press("u")  # its own act is taken back at once
        await until(pilot, lambda: not book.shelf.reels["R-001"].set_aside)


async def test_an_empty_shelf_says_what_to_do(book: Any, opened: Any, seen: Any, until: Any) -> None:
    book.lay_out(replace(book.shelf, reels={}, songs={}))
    async with opened(book) as pilot:
        await pilot.press("space")
        await until(
            pilot, lambda: any("there is no reel yet: A adds some" in line for line in seen(pilot.app))
        )


async def test_every_place_is_one_key_away_and_escape_comes_home(
    book: Any, opened: Any, seen: Any, until: Any
) -> None:
    async with opened(book) as pilot:
        for key, mode in (("s", "songs"), ("w", "week"), ("c", "chart"), ("S", "songs")):
            await pilot.press(key)
            await until(pilot, lambda mode=mode: pilot.app.current_mode == mode)
        await pilot.press("escape")
        await until(pilot, lambda: pilot.app.current_mode == "chart")
        await pilot.press("escape")
        await until(pilot, lambda: any("outermost" in line for line in seen(pilot.app)))


@pytest.mark.parametrize("key", ["q", "ctrl+q", "ctrl+c"])
async def test_there_is_more_than_one_way_to_leave(book: Any, opened: Any, until: Any, key: str) -> None:
    async with opened(book) as pilot:
        await pilot.press(key)
        await until(pilot, lambda: pilot.app._exit)


async def test_leaving_with_a_load_running_names_the_next_touch(book: Any, opened: Any, until: Any) -> None:
    async with opened(book) as pilot:
        await pilot.press("q")
        await until(pilot, lambda: pilot.app._exit)
        assert any("C1: turn R-002 at 19:15" in str(line) for line in pilot.app._exit_renderables)


async def test_another_programs_change_is_seen(book: Any, opened: Any, seen: Any, until: Any) -> None:
    async with opened(book) as pilot:
        other = type(book).open(book.path, book.now)
        marram = replace(other.shelf.reels["R-004"], box_label="Marram, reel two")
        other.change(lambda shelf: shelf.with_reel(marram), what="set R-004")
        pilot.app.tick()
        await until(pilot, lambda: "Marram, reel two" in line_of(seen(pilot.app), "R-004"))
        assert any("changed by another program" in line for line in seen(pilot.app))


async def test_a_shelf_that_cannot_be_written_says_so(book: Any, opened: Any, seen: Any, until: Any) -> None:
    def full(*args: Any, **words: Any) -> None:
        raise OSError(28, "No space left on device")

    async with opened(book) as pilot:
        book.mark = full
        await pilot.press("down", "down", "space")
        await until(
            pilot,
            lambda: any("No space left on device; nothing was changed" in one for one in seen(pilot.app)),
        )


async def test_wide_terminals_show_songs_place_and_playable_days(book: Any, opened: Any, seen: Any) -> None:
    async with opened(book, (120, 40)) as pilot:
        line = line_of(seen(pilot.app), "R-001")
        assert "11 d" in line
        assert "A1" in line
        assert "Low Tide" in line[70:]


async def test_what_a_row_has_no_room_for_is_told_whole_at_the_foot(
    book: Any, opened: Any, seen: Any, until: Any
) -> None:
    told = replace(
        book.shelf.reels["R-003"],
        box_label="Basic tracks, reel three of seven",
        location="cellar, behind the door",
    )
    book.change(lambda shelf: shelf.with_reel(told), what="the box")
    async with opened(book, (120, 40)) as pilot:
        await pilot.press("down", "down")
        await until(pilot, lambda: any("Basic tracks, reel three of seven" in one for one in seen(pilot.app)))
        assert any("place: cellar, behind the door" in line for line in seen(pilot.app))


async def test_a_wide_terminal_gives_place_and_songs_the_room_that_others_do_not_need(
    book: Any, opened: Any, seen: Any
) -> None:
    """Free columns stand beside no cut word: what fits whole stands whole, and the heads above it."""
    apart = replace(book.shelf.reels["R-003"], location="quarantine bag")
    book.change(lambda shelf: shelf.with_reel(apart), what="the place")
    async with opened(book, (120, 40)) as pilot:
        shown = seen(pilot.app)
        assert "quarantine bag" in line_of(shown, "R-003")
        songs = line_of(shown, "R-001").rstrip()
        assert songs.endswith(" Low Tide"), songs
        heads = next(line for line in shown if "format" in line and "place" in line)
        assert heads.index("place") == line_of(shown, "R-003").index("quarantine bag")
        assert heads.index("songs") == songs.rindex("Low Tide")


async def test_keys_bound_anew_work_and_are_shown(book: Any, opened: Any, seen: Any, until: Any) -> None:
    book.lay_out(book.shelf.choosing("keys", {"reel.done": "f13"}))
    async with opened(book) as pilot:
        assert "F13 done" in seen(pilot.app)[-1]
        await pilot.press("down", "down", "f13")
        await until(pilot, lambda: book.shelf.reels["R-003"].stage == "aligned")


async def test_the_palette_has_every_key_of_the_place(book: Any, opened: Any, typed: Any, until: Any) -> None:
    from tui.palette import KeyCommands

    async with opened(book) as pilot:
        provider = KeyCommands(pilot.app.screen)
        names = [hit.text async for hit in provider.discover()]
        assert "Put the reel back a stage, with the reason." in names
        found = [hit.text async for hit in provider.search("chamber")]
        assert "Put reels into a chamber: its clock starts." in found
        await pilot.press("colon")
        await typed(pilot, "work orders")
        await until(pilot, lambda: type(pilot.app.screen).__name__ == "CommandPalette")


async def test_the_page_of_keys_does_what_its_line_says(
    book: Any, opened: Any, seen: Any, until: Any
) -> None:
    async with opened(book) as pilot:
        await pilot.press("question_mark")
        await until(pilot, lambda: any("Open the reel's card" in line for line in seen(pilot.app)))
        await pilot.press("enter")
        await until(pilot, lambda: any("box label" in line for line in seen(pilot.app)))


@pytest.mark.parametrize("size", [(80, 24), (120, 40)])
async def test_the_heads_stand_over_their_columns_on_a_shelf_that_needs_no_scrolling(
    on_disk: Any, opened: Any, seen: Any, size: tuple[int, int]
) -> None:
    async with opened(on_disk, size=size) as pilot:
        heads, line = seen(pilot.app)[1], seen(pilot.app)[2]
        where = heads.index("f i c a t v")
        assert [line[where + 2 * n] for n in range(3)] == ["•", "•", "•"]
        assert line[where + 1] == " "


async def test_the_head_names_the_keys_of_the_chamber_and_of_the_figures_at_eighty_columns(
    on_disk: Any, opened: Any, seen: Any, until: Any
) -> None:
    async with opened(on_disk) as pilot:
        assert "F2 chamber  F3 figures" in seen(pilot.app)[0]
        await pilot.press("f2")
        await until(pilot, lambda: "Chamber" in seen(pilot.app)[0])
        assert "F2" not in seen(pilot.app)[0]
        pilot.app.do(lambda: pilot.app.book.change(bound_anew, what="keys"))
        await until(pilot, lambda: "F13 figures" in seen(pilot.app)[0])


def bound_anew(shelf: Any) -> Any:
    """The shelf with the figures on another key."""
    return shelf.choosing("keys", {"any.figures": "f13"})


def test_the_head_gives_up_keys_before_words() -> None:
    head = HeadLine()
    head.set_reactive(HeadLine.keys, (("F2", "chamber"), ("F3", "figures")))
    assert [len(head._fitting(room)) for room in (24, 23, 12, 11, -4)] == [2, 1, 1, 0, 0]


async def test_a_stage_is_marked_at_this_moment_where_no_time_is_typed(
    book: Any, opened: Any, seen: Any, until: Any
) -> None:
    sound = replace(book.shelf.reel("R-010"), condition=("ok",))
    book.change(lambda shelf: shelf.with_reel(sound), what="no mould")
    async with opened(book) as pilot:
        pilot.app.screen.rows.go_to("R-010")
        await pilot.press("m")
        await until(pilot, lambda: any("Mark R-010" in line for line in seen(pilot.app)))
        await pilot.press("enter")
        await until(pilot, lambda: any("R-010 identified: when?" in line for line in seen(pilot.app)))
        await pilot.press("enter")
        await until(pilot, lambda: book.shelf.reels["R-010"].stage == "identified")


@pytest.mark.parametrize("width", [160, 190, 200])
def test_the_heads_of_the_stages_are_never_cut(width: int) -> None:
    from core.reels.reel import STAGES
    from tui.places.chart.columns import SHORT, columns

    cell = columns(width).cell
    assert all(len(word) < cell for word in (STAGES if cell >= 12 else SHORT))
    assert len("• 29 Nov") < cell  # and a date in a cell does not touch the next one
    assert len(SHORT) == len(STAGES)


async def test_a_narrow_chart_tells_tapes_apart_by_their_words(
    book: Any, opened: Any, seen: Any, until: Any
) -> None:
    async with opened(book, (60, 20)) as pilot:
        label = book.shelf.reels["R-002"].box_label
        assert len(label) > 8
        await until(pilot, lambda: any("R-002" in line and label[:11] in line for line in seen(pilot.app)))
        assert all(len(line.rstrip()) <= 60 for line in seen(pilot.app))


async def test_what_is_noted_on_a_tape_in_the_heat_is_told_under_the_chart(
    book: Any, opened: Any, seen: Any, until: Any
) -> None:
    book.note("R-002", "smells of vinegar")
    async with opened(book) as pilot:
        says = '!! R-002 is in the heat of chamber C1 and says "vinegar"'
        await until(pilot, lambda: any(says in line for line in seen(pilot.app)))
