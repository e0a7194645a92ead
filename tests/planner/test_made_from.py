"""What a plan rests on: no field of a reel or of the studio is forgotten."""

from __future__ import annotations

from dataclasses import fields, replace

from core.quantities import read_quantity
from core.reels.reel import Reel
from core.shelf import Shelf
from core.standing.of_plan.made_from import BY_WORK, NOT_OF_REEL, REEL, TOLD_APART, resting_on
from core.studio.studio import Capture, Comfort, Studio


def test_every_field_of_a_reel_is_in_one_list() -> None:
    listed = [*REEL, *BY_WORK, *TOLD_APART, *NOT_OF_REEL]
    assert sorted(listed) == sorted(set(listed))
    own = {one.name for one in fields(Reel)}
    assert own - set(listed) == set()


def test_a_field_of_the_studio_counts_unless_it_is_left_out(shelf: Shelf) -> None:
    other = {
        "timezone": "Europe/Lisbon", "decks": (), "chambers": (), "treatments": (), "hours": (),
        "minutes": replace(shelf.studio.minutes, identify=25), "comfort": Comfort(),
        "assume_length": read_quantity("1800 ft", "length"), "assume_eq": "NAB",
        "assume_level": read_quantity("250 nWb/m", "flux"), "assume_condition": "sticky",
        "capture": replace(shelf.studio.capture or Capture(1), inputs=1),
    }  # fmt: skip
    assert set(other) | {"name", "extra"} == {one.name for one in fields(Studio)}
    was = resting_on(shelf).studio
    for name, value in other.items():
        studio = replace(shelf.studio, **{name: value})
        assert resting_on(replace(shelf, studio=studio)).studio != was, name
    named = replace(shelf.studio, name="Plover Lane")
    assert resting_on(replace(shelf, studio=named)).studio == was
