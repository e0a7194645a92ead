"""Where reels lie in a chamber and how they change places; common practice, as the module says."""

from datetime import datetime, timedelta
from itertools import pairwise
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.clock import later
from core.conditioning.loads.places import Place, first_places, standings, turned
from core.errors import Refused
from core.plan import Item, Member
from core.quantities import read_quantity
from core.reels.reel import Reel
from core.studio.studio import Chamber

START = datetime(2026, 12, 5, 9, tzinfo=ZoneInfo("Europe/Lisbon"))
ONE, QUARTER = read_quantity("1 in", "length"), read_quantity("1/4 in", "length")


def a_chamber(trays: int = 6) -> Chamber:
    return Chamber("C1", trays, ((ONE, 2), (QUARTER, 1)), read_quantity("2 h", "time"), 10)


def a_load(**hours: float) -> Item:
    members = tuple(
        Member(key, later(START, minutes=round(time * 60)), START, START) for key, time in hours.items()
    )
    return Item("condition", START, max(m.out for m in members), chamber="C1", members=members)


def trays_of(places: dict[str, Place]) -> list[int]:
    return [tray for place in places.values() for tray in range(place.lowest, place.highest + 1)]


def test_the_lowest_place_stays_empty_while_a_tray_is_to_spare() -> None:
    assert min(trays_of(first_places(6, {"A": 2, "B": 2, "C": 1}))) == 2


def test_a_full_chamber_uses_the_lowest_place_too() -> None:
    assert sorted(trays_of(first_places(6, {"A": 2, "B": 2, "C": 2}))) == [1, 2, 3, 4, 5, 6]


def test_without_a_motor_below_the_lowest_place_is_one_like_any_other() -> None:
    first = first_places(6, {"A": 2, "B": 1}, motor=False)
    assert min(trays_of(first)) == 1
    assert min(trays_of(turned(6, {"A": Place(5, 2)}, motor=False))) == 1


def test_what_does_not_fit_is_refused() -> None:
    with pytest.raises(Refused, match="7 trays of reels do not fit a chamber of 6"):
        first_places(6, {"A": 2, "B": 2, "C": 2, "D": 1})


def test_two_reels_change_places_and_go_over() -> None:
    places = first_places(6, {"A": 2, "B": 2})
    after = turned(6, places)
    assert after["A"].lowest > after["B"].lowest
    assert {place.side for place in after.values()} == {"B"}


def test_a_lone_reel_moves_between_two_places() -> None:
    first = first_places(4, {"A": 2})
    second = turned(4, first)
    assert (first["A"].lowest, second["A"].lowest, turned(4, second)["A"].lowest) == (2, 3, 2)


def test_a_lone_reel_that_fills_the_chamber_is_only_laid_over() -> None:
    assert turned(2, {"A": Place(1, 2)}) == {"A": Place(1, 2, "B")}


@given(st.integers(1, 12), st.lists(st.integers(1, 3), min_size=1, max_size=6), st.integers(1, 9))
def test_every_turn_flips_every_reel_and_moves_it_and_none_share_a_tray(
    spare: int, takes: list[int], turns: int
) -> None:
    trays = sum(takes) + spare - 1
    places = first_places(trays, {f"R{number}": count for number, count in enumerate(takes)})
    for _ in range(turns):
        after = turned(trays, places)
        used = trays_of(after)
        assert len(used) == len(set(used)) == sum(takes)
        assert all(1 <= tray <= trays for tray in used)
        assert trays == sum(takes) or min(used) > 1
        assert all(after[key].side != places[key].side for key in places)
        room = trays - (1 if trays > sum(takes) else 0)
        if len(takes) > 1 or room > takes[0]:
            assert all(after[key].lowest != places[key].lowest for key in places)
        places = after


def test_a_load_tells_every_touch_with_places_before_and_after() -> None:
    reels = {"A": Reel("A", width=ONE), "B": Reel("B", width=QUARTER)}
    told = standings(a_load(A=8, B=4), a_chamber(), reels)
    assert [(one.do, one.at - START) for one in told] == [
        ("load", timedelta(0)),
        ("turn", timedelta(hours=2)),
        ("take out", timedelta(hours=4)),
        ("turn", timedelta(hours=6)),
        ("take out", timedelta(hours=8)),
    ]
    out = told[2]
    assert out.out == ("B",) and out.turns and set(out.before) == {"A", "B"} and set(out.after) == {"A"}
    assert out.after["A"].side != out.before["A"].side
    assert told[-1].after == {} and not told[-1].turns
    for before, after in pairwise(told):
        assert before.after == after.before


def test_a_take_out_between_turns_leaves_the_others_lying() -> None:
    reels = {"A": Reel("A", width=ONE), "B": Reel("B", width=QUARTER)}
    told = standings(a_load(A=8, B=5), a_chamber(), reels)
    between = next(one for one in told if one.out == ("B",))
    assert not between.turns
    assert between.after == {"A": between.before["A"]}


def test_what_comes_out_first_lies_at_the_top() -> None:
    reels = {"A": Reel("A", width=ONE), "B": Reel("B", width=QUARTER)}
    first = standings(a_load(A=8, B=4), a_chamber(), reels)[0]
    assert first.after["B"].lowest > first.after["A"].highest
