"""The chamber's place: the load that runs, one short question for each act, all of it taken back by U."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta
from typing import Any

import pytest

from core.conditioning.load_state import load_state
from core.conditioning.loads.kept_loads import loads_of
from core.conditioning.on_shelf import log_reading, log_trial

# R-002, a 1-inch reel, is in C1 since 17:15 as its file says: no load of it was ever logged. It is 18:52.
KEY = "C1 2026-12-01T17:15+00:00"


@pytest.fixture
def at_the_chamber(opened: Any, seen: Any, until: Any) -> Callable[..., Any]:
    """Opens the program and goes to the chamber's place."""
    from contextlib import asynccontextmanager

    @asynccontextmanager
    async def go(book: Any, size: tuple[int, int] = (80, 24)) -> Any:
        async with opened(book, size) as pilot:
            await pilot.press("f2")
            await until(
                pilot, lambda: any("Take care" in line or "Reels" in line for line in seen(pilot.app))
            )
            yield pilot

    return go


async def test_a_reel_that_was_imported_in_a_chamber_has_its_load_here(
    book: Any, at_the_chamber: Any, seen: Any
) -> None:
    async with at_the_chamber(book) as pilot:
        told = "\n".join(seen(pilot.app))
    assert "C1: load of Tue 1 Dec 17:15, runs" in told
    assert "R-002 Marram (take 3): 1 h 37 of 8 h, out at Wed 01:15" in told
    # 54 °C within 2 °C: common practice, as core/tape/tables/figures.toml has it.
    assert "At the reels 52 °C to 56 °C" in told


async def test_no_line_is_cut_off_at_eighty_columns(book: Any, at_the_chamber: Any, seen: Any) -> None:
    async with at_the_chamber(book) as pilot:
        for _ in range(4):
            assert [line for line in seen(pilot.app) if line.endswith("..")] == []
            await pilot.press("pagedown")
        assert any("licensed" in line for line in seen(pilot.app))


async def test_a_reading_over_the_limit_is_flagged_and_taken_back(
    book: Any, at_the_chamber: Any, typed: Any, seen: Any, until: Any
) -> None:
    async with at_the_chamber(book) as pilot:
        await pilot.press("enter")
        await typed(pilot, "57.5 top")
        await pilot.press("enter")
        await until(pilot, lambda: any("above 56 °C, turn it down" in line for line in seen(pilot.app)))
        (reading,) = loads_of(book.shelf)[KEY].readings
        assert (reading.celsius, reading.place) == (57.5, "top")
        await pilot.press("u")
        await until(pilot, lambda: loads_of(book.shelf)[KEY].readings == ())


async def test_in_fahrenheit_a_bare_number_is_fahrenheit(
    book: Any, at_the_chamber: Any, typed: Any, seen: Any, until: Any
) -> None:
    book.lay_out(book.shelf.choosing("units", {"temperature": "degF"}))
    async with at_the_chamber(book) as pilot:
        await pilot.press("enter")
        await typed(pilot, "130")
        await pilot.press("enter")
        await until(pilot, lambda: bool(loads_of(book.shelf)[KEY].readings))
        # 130 °F = 54.4 °C, by definition of the scale.
        assert loads_of(book.shelf)[KEY].readings[0].celsius == pytest.approx(54.444, abs=0.001)
        await until(pilot, lambda: any("130 °F, planned 129.2 °F" in line for line in seen(pilot.app)))


@pytest.mark.parametrize(
    ("text", "says"), [("warm", "a reading such as"), ("540", "no reading of a chamber")]
)
async def test_what_is_no_reading_is_told_so_and_kept(
    book: Any, at_the_chamber: Any, typed: Any, seen: Any, until: Any, text: str, says: str
) -> None:
    async with at_the_chamber(book) as pilot:
        await pilot.press("enter")
        await typed(pilot, text)
        await until(pilot, lambda: any(says in line for line in seen(pilot.app)))
        await pilot.press("enter")
        assert loads_of(book.shelf)[KEY].readings == ()
        await pilot.press("escape", "enter")
        await until(pilot, lambda: any(text in line for line in seen(pilot.app)))


async def test_a_turn_is_logged_and_an_early_one_is_asked_about(
    book: Any, opened: Any, seen: Any, until: Any
) -> None:
    book.moment += timedelta(minutes=33)  # 19:25: the turn of 19:15 is ten minutes late, and the bell rings
    async with opened(book) as pilot:
        await pilot.press("l", "f2")
        await until(pilot, lambda: any("Reels" in line for line in seen(pilot.app)))
        await pilot.press("space")
        await until(pilot, lambda: bool(loads_of(book.shelf)[KEY].turns))
        assert load_state(book.shelf, KEY, book.moment).turns[0].state == "done"
        await pilot.press("space")
        await until(pilot, lambda: any("Turn C1 already?" in line for line in seen(pilot.app)))
        await pilot.press("escape")
        assert len(loads_of(book.shelf)[KEY].turns) == 1


async def test_weights_before_and_after_tell_what_was_lost(
    book: Any, at_the_chamber: Any, typed: Any, seen: Any, until: Any
) -> None:
    async with at_the_chamber(book) as pilot:
        await pilot.press("k")
        await typed(pilot, "1.5 kg")
        await pilot.press("enter")
        await until(pilot, lambda: any("1500 g before" in line for line in seen(pilot.app)))
        await pilot.press("x", "enter")
        await until(pilot, lambda: not book.shelf.reel("R-002").chamber)
        assert book.shelf.reel("R-002").stage == "identified"  # 1 h 37 of 8 h are no treatment
        await pilot.press("k")
        await typed(pilot, "1488")
        await pilot.press("enter")
        await until(pilot, lambda: any("lost 12 g (0.80 %)" in line for line in seen(pilot.app)))
        told = " ".join("\n".join(seen(pilot.app)).split())
        # 1 h 37 warm, so 1 h 37 to cool; what came out too early has no playable days.
        assert all(one in told for one in ("out 18:52, too early, cools until", " 20:29 "))
        assert "playable" not in told


async def test_a_load_broken_off_goes_on_while_it_is_warm(
    book: Any, at_the_chamber: Any, typed: Any, seen: Any, until: Any
) -> None:
    async with at_the_chamber(book) as pilot:
        await pilot.press("b")
        await typed(pilot, "power")
        await pilot.press("enter")
        await until(pilot, lambda: book.shelf.reel("R-002").chamber == "")
        left = "give it the 6 h 23 that are left"
        await until(pilot, lambda: any(left in line for line in seen(pilot.app)))
        book.moment += timedelta(minutes=20)
        await pilot.press("g")
        await until(pilot, lambda: book.shelf.reel("R-002").chamber == "C1")
        assert any("that time does not count" in line for line in seen(pilot.app))
        await pilot.press("u", "u")
        await until(pilot, lambda: "C1" not in book.shelf.of_kind("load"))
        assert book.shelf.reel("R-002").loaded_at is not None


async def test_the_empty_run_is_asked_for_begun_and_read(
    book: Any, at_the_chamber: Any, seen: Any, until: Any
) -> None:
    from core.evening.warming.load_broken import break_off
    from core.evening.warming.take_out import take_out

    async with at_the_chamber(book) as pilot:
        assert any("had no empty run yet" in line for line in seen(pilot.app))
        await pilot.press("e")  # refused before anything is asked
        says = "C1 holds R-002: an empty run has no tape in it"
        await until(pilot, lambda: any(says in line for line in seen(pilot.app)))
        book.change(lambda s: break_off(s, KEY, book.now(), "power"), what="off")
        pilot.app.tick()
        await pilot.press("e")
        says = "F2, then X on its line"
        await until(pilot, lambda: any(says in line for line in seen(pilot.app)))
        book.change(lambda s: take_out(s, "R-002", book.now()), what="out")
        pilot.app.tick()
        await pilot.press("e")
        await until(pilot, lambda: any("No reel goes in." in line for line in seen(pilot.app)))
        await pilot.press("enter")
        await until(pilot, lambda: any("empty run of Tue 1 Dec 18:52" in line for line in seen(pilot.app)))
        assert "a second thermometer, not its own" in " ".join("\n".join(seen(pilot.app)).split())


async def test_after_two_places_were_read_nobody_asks_again(
    book: Any, at_the_chamber: Any, seen: Any
) -> None:
    began = book.moment - timedelta(days=1)
    tried = log_trial(book.shelf, "C1", began, 54)
    key = next(iter(tried.of_kind("load")))
    for place in ("top", "bottom"):
        tried = log_reading(tried, key, began + timedelta(hours=2), 54, place)
    book.lay_out(tried)
    async with at_the_chamber(book) as pilot:
        assert not any("empty run yet" in line for line in seen(pilot.app))


async def test_past_loads_are_one_key_away_and_what_cannot_be_done_says_why(
    book: Any, at_the_chamber: Any, seen: Any, until: Any
) -> None:
    record = {"chamber": "C1", "at": "2026-11-28T12:00+00:00", "reels": ["R-001"]}
    book.lay_out(book.shelf.with_record("load", "C1 then", record))
    async with at_the_chamber(book) as pilot:
        await pilot.press("comma")
        await until(pilot, lambda: any("load of Sat 28 Nov 12:00, over" in line for line in seen(pilot.app)))
        # R-001 was taken out on Sunday noon; 14 days of playable time run from there.
        assert any("R-001 Low Tide; Lanterns" in line and "out 29 Nov" in line for line in seen(pilot.app))
        await pilot.press("b")
        await until(pilot, lambda: any("this load is not running: over" in line for line in seen(pilot.app)))
        await pilot.press("full_stop")
        await until(pilot, lambda: any("17:15, runs" in line for line in seen(pilot.app)))


async def test_a_shelf_without_loads_or_chambers_is_told_so(
    book: Any, opened: Any, seen: Any, until: Any
) -> None:
    bare = replace(book.shelf.studio, chambers=())
    book.lay_out(
        replace(book.shelf, studio=bare).with_reel(
            replace(book.shelf.reel("R-002"), chamber="", loaded_at=None)
        )
    )
    async with opened(book) as pilot:
        await pilot.press("f2")
        await until(pilot, lambda: any("has no chamber yet" in line for line in seen(pilot.app)))
        await pilot.press("enter")
        await until(pilot, lambda: any("nothing was loaded yet" in line for line in seen(pilot.app)))


async def test_the_whole_reason_why_a_reel_stays_out_stands_under_the_list(
    book: Any, at_the_chamber: Any, seen: Any, until: Any
) -> None:
    async with at_the_chamber(book) as pilot:
        await pilot.press("l")
        await until(pilot, lambda: any("Load a chamber" in line for line in seen(pilot.app)))
        await pilot.press("end")
        await until(
            pilot, lambda: any("R-009 does not go in: sticky on acetate" in line for line in seen(pilot.app))
        )
        assert any("empty run" in line for line in seen(pilot.app)) is False
        await pilot.press("home")
        await until(pilot, lambda: any("C1 had no empty run yet" in line for line in seen(pilot.app)))


async def test_what_is_told_under_the_list_is_whole_sentences(
    book: Any, at_the_chamber: Any, seen: Any, until: Any
) -> None:
    from core.evening.warming.load_broken import break_off
    from core.evening.warming.take_out import take_out

    book.change(lambda shelf: break_off(shelf, KEY, book.now(), "power"), what="off")
    book.change(lambda shelf: take_out(shelf, "R-002", book.now()), what="out")
    for key in ("R-001", "R-002", "R-003"):
        book.shelving.set_fields(key, {"box_label": "mouldy"})
    async with at_the_chamber(book) as pilot:
        await pilot.press("l")
        await until(pilot, lambda: any("Load a chamber" in line for line in seen(pilot.app)))
        await pilot.press("home", "down", "space")
        await until(pilot, lambda: any('says "mouldy" on its box: look' in line for line in seen(pilot.app)))
        text = " ".join(" ".join(line.strip(" │") for line in seen(pilot.app)).split())
        assert "read two places. R-" in text


async def test_the_cursor_is_a_sign_and_a_load_that_begins_is_shown(
    book: Any, at_the_chamber: Any, seen: Any, until: Any
) -> None:
    book.change(lambda shelf: log_trial(shelf, "C1", book.now() - timedelta(days=2), 54.0), what="empty run")
    async with at_the_chamber(book) as pilot:
        assert any(line.startswith("›") and "R-002" in line for line in seen(pilot.app))
        await pilot.press("comma")  # the empty run, before it
        await until(pilot, lambda: any("empty run of Sun 29 Nov" in line for line in seen(pilot.app)))
        await pilot.press("full_stop", "x", "enter")
        await until(pilot, lambda: book.shelf.reel("R-002").chamber == "")
        told = " ".join("\n".join(seen(pilot.app)).split())
        assert "1 h 37 of 8 h, out 18:52, too early" in told


def test_a_reel_taken_out_early_tells_its_hours_at_every_door(book: Any) -> None:
    from core.evening.tonight.before_pass import before_pass
    from core.evening.tonight.runsheet import run_sheet
    from core.evening.warming.take_out import take_out
    from tui.board.rows import Board

    shelf = take_out(book.shelf, "R-002", book.now())
    row = Board(shelf, book.now(), None, None).row("R-002")
    assert row is not None
    assert row.step.words == "warm again 8 h" and row.blocked == "had 1 h 37 of 8 h of warmth only"
    sheet = run_sheet(shelf, None, book.now())
    says = before_pass(shelf, sheet, "R-002", book.now()).says
    assert says[0] == "it had 1 h 37 of 8 h of warmth only: look at the outermost turns"


async def test_what_happened_is_told_afterwards_at_its_true_time(
    book: Any, at_the_chamber: Any, typed: Any, seen: Any, until: Any
) -> None:
    from core.conditioning.loads.kept_loads import loads_of

    async with at_the_chamber(book) as pilot:
        await pilot.press("a")
        told = "\n".join(seen(pilot.app))
        assert "What happened, and was not told?" in told and "R-002 came out" in told
        assert "the load began at another time" in told and "reels went in" in told
        line = next(one for one in seen(pilot.app) if "broken off: the power failed" in one)
        await pilot.press(next(sign for sign in line if sign.isdigit()))
        for key in "1820":
            await pilot.press(key)
        await until(pilot, lambda: any("Tue 1 Dec 18:20" in one for one in seen(pilot.app)))
        await pilot.press("enter")
        await typed(pilot, "power")
        await pilot.press("enter")
        log = loads_of(book.shelf)[KEY]
        assert log.broken_off is not None and f"{log.broken_off:%H:%M}" == "18:20" and log.why == "power"
        assert not book.shelf.reel("R-002").chamber
        await pilot.press("a")
        line = next(one for one in seen(pilot.app) if "goes on, still warm" in one)
        await pilot.press(next(sign for sign in line if sign.isdigit()))
        await typed(pilot, "1830")
        await pilot.press("enter")
        assert book.shelf.reel("R-002").chamber == "C1" and loads_of(book.shelf)[KEY].gaps
        await pilot.press("u", "u")
        assert book.shelf.reel("R-002").chamber == "C1" and not book.shelf.of_kind("load")  # as it was


def test_a_time_is_the_last_one_at_which_the_clock_showed_it() -> None:
    from datetime import datetime
    from zoneinfo import ZoneInfo

    from core.evening.playing.when import last_time

    zone = ZoneInfo("Europe/Lisbon")
    morning = datetime(2026, 12, 2, 7, 30, tzinfo=zone)
    assert last_time("2310", zone, morning).isoformat()[:16] == "2026-12-01T23:10"
    assert last_time("6:15", zone, morning).isoformat()[:16] == "2026-12-02T06:15"
    assert last_time("2026-11-30T20:07", zone, morning).day == 30
    for wrong in ("2026-12-02T08:00", "25:00", "soon"):
        with pytest.raises(ValueError):
            last_time(wrong, zone, morning)


async def test_a_ticked_reel_that_another_program_renamed_is_told_and_let_go(
    book: Any, at_the_chamber: Any, seen: Any, until: Any
) -> None:
    from tui.asking.toggles import Toggles

    book.change(lambda shelf: log_trial(shelf, "C1", book.now() - timedelta(days=2), 54.0), what="empty run")
    async with at_the_chamber(book) as pilot:
        await pilot.press("l")
        await until(pilot, lambda: any("Load a chamber" in line for line in seen(pilot.app)))
        toggles = pilot.app.screen.query_one(Toggles)
        free = [one.key for one in toggles.lines if one.key.startswith("reel ") and not one.why_not]
        toggles.ticked |= {free[0]}
        key = free[0].removeprefix("reel ")
        book.shelving.rename(key, "NEW-1")
        pilot.app.tick()
        await pilot.press("enter")
        says = f"{key} is not on the shelf any more, by that name"
        await until(pilot, lambda: any(says in line for line in seen(pilot.app)))
        assert any("NEW-1" in line for line in seen(pilot.app))


async def test_its_lines_are_never_broken_for_a_narrow_column_before_it_has_its_room(
    book: Any, at_the_chamber: Any, monkeypatch: Any
) -> None:
    """A slow machine shows for seconds what was drawn before the place was laid out."""
    from tui.places.chamber.chamber_list import ChamberList

    wraps, longest = ChamberList._wrap, []

    def wrapped(listed: Any, at: int) -> None:
        wraps(listed, at)
        if listed.told:
            longest.append(max(len(text) for _, text, _ in listed._wrapped))

    monkeypatch.setattr(ChamberList, "_wrap", wrapped)
    async with at_the_chamber(book):
        assert longest and min(longest) > 60, longest


async def test_a_load_asks_whether_a_chamber_that_is_off_is_empty(
    book: Any, at_the_chamber: Any, seen: Any, until: Any
) -> None:
    from core.evening.warming.load_broken import break_off
    from tui.asking.toggles import Toggles

    book.change(lambda s: log_trial(s, "C1", book.now() - timedelta(days=2), 54.0), what="empty run")
    book.change(lambda s: break_off(s, KEY, book.now(), "power"), what="broken off")
    async with at_the_chamber(book) as pilot:
        await pilot.press("l")
        await until(pilot, lambda: any("Load a chamber" in line for line in seen(pilot.app)))
        toggles = pilot.app.screen.query_one(Toggles)
        toggles.ticked = frozenset({"chamber C1", "reel R-008"})
        for sign, held in (("1", True), ("2", False)):
            await pilot.press("enter")
            await until(pilot, lambda: any("Is C1 empty?" in line for line in seen(pilot.app)))
            assert any("R-002 lies in C1, off since" in line for line in seen(pilot.app))
            await pilot.press(sign)
            lies = loads_of(book.shelf)[KEY].member("R-002")
            assert lies is not None and (lies.out is None) is held
            assert not book.shelf.reel("R-008").chamber


def test_the_bar_of_the_next_touch_is_drawn_while_it_goes(monkeypatch: Any) -> None:
    """For a moment it has two lines still, and nothing to tell any more."""
    from textual.geometry import Size

    from tui.frame.drawn.chamber_bar import ChamberBar

    monkeypatch.setattr(ChamberBar, "size", Size(80, 2))
    assert str(ChamberBar().render())
