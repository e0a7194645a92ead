"""A look beside what the box says: its words stand until somebody means otherwise, and for that box alone."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from core.reels.reel import Reel


@pytest.fixture
def boxes(book_of: Any, shelf: Any) -> Any:
    """Quarter-inch boxes beside a deck of eight tracks, one of which says 4 track."""
    narrow = shelf.reels["R-003"].width
    words = ("Organ 7 1/2 ips", "Mixes A", "Lull 15 ips", "Choir", "Fog horn mold")
    reels = {f"B-{n}": Reel(f"B-{n}", told, width=narrow) for n, told in enumerate(words, 1)}
    reels["B-1"] = replace(reels["B-1"], tracks=4)
    return book_of(replace(shelf, reels=reels, songs={}, sheets=(), history=()))


async def to_line(pilot: Any, name: str) -> None:
    page = pilot.app.screen
    await pilot.press("pageup")
    while page.form.here.name != name:
        await pilot.press("down")


async def look(pilot: Any, until: Any, down: int) -> Any:
    await pilot.press("home", *["down"] * down, "space")
    await until(pilot, lambda: bool(pilot.app.screen.query("OneAnswer")))
    return pilot.app.screen


async def test_one_odd_box_says_nothing_of_the_tracks_of_the_others(
    boxes: Any, opened: Any, until: Any
) -> None:
    async with opened(boxes) as pilot:
        assert (await look(pilot, until, 1)).form.values["tracks"] == "8"  # as the deck that takes the width
    told = {key: replace(reel, tracks=2) for key, reel in boxes.shelf.reels.items() if key != "B-2"}
    boxes.change(lambda shelf: replace(shelf, reels={**shelf.reels, **told}), what="most of them tell")
    async with opened(boxes) as pilot:
        assert (await look(pilot, until, 1)).form.values["tracks"] == "2"


async def test_an_arrow_first_leaves_what_the_box_says_and_tells_so(
    boxes: Any, opened: Any, seen: Any, until: Any
) -> None:
    async with opened(boxes) as pilot:
        page = await look(pilot, until, 2)
        await to_line(pilot, "speed")
        assert page.form.values["speed"] == "15 ips"
        await pilot.press("right")
        assert page.form.values["speed"] == "15 ips"
        assert any("the box says 15 ips" in line for line in seen(pilot.app))
        await pilot.press("right")  # it is meant: the others, as on a line that no word filled
        assert page.form.values["speed"] != "15 ips"
        await pilot.press("escape")
        page = await look(pilot, until, 1)
        await to_line(pilot, "speed")
        await pilot.press("right")
        assert page.form.values["speed"] and not any("the box says" in line for line in seen(pilot.app))


async def test_a_box_that_says_mould_is_asked_about_before_the_look_is_taken(
    boxes: Any, opened: Any, seen: Any, until: Any
) -> None:
    async with opened(boxes) as pilot:
        page = await look(pilot, until, 4)
        await to_line(pilot, "condition")
        await pilot.press("2", "enter")
        assert page.form.here.name == "signs"
        assert any("the box says mould: is it so?" in line for line in seen(pilot.app))
        await pilot.press("pagedown", "enter")
        await until(pilot, lambda: any('it says "mold" on its box: ' in line for line in seen(pilot.app)))
        assert boxes.shelf.reels["B-5"].condition == ()  # nothing was taken yet
        await to_line(pilot, "signs")
        await pilot.press("2", "pagedown", "enter")
        for _ in range(3):
            if boxes.shelf.reels["B-5"].signs == ():
                await pilot.press("enter")
        await until(pilot, lambda: boxes.shelf.reels["B-5"].signs == ("mould",))


async def test_what_a_look_answers_of_a_box_is_not_asked_again(
    boxes: Any, opened: Any, seen: Any, until: Any
) -> None:
    from core.conditioning.box_asked import box_warns

    async with opened(boxes) as pilot:
        await look(pilot, until, 4)
        await to_line(pilot, "condition")
        await pilot.press("1", "pagedown", "enter")
        await until(pilot, lambda: any('it says "mold" on its box: ' in line for line in seen(pilot.app)))
        assert len(box_warns(boxes.shelf, boxes.shelf.reels["B-5"])) == 1
        for _ in range(3):
            if boxes.shelf.reels["B-5"].condition == ():
                await pilot.press("enter")
        await until(pilot, lambda: boxes.shelf.reels["B-5"].condition != ())
        assert box_warns(boxes.shelf, boxes.shelf.reels["B-5"]) == ()


async def test_speeds_are_offered_once_each_the_likeliest_first(boxes: Any, opened: Any, until: Any) -> None:
    """38 cm/s is 15 ips by another name (IEC 60094-1 gives both): it is offered once."""
    from core.quantities import read_quantity
    from core.studio.setup import speed_key

    told = {"B-1": "15 ips", "B-3": "15 ips", "B-4": "38 cm/s"}
    for key, speed in told.items():
        boxes.shelving.set_fields(key, {"speed": speed})
    async with opened(boxes) as pilot:
        page = await look(pilot, until, 1)
        await to_line(pilot, "speed")
        offered = []
        for _ in range(12):
            await pilot.press("right")
            offered.append(page.form.values["speed"])
        assert offered[0] == "15 ips"  # the deck's lowest is another
        round_ = offered[: offered.index("15 ips", 1)]
        keys = [speed_key(read_quantity(one, "speed")) for one in round_]
        assert len(keys) == len(set(keys)) > 2


async def test_what_is_typed_stands_in_place_of_what_an_arrow_offered(
    boxes: Any, opened: Any, until: Any
) -> None:
    async with opened(boxes) as pilot:
        page = await look(pilot, until, 1)
        await to_line(pilot, "speed")
        await pilot.press("right", "right", "1", "5")
        await until(pilot, lambda: page.form.values["speed"] == "15")


async def test_a_speed_that_only_a_deck_has_is_told_as_a_decks(
    boxes: Any, opened: Any, seen: Any, until: Any
) -> None:
    def told(pilot: Any) -> bool:
        return any("is a deck's: no reel here tells it yet" in line for line in seen(pilot.app))

    async with opened(boxes) as pilot:
        page = await look(pilot, until, 1)
        await to_line(pilot, "speed")
        await pilot.press("right")
        assert page.form.values["speed"] == "7.5 ips"  # the deck's lowest
        await until(pilot, lambda: told(pilot))
        await pilot.press("escape")
    boxes.shelving.set_fields("B-4", {"speed": "7.5 ips"})
    async with opened(boxes) as pilot:
        page = await look(pilot, until, 2)
        await to_line(pilot, "speed")
        await pilot.press("right", "right")
        assert page.form.values["speed"] == "7.5 ips" and not told(pilot)


def test_the_next_key_follows_the_run_in_hand_not_one_that_was_renamed_far_off(shelf: Any) -> None:
    from tui.places.chart.reel_run import next_reel

    def after(*keys: str) -> str:
        return next_reel(replace(shelf, reels={key: Reel(key) for key in keys}))

    run = [f"R-{n:03}" for n in range(1, 32)]
    assert after(*run) == "R-032" and after() == "R-001"
    assert after(*run[:13], "R-114", *run[14:]) == "R-032"  # R-014 was renamed
    assert after(*run, "R-100", "R-101") == "R-102"  # another run was begun
    assert after("R-010", "R-003", "R-007") == "R-011"
