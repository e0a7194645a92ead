"""The studio's place: every key of it is seen and changed there; evenings are changed from the week."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from typing import Any

import pytest

from core.conditioning.loads.kept_loads import loads_of
from core.quantities import read_quantity
from core.store.studio.fields import TABLES
from core.store.studio.hours_words import row_words
from core.studio.opening import rows_on
from core.words import day_text
from tui.board.studio import studio_lines

THURSDAY, FRIDAY = date(2026, 12, 3), date(2026, 12, 4)


def test_every_key_of_the_file_has_a_line(studio: Any) -> None:
    told = {(line.table, line.key) for line in studio_lines(studio, FRIDAY)}
    for table, fields in TABLES.items():
        if table != "hours":
            assert {(table, field.key) for field in fields} <= told
    assert {("hours", day) for day in ("mon", "tue", "wed", "thu", "fri", "sat", "sun")} <= told


async def at(pilot: Any, until: Any, name: str) -> None:
    """Goes to the studio, the cursor on that line."""
    await pilot.press("f9")
    await until(pilot, lambda: pilot.app.current_mode == "studio" and pilot.app.screen.is_laid_out)
    listed = pilot.app.screen.query_one("FieldList")
    await until(pilot, lambda: any(line.name == name for line in listed.lines))
    listed.cursor = [line.name for line in listed.lines].index(name)
    await pilot.pause()


async def test_a_figure_is_changed_told_and_undone(
    book: Any, opened: Any, typed: Any, seen: Any, until: Any
) -> None:
    book.plans.keep_plan(book.plans.plan(days=3, effort=0.0, keep=False))
    async with opened(book) as pilot:
        await at(pilot, until, "deck 0 setup_minutes")
        await pilot.press("enter", *["backspace"] * 2)
        await typed(pilot, "55")
        await pilot.press("enter")
        await until(pilot, lambda: book.shelf.studio.decks[0].setup_minutes == 55)
        told = "55; the plan does not fit it, R plans again. U takes it back"
        await until(pilot, lambda: any(told in line for line in seen(pilot.app)))
        await pilot.press("u")
        await until(pilot, lambda: book.shelf.studio.decks[0].setup_minutes == 40)
        # A line that was opened, emptied and left holds nothing half typed.
        await pilot.press("enter", "ctrl+u", "escape")
        assert not any("~ " in line for line in seen(pilot.app))
        # Nor one that was opened and left: the cursor is on the list again, where U takes back.
        await pilot.press("enter", "escape", "ctrl+y")
        await until(pilot, lambda: book.shelf.studio.decks[0].setup_minutes == 55)
        assert not pilot.app.faults


async def test_a_bare_number_is_told_with_the_unit_in_which_it_was_taken(
    book: Any, opened: Any, typed: Any, until: Any
) -> None:
    async with opened(book) as pilot:
        await at(pilot, until, "deck 1 widths")
        await pilot.press("enter")
        await typed(pilot, "16")
        await pilot.press("enter")
        await until(pilot, lambda: "widths: 16 mm" in pilot.app.screen.query_one("SayLine").text)
        assert [str(one) for one in book.shelf.studio.decks[1].widths] == ["16 mm"]


async def test_what_was_refused_on_one_line_is_not_told_under_another(
    book: Any, opened: Any, typed: Any, seen: Any, until: Any
) -> None:
    async with opened(book) as pilot:
        for left in (("escape",), ("backspace",)):
            await at(pilot, until, "deck 0 loud")
            await pilot.press("enter")
            await typed(pilot, "19")
            await pilot.press("enter")
            await until(pilot, lambda: pilot.app.screen.query_one("SayLine").bad)
            assert "wants yes or no" in pilot.app.screen.query_one("SayLine").text
            await pilot.press(*left)
            await until(pilot, lambda: pilot.app.screen.query_one("SayLine").text == "")
            await pilot.press("ctrl+u", "escape")


async def test_what_a_change_does_to_tape_that_is_in_the_heat_is_said(
    book: Any, opened: Any, typed: Any, seen: Any, until: Any
) -> None:
    async with opened(book) as pilot:
        for name, text, says in (
            ("treatment 0 hours", "10 h", "R-002, in C1 now, keeps its 8 h: 10 h counts from the next load"),
            (
                "treatment 0 temperature",
                "52 degC",
                "the load in C1 now keeps its 54 degC: 52 degC counts from the next",
            ),
            (
                "chamber 0 turn_every",
                "3 h",
                "the load in C1 now goes on being turned every 2 h: 3 h counts from",
            ),
        ):
            await at(pilot, until, name)
            await pilot.press("enter", "ctrl+u")
            await typed(pilot, text)
            await pilot.press("enter")
            await until(pilot, lambda says=says: says in " ".join(" ".join(seen(pilot.app)).split()))
        assert book.shelf.reel("R-002").treatment_hours.text == "8 h"
        assert book.shelf.studio.chambers[0].turn_every.number == 3
        (load,) = (log for log in loads_of(book.shelf).values() if log.member("R-002"))
        assert (load.celsius, load.turn_hours) == (54, 2)
        for name, says in (
            ("treatment 0 hours", "R-002, in C1 now, keeps its 8 h"),
            ("treatment 0 temperature", "! the load in C1 now keeps its 54 degC: 52 degC counts"),
            ("chamber 0 turn_every", "! the load in C1 now goes on being turned every 2 h: 3 h counts"),
        ):
            await at(pilot, until, name)  # for as long as it runs it stands beside the line
            await until(pilot, lambda says=says: says in " ".join(" ".join(seen(pilot.app)).split()))
        # What no source gives is taken, and stands above all lines while it is so.
        assert not any("of cooling after" in line for line in seen(pilot.app))
        await at(pilot, until, "treatment 0 cool")
        await pilot.press("enter", "ctrl+u")
        await typed(pilot, "0 h")
        await pilot.press("enter", "home")
        await until(pilot, lambda: any("0 min of cooling after 10 h" in line for line in seen(pilot.app)))


async def test_what_cannot_be_is_told_while_it_is_typed_and_never_taken(
    book: Any, opened: Any, typed: Any, seen: Any, until: Any
) -> None:
    async with opened(book) as pilot:
        await at(pilot, until, "treatment 0 temperature")
        await pilot.press("enter", *["backspace"] * 7)
        await typed(pilot, "90 degC")
        await until(pilot, lambda: any("wants between 30 and 60" in line for line in seen(pilot.app)))
        await pilot.press("enter")
        assert book.shelf.studio.treatments[0].temperature.text == "54 degC"
        await pilot.press("escape")
        await at(pilot, until, "chamber 0 trays")
        await pilot.press("enter", "ctrl+u")
        await typed(pilot, "1000")
        await pilot.press("enter")
        await until(pilot, lambda: any("wants a number of trays" in line for line in seen(pilot.app)))
        assert book.shelf.studio.chambers[0].trays < 60
        await pilot.press("escape")
        await at(pilot, until, "chamber 0 trays_taken")
        await pilot.press("enter", "ctrl+u")
        await typed(pilot, "1 in: 400")
        await until(pilot, lambda: any("trays that one reel takes" in line for line in seen(pilot.app)))
        await pilot.press("enter", "escape")
        assert all(taken < 60 for _, taken in book.shelf.studio.chambers[0].trays_taken)
        await at(pilot, until, "treatment 0 temperature")
        await until(pilot, lambda: any("~ 90 degC" in line for line in seen(pilot.app)))


async def test_a_bare_number_is_offered_its_unit(
    book: Any, opened: Any, typed: Any, seen: Any, until: Any
) -> None:
    async with opened(book) as pilot:
        for name, text, read in (
            ("studio 0 assume_level", "320", "320 nWb/m?"),
            ("deck 1 speeds", "7,5; 19", "7,5 ips; 19 cm/s?"),
            ("treatment 0 temperature", "130", "130 degF?"),
        ):
            await at(pilot, until, name)
            await pilot.press("enter", "ctrl+u")
            await typed(pilot, text)
            await until(pilot, lambda read=read: any(read in line for line in seen(pilot.app)))
            await pilot.press("enter")
        studio = book.shelf.studio
        await until(pilot, lambda: str(book.shelf.studio.treatments[0].temperature) == "130 degF")
        studio = book.shelf.studio
        assert str(studio.assume_level) == "320 nWb/m"
        # 19 cm/s is the name of 19.05 cm/s, which is 7.5 ips (IEC 60094-1): two names of one speed.
        assert [str(speed) for speed in studio.decks[1].speeds] == ["7,5 ips", "19 cm/s"]


async def test_trays_and_set_ups_are_typed_without_a_file_s_signs(
    book: Any, opened: Any, typed: Any, until: Any
) -> None:
    async with opened(book) as pilot:
        await at(pilot, until, "chamber 0 trays_taken")
        await pilot.press("enter", "end")
        await typed(pilot, ", 2 in: 4")
        await pilot.press("enter")
        await until(pilot, lambda: len(book.shelf.studio.chambers[0].trays_taken) == 4)
        await at(pilot, until, "deck 0 lined_up")
        await pilot.press("enter")
        await typed(pilot, "30 ips, AES, 320 nWb/m")
        await pilot.press("enter")
        await until(pilot, lambda: book.shelf.studio.decks[0].lined_up is not None)
        assert str(book.shelf.studio.decks[0].lined_up) == "30 ips AES 320 nWb/m"


async def test_a_deck_is_added_from_the_table_and_taken_away(book: Any, opened: Any, until: Any) -> None:
    async with opened(book) as pilot:
        await at(pilot, until, "deck 0 id")
        await pilot.press("a")
        await until(pilot, lambda: pilot.app.screen.query("Choices"))
        await pilot.press("3")
        await until(pilot, lambda: len(book.shelf.studio.decks) == 3)
        assert book.shelf.studio.decks[-1].id == "D3"
        await until(pilot, lambda: pilot.app.screen.query("FieldList"))
        await pilot.press("x")
        await until(pilot, lambda: not pilot.app.screen.query("FieldList"))
        await pilot.press("enter")
        await until(pilot, lambda: len(book.shelf.studio.decks) == 2)


async def test_a_line_up_that_no_calibration_reel_serves_is_told_with_what_would(
    book: Any, opened: Any, seen: Any, until: Any
) -> None:
    bare = replace(book.shelf.studio, treatments=book.shelf.studio.treatments[1:], assume_eq="AES")
    book.change(lambda shelf: replace(shelf, studio=bare), what="no warmth for one width")
    as_mm = replace(book.shelf.reel("R-002"), key="R-950", width=read_quantity("25.4 mm", "length"))
    book.change(lambda shelf: shelf.with_reel(as_mm), what="the same width in other words")
    async with opened(book) as pilot:
        await pilot.press("f9")
        await until(
            pilot, lambda: any("no calibration reel fits 7.5 ips on D2" in one for one in seen(pilot.app))
        )
        told = " ".join(line.strip() for line in seen(pilot.app))
        assert told.count("no calibration reel fits") == 1  # several are one sentence
        assert told.count("no treatment for ") == 1  # 25.4 mm is 1 in
        assert "no treatment for 1 in tape" in told and "54.4 °C for 8 h, then 8 h of cooling" in told
        assert "! assume_eq = AES: the table of the trade has none of that name at 15 ips" in told


async def test_an_evening_is_closed_and_the_helper_comes_by_two_keys(
    book: Any, opened: Any, seen: Any, until: Any
) -> None:
    book.plans.keep_plan(book.plans.plan(days=7, effort=0.0, keep=False))
    async with opened(book) as pilot:
        await pilot.press("w")
        await until(pilot, lambda: pilot.app.current_mode == "week" and pilot.app.screen.is_laid_out)
        day = pilot.app.screen.query_one("WeekList").day.day
        assert not any(row.helper for row in rows_on(book.shelf.studio, day))
        await pilot.press("h")
        await until(pilot, lambda: pilot.app.screen.query("Choices"))
        await pilot.press("3")
        await until(pilot, lambda: any(row.helper for row in rows_on(book.shelf.studio, day)))
        # What was done is said, with what follows of it; the plan's own sentence does not come over it.
        said = f"the helper comes on {day_text(day)}; the plan was made for other hours"
        await until(pilot, lambda: any(said in line for line in seen(pilot.app)))
        await until(pilot, lambda: pilot.app.screen.query("WeekList"))
        await pilot.press("h")
        await until(pilot, lambda: pilot.app.screen.query("Choices"))
        await pilot.press("2")
        await until(pilot, lambda: rows_on(book.shelf.studio, day) == ())
        assert book.plans.plan_is_stale()
        await pilot.press("u", "u")
        await until(pilot, lambda: any(row.bench for row in rows_on(book.shelf.studio, day)))


async def test_a_span_alone_moves_the_bench_and_leaves_home_helper_and_the_loud_hours(
    book: Any, opened: Any, typed: Any, seen: Any, until: Any
) -> None:
    book.plans.keep_plan(book.plans.plan(days=7, effort=0.0, keep=False))
    told = "19:00-22:30 bench home loud 22:00 17:00-23:30 home 19:00-22:30 helper"
    beside = ["17:00-23:30 home", "19:00-22:30 helper"]
    async with opened(book) as pilot:

        def now() -> list[str]:
            return [row_words(one) for one in rows_on(book.shelf.studio, day)]

        async def ask(digit: str, text: str) -> None:
            await until(pilot, lambda: pilot.app.screen.query("WeekList"))
            await pilot.press("h")
            await until(pilot, lambda: pilot.app.screen.query("Choices"))
            await pilot.press(digit)
            await until(pilot, lambda: pilot.app.screen.query("Input"))
            await typed(pilot, text)

        await pilot.press("w")
        await until(pilot, lambda: pilot.app.current_mode == "week" and pilot.app.screen.is_laid_out)
        day = pilot.app.screen.query_one("WeekList").day.day
        book.studio_changes.set_hours([day.isoformat(), *told.split()])
        await ask("1", "19-23")
        await pilot.press("enter")
        await until(pilot, lambda: now() == ["19:00-23:00 bench home loud 22:00", *beside])
        await ask("1", "20:00-21:30")
        await pilot.press("enter")
        await until(pilot, lambda: now() == ["20:00-21:30 bench home", *beside])
        await pilot.press("u")
        await until(pilot, lambda: now()[0].endswith("loud 22:00"))
        await ask("1", "22:15-23:30")
        await until(pilot, lambda: any("a loud deck may run until 22:00" in one for one in seen(pilot.app)))
        await pilot.press("escape")
        await ask("4", f"{(day - timedelta(days=1)).day} {day - timedelta(days=1):%b}")
        await until(pilot, lambda: any("write the year where it is so" in one for one in seen(pilot.app)))
        await pilot.press("escape")
        sundays = [row for row in book.shelf.studio.hours if "sun" in row.days]
        await ask("5", "sun 14-18")
        await pilot.press("enter")
        await until(pilot, lambda: any(one.dates == (date(2026, 12, 6),) for one in book.shelf.studio.hours))
        assert any("hours of Sun 6 Dec 14:00-18:00" in line for line in seen(pilot.app))
        assert [row for row in book.shelf.studio.hours if "sun" in row.days] == sundays
        # On an added evening a loud deck ends when it does in the week: the neighbours are the same.
        await ask("5", "sun 19-23:30")
        await pilot.press("enter")
        sunday = lambda: [row_words(one) for one in rows_on(book.shelf.studio, date(2026, 12, 6))]  # noqa: E731
        await until(pilot, lambda: sunday()[0] == "19:00-23:30 bench home loud 22:00")


async def test_days_away_are_one_undo(book: Any, opened: Any, typed: Any, seen: Any, until: Any) -> None:
    async with opened(book) as pilot:
        await pilot.press("w")
        await until(pilot, lambda: pilot.app.current_mode == "week" and pilot.app.screen.is_laid_out)
        await pilot.press("h")
        await until(pilot, lambda: pilot.app.screen.query("Choices"))
        await pilot.press("4")
        await until(pilot, lambda: pilot.app.screen.query("Input"))
        # Nothing is wrong before anything is typed; a date reads as we write it, and says its year.
        assert not any("! " in line for line in seen(pilot.app))
        await typed(pilot, "5 Dec")
        await until(pilot, lambda: any("Sat 5 Dec 2026" in line for line in seen(pilot.app)))
        await pilot.press("enter")
        await until(pilot, lambda: rows_on(book.shelf.studio, THURSDAY) == ())
        assert rows_on(book.shelf.studio, date(2026, 12, 1)) == ()
        await pilot.press("u")
        await until(pilot, lambda: len(rows_on(book.shelf.studio, THURSDAY)) == 1)
        # An evening with the helper is one at which you are at the bench yourself.
        await pilot.press("h")
        await until(pilot, lambda: pilot.app.screen.query("Choices"))
        await pilot.press("5")
        await until(pilot, lambda: pilot.app.screen.query("Input"))
        assert not any("! " in line for line in seen(pilot.app))
        await typed(pilot, "Sun 6 Dec 19:00-22:00 helper")
        await pilot.press("enter")
        there = (True, True, True)
        await until(
            pilot,
            lambda: (
                [(one.bench, one.home, one.helper) for one in rows_on(book.shelf.studio, date(2026, 12, 6))]
                == [there]
            ),
        )


def test_what_a_page_says_of_a_key_stands_on_the_screen_without_its_links() -> None:
    from core.store.studio.fields import CAPTURE, DECK
    from tui.board.studio import without_links

    told = {field.key: without_links(field.says) for field in (*DECK, *CAPTURE)}
    assert told["second_copy"] == "true: no reel is verified until a second copy was compared"
    assert not [key for key, says in told.items() if "](" in says]


async def test_what_was_said_of_a_change_that_was_taken_back_is_over(
    book: Any, opened: Any, seen: Any, until: Any
) -> None:
    from core.store.studio.hours_words import row_words

    async with opened(book) as pilot:
        await pilot.press("w")
        await until(pilot, lambda: pilot.app.current_mode == "week" and pilot.app.screen.is_laid_out)
        there = [row_words(row) for row in book.shelf.studio.hours]
        await pilot.press("h")
        await until(pilot, lambda: pilot.app.screen.query("Choices"))
        await pilot.press("2")  # closed
        await until(pilot, lambda: any("takes it back" in line for line in seen(pilot.app)))
        await pilot.press("c")
        await until(pilot, lambda: pilot.app.current_mode == "chart")
        await pilot.press("u")
        await until(pilot, lambda: [row_words(row) for row in book.shelf.studio.hours] == there)
        await pilot.press("w")
        await until(pilot, lambda: pilot.app.current_mode == "week")
        assert not any("takes it back" in line for line in seen(pilot.app))


@pytest.mark.parametrize("key", ["widths", "speeds", "trays_taken"])
def test_what_a_list_wants_is_said_as_it_is_typed(studio: Any, key: str) -> None:
    from tui.board.studio import studio_lines, words_reading

    today = date(2026, 12, 1)
    line = next(one for one in studio_lines(studio, today) if one.name and one.key == key)
    says, bad = words_reading(studio, line, "", today)
    assert bad and "such as 1" in says and not set(says) & set('[]{}"='), says


async def test_typing_over_a_list_replaces_it_and_an_arrow_first_adds_to_it(
    book: Any, opened: Any, typed: Any, until: Any
) -> None:
    """As on every other line of the place: a key replaces what stands there, an arrow keeps it."""
    deck = book.shelf.studio.decks[1]
    for key, name, text, more in (
        ("speeds", "deck 1 speeds", "30 ips", "3.75 ips"),
        ("widths", "deck 1 widths", "1 in", "1/2 in"),
    ):
        assert str(getattr(deck, key)[0]) not in (text, more)

        def now(key: str = key) -> list[str]:
            return [str(one) for one in getattr(book.shelf.studio.decks[1], key)]

        async with opened(book) as pilot:
            await at(pilot, until, name)
            await pilot.press("enter")
            await typed(pilot, text)
            await pilot.press("enter")
            await until(pilot, lambda now=now, text=text: now() == [text])
            await pilot.press("up", "enter", "end")
            await typed(pilot, f", {more}")
            await pilot.press("enter")
            await until(pilot, lambda now=now, text=text, more=more: now() == [text, more])
    async with opened(book) as pilot:
        await at(pilot, until, "chamber 0 trays_taken")
        await pilot.press("enter")
        await typed(pilot, "1/2 in: 1")
        await pilot.press("enter")
        await until(
            pilot, lambda: [str(one) for one, _ in book.shelf.studio.chambers[0].trays_taken] == ["1/2 in"]
        )


async def test_what_is_lacking_stands_whole_beside_the_third_of_a_wide_terminal(
    book: Any, opened: Any, seen: Any, until: Any
) -> None:
    book.studio_changes.edit("treatment", 0, {"hours": "80 h"})
    async with opened(book, size=(120, 40)) as pilot:
        await pilot.press("f9")
        await until(pilot, lambda: any("80 h" in line for line in seen(pilot.app)))
        told = " ".join(line.split("│")[0].strip() for line in seen(pilot.app) if "│" in line)
        assert "..│" not in "".join(seen(pilot.app))
        assert "that sources give" in told


def test_a_level_that_is_called_by_a_name_is_offered_as_on_a_reel(studio: Any) -> None:
    """``G320``: as it stands, and by AES7, 0.9 of what the older German method told (from memory)."""
    from tui.board.studio import words_reading

    today = date(2026, 12, 1)
    line = next(one for one in studio_lines(studio, today) if one.key == "assume_level")
    says, bad = words_reading(studio, line, "G320", today)
    assert bad and says.startswith("wants ") and says.endswith("did you mean 320 nWb/m or 288 nWb/m?"), says
