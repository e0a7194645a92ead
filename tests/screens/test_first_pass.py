"""From an empty shelf: what stands in empty places, boxes written down a line each, a key changed."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from functools import partial
from typing import Any

import pytest
from textual.events import Key

from core.errors import ReelturnError
from core.reels.reel import Reel
from tui.places.chart.boxes import box_told


@pytest.fixture
def bare(book_of: Any, shelf: Any) -> Any:
    """A shelf with a studio and nothing else."""
    return book_of(replace(shelf, reels={}, songs={}, sheets=(), history=()))


async def test_an_empty_chart_and_empty_songs_say_what_begins_them(
    bare: Any, opened: Any, seen: Any, until: Any
) -> None:
    async with opened(bare) as pilot:
        await until(pilot, lambda: any("P puts boxes in" in line for line in seen(pilot.app)))
        assert any("no tape yet" in line for line in seen(pilot.app))
        await pilot.press("s")
        await until(pilot, lambda: any("No song is on this shelf yet" in line for line in seen(pilot.app)))


async def test_a_box_takes_under_ten_keys_beside_its_words(
    bare: Any, opened: Any, typed: Any, seen: Any, until: Any
) -> None:
    async with opened(bare) as pilot:
        await pilot.press("p", "1")
        await until(pilot, lambda: bool(pilot.app.screen.query("Input")))
        lines = (
            "Low Tide; 1; A1",
            "Lanterns",
            "Choir; 1/4; B2",
            "R-050= Marram",
            "=7; half inch",
            "R-010= Kestrel",
            "Sluice",
            "Again",
        )
        for number, line in enumerate(lines, 1):
            await typed(pilot, line)
            await pilot.press("enter")
            await until(pilot, lambda number=number: len(bare.shelf.reels) == number)
        beside = [
            len(line) + 1 - len(words) for line, words in zip(lines, ("Low Tide", "Lanterns"), strict=False)
        ]
        assert max(beside) < 10
        await pilot.press("escape")
        told = [(one.key, one.box_label, str(one.width), one.location) for one in bare.shelf.reels.values()]
        assert told == [
            ("R-001", "Low Tide", "1 in", "A1"), ("R-002", "Lanterns", "1 in", "A1"),
            ("R-003", "Choir", "1/4 in", "B2"), ("R-050", "Marram", "1/4 in", "B2"),
            ("R-051", "=7", "half inch", "B2"), ("R-010", "Kestrel", "half inch", "B2"),
            ("R-011", "Sluice", "half inch", "B2"), ("R-012", "Again", "half inch", "B2"),
        ]  # fmt: skip
        await pilot.press("u")
        await until(pilot, lambda: "R-012" not in bare.shelf.reels)


async def test_a_question_mark_tells_what_is_wanted_and_adds_no_box(
    bare: Any, opened: Any, typed: Any, seen: Any, until: Any
) -> None:
    async with opened(bare) as pilot:
        await pilot.press("p", "1")
        await until(pilot, lambda: bool(pilot.app.screen.query("Input")))
        await typed(pilot, "?")
        await pilot.press("enter")
        wanted = "wanted: what is written on the box; its width; its place"
        await until(pilot, lambda: any(wanted in line for line in seen(pilot.app)))
        assert not bare.shelf.reels
        await pilot.press(*["backspace"] * 2)
        await typed(pilot, "R-001= ?")  # as it says there, where that is what the box says
        await pilot.press("enter")
        await until(pilot, lambda: [one.box_label for one in bare.shelf.reels.values()] == ["?"])


async def test_what_the_words_on_a_box_tell_goes_into_its_fields_by_one_key_only(
    bare: Any, opened: Any, typed: Any, seen: Any, until: Any
) -> None:
    async with opened(bare) as pilot:
        await pilot.press("p", "1")
        await until(pilot, lambda: bool(pilot.app.screen.query("Input")))
        for number, keys in enumerate((("tab", "enter"), ("enter",), ("tab", "tab", "enter")), 1):
            await typed(pilot, "Low Tide 15 ips NAB copy master; 1/4; A1")
            await until(pilot, lambda: any("Tab takes that" in line for line in seen(pilot.app)))
            await pilot.press(*keys)
            await until(pilot, lambda number=number: len(bare.shelf.reels) == number)
        told = [(str(one.speed or ""), one.eq, one.role) for one in bare.shelf.reels.values()]
        assert told == [("15 ips", "NAB", "mix"), ("", "", ""), ("", "", "")]
        await pilot.press("escape")
        await until(pilot, lambda: not pilot.app.screen.query("Input"))
        bare.change(lambda shelf: shelf.with_reel(shelf.reel("R-002")), what="look again")
        pilot.app.screen.rows.go_to("R-002")
        await pilot.press("enter")
        await until(pilot, lambda: any("next:" in line for line in seen(pilot.app)))
        listed = pilot.app.screen.query_one("FieldList")
        listed.cursor = next(n for n, line in enumerate(listed.lines) if line.name == "speed")
        await until(pilot, lambda: any("the box says 15 ips" in line for line in seen(pilot.app)))
        assert bare.shelf.reels["R-002"].speed is None
        await pilot.press("enter", "enter")
        await until(pilot, lambda: str(bare.shelf.reels["R-002"].speed) == "15 ips")


async def test_words_on_a_box_that_tell_more_tracks_than_its_width_takes_are_told_there(
    bare: Any, opened: Any, seen: Any, until: Any
) -> None:
    async with opened(bare) as pilot:
        await pilot.press("p", "1")
        await until(pilot, lambda: bool(pilot.app.screen.query("Added")))
        await pilot.press(
            *["space" if one == " " else one for one in "Weir 24 track"], "semicolon", "1", "slash", "4"
        )
        await pilot.press("tab")
        cannot = "tracks 24 cannot be: 1/4 in has 8 tracks at most (1, 2, 4 or 8)"
        await until(pilot, lambda: any(cannot in line for line in seen(pilot.app)))
        await pilot.press("enter")
        assert not bare.shelf.reels
        await pilot.press("tab", "enter")  # without what the words tell
        await until(pilot, lambda: len(bare.shelf.reels) == 1)


async def test_a_hand_faster_than_the_screen_loses_no_key(bare: Any, opened: Any, until: Any) -> None:
    async with opened(bare) as pilot:
        for key in "p1Kx":  # all at once, before anything has opened
            pilot.app.post_message(Key(key, key))
        await until(pilot, lambda: any(line.value == "Kx" for line in pilot.app.screen.query("Input")))
        assert not pilot.app.faults


async def test_what_was_seen_is_typed_in_reel_after_reel_along_the_shelf(
    bare: Any, opened: Any, typed: Any, seen: Any, until: Any
) -> None:
    wide = Reel("R-001", "second", location="A10")
    near, aside = Reel("R-002", "first", location="A2"), Reel("R-003", "kept out", set_aside="sent away")
    told = Reel(
        "R-004", location="A20", width=bare.shelf.studio.decks[1].widths[0], tracks=2, condition=("ok",)
    )
    bare.change(lambda shelf: shelf.with_reel(wide, near, aside, told), what="boxes")
    async with opened(bare) as pilot:
        await pilot.press("p", "2")
        head = "What is R-002, 1 of 3? first (place A2)"
        await until(pilot, lambda: any(head in line for line in seen(pilot.app)))
        await pilot.press("pagedown", "enter")  # nothing typed: passed over
        await until(pilot, lambda: any("What is R-001, 2 of 3?" in line for line in seen(pilot.app)))
        await typed(pilot, "1")  # of what? of an inch, as tape is wide
        await pilot.press("down", "down", "1", "1", "1", "pagedown", "enter")
        await until(pilot, lambda: bare.shelf.reels["R-001"].base == "polyester")
        assert bare.shelf.reels["R-001"].stage == "identified"
        assert bare.shelf.reels["R-002"] == near
        # Of this one a list told all: whether it was looked at is asked, and taken by one digit.
        await until(pilot, lambda: any("What is R-004, 3 of 3?" in line for line in seen(pilot.app)))
        assert bare.shelf.reels["R-004"].stage == "found"
        await pilot.press("pagedown", "enter")
        await until(pilot, lambda: any("R-004 as it stands?" in line for line in seen(pilot.app)))
        await pilot.press("1")
        await until(pilot, lambda: bare.shelf.reels["R-004"].stage == "identified")


async def test_files_are_looked_at_and_then_taken_as_one_change(
    bare: Any, opened: Any, typed: Any, seen: Any, until: Any, tmp_path: Any
) -> None:
    bad, good = tmp_path / "bad.csv", tmp_path / "my reels.csv"
    bad.write_text("reel,width\nB-1,3 furlong\n")
    good.write_text("reel;width;shelf mark\nB-1;1/4;x\nB-2;0,5 in;y\n")
    async with opened(bare) as pilot:
        for file, told in ((bad, "3 furlong"), (good, "new: 2 reels")):
            await pilot.press("p", "4")
            await until(pilot, lambda: bool(pilot.app.screen.query("Input")))
            await typed(pilot, str(file))
            await pilot.press("enter")
            if file == good:  # a quarter of what? of an inch, as tape is wide
                await until(pilot, lambda: any("did you mean 1/4 in" in line for line in seen(pilot.app)))
                await pilot.press("space")
            await until(pilot, lambda told=told: any(told in line for line in seen(pilot.app)))
            await pilot.press("enter")
            if file == bad:
                await until(pilot, lambda: any("while a row is refused" in line for line in seen(pilot.app)))
                await pilot.press("escape", "p", "4")
                await until(pilot, lambda: bool(pilot.app.screen.query("Input")))
                assert pilot.app.screen.query_one("Input").value == str(bad)  # kept until it was taken
                await pilot.press(*["backspace"] * len(str(bad)), "escape")
        await until(pilot, lambda: list(bare.shelf.reels) == ["B-1", "B-2"])
        assert str(bare.shelf.reels["B-1"].width) == "1/4 in"
        await pilot.press("u")
        await until(pilot, lambda: not bare.shelf.reels)


async def test_a_file_that_grew_since_it_was_looked_at_is_not_taken(
    bare: Any, opened: Any, typed: Any, seen: Any, until: Any, tmp_path: Any
) -> None:
    """What Enter takes is what was looked at; a second look takes what is there by then."""
    file = tmp_path / "grows.csv"
    file.write_text("reel,width\nB-1,1/4 in\n")
    async with opened(bare) as pilot:
        for told in ("new: 1 reel", "new: 2 reels"):
            await pilot.press("p", "4")
            await until(pilot, lambda: bool(pilot.app.screen.query("Input")))
            if told == "new: 1 reel":  # what was typed is kept until it was taken
                await typed(pilot, str(file))
            await pilot.press("enter")
            await until(pilot, lambda told=told: any(told in line for line in seen(pilot.app)))
            if told == "new: 1 reel":
                file.write_text(f"{file.read_text()}B-2,1/2 in\n")
            await pilot.press("enter")
            if told == "new: 1 reel":
                await until(
                    pilot, lambda: any("changed since it was looked at" in x for x in seen(pilot.app))
                )
                assert not bare.shelf.reels
        await until(pilot, lambda: list(bare.shelf.reels) == ["B-1", "B-2"])


async def test_a_file_with_words_of_ones_own_is_taken_without_leaving(
    bare: Any, opened: Any, typed: Any, seen: Any, until: Any, tmp_path: Any
) -> None:
    own = tmp_path / "own.csv"
    rows = "".join(f"T{n:02};A{n};6,3 mm;fair;Tar;\r\n" for n in range(1, 6))
    own.write_text("Tape No;Regal;width;Cond.;Title;Remark\r\n" + rows, encoding="utf-8")
    async with opened(bare) as pilot:
        there = partial(until, pilot)
        await pilot.press("p", "4")
        await there(lambda: bool(pilot.app.screen.query("Input")))
        await typed(pilot, str(own))
        await pilot.press("enter")
        # Its key has a name of its own: asked, not refused.
        await there(lambda: any("What does own.csv list?" in line for line in seen(pilot.app)))
        await pilot.press("1")
        await there(lambda: any("Which column is the key of each reel?" in line for line in seen(pilot.app)))
        await pilot.press("1")
        await there(lambda: any("Cond. (did you mean" in line for line in seen(pilot.app)))
        # What is proposed for three of the four is taken by one key.
        await pilot.press("c")
        await there(lambda: any("1 these 3: Cond., Title, Remark" in line for line in seen(pilot.app)))
        await pilot.press("1")
        await there(
            lambda: any("rows 2, 3, 4 and 2 more, column condition" in one for one in seen(pilot.app))
        )
        await pilot.press("c")
        await there(lambda: any("Tape No (by your word reel)" in line for line in seen(pilot.app)))
        await pilot.press("1")
        await there(lambda: any("What is Regal?" in line for line in seen(pilot.app)))
        await pilot.press("1")
        await there(lambda: any("location" in one and "understood" in one for one in seen(pilot.app)))
        await pilot.press("n")
        await there(lambda: any("new: 5 reels" in line for line in seen(pilot.app)))
        await pilot.press("enter")
        await there(lambda: len(bare.shelf.reels) == 5)
        told = bare.shelf.reels["T05"]
        assert (told.location, told.condition, told.notes) == ("A5", (), "condition: fair")
        assert told.box_label == "Tar"
        # The next key goes on from those of the file.
        await pilot.press("p", "1")
        await there(lambda: any("T06: what does the box say?" in line for line in seen(pilot.app)))
        # A calibration tape's key is typed, and never counted on: the next box is a tape like the rest.
        await typed(pilot, "CAL-1 = 250; 1/4")
        await pilot.press("enter")
        await there(lambda: "CAL-1" in bare.shelf.reels)
        await there(lambda: any("T06: what does the box say?" in line for line in seen(pilot.app)))


async def test_a_column_that_was_named_wrongly_is_named_again(
    bare: Any, opened: Any, typed: Any, seen: Any, until: Any, tmp_path: Any
) -> None:
    own = tmp_path / "own.csv"
    own.write_text("reel;words;width;Regal\r\nT01;Tar;1/4 in;A1\r\n", encoding="utf-8")
    async with opened(bare) as pilot:
        there = partial(until, pilot)

        async def named(*keys: str) -> None:
            await pilot.press("c")
            await there(lambda: any("What is Regal?" in line for line in seen(pilot.app)))
            await pilot.press(*keys)
            await there(lambda: any("What the files hold" in line for line in seen(pilot.app)))

        await pilot.press("p", "4")
        await there(lambda: bool(pilot.app.screen.query("Input")))
        await typed(pilot, str(own))
        await pilot.press("enter")
        await there(lambda: any("words is read as box_label" in line for line in seen(pilot.app)))
        await named("2")  # contents
        await there(lambda: any("understood" in one and "contents" in one for one in seen(pilot.app)))
        await named("end", "enter")  # none of ours
        await there(lambda: any("not understood" in one and "Regal" in one for one in seen(pilot.app)))
        await named("1")
        await there(lambda: any("understood" in one and "location" in one for one in seen(pilot.app)))
        await pilot.press("enter")
        await there(lambda: "T01" in bare.shelf.reels)
        assert (bare.shelf.reels["T01"].location, bare.shelf.reels["T01"].box_label) == ("A1", "Tar")


def test_a_line_that_cannot_be_is_told(studio: Any) -> None:
    for line, wrong in (
        ("Choir; 3", "width"), ("a;1;b;c", "at most two"), ("", "words"), ("R:1= x", "key"),
    ):  # fmt: skip
        with pytest.raises((ValueError, ReelturnError), match=wrong):
            box_told(line, "R-001", {}, studio)


async def choose(pilot: Any, until: Any, digit: str) -> None:
    """The key of keys, and a line of its list."""
    await pilot.press("k")
    await until(pilot, lambda: bool(pilot.app.screen.query("Choices")))
    await pilot.press(digit)
    await until(pilot, lambda: not pilot.app.screen.query("Choices"))


async def test_a_reel_gets_another_key_and_two_keys_become_one_tape(
    book: Any, opened: Any, typed: Any, until: Any
) -> None:
    async with opened(book) as pilot:
        await choose(pilot, until, "1")
        await typed(pilot, "M-1")  # in place of the key that stands there
        await pilot.press("enter")
        await until(pilot, lambda: "M-1" in book.shelf.reels and "R-001" not in book.shelf.reels)
        assert book.shelf.songs["S-01"].needs[0].reel == "M-1"
        await pilot.press("u")
        await until(pilot, lambda: "R-001" in book.shelf.reels)
        pilot.app.screen.rows.go_to("R-011")
        await choose(pilot, until, "3")
        await typed(pilot, "R-007")
        await pilot.press("enter")
        await until(pilot, lambda: "R-007" not in book.shelf.reels or pilot.app.screen.query("SayLine"))


async def test_off_the_shelf_says_what_goes_with_it(book: Any, opened: Any, seen: Any, until: Any) -> None:
    async with opened(book) as pilot:
        await choose(pilot, until, "2")
        await until(pilot, lambda: any("With it goes:" in line for line in seen(pilot.app)))
        await pilot.press("escape")
        assert "R-001" in book.shelf.reels
        await choose(pilot, until, "2")
        await pilot.press("enter")
        await until(pilot, lambda: "R-001" not in book.shelf.reels)
        assert "S-01" in book.shelf.songs
        await pilot.press("u")
        await until(pilot, lambda: "R-001" in book.shelf.reels)


async def test_a_reel_in_a_chamber_is_refused_before_anything_is_asked(
    book: Any, opened: Any, seen: Any, until: Any
) -> None:
    book.change(
        lambda shelf: shelf.with_reel(
            replace(shelf.reel("R-001"), chamber="C1", loaded_at=book.now() - timedelta(hours=1))
        ),
        what="load",
    )
    async with opened(book) as pilot:
        await choose(pilot, until, "2")
        await until(
            pilot, lambda: any("R-001 is in chamber C1: take it out" in one for one in seen(pilot.app))
        )
        assert not any("Take R-001 off the shelf?" in one for one in seen(pilot.app))


async def test_a_note_comes_with_its_tape_and_stands_on_the_card(
    book: Any, opened: Any, typed: Any, seen: Any, until: Any
) -> None:
    book.note("R-011", "smells of cellar")
    async with opened(book) as pilot:
        pilot.app.screen.rows.go_to("R-011")
        await pilot.press("enter")
        await until(
            pilot, lambda: any("note Tue 1 Dec 18:52: smells of cellar" in one for one in seen(pilot.app))
        )
        await pilot.press("escape")
        pilot.app.screen.rows.go_to("R-005")
        await choose(pilot, until, "3")
        await typed(pilot, "R-011")
        await pilot.press("enter")
        await until(pilot, lambda: "R-011" not in book.shelf.reels)
        came = "with it came to R-005: "
        await until(pilot, lambda: any(came in one and "in its history" in one for one in seen(pilot.app)))
        pilot.app.screen.rows.go_to("R-005")
        await pilot.press("enter")
        await until(
            pilot, lambda: any("smells of cellar (written of R-011)" in one for one in seen(pilot.app))
        )


async def test_what_a_merged_key_brings_is_named_and_what_is_next_now(
    book: Any, opened: Any, typed: Any, seen: Any, until: Any
) -> None:
    book.shelving.set_fields("R-011", {"signs": "mould"})
    async with opened(book) as pilot:
        pilot.app.screen.rows.go_to("R-005")
        await choose(pilot, until, "3")
        await typed(pilot, "R-011")
        await pilot.press("enter")
        await until(pilot, lambda: "R-011" not in book.shelf.reels)
        await until(pilot, lambda: any("came to R-005: signs mould" in one for one in seen(pilot.app)))
        assert "next on it: mould" in " ".join(" ".join(seen(pilot.app)).split())


async def test_a_box_that_held_two_is_split_from_its_card(
    book: Any, opened: Any, typed: Any, until: Any
) -> None:
    async with opened(book) as pilot:
        await pilot.press("enter")
        await choose(pilot, until, "4")
        assert pilot.app.screen.query_one("Input").value == "R-001b"  # proposed; typing stands in its place
        await typed(pilot, "R-099")
        await pilot.press("enter")
        await until(pilot, lambda: "R-099" in book.shelf.reels)
        assert book.shelf.reels["R-099"].width == book.shelf.reels["R-001"].width


async def test_a_song_leaves_the_shelf_from_the_list_and_from_its_card(
    book: Any, opened: Any, until: Any
) -> None:
    async with opened(book) as pilot:
        await pilot.press("s")
        await choose(pilot, until, "2")  # in the list
        await pilot.press("enter")
        await until(pilot, lambda: "S-01" not in book.shelf.songs)
        await pilot.press("u")
        await until(pilot, lambda: "S-01" in book.shelf.songs)
        await pilot.press("home", "enter")
        await choose(pilot, until, "2")
        await pilot.press("enter")
        await until(pilot, lambda: "S-01" not in book.shelf.songs)
        await until(pilot, lambda: bool(pilot.app.screen.query("SongList")))


async def test_every_empty_place_says_what_belongs_there_and_which_key_begins_it(
    book_of: Any, shelf: Any, opened: Any, seen: Any, until: Any
) -> None:
    nobody = replace(shelf, reels={}, songs={}, sheets=(), history=(), records={})
    nobody = replace(nobody, studio=replace(nobody.studio, chambers=()))
    told = {
        "t": "R plans them; tonight's steps then stand here",
        "w": "R plans them: which tape is warmed",
        "f2": "F9 goes to the studio, A there adds one",
        "f11": "S goes to the songs; Enter opens a card",
        "f4": "C, then P reads files",
    }
    book = book_of(nobody)
    async with opened(book) as pilot:
        assert not any("R plans" in line for line in seen(pilot.app))  # there is nothing to plan yet
        for key, words in told.items():
            await pilot.press(key)
            await until(pilot, lambda words=words: any(words in line for line in seen(pilot.app)))
            await pilot.press("escape")
        # The key that plans says what is to be there first, in the week and from where it was pressed.
        await pilot.press("r")
        first = "no tape is on this shelf yet: C, then P puts boxes in"
        await until(pilot, lambda: any(first in line for line in seen(pilot.app)))
        await pilot.press("escape")
        book.change(lambda shelf: shelf.with_reel(Reel("B-1", "box")), what="a box")
        pilot.app.took_over()
        await pilot.press("c", "h")
        await until(pilot, lambda: any("added: box, found" in line for line in seen(pilot.app)))
        await pilot.press("escape", "d")
        await until(pilot, lambda: any("F takes the files of a pass" in line for line in seen(pilot.app)))


def burst(app: Any, *words: str) -> None:
    """Every letter of the words, Enter after each but the last, all in the program's queue at once."""
    for number, word in enumerate(words):
        for letter in word:
            app.post_message(Key("space" if letter == " " else letter, letter))
        if number < len(words) - 1:
            app.post_message(Key("enter", "\r"))


async def test_keys_of_a_machine_go_into_the_lines_they_are_meant_for(
    bare: Any, opened: Any, seen: Any, until: Any
) -> None:
    async with opened(bare) as pilot:
        await pilot.press("p", "1")
        await until(pilot, lambda: bool(pilot.app.screen.query("Input")))
        burst(pilot.app, "One", "Two", "Three", "Four", "")
        await until(pilot, lambda: len(bare.shelf.reels) == 4)
        assert [one.box_label for one in bare.shelf.reels.values()] == ["One", "Two", "Three", "Four"]
        await pilot.press("escape")
        await until(pilot, lambda: not pilot.app.screen.query("Input"))
        burst(pilot.app, "neins", "nzwei", "")
        await until(pilot, lambda: [one.note for one in bare.shelf.history if one.note] == ["eins", "zwei"])
        pilot.app.screen.rows.go_to("R-001")
        await pilot.press("space")
        await until(pilot, lambda: bool(pilot.app.screen.query("OneAnswer")))
        burst(pilot.app, "1 in", "", "111", "1")
        await until(pilot, lambda: any("› stock" in line for line in seen(pilot.app)))
        burst(pilot.app, "456", "15", "")
        await until(pilot, lambda: bool(pilot.app.screen.query("ChartList")))
        told = bare.shelf.reel("R-001")
        assert (told.wind, told.stock, str(told.speed)) == ("tails", "456", "15 ips")
