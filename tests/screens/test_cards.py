"""Cards: every field is there, checked as it is typed, taken with Enter, undone with one key."""

from __future__ import annotations

from dataclasses import fields, replace
from typing import Any

import pytest

from core.reels.reel import Reel
from core.songs.song import Song
from tui.board.fields import REEL_GROUPS, groups, in_words, reading

REEL_FIELDS = [name for _, names in REEL_GROUPS for name in names]


@pytest.mark.parametrize(
    ("value", "apart"), [(Reel("R-1"), {"key", "stage", "extra"}), (Song("S-1"), {"key", "extra"})]
)
def test_a_card_has_every_field(value: Any, apart: set[str]) -> None:
    named = {f.column.attribute for _, group in groups(value) for f in group if f.column}
    assert named == {f.name for f in fields(value)} - apart


def test_columns_from_files_are_on_the_card_too() -> None:
    titles = [title for title, _ in groups(Reel("R-1", extra=(("shelf mark", "x"),)))]
    assert titles[-1] == "From your files"


def field_of(name: str) -> Any:
    return next(f for _, group in groups(Reel("R-1")) for f in group if f.name == name)


def test_a_text_is_read_as_it_is_typed(studio: Any) -> None:
    assert reading(field_of("speed"), "7 1/2 ips", studio) == ("", False)
    assert reading(field_of("speed"), "fast", studio)[1]
    assert "polyester" in reading(field_of("base"), "poly", studio)[0]


def test_units_are_shown_as_chosen(shelf: Any) -> None:
    # 1 ft is exactly 0.3048 m (international foot, 1959): 2500 ft = 762 m.
    length = shelf.reels["R-001"].length
    assert in_words(length, "length", "m") == "762 m"
    assert field_of("length").shown(shelf.reels["R-001"], {"length": "m"}) == "762 m"
    assert field_of("speed").shown(shelf.reels["R-001"], {"speed": "cm/s"}) == "38.1 cm/s"


async def test_a_field_is_changed_and_undone(
    book: Any, opened: Any, typed: Any, seen: Any, until: Any
) -> None:
    async with opened(book) as pilot:
        await pilot.press("enter", "down", "enter")  # contents
        await typed(pilot, "two songs")
        await pilot.press("enter")
        await until(pilot, lambda: book.shelf.reels["R-001"].contents == "two songs")
        await pilot.press("u")
        await until(pilot, lambda: book.shelf.reels["R-001"].contents == "")
        # Opened and left with nothing typed: no fault, and what is pressed next is a key again. Tab leaves
        # no line: what is typed after it stands in the line, and does nothing else.
        await pilot.press("enter", "escape", "enter", "tab", "b", "escape")
        assert not pilot.app.faults and pilot.app.drafts == {"R-001 role": "b"}
        await pilot.press("escape")
        await until(pilot, lambda: pilot.app.screen.query("ChartList"))


async def test_a_wrong_text_is_told_while_it_is_typed_and_not_taken(
    book: Any, opened: Any, typed: Any, seen: Any, until: Any
) -> None:
    async with opened(book) as pilot:
        await pilot.press("enter", "down", "down", "enter")  # role
        await typed(pilot, "mixx")
        await until(pilot, lambda: any("wants one of multitrack, mix" in line for line in seen(pilot.app)))
        await pilot.press("enter")
        await until(pilot, lambda: any("! role wants" in line for line in seen(pilot.app)))
        assert book.shelf.reels["R-001"].role == ""
        await pilot.press("escape")
        await until(pilot, lambda: any("~ mixx" in line for line in seen(pilot.app)))
        await pilot.press("enter", "backspace", "enter")  # what was typed is still there
        await until(pilot, lambda: book.shelf.reels["R-001"].role == "mix")


async def test_tracks_that_no_head_has_are_told_while_typed_refused_above_all_and_else_asked_once(
    book: Any, opened: Any, typed: Any, seen: Any, until: Any
) -> None:
    def says(words: str) -> Any:
        return lambda: any(words in line for line in seen(pilot.app))

    async with opened(book) as pilot:
        at = [name for _, group in groups(Reel("")) for name in (one.name for one in group)].index("tracks")
        await pilot.press("enter", *["down"] * at, "enter")
        await typed(pilot, "4")  # the first key replaces
        await typed(pilot, "0")
        await until(pilot, says("cannot be: 1 in has 32 tracks"))
        await pilot.press("enter")
        assert book.shelf.reels["R-001"].tracks == 16
        await pilot.press("backspace", "backspace")
        await typed(pilot, "17")
        await pilot.press("enter")
        await until(pilot, says("tracks 17? 1 in has 1, 2, 4, 8, 16, 24 or 32"))
        assert book.shelf.reels["R-001"].tracks == 16
        await pilot.press("enter")
        await until(pilot, lambda: book.shelf.reels["R-001"].tracks == 17)
        await until(pilot, says("17   (no head that is known has so many)"))
        assert not pilot.app.drafts


async def test_the_keys_of_the_chart_work_on_the_card(book: Any, opened: Any, until: Any) -> None:
    async with opened(book) as pilot:
        await pilot.press("down", "down", "enter", "space")
        await until(pilot, lambda: book.shelf.reels["R-003"].stage == "aligned")
        await pilot.press("full_stop")
        await until(pilot, lambda: pilot.app.screen.key == "R-004")


async def test_a_song_card_refuses_a_reel_that_is_not_there(
    book: Any, opened: Any, typed: Any, seen: Any, until: Any
) -> None:
    async with opened(book) as pilot:
        await pilot.press("s", "enter", *["down"] * 6, "enter")
        await typed(pilot, "; R-999")
        await pilot.press("enter")
        await until(
            pilot, lambda: any("R-999, which is not on the shelf" in line for line in seen(pilot.app))
        )
        assert len(book.shelf.songs["S-01"].needs) == 2


async def test_a_cell_of_the_track_sheet_is_written(
    book: Any, opened: Any, typed: Any, seen: Any, until: Any
) -> None:
    async with opened(book) as pilot:
        await pilot.press("g", "down", "enter")  # track 5, below track 1
        await typed(pilot, "organ")
        await pilot.press("enter")
        await typed(pilot, "Ada Lind")
        await pilot.press("enter", "escape")
        row = next(row for row in book.shelf.sheets if row.track == 5)
        assert (row.sheet, row.part, row.player, row.reel) == ("T-1", "organ", "Ada Lind", "R-001")
        await until(pilot, lambda: any("organ" in line for line in seen(pilot.app)))
        await pilot.press("delete")
        await until(pilot, lambda: all(row.track != 5 for row in book.shelf.sheets))
        # An empty cell names the key that writes in it.
        await until(pilot, lambda: any("Enter writes the part" in x for x in seen(pilot.app)))


async def test_a_run_of_reels_is_added_in_one_dialog(
    book: Any, opened: Any, typed: Any, seen: Any, until: Any
) -> None:
    async with opened(book) as pilot:
        await pilot.press("a")
        await until(pilot, lambda: any("A adds 1 reel: R-012" in line for line in seen(pilot.app)))
        await pilot.press("down", "enter", "backspace", "3", "enter", "enter")
        await typed(pilot, "One | Two")
        await pilot.press("enter", "enter")
        await typed(pilot, "1/2 in")
        await pilot.press("enter")
        await until(pilot, lambda: any("A adds 3 reels: R-012 to R-014" in line for line in seen(pilot.app)))
        await pilot.press("a")
        await until(pilot, lambda: "R-014" in book.shelf.reels)
        assert [book.shelf.reels[k].box_label for k in ("R-012", "R-013", "R-014")] == ["One", "Two", ""]
        assert str(book.shelf.reels["R-014"].width) == "1/2 in"
        await pilot.press("u")
        await until(pilot, lambda: "R-012" not in book.shelf.reels)


async def test_a_song_is_added_and_its_card_opens(book: Any, opened: Any, typed: Any, until: Any) -> None:
    async with opened(book) as pilot:
        await pilot.press("s", "a")
        await typed(pilot, "Sluice")
        await pilot.press("enter")
        await until(pilot, lambda: book.shelf.songs.get("S-04") is not None)
        await until(pilot, lambda: getattr(pilot.app.screen, "key", "") == "S-04")


async def test_units_are_chosen_and_kept(book: Any, opened: Any, seen: Any, until: Any) -> None:
    async with opened(book) as pilot:
        await pilot.press("f6", "down", "down", "space", "enter")  # metres
        await until(pilot, lambda: book.shelf.of_kind("setting").get("units") == {"length": "m"})
        await pilot.press("enter")
        await until(pilot, lambda: any("762 m" in line for line in seen(pilot.app)))


async def test_what_contradicts_the_rest_of_the_shelf_is_refused_and_stays_in_the_field(
    book: Any, opened: Any, typed: Any, seen: Any, until: Any
) -> None:
    async with opened(book) as pilot:
        await pilot.press("enter", "down", "down", "enter")  # role of a reel that songs need
        await typed(pilot, "calibration")
        await pilot.press("enter")
        await until(pilot, lambda: any("is not a reel to transfer" in line for line in seen(pilot.app)))
        assert book.shelf.reels["R-001"].role == ""
        assert any("role calibration" in line for line in seen(pilot.app))  # what was typed stays there


async def test_what_is_typed_stands_in_place_of_a_figure_and_a_bare_number_is_offered_its_unit(
    book: Any, opened: Any, typed: Any, seen: Any, until: Any
) -> None:
    async with opened(book) as pilot:
        await pilot.press("enter")
        listed = pilot.app.screen.query_one("FieldList")
        listed.cursor = [line.name for line in listed.lines].index("speed")
        await pilot.press("enter")
        await typed(pilot, "30")
        await until(pilot, lambda: any("30 ips? Enter takes it so" in line for line in seen(pilot.app)))
        await pilot.press("enter")
        await until(pilot, lambda: str(book.shelf.reels["R-001"].speed) == "30 ips")


def test_a_bare_number_that_could_be_two_things_is_asked_for_its_unit(studio: Any) -> None:
    assert field_of("length").meant("2500", studio) is None
    assert "2500 ft or 2500 m" in reading(field_of("length"), "2500", studio)[0]
    # 38 and 19 cm/s are 15 and 7 1/2 ips as catalogues round them; 10.5 in is a reel of the trade.
    assert field_of("speed").meant("38", studio) == "38 cm/s"
    assert field_of("speed").meant("17", studio) is None
    # Boxes have cm for cm/s: the length that passes in a second.
    assert field_of("speed").meant("19 cm", studio) == "19 cm/s"
    assert field_of("speed").meant("7 1/2 in", studio) == "7 1/2 ips"
    assert field_of("speed").meant("17 cm", studio) is None
    assert field_of("reel_size").meant("10.5", studio) == "10.5 in"


async def test_photographs_are_shown_by_name_and_a_missing_one_is_said(
    book_of: Any, shelf: Any, opened: Any, seen: Any, until: Any
) -> None:
    reel = replace(shelf.reels["R-001"], photographs="/nowhere/at all/box.jpg")
    async with opened(book_of(shelf.with_reel(reel))) as pilot:
        await pilot.press("enter")
        await until(
            pilot,
            lambda: any("box.jpg   (not there; Enter tells where)" in line for line in seen(pilot.app)),
        )
        assert not any("/nowhere" in line for line in seen(pilot.app))


async def test_a_photograph_that_is_not_there_is_asked_about_with_the_place_where_it_was_looked_for(
    book: Any, opened: Any, typed: Any, seen: Any, until: Any
) -> None:
    place = str(book.path.absolute().parent / "pics")

    def told(pilot: Any, words: str) -> bool:
        return "".join(words.split()) in "".join("".join(seen(pilot.app)).split())

    async with opened(book) as pilot:
        await pilot.press("enter", *["down"] * list(REEL_FIELDS).index("photographs"), "enter")
        hint = "several with ; between, a path counts from the shelf's folder"
        await until(pilot, lambda: told(pilot, hint))
        await typed(pilot, "pics/an old box.jpg")
        await until(pilot, lambda: told(pilot, f"not there: {place}/an old box.jpg"))
        await pilot.press("enter")
        await until(pilot, lambda: told(pilot, "not there; Enter again takes it"))
        assert book.shelf.reel("R-001").photographs == ""
        (book.path.parent / "pics").mkdir()
        (book.path.parent / "pics" / "an old box.jpg").touch()
        await pilot.press("x", "backspace")
        await until(pilot, lambda: not told(pilot, "not there: "))
        await pilot.press("enter")
        await until(pilot, lambda: book.shelf.reel("R-001").photographs == "pics/an old box.jpg")


async def test_no_hint_of_a_line_to_type_in_is_cut(book: Any, opened: Any, seen: Any, until: Any) -> None:
    """At eighty columns two hints ended in the middle of the rule that they tell."""
    async with opened(book) as pilot:
        await pilot.press("s", "enter")
        rule = "several with ; between, part of a tape as R-001@12:30-16:45"
        await until(pilot, lambda: "needs" in "".join(seen(pilot.app)))
        while pilot.app.screen.card.field is None or pilot.app.screen.card.field.name != "needs":
            await pilot.press("down")
        await pilot.press("enter", "home")
        await until(pilot, lambda: any(rule in line for line in seen(pilot.app)))
        assert any("needs" in line and "R-001" in line for line in seen(pilot.app))


async def test_the_word_under_the_cursor_is_told_on_the_page_of_keys(
    book: Any, opened: Any, seen: Any, until: Any
) -> None:
    async with opened(book) as pilot:
        await pilot.press("enter", *["down"] * list(REEL_FIELDS).index("wind"), "question_mark")
        await until(pilot, lambda: any("wind: Which end is outermost" in line for line in seen(pilot.app)))
        await pilot.press("end")
        await until(pilot, lambda: any("zero run: Exact silence" in line for line in seen(pilot.app)))


async def test_the_key_of_a_place_goes_to_the_place_and_not_to_the_card_that_was_open_there(
    book: Any, opened: Any, until: Any
) -> None:
    async with opened(book) as pilot:
        await pilot.press("enter")
        await until(pilot, lambda: type(pilot.app.screen).__name__ == "ReelCard")
        await pilot.press("s")
        await until(pilot, lambda: type(pilot.app.screen).__name__ == "SongsScreen")
        await pilot.press("c")
        await until(pilot, lambda: type(pilot.app.screen).__name__ == "ChartScreen")
        await pilot.press("enter", "g", "c")
        await until(pilot, lambda: type(pilot.app.screen).__name__ == "ChartScreen")


async def test_a_card_goes_with_its_thing_when_another_program_renames_it_and_closes_when_it_is_gone(
    book: Any, opened: Any, typed: Any, seen: Any, until: Any
) -> None:
    async with opened(book) as pilot:
        await pilot.press("enter", "down", "enter")
        await typed(pilot, "two so")
        other = type(book).open(book.path, book.now)
        other.shelving.rename("R-001", "R-901")
        pilot.app.tick()
        await until(pilot, lambda: any("R-001 is R-901 now" in line for line in seen(pilot.app)))
        await typed(pilot, "ngs")
        await pilot.press("enter")
        await until(pilot, lambda: book.shelf.reels["R-901"].contents == "two songs")
        other.reload()
        other.shelving.remove(["R-901"])
        pilot.app.tick()
        await until(pilot, lambda: bool(pilot.app.screen.query("ChartList")))
        assert any("R-901 is not on the shelf any more" in line for line in seen(pilot.app))
        before = book.shelf.reels
        await typed(pilot, "xyz")  # keys of the chart now, and no field's
        assert [one.contents for one in before.values()] == [r.contents for r in book.shelf.reels.values()]


async def test_a_key_that_is_taken_is_refused_where_it_is_typed(
    book: Any, opened: Any, typed: Any, seen: Any, until: Any
) -> None:
    async with opened(book) as pilot:
        await pilot.press("k")
        await until(pilot, lambda: bool(pilot.app.screen.query("Choices")))
        await pilot.press("1")
        await until(pilot, lambda: bool(pilot.app.screen.query("Input")))
        await typed(pilot, "R-002")
        await pilot.press("enter")
        await until(pilot, lambda: any("there is a reel R-002 already" in line for line in seen(pilot.app)))
        assert pilot.app.screen.query("Input") and "R-001" in book.shelf.reels
        await pilot.press("b", "enter")
        await until(pilot, lambda: "R-002b" in book.shelf.reels and "R-001" not in book.shelf.reels)


def test_a_field_of_several_says_what_stands_between_them(studio: Any) -> None:
    for name, text in (("photographs", ""), ("photographs", "a.png")):
        assert "several with ; between, a path counts from" in reading(field_of(name), text, studio)[0]
    needs = next(f for _, group in groups(Song("S-1")) for f in group if f.name == "needs")
    assert "several with ; between" in reading(needs, "", studio)[0]


async def test_what_is_typed_over_a_place_or_a_title_stands_in_its_place(
    book: Any, opened: Any, until: Any
) -> None:
    """An arrow or End first, and it is added to; notes and lists of several always are."""
    async with opened(book) as pilot:
        pilot.app.open_door("reel", "R-001")
        await until(pilot, lambda: bool(pilot.app.screen.query("FieldList")))
        while pilot.app.screen.query_one("FieldList").name_here != "location":
            await pilot.press("down")
        await pilot.press("enter", "B", "7", "enter")
        await until(pilot, lambda: book.shelf.reels["R-001"].location == "B7")
        await pilot.press("up", "enter", "end", "b", "enter")
        await until(pilot, lambda: book.shelf.reels["R-001"].location == "B7b")


async def test_the_card_of_a_calibration_tape_tells_no_pass_and_no_capture_of_it(
    book: Any, opened: Any, seen: Any, until: Any
) -> None:
    async with opened(book) as pilot:
        await pilot.press("end", "enter")
        await until(pilot, lambda: any("it lines decks up" in line for line in seen(pilot.app)))
        assert pilot.app.screen.thing().calibration
        said = "\n".join(seen(pilot.app)[:8])
        assert not any(word in said for word in ("warmed", "no song", "GB", "pass,"))
