"""The chamber's touches: countdown on every place, the bell as the whole screen, the log of late turns."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta
from typing import Any

import pytest

from core.errors import Refused
from core.quantities import read_quantity
from tui.board.chamber import coming_touches, next_touches


def test_the_next_touch_is_the_turn_then_the_take_out(shelf: Any, evening: Any) -> None:
    (touch,) = next_touches(shelf, evening)  # loaded at 17:15, turned every two hours, eight hours in all
    assert (touch.do, f"{touch.due:%H:%M}") == ("turn", "19:15")
    assert touch.words(evening) == "C1: turn R-002 at 19:15, in 23 min"
    assert touch.words(evening + timedelta(minutes=35)) == "C1: turn R-002 at 19:15, 12 min late"
    # Seconds after its moment it is due now, not late yet.
    assert touch.words(evening + timedelta(minutes=23, seconds=40)).endswith("at 19:15, now")
    assert touch.words(evening + timedelta(minutes=25, seconds=40)).endswith("2 min late")
    assert 0.19 < touch.share_left(evening) < 0.2  # 23 of 120 minutes
    turned = shelf.with_record("load", "C1", {
        "chamber": "C1", "at": "2026-12-01T17:15+00:00", "reels": ["R-002"],
        "touches": [{"do": "turn", "planned": "2026-12-01T23:15+00:00", "at": "2026-12-01T23:20+00:00"}],
    })  # fmt: skip
    (touch,) = next_touches(turned, evening)
    assert (touch.do, f"{touch.due:%d %H:%M}") == ("take out", "02 01:15")


def test_every_touch_to_come_is_told_to_the_last_take_out(shelf: Any, evening: Any) -> None:
    touches = [(one.do, f"{one.due:%H:%M}") for one in coming_touches(shelf, evening)]
    assert touches == [("turn", "19:15"), ("turn", "21:15"), ("turn", "23:15"), ("take out", "01:15")]


def test_what_is_due_out_is_not_turned_first_and_comes_out_at_once(shelf: Any, evening: Any) -> None:
    """In at 17:15: R-002 has its eight hours at 01:15, and nobody turned it at 19:15, 21:15 or 23:15."""
    (touch,) = next_touches(shelf, evening.replace(hour=23, minute=59))
    assert (touch.do, f"{touch.due:%H:%M}") == ("turn", "19:15")
    (touch,) = next_touches(shelf, evening + timedelta(hours=6, minutes=30))
    assert (touch.do, f"{touch.due:%H:%M}", touch.reels) == ("take out", "01:15", ("R-002",))
    quarter = replace(shelf.reels["R-002"], key="R-012", width=read_quantity("1/4 in", "length"))
    two = shelf.with_reel(quarter)  # four hours, out at 21:15
    late = [(one.do, f"{one.due:%H:%M}", one.reels) for one in coming_touches(two, evening)]
    assert late[1] == ("take out", "21:15", ("R-012",))
    (touch,) = next_touches(two, evening + timedelta(hours=3))
    assert (touch.do, touch.reels) == ("take out", ("R-012",))
    (touch,) = next_touches(two, evening + timedelta(hours=7))
    assert (touch.do, f"{touch.due:%H:%M}", sorted(touch.reels)) == ("take out", "21:15", ["R-002", "R-012"])


def test_across_the_end_of_summer_time_hours_are_elapsed(shelf: Any) -> None:
    # Europe/Lisbon goes from UTC+1 to UTC+0 on 2026-10-25 (last Sunday of October, 01:00 UTC).
    from core.conditioning.load_state import load_state
    from core.conditioning.loads.kept_loads import loads_of

    loaded = datetime(2026, 10, 25, 0, 30, tzinfo=shelf.studio.zone)
    moved = shelf.with_reel(replace(shelf.reels["R-002"], loaded_at=loaded))
    (touch,) = next_touches(moved, loaded)
    assert f"{touch.due:%H:%M}" == "01:30"  # two hours later on a watch that nobody set back
    # Its first 01:30 is an hour before it: neither the bell nor the chamber's list calls that due.
    for fold, state in ((0, "ahead"), (1, "due")):
        now = datetime(2026, 10, 25, 1, 30, tzinfo=shelf.studio.zone, fold=fold)
        (load,) = loads_of(moved)
        told = load_state(moved, load, now).turns[0]
        assert (touch.late(now), told.state) == (bool(fold), state)


@pytest.mark.parametrize("place", ["c", "s", "w", "enter", "question_mark"])
async def test_the_bell_takes_the_whole_screen_wherever_one_is(
    book: Any, opened: Any, seen: Any, until: Any, place: str
) -> None:
    async with opened(book) as pilot:
        await pilot.press(place)
        book.moment += timedelta(minutes=24)
        pilot.app.tick()
        await until(pilot, lambda: any("TURN  -  CHAMBER C1" in line for line in seen(pilot.app)))
        await pilot.press("space")
        await until(pilot, lambda: pilot.app.next_touch.due.hour == 21)
        record = book.shelf.of_kind("load")
        assert record == {} or next(iter(record.values()))["touches"]


async def test_a_turn_that_is_late_is_logged_with_its_minutes(
    book: Any, opened: Any, seen: Any, until: Any
) -> None:
    from core.evening.warming.load import load

    inside = book.shelf.reels["R-002"]
    from dataclasses import replace

    empty = book.shelf.with_reel(replace(inside, chamber="", loaded_at=None))
    book.lay_out(load(empty, "C1", ["R-002"], inside.loaded_at, "up till two"))
    book.moment = book.moment.replace(hour=19, minute=40)
    async with opened(book) as pilot:  # an overdue turn comes before anything else
        await until(pilot, lambda: any("25 min late" in line for line in seen(pilot.app)))
        assert any("Done in time? L or Esc, then T and M tell when." in line for line in seen(pilot.app))
        await pilot.press("enter")  # the page names one key that logs; a hand that finds another logs nothing
        assert not next(iter(book.shelf.of_kind("load").values())).get("touches")
        await pilot.press("space")
        await until(pilot, lambda: pilot.app.next_touch.due.hour == 21)
        (record,) = book.shelf.of_kind("load").values()
        assert record["touches"][0]["late_minutes"] == 25
        assert record["touches"][0]["within_tolerance"] is False


async def test_later_puts_the_bell_off_for_five_minutes_and_the_bar_stays(
    book: Any, opened: Any, seen: Any, until: Any
) -> None:
    book.moment = book.moment.replace(hour=19, minute=16)
    async with opened(book) as pilot:
        await until(pilot, lambda: any("CHAMBER C1" in line for line in seen(pilot.app)))
        await pilot.press("l")
        await until(pilot, lambda: any("!! C1: turn R-002" in line for line in seen(pilot.app)))
        pilot.app.tick()
        await pilot.pause()
        assert not any("CHAMBER C1" in line for line in seen(pilot.app))
        good = book.shelf  # what is new rings for itself in these minutes
        book.lay_out(good.with_reel(replace(good.reels["R-002"], base_seen="acetate")))
        pilot.app.took_over()
        pilot.app.tick()
        await until(pilot, lambda: any("must never be warmed" in line for line in seen(pilot.app)))
        book.lay_out(good)
        pilot.app.took_over()
        pilot.app.tick()
        await until(pilot, lambda: not any("TAKE OUT" in line for line in seen(pilot.app)))
        book.moment += timedelta(minutes=5)
        pilot.app.tick()
        await until(pilot, lambda: any("CHAMBER C1" in line for line in seen(pilot.app)))


async def test_a_take_out_ends_the_load_and_the_bar_goes(
    book: Any, opened: Any, seen: Any, until: Any
) -> None:
    book.moment = book.moment.replace(day=2, hour=1, minute=16)
    book.lay_out(book.shelf.with_record("load", "C1", {
        "chamber": "C1", "at": "2026-12-01T17:15+00:00", "reels": ["R-002"],
        "touches": [{"do": "turn", "planned": "2026-12-01T23:15+00:00", "at": "2026-12-01T23:20+00:00"}],
    }))  # fmt: skip
    async with opened(book) as pilot:
        await until(pilot, lambda: any("TAKE OUT  -  CHAMBER C1" in line for line in seen(pilot.app)))
        await pilot.press("space")
        await until(pilot, lambda: book.shelf.reels["R-002"].stage == "conditioned")
        await until(pilot, lambda: not any("━" in line for line in seen(pilot.app)))


async def test_a_touch_that_cannot_be_logged_says_why(book: Any, opened: Any, seen: Any, until: Any) -> None:
    def refuse(*args: Any, **words: Any) -> None:
        raise Refused("the shelf is held by another program")

    book.moment = book.moment.replace(hour=19, minute=16)
    async with opened(book) as pilot:
        await until(pilot, lambda: any("CHAMBER C1" in line for line in seen(pilot.app)))
        book.change = refuse
        await pilot.press("space")
        await until(pilot, lambda: any("held by another program" in line for line in seen(pilot.app)))
        book.moment += timedelta(seconds=15)
        pilot.app.tick()
        await pilot.pause()
        assert any("held by another program" in line for line in seen(pilot.app)), "it can be read"
        book.moment += timedelta(seconds=6)
        pilot.app.tick()
        await until(pilot, lambda: any("CHAMBER C1" in line for line in seen(pilot.app)))


async def test_the_bell_is_silent_once_what_it_rang_for_is_put_right_elsewhere(
    book: Any, opened: Any, seen: Any, until: Any
) -> None:
    """Space would spoil a good load: it takes nothing out that may stay in."""
    from dataclasses import replace

    from tui.frame.bell import BellScreen

    def based(base: str) -> None:
        book.change(lambda shelf: shelf.with_reel(replace(shelf.reel("R-002"), base=base)), what="its base")

    based("acetate")
    async with opened(book) as pilot:
        pilot.app.tick()
        await until(pilot, lambda: isinstance(pilot.app.screen, BellScreen))
        assert any("Take R-002 out of chamber C1 now" in line for line in seen(pilot.app))
        based("polyester")
        pilot.app.tick()
        await until(pilot, lambda: not isinstance(pilot.app.screen, BellScreen))
        assert pilot.app.next_touch.do == "turn" and pilot.app.shelf.reel("R-002").chamber == "C1"


async def test_every_alarm_is_told_on_every_place_also_while_its_bell_is_put_off(
    book: Any, opened: Any, seen: Any, until: Any
) -> None:
    """Two tapes in the heat that must come out: the foot of each place tells of both."""
    good, inside = book.shelf, book.shelf.reels["R-002"]
    wrong = [replace(inside, key=key, condition=("mould",), stock="") for key in ("R-002", "R-012")]
    book.lay_out(good.with_reel(wrong[0]).with_reel(wrong[1]))
    async with opened(book) as pilot:
        for key in ("R-002", "R-012"):
            await until(pilot, lambda key=key: any(f"Take {key} out" in line for line in seen(pilot.app)))
            await pilot.press("l")
            pilot.app.tick()
            await pilot.pause()
        for place in ("chart", "tonight", "songs", "week"):
            await pilot.press({"chart": "escape", "tonight": "t", "songs": "s", "week": "w"}[place])
            await until(
                pilot, lambda place=place: pilot.app.current_mode == place and pilot.app.screen.is_laid_out
            )
            lines = seen(pilot.app)
            assert any(line.startswith(" !! Take R-002 out of chamber C1 now") for line in lines), place
            assert any("and 1 more: take R-012 out of chamber C1" in line for line in lines), place
        book.lay_out(good.with_reel(wrong[0]))
        pilot.app.took_over()
        pilot.app.tick()
        await until(pilot, lambda: not any("and 1 more" in line for line in seen(pilot.app)))


async def test_the_bell_says_what_is_noted_on_a_tape_that_it_rings_for(
    book: Any, opened: Any, seen: Any, until: Any
) -> None:
    book.note("R-002", "smells of vinegar")
    async with opened(book) as pilot:
        book.moment += timedelta(minutes=24)
        pilot.app.tick()
        await until(pilot, lambda: any("TURN  -  CHAMBER C1" in line for line in seen(pilot.app)))
        text = " ".join(" ".join(seen(pilot.app)).split())
        assert '! R-002 is in the heat of chamber C1 and says "vinegar" in its notes' in text, text
