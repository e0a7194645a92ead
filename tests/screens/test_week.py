"""The week: the picture, the search in its thread, stop, keep, compare, pin."""

from __future__ import annotations

import threading
from dataclasses import replace
from datetime import date, timedelta
from types import SimpleNamespace
from typing import Any

from core.clock import later
from core.errors import Refused
from core.plan import Plan, SongReady
from core.planning.answers.whatif import WhatIf
from core.planning.wishes.wishes import wishes_of
from core.studio.opening import rows_on
from tui.board.evenings import week
from tui.board.what_moved import what_moved


def test_free_time_is_bench_time_in_which_nothing_is_done(studio: Any, plan: Plan) -> None:
    # Tuesday 19:00-22:30 is 210 min, less 25 + 80 + 10; Thursday 210 less 10; Wednesday is free.
    picture = week(studio, plan)
    tuesday, wednesday, thursday = picture.days[:3]
    assert (tuesday.free_minutes, wednesday.free_minutes, thursday.free_minutes) == (95, 210, 200)
    assert [row.who for row in tuesday.rows] == ["D2", "you"]
    assert picture.days[3].helper  # the helper comes on Saturdays


def test_what_moved_is_told_step_by_step(plan: Plan, shelf: Any) -> None:
    moved = replace(
        plan, items=(*plan.items[:3], replace(plan.items[3], start=later(plan.items[3].start, hours=1)))
    )
    assert what_moved(plan, plan, shelf) == []
    assert what_moved(plan, moved, shelf) == ["verify R-003: Thu 3 Dec 19:00 -> Thu 3 Dec 20:00"]


def test_what_is_done_has_not_moved_and_what_is_new_is_told(plan: Plan, shelf: Any) -> None:
    first = plan.items[1]  # the transfer of R-003
    assert (first.kind, first.reel) == ("transfer", "R-003")
    without = replace(plan, items=tuple(item for item in plan.items if item is not first))
    assert what_moved(plan, without, shelf) == ["transfer R-003: was Tue 1 Dec 19:25, not planned any more"]
    done = shelf.with_reel(replace(shelf.reels["R-003"], stage="transferred"))
    assert what_moved(plan, without, done) == []
    assert what_moved(without, plan, shelf) == ["transfer R-003: new, Tue 1 Dec 19:25"]


async def test_the_week_is_drawn_with_what_is_left_over(
    planned: Any, opened: Any, seen: Any, until: Any
) -> None:
    async with opened(planned) as pilot:
        await pilot.press("w")
        await until(pilot, lambda: any("Tue 1 Dec    D2" in line for line in seen(pilot.app)))
        lines = "\n".join(seen(pilot.app))
        assert "R-009: sticky on acetate" in lines
        assert "score 120.0, at most 16.7 % above the best" in lines
        await pilot.press("right")
        await until(pilot, lambda: any("transfer R-003 on D2, 80 min" in line for line in seen(pilot.app)))
        await pilot.press("enter")
        await until(pilot, lambda: getattr(pilot.app.screen, "key", "") == "R-003")


async def test_a_step_is_held_and_let_go(planned: Any, opened: Any, seen: Any, until: Any) -> None:
    async with opened(planned) as pilot:
        await pilot.press("w", "right", "p")
        await until(pilot, lambda: "transfer R-003" in planned.shelf.of_kind("pin"))
        assert planned.shelf.of_kind("pin")["transfer R-003"]["do"] == "pin"
        await until(pilot, lambda: any("wished: R-003 on" in line for line in seen(pilot.app)))
        await pilot.press("p")
        await until(pilot, lambda: "transfer R-003" not in planned.shelf.of_kind("pin"))
        await pilot.press("x")
        await until(pilot, lambda: "off R-003 2026-12-01" in planned.shelf.of_kind("pin"))
        assert planned.shelf.of_kind("pin")["off R-003 2026-12-01"]["do"] == "forbid"
        await pilot.press("u")
        await until(pilot, lambda: not planned.shelf.of_kind("pin"))


async def test_a_line_up_that_is_kept_off_rests_its_deck(
    planned: Any, opened: Any, seen: Any, until: Any
) -> None:
    async with opened(planned) as pilot:
        await pilot.press("w", "x")
        await until(pilot, lambda: "no deck D2 2026-12-01" in planned.shelf.of_kind("pin"))
        await until(pilot, lambda: any("D2 is kept off Tue 1 Dec" in line for line in seen(pilot.app)))
        await pilot.press("p")
        await until(pilot, lambda: any("only a transfer or a chamber load" in one for one in seen(pilot.app)))


async def test_a_wish_is_typed_listed_told_and_let_go(
    planned: Any, opened: Any, seen: Any, until: Any
) -> None:
    async with opened(planned) as pilot:
        await pilot.press("w", "a")
        await until(pilot, lambda: pilot.app.screen.query("Input"))
        await pilot.press(*"R-003 on fro")
        await until(pilot, lambda: any("'fro' is no date" in line for line in seen(pilot.app)))
        await pilot.press("backspace", "i")
        await pilot.press("enter")
        await until(pilot, lambda: any("wished: R-003 on 2026-12-04" in line for line in seen(pilot.app)))
        await pilot.press("l")
        await until(pilot, lambda: any("not kept" in line and "R-003 on" in line for line in seen(pilot.app)))
        await pilot.press("enter")
        await until(pilot, lambda: any("no bench hours on Fri 4 Dec" in line for line in seen(pilot.app)))
        await pilot.press("escape", "delete")
        await until(pilot, lambda: any("nothing is wished" in line for line in seen(pilot.app)))
        assert not planned.shelf.of_kind("pin")


async def test_a_reel_that_is_left_over_says_because(
    planned: Any, opened: Any, seen: Any, until: Any
) -> None:
    async with opened(planned) as pilot:
        songs = sum(bool(song.needs) for song in planned.shelf.songs.values())  # they stand below
        await pilot.press("w", "end", *["up"] * songs, "b")
        await until(pilot, lambda: any("R-009: sticky on acetate" in line for line in seen(pilot.app)[:6]))
        await pilot.press("escape", "home", "b")
        await until(pilot, lambda: pilot.app.screen.query("Input"))
        await pilot.press(*"S-03 by sat", "enter")
        await until(pilot, lambda: any("S-03 by Sat 5 Dec" in line for line in seen(pilot.app)))


async def test_free_time_names_desk_work_and_what_more_would_bring(
    planned: Any, plan: Plan, opened: Any, seen: Any, until: Any
) -> None:
    gain = WhatIf("one more day", replace(plan, score=70.0), 50.0, (("S-02", timedelta(days=2)),), (), ())
    go_on = threading.Event()

    def suppose(*, told: Any, found: Any, stop: Any, **words: Any) -> tuple[Any, ...]:
        told("one more day")
        found(gain)
        told("7 trays in C1")
        while not stop() and not go_on.wait(0.005):
            pass
        return (gain,)

    planned.plans.suppose = suppose
    async with opened(planned) as pilot:
        await pilot.press("w", "y")
        await until(pilot, lambda: any("Tue 1 Dec: free 1 h 35" in line for line in seen(pilot.app)))
        assert any("identify R-004" in line for line in seen(pilot.app))
        await pilot.press("end")
        await until(pilot, lambda: any("Lanterns 2 days sooner" in line for line in seen(pilot.app)))
        assert any(line.split() == ["as", "it", "is", "120.0"] for line in seen(pilot.app))
        await until(pilot, lambda: any("planning with 7 trays in C1" in line for line in seen(pilot.app)))
        go_on.set()
        await until(pilot, lambda: not any("planning with" in line for line in seen(pilot.app)))


async def test_leaving_the_free_time_stops_what_is_tried(
    planned: Any, opened: Any, seen: Any, until: Any
) -> None:
    stopped = threading.Event()

    def suppose(*, told: Any, stop: Any, **words: Any) -> tuple[Any, ...]:
        told("7 trays in C1")
        while not stop():
            stopped.wait(0.005)
        stopped.set()
        return ()

    planned.plans.suppose = suppose
    async with opened(planned) as pilot:
        await pilot.press("w", "y", "end")
        await until(pilot, lambda: any("planning with 7 trays in C1" in line for line in seen(pilot.app)))
        await pilot.press("escape")
        await until(pilot, stopped.is_set)


def test_what_is_held_reaches_the_planner(shelf: Any) -> None:
    held = {"do": "pin", "kind": "transfer", "reel": "R-003", "day": "2026-12-03"}
    off = {"do": "forbid", "kind": "transfer", "reel": "R-005", "day": "2026-12-01"}
    shut = {"do": "forbid", "kind": "condition", "reel": "", "day": "2026-12-05"}
    for name, one in (("a", held), ("b", off), ("c", shut)):
        shelf = shelf.with_record("pin", name, one)
    wishes = wishes_of(shelf)
    assert [(pin.reel, pin.day.day, pin.never) for pin in wishes.pins] == [
        ("R-003", 3, False),
        ("R-005", 1, True),
    ]
    assert [day.day for day in wishes.no_chamber] == [5]
    assert wishes.bind


class HeldSearch:
    """Stands in for the planner: tells of one plan, then waits until it is stopped or let go."""

    def __init__(self, plan: Plan, better: Plan) -> None:
        self.first, self.better = plan, better
        self.go = threading.Event()
        self.stopped = False

    def __call__(self, *, progress: Any, stop: Any, **words: Any) -> Plan:
        progress(SimpleNamespace(score=90.0, bound=80.0, gap=0.11, seconds=1.0, plan=self.first))
        while not self.go.wait(0.005):
            if stop():
                self.stopped = True
                return self.first
        return self.better


async def test_planning_leaves_the_screen_free_and_can_be_stopped(
    planned: Any, plan: Plan, opened: Any, seen: Any, until: Any
) -> None:
    held = HeldSearch(replace(plan, score=90.0, bound=80.0), plan)
    planned.plans.plan = held
    async with opened(planned) as pilot:
        await pilot.press("r")
        await until(pilot, lambda: any("planning: score 90.0" in line for line in seen(pilot.app)))
        await pilot.press("c", "down", "down", "space")  # the chart answers meanwhile
        await until(pilot, lambda: planned.shelf.reels["R-003"].stage == "aligned")
        await pilot.press("w", "e")
        await until(pilot, lambda: pilot.app.search is None)
        assert held.stopped
        assert planned.plans.kept_plan().score == 120.0  # nothing is kept until K
        await pilot.press("k")
        await until(pilot, lambda: planned.plans.kept_plan().score == 90.0)


async def test_what_is_free_is_told_from_now_on(planned: Any, opened: Any, seen: Any, until: Any) -> None:
    async with opened(planned) as pilot:
        await pilot.press("w", "y")
        await until(pilot, lambda: any("Tue 1 Dec: free" in line for line in seen(pilot.app)))
        await pilot.press("escape")
        planned.moment += timedelta(days=2)
        pilot.app.tick()
        await until(pilot, lambda: any("CHAMBER C1" in line for line in seen(pilot.app)))
        await pilot.press("l", "y")  # the bell of the load that runs
        await until(pilot, lambda: any("Thu 3 Dec: free" in line for line in seen(pilot.app)))
        assert not any("Tue 1 Dec: free" in line for line in seen(pilot.app))


async def test_planning_starts_though_a_page_was_left_open_on_the_week(
    planned: Any, opened: Any, until: Any, monkeypatch: Any
) -> None:
    from tui.places.week.week import WeekScreen

    began: list[object] = []
    monkeypatch.setattr(WeekScreen, "start_planning", lambda self: began.append(self))
    async with opened(planned) as pilot:
        await pilot.press("w", "y")
        await until(pilot, lambda: type(pilot.app.screen).__name__ == "FreeTimePage")
        await pilot.press("c", "r")
        await until(pilot, lambda: began == [pilot.app.screen])


async def test_the_new_plan_stands_beside_the_kept_one_and_can_be_dropped(
    planned: Any, plan: Plan, opened: Any, seen: Any, until: Any
) -> None:
    later_verify = replace(plan.items[3], start=later(plan.items[3].start, hours=1))
    put_off = SongReady("S-02", later(plan.start, hours=24))
    better = replace(plan, score=110.0, items=(*plan.items[:3], later_verify), songs=(plan.songs[0], put_off))
    held = HeldSearch(plan, better)
    held.go.set()
    planned.plans.plan = held
    async with opened(planned) as pilot:
        await pilot.press("r")
        await until(pilot, lambda: any("1 step moves" in line for line in seen(pilot.app)))
        await pilot.press("v")
        await until(pilot, lambda: any("19:25 transfer R-003" in line[39:] for line in seen(pilot.app)))
        assert any("19:00 verify R-003" in line[:39] and " > " in line for line in seen(pilot.app))
        assert any("Lanterns" in line and "1 day later" in line for line in seen(pilot.app))
        # One step out is back to the picture; the new plan still waits there.
        await pilot.press("escape")
        await until(pilot, lambda: not any("19:25 transfer R-003" in line[39:] for line in seen(pilot.app)))
        assert pilot.app.current_mode == "week" and pilot.app.new_plan is not None
        await pilot.press("right", "d")
        await until(pilot, lambda: any("score 120.0" in line for line in seen(pilot.app)))
        assert planned.plans.kept_plan().score == 120.0


async def test_a_search_that_finds_nothing_says_why(planned: Any, opened: Any, seen: Any, until: Any) -> None:
    def refuse(**words: Any) -> Plan:
        raise Refused("no bench hours in the next 14 days")

    planned.plans.plan = refuse
    async with opened(planned) as pilot:
        await pilot.press("r")
        await until(pilot, lambda: any("no plan: no bench hours" in line for line in seen(pilot.app)))
        assert planned.plans.kept_plan() is not None


async def test_leaving_stops_the_search(planned: Any, plan: Plan, opened: Any, until: Any) -> None:
    held = HeldSearch(plan, plan)
    planned.plans.plan = held
    async with opened(planned) as pilot:
        await pilot.press("r")
        await until(pilot, lambda: pilot.app.search is not None)
        await pilot.press("q")
        await until(pilot, lambda: pilot.app._exit)
    assert held.stopped


async def test_keys_that_need_a_new_plan_say_so(planned: Any, opened: Any, seen: Any, until: Any) -> None:
    async with opened(planned) as pilot:
        await pilot.press("w", "k")
        await until(
            pilot,
            lambda: any("not now: there is no new plan: R plans again" in one for one in seen(pilot.app)),
        )


def test_what_may_still_be_won_is_never_told_as_nothing_unless_it_is():
    from core.words import above_best

    assert [above_best(gap) for gap in (0.0, 0.00006, 0.167)] == [
        "the best there can be", "less than 0.1 % above the best", "at most 16.7 % above the best",
    ]  # fmt: skip


async def test_tonight_says_that_the_evenings_are_being_planned(
    book_of: Any, shelf: Any, opened: Any, seen: Any, until: Any
) -> None:
    bare = {"R-004": shelf.reels["R-004"]}
    book = book_of(replace(shelf, reels=bare, songs={}, sheets=(), history=(), records={}))
    async with opened(book) as pilot:
        await pilot.press("t")
        await until(pilot, lambda: any("No evening is planned yet." in line for line in seen(pilot.app)))
        pilot.app.search = object()
        pilot.app.screen.laid()
        await until(pilot, lambda: any("W shows how, and where it stops" in line for line in seen(pilot.app)))
        pilot.app.search = None


async def test_what_is_provisional_carries_its_sign_at_eighty_columns(
    planned: Any, plan: Plan, opened: Any, seen: Any, until: Any
) -> None:
    """A narrow block loses the front of its reel's name and never the sign."""
    items = (replace(one, assumes=("condition ok",)) if one.kind == "transfer" else one for one in plan.items)
    planned.lay_out(planned.shelf.with_record("plan", "kept", replace(plan, items=tuple(items)).to_json()))
    async with opened(planned) as pilot:
        await pilot.press("w")
        await until(pilot, lambda: any("Tue 1 Dec    D2" in line for line in seen(pilot.app)))
        (deck,) = [line for line in seen(pilot.app) if "Tue 1 Dec    D2" in line]
        assert "?" in deck


async def test_hours_of_a_date_say_on_the_week_too_what_they_take_away(
    planned: Any, opened: Any, seen: Any, until: Any
) -> None:
    async with opened(planned) as pilot:
        await pilot.press("w")
        await until(pilot, lambda: any("Tue 1 Dec    D2" in line for line in seen(pilot.app)))
        await pilot.press("h", "1")
        await until(pilot, lambda: any("Hours of Tue 1 Dec" in line for line in seen(pilot.app)))
        await pilot.press("ctrl+u", *"08:00-16:10", "space", *"home", "enter")
        await until(pilot, lambda: any("no bench" in line for line in seen(pilot.app)))
        assert not any(row.bench for row in rows_on(planned.shelf.studio, date(2026, 12, 1)))


async def test_hours_and_the_last_day_away_are_typed_as_they_are_spoken(
    planned: Any, opened: Any, seen: Any, until: Any
) -> None:
    tuesday = date(2026, 12, 1)
    (was,) = rows_on(planned.shelf.studio, tuesday)
    async with opened(planned) as pilot:
        await pilot.press("w")
        await until(pilot, lambda: any("Tue 1 Dec    D2" in line for line in seen(pilot.app)))
        await pilot.press("h", "1")
        await until(pilot, lambda: any("Hours of Tue 1 Dec" in line for line in seen(pilot.app)))
        await pilot.press("ctrl+u", *"20", "space", *"to", "space", *"23", "enter")
        await until(pilot, lambda: rows_on(planned.shelf.studio, tuesday)[0].from_minutes == 20 * 60)
        (row,) = rows_on(planned.shelf.studio, tuesday)  # the bench moves, and no more than that
        assert (row.to_minutes, row.home, row.loud_until_minutes) == (
            23 * 60,
            was.home,
            was.loud_until_minutes,
        )
        await pilot.press("h", "4")
        await until(pilot, lambda: any("Away from Tue 1 Dec" in line for line in seen(pilot.app)))
        await pilot.press(*"sunday")
        await until(pilot, lambda: any("Sun 6 Dec 2026" in line for line in seen(pilot.app)))
        await pilot.press("enter")
        await until(pilot, lambda: not rows_on(planned.shelf.studio, date(2026, 12, 5)))
        assert not rows_on(planned.shelf.studio, tuesday)
