"""A turn that nobody logged can be told though the load's reels are due out, at M and in the chamber."""

from __future__ import annotations

from typing import Any

from core.clock import later
from tui.board.chamber import missed_turns

KEY = "C1 2026-12-01T19:00+00:00"


def warmed_through(book: Any, clock: Any) -> Any:
    """R-002 is in C1 from 19:00 for eight hours, turned every two; it is 03:10, and nothing was logged."""
    book.load("C1", ["R-002"], because="it is the test's")
    plan = book.plans.kept_plan()
    book.plans.keep_plan(type(plan)(**{f: getattr(plan, f) for f in plan.__slots__} | {"items": ()}))
    start = book.now().astimezone(book.shelf.studio.zone)
    clock.on(hours=8, minutes=10)
    return start


async def test_catching_up_has_a_line_for_it(
    book: Any, at_machine: Any, clock: Any, begun: list[str]
) -> None:
    start = warmed_through(book, clock)
    assert [touch.due for touch in missed_turns(book.shelf, book.now())] == [
        later(start, hours=hours) for hours in (2, 4, 6)
    ]
    async with at_machine(book) as seat:
        await seat.press("escape", "t", "m")  # the bell rings for the take-out
        text = seat.text
        assert "Catching up" in text and text.count("turn C1") == 3
        await seat.types("2105")
        await seat.types("left")
        await seat.press("pagedown", "enter")
        logged = seat.shelf.of_kind("load")[KEY]["touches"]
        assert [one["at"][11:16] for one in logged if one["do"] == "turn"] == ["21:05", "01:00"]
        assert not missed_turns(seat.shelf, book.now()), "what was left out is told"


async def test_the_chamber_offers_it_by_its_time_and_asks_before_a_take_out_that_is_early(
    book: Any, at_machine: Any, clock: Any
) -> None:
    warmed_through(book, clock)
    async with at_machine(book) as seat:
        await seat.press("escape", "f2", "a")
        assert "the turn of 21:00 was done" in seat.text and "the take out was done" in seat.text
        line = next(one for one in seat.text.splitlines() if "the take out was done" in one)
        await seat.press(next(sign for sign in line if sign.isdigit()))
        await seat.types("2105")
        assert "It is due at 03:00, in 5 h 55" in " ".join(seat.text.split())
        await seat.press("escape")
        assert seat.shelf.reel("R-002").chamber == "C1"
        await seat.press("a", "1")
        await seat.types("2105")
        assert [one["at"][11:16] for one in seat.shelf.of_kind("load")[KEY]["touches"]] == ["21:05"]


def test_what_nobody_turned_lies_where_it_lay(book: Any, clock: Any) -> None:
    """R-003 comes out after five hours, R-002 after eight; turned at two hours, and not at four."""
    from dataclasses import replace

    from core.conditioning.loads.places_now import places_at
    from core.quantities import read_quantity
    from tui.board.chamber import next_touches, places_of_touch

    seen = [replace(book.shelf.reel(key), base_seen="polyester") for key in ("R-002", "R-003")]
    short = replace(seen[1], treatment_hours=read_quantity("5 h", "time"))
    book.change(lambda shelf: shelf.with_reel(seen[0], short), what="five hours are enough")
    start = book.now().astimezone(book.shelf.studio.zone)
    book.load("C1", ["R-002", "R-003"], because="it is the test's")
    clock.on(hours=2, minutes=4)
    (turn,) = next_touches(book.shelf, book.now())
    book.change(lambda shelf: turn.done(shelf, book.now()), what="turned")
    lay = places_at(book.shelf, "C1", turn.due)
    clock.on(hours=3, minutes=6)  # ten minutes past the take-out; the turn of four hours is missed
    (out,) = next_touches(book.shelf, book.now())
    assert (out.do, out.reels, out.due) == ("take out", ("R-003",), later(start, hours=5))
    told = places_of_touch(book.shelf, "C1", out.due, out.reels, book.now())
    assert lay is not None and told is not None and told.before == lay.after
    as_if = places_at(book.shelf, "C1", out.due, out.reels)
    assert as_if is not None and as_if.before != lay.after, "a turn more would change their places"


async def test_the_turns_of_an_earlier_evening_are_asked_for_beside_its_take_out(
    book: Any, at_machine: Any, clock: Any
) -> None:
    """The load is as planned in the evening; on the next day nothing of it was told."""
    book.load("C1", ["R-002"], because="it is the test's")
    clock.on(hours=20)
    async with at_machine(book) as seat:
        await seat.press("escape", "t", "m")
        text = seat.text
        assert text.count("turn C1") == 3 and text.count("take out C1") == 1


async def test_a_load_begun_late_turns_at_the_minute_of_the_next_one_and_both_are_told_apart(
    book: Any, at_machine: Any, clock: Any
) -> None:
    """R-002 was to go in at 17:00, goes in at 19:00; R-003 of 19:00 never does: both are turned at 21:00."""
    from dataclasses import replace

    from core.evening.afterwards.catch_up import unmarked
    from core.evening.tonight.runsheet import run_sheet
    from core.plan import Item, Member, Touch
    from tui.board.chamber import coming_steps, untold_steps

    seven = book.now().astimezone(book.shelf.studio.zone)

    def planned(key: str, hours: int) -> Item:
        """That tape in the heat for eight hours, from so many hours after seven."""
        start = later(seven, hours=hours)
        out = later(start, hours=8)
        days = (later(out, hours=8), later(out, hours=8 + 14 * 24))
        touches = tuple(
            Touch("load" if not n else "turn" if n < 4 else "take out", begins, later(begins, minutes=10))
            for n in range(5)
            for begins in [later(start, hours=2 * n)]
        )
        return Item(
            "condition", start, later(out, minutes=10), chamber="C1", temperature="54 degC",
            members=(Member(key, out, *days),), touches=touches,
        )  # fmt: skip

    items = (planned("R-002", -2), planned("R-003", 0))
    book.plans.keep_plan(replace(book.plans.kept_plan(), start=later(seven, hours=-3), items=items))
    book.load("C1", ["R-002"], because="it is the test's")
    clock.on(minutes=1)
    sheet = run_sheet(
        book.shelf, book.plans.kept_plan(), book.now().astimezone(seven.tzinfo),
        coming_steps(book.shelf, book.now()),
    )  # fmt: skip
    turns = {one.reels: one for one in sheet.steps if one.kind == "turn" and one.planned.start.hour == 21}
    assert set(turns) == {("R-002",), ("R-003",)}
    assert sorted(sheet.numbers.values()) == list(range(1, len(sheet.steps) + 1)), "no number is missing"
    mine = turns[("R-002",)]
    assert mine.fits and mine.item is None, "told by the load that runs"
    clock.on(hours=2, minutes=15)
    async with at_machine(book) as seat:
        await seat.press("escape", "t", "m")
        line = [one for one in seat.text.splitlines() if "turn C1" in one]
        assert len(line) == 1 and "21:00" in line[0], "of the load that never began nothing is asked"
        await seat.press("escape")
    clock.on(days=1)
    at = book.now().astimezone(seven.tzinfo)
    asked = unmarked(book.shelf, book.plans.kept_plan(), at, untold_steps(book.shelf, book.now()))
    told = [(one.planned.start.hour, one.reels) for one in asked if one.kind == "turn"]
    assert told.count((21, ("R-002",))) == 1 and all(keys == ("R-002",) for _, keys in told)


async def test_a_take_out_that_comes_late_turns_the_rest_and_no_turn_is_asked_behind_it(
    book: Any, at_machine: Any, clock: Any
) -> None:
    """R-003 was due at five hours and comes out at six and a quarter: the turn of six is made with it."""
    from dataclasses import replace

    from core.conditioning.loads.kept_loads import loads_of
    from core.conditioning.loads.not_turned import not_turned
    from core.quantities import read_quantity
    from tui.board.chamber import coming_touches

    seen = [replace(book.shelf.reel(key), base_seen="polyester") for key in ("R-002", "R-003")]
    short = replace(seen[1], treatment_hours=read_quantity("5 h", "time"))
    book.change(lambda shelf: shelf.with_reel(seen[0], short), what="five hours are enough")
    start = book.now().astimezone(book.shelf.studio.zone)
    book.load("C1", ["R-002", "R-003"], because="it is the test's")
    clock.on(hours=6, minutes=15)
    async with at_machine(book) as seat:
        await seat.press("escape", "t")
        assert "take out chamber C1: R-003" in seat.text and "turn chamber C1" not in seat.text, seat.text
        await seat.press("space", "space")
        assert seat.shelf.reel("R-003").chamber == "", seat.text
        coming = coming_touches(seat.shelf, book.now())
        assert [(one.do, one.due) for one in coming] == [("take out", later(start, hours=8))]
        assert not missed_turns(seat.shelf, book.now())
        assert "turn chamber C1" not in seat.text and "TURN" not in seat.text
        (log,) = loads_of(seat.shelf).values()
        every = book.shelf.studio.chamber("C1").turn_every.number
        assert not_turned(seat.shelf, log, every) == (1, 2, 3), "at six hours by itself nothing moved"


def test_what_is_told_at_the_chamber_stands_as_done_among_tonights_steps(
    book: Any, clock: Any, capsys: Any, monkeypatch: Any
) -> None:
    """Loaded by `load`, R-003 out early by `chamber --out`, R-002 an hour later: each has its row."""
    from dataclasses import replace

    from tui.cli import main

    monkeypatch.setattr("tui.commands.command.now", book.now)
    seen = [replace(book.shelf.reel(key), base_seen="polyester") for key in ("R-002", "R-003")]
    book.change(lambda shelf: shelf.with_reel(*seen), what="both looked at")
    shelf = ["--shelf", str(book.path)]
    assert main([*shelf, "load", "C1", "R-002", "R-003", "--because", "it is the test's"]) == 0
    clock.on(hours=2, minutes=4)
    assert main([*shelf, "chamber", "C1", "--turned"]) == 0
    clock.on(hours=1)
    assert main([*shelf, "chamber", "C1", "--out", "R-003", "--because", "it was wanted"]) == 0
    clock.on(hours=1)
    assert main([*shelf, "chamber", "C1", "--out", "R-002", "--because", "it was wanted"]) == 0
    capsys.readouterr()
    assert main([*shelf, "tonight"]) == 0
    rows = [" ".join(line.split()) for line in capsys.readouterr().out.splitlines() if "chamber C1" in line]
    done = [(row.partition("chamber")[0].split()[-1], row.split()[-1]) for row in rows if " done " in row]
    assert done == [("load", "19:00"), ("turn", "21:04"), ("out", "22:04"), ("out", "23:04")], rows


def test_a_late_load_has_room_where_its_key_finds_somebody_home_to_its_last_touch(
    book: Any, clock: Any, capsys: Any, monkeypatch: Any
) -> None:
    """Planned from 20:10 for eight hours, home until 04:25: ten minutes late its last touch ends at 04:30."""
    from dataclasses import replace

    from core.studio.studio import WEEKDAYS, HoursRow
    from tui.cli import main

    monkeypatch.setattr("tui.commands.command.now", book.now)
    home = [HoursRow(WEEKDAYS, (), *span, bench=False, home=True) for span in ((0, 265), (720, 1440))]
    bench = [replace(one, home=False) for one in book.shelf.studio.hours if one.bench]
    hours = replace(book.shelf.studio, hours=(*bench, *home))
    book.change(lambda shelf: replace(shelf, studio=hours), what="home until 04:25")
    plan = book.plans.kept_plan()
    load = next(one for one in plan.items if one.kind == "condition")
    book.plans.keep_plan(replace(plan, items=(replace(load, end=load.touches[-1].start),)))
    clock.on(minutes=70)
    told = []
    for _ in range(2):
        assert main(["--shelf", str(book.path), "tonight"]) == 0
        row = next(one for one in capsys.readouterr().out.splitlines() if "load chamber C1" in one)
        begun = main(["--shelf", str(book.path), "tonight", "begin", "load", "--because", ""])
        told.append(("no room" in row, begun, "nobody is home" in capsys.readouterr().err))
        if begun == 0:
            assert main(["--shelf", str(book.path), "undo"]) == 0
            capsys.readouterr()
        clock.on(minutes=10)
    assert told == [(False, 0, False), (True, 1, True)]
