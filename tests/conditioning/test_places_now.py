"""At the chamber it is said where each reel goes: at the load, and at every touch of a load that runs."""

from __future__ import annotations

from datetime import timedelta

from core.conditioning.loads.places import standings
from core.conditioning.loads.places_now import place_words, places_at, places_of_load
from core.evening.warming.load import load
from core.evening.warming.take_out import take_out
from core.plan import Item, Member


def test_the_bell_tells_the_places_that_the_order_of_the_evening_has(shelf_of, make_reel, moment) -> None:
    shelf = shelf_of(make_reel("R-001", condition=("sticky",)), make_reel("R-002", condition=("sticky",)))
    at = moment("2026-12-05T08:00")
    out = at + timedelta(hours=8)
    members = (Member("R-001", out, out, out), Member("R-002", out, out, out))
    item = Item("condition", at, out, chamber="C1", members=members)
    planned = standings(item, shelf.studio.chambers[0], shelf.reels)
    first = places_of_load(shelf, "C1", ("R-001", "R-002"), at)
    assert first is not None and first.after == planned[0].after
    loaded = load(shelf, "C1", ["R-001", "R-002"], at)
    for one in planned[1:]:
        told = places_at(loaded, "C1", one.at)
        assert told is not None and (told.do, told.before, told.after) == (one.do, one.before, one.after)
    assert places_at(loaded, "C1", at + timedelta(minutes=7)) is None
    # Two 1-inch reels of two trays each in six trays: one tray between, then they change (common practice).
    assert place_words(first) == "R-001 place 2-3, R-002 place 5-6"
    turn = places_at(loaded, "C1", planned[1].at)
    assert turn is not None and place_words(turn) == "R-002 place 5-6 to 2-3, R-001 place 2-3 to 5-6"
    last = places_at(loaded, "C1", out)
    assert last is not None and place_words(last) == "R-001 out, R-002 out"


def test_a_turn_that_is_late_moves_no_reel_that_came_out_meanwhile(shelf_of, make_reel, moment) -> None:
    shelf = shelf_of(make_reel("R-001", condition=("sticky",)), make_reel("R-002", condition=("sticky",)))
    at = moment("2026-12-05T08:00")
    due = at + timedelta(hours=2)
    loaded = load(shelf, "C1", ["R-001", "R-002"], at)
    for late in (timedelta(0), timedelta(minutes=1)):
        out = take_out(loaded, "R-002", due + late)
        turn = places_at(out, "C1", due)
        assert turn is not None and place_words(turn) == "R-001 place 2-3 to 5-6"


def test_an_empty_chamber_tells_nothing(shelf_of, make_reel, moment) -> None:
    shelf = shelf_of(make_reel("R-001", width="1/2 in"))  # of which the studio has no treatment
    assert places_at(shelf, "C1", moment("2026-12-05T10:00")) is None
    assert places_of_load(shelf, "C1", ("R-001",), moment("2026-12-05T10:00")) is None
