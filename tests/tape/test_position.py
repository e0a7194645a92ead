"""Play time, and the place on the tape from time, pack and turns."""

import math
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.tape.physics.position import Counter, Run, length_played, play_seconds

RUN = Run(Fraction(30_000), Fraction(9, 2), Fraction(2))


# Length over speed. 1200, 1800, 2500 and 3600 ft are published reel lengths; 1200 ft at 7.5 ips lasting
# 32 min is printed on tape boxes, and a 2-inch reel is published as about 16.5 min at 30 and 33 at 15 ips.
@pytest.mark.parametrize(
    ("feet", "speed_ips", "minutes", "seconds"),
    [
        (2500, 15, 33, 20),
        (2500, 30, 16, 40),
        (2500, 7.5, 66, 40),
        (2400, 15, 32, 0),
        (3600, 15, 48, 0),
        (1200, 7.5, 32, 0),
        (1200, 3.75, 64, 0),
        (1800, 7.5, 48, 0),
        (600, 7.5, 16, 0),
        (900, 7.5, 24, 0),
        (5000, 30, 33, 20),
        (150, 0.9375, 32, 0),
        (4800, 1.875, 512, 0),
    ],
)
def test_play_time(feet: int, speed_ips: float, minutes: int, seconds: int) -> None:
    assert play_seconds(feet * 12, speed_ips) == minutes * 60 + seconds


def test_a_published_two_inch_reel_agrees() -> None:
    # a studio's page: about 16.5 min at 30 ips, 33 min at 15 ips
    assert play_seconds(30_000, 30) == pytest.approx(16.5 * 60, abs=15)
    assert play_seconds(30_000, 15) == pytest.approx(33 * 60, abs=30)


def test_winding_at_a_mean_of_250_ips_takes_two_minutes() -> None:
    assert play_seconds(30_000, 250) == 120  # arithmetic


def test_half_the_tape_is_not_half_the_pack() -> None:
    # geometry: the area halves, so the diameter over the hub does not
    full, half = RUN.supply_pack_in(0), RUN.supply_pack_in(15_000)
    assert half == pytest.approx(math.sqrt((full**2 + 4.5**2) / 2))
    assert half > (full + 4.5) / 2


def test_at_the_ends_the_reels_change_places() -> None:
    assert RUN.take_up_pack_in(0) == RUN.supply_pack_in(30_000) == 4.5
    assert RUN.take_up_pack_in(30_000) == RUN.supply_pack_in(0) == pytest.approx(9.831, abs=0.001)
    assert RUN.take_up_turns(30_000) == pytest.approx(RUN.supply_turns(30_000))


@given(place=st.floats(0, 30_000))
def test_every_way_to_tell_the_place_agrees(place: float) -> None:
    near = pytest.approx(place, abs=0.01)
    assert RUN.place_at_take_up_turns(RUN.take_up_turns(place)) == near
    assert RUN.place_at_supply_turns(RUN.supply_turns(place)) == near
    assert RUN.place_at_take_up_pack(RUN.take_up_pack_in(place)) == near
    assert float(play_seconds(length_played(place, 15), 1) / 15) == near


def test_the_first_turns_count_for_less_tape_than_the_last() -> None:
    # a turn on the bare hub is π x 4.5 in long
    assert RUN.place_at_take_up_turns(1) == pytest.approx(math.pi * 4.502, abs=0.001)
    assert RUN.supply_turns(1) == pytest.approx(1 / (math.pi * RUN.supply_pack_in(0)), rel=1e-3)


@pytest.mark.parametrize("reel", ["take-up", "supply"])
def test_a_counter_that_steps_twice_a_turn_is_converted(reel: str) -> None:
    counter = Counter(Fraction(2), reel)
    assert counter.place(RUN, counter.shows(RUN, 12_345)) == pytest.approx(12_345, abs=0.01)


@pytest.mark.parametrize(
    "ask",
    [
        lambda: RUN.take_up_pack_in(30_001),
        lambda: RUN.take_up_turns(-1),
        lambda: RUN.place_at_take_up_turns(5000),
        lambda: RUN.place_at_supply_turns(5000),
        lambda: RUN.place_at_take_up_pack(4),
        lambda: play_seconds(1, 0),
        lambda: Counter(Fraction(0)),
        lambda: Counter(Fraction(1), "idler"),
    ],
)
def test_a_place_off_the_tape_is_refused(ask: object) -> None:
    with pytest.raises(ValueError):
        ask()  # type: ignore[operator]
