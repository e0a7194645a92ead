"""A load that is broken off: which reels are done, which wait, and going on while it is warm."""

from collections.abc import Callable
from datetime import datetime, timedelta
from fractions import Fraction

import pytest

from core.conditioning.advisor import advice_of
from core.conditioning.alarms import alarm_of
from core.conditioning.loads.kept_loads import loads_of, running_load
from core.errors import Refused
from core.evening.playing.again import treatments_had
from core.evening.warming.load import load
from core.evening.warming.load_broken import break_off, go_on
from core.evening.warming.take_out import take_out
from core.reels.needs import needs_conditioning
from core.reels.reel import Reel
from core.shelf import Shelf
from core.studio.studio import Studio
from core.tape.where import figure

Make = Callable[..., Reel]


@pytest.fixture
def warm(studio: Studio, reel: Make, now: datetime) -> Shelf:
    """A 1-inch reel (8 h) and a quarter-inch one (4 h) in one load since 19:00."""
    quarter = studio.treatments[1].width
    wide = reel(key="R-1", stock="Ampex 456", condition=("sticky",))
    narrow = reel(key="R-2", stock="Ampex 456", condition=("sticky",), width=quarter)
    return load(Shelf(studio).with_reel(wide, narrow), "C1", ["R-1", "R-2"], now)


def test_what_had_its_hours_is_done_and_the_rest_waits_for_all_of_them(warm: Shelf, now: datetime) -> None:
    (key,) = loads_of(warm)
    off = break_off(warm, key, now + timedelta(hours=5), "power")
    assert running_load(off, "C1") is None
    assert (off.reel("R-2").stage, off.reel("R-2").conditioned_at) == (
        "conditioned",
        now + timedelta(hours=5),
    )
    assert (off.reel("R-1").stage, off.reel("R-1").chamber) == ("identified", "")
    assert needs_conditioning(off.reel("R-1"), off.studio, now + timedelta(hours=5))
    assert loads_of(off)[key].hours_had("R-1", now + timedelta(days=1)) == 5
    assert advice_of(off, off.reel("R-1"), now + timedelta(days=1)).had == 0, "half a treatment is none"
    assert advice_of(off, off.reel("R-2"), now + timedelta(days=1)).had == 1
    assert (treatments_had(off, "R-1"), treatments_had(off, "R-2")) == (0, 1)


def test_while_it_is_warm_the_hours_count_on_without_the_time_it_was_off(warm: Shelf, now: datetime) -> None:
    (key,) = loads_of(warm)
    off = break_off(warm, key, now + timedelta(hours=3), "power")
    on = go_on(off, key, now + timedelta(hours=3, minutes=30))
    log = loads_of(on)[key]
    assert running_load(on, "C1") == key
    assert on.reel("R-1").loaded_at == now + timedelta(minutes=30)
    assert log.planned_out(log.members[0]) == now + timedelta(hours=8, minutes=30)
    assert log.hours_had("R-1", now + timedelta(hours=4)) == Fraction(7, 2)
    assert [(gap.minutes, gap.why) for gap in log.gaps] == [(30, "power")]
    twice = break_off(on, key, now + timedelta(hours=5), "left the house")
    assert loads_of(twice)[key].hours_had("R-1", now + timedelta(days=1)) == Fraction(9, 2)


def test_after_an_hour_it_has_cooled(warm: Shelf, now: datetime) -> None:
    (key,) = loads_of(warm)
    off = break_off(warm, key, now + timedelta(hours=3), "power")
    last = now + timedelta(hours=3, minutes=figure("heat.resume_minutes"))
    assert go_on(off, key, last).reel("R-1").chamber == "C1"
    with pytest.raises(Refused, match="cooled"):
        go_on(off, key, last + timedelta(minutes=1))


def test_what_turned_out_to_be_acetate_does_not_go_back(warm: Shelf, reel: Make, now: datetime) -> None:
    (key,) = loads_of(warm)
    off = break_off(warm, key, now + timedelta(hours=3), "power")
    off = off.with_reel(reel(key="R-1", base="acetate", condition=("sticky",)))
    later = now + timedelta(hours=3, minutes=10)
    assert alarm_of(off, "R-1").startswith(
        "Take R-1 out of chamber C1, where it lies since its load was broken"
    )
    with pytest.raises(Refused, match=r"R-1 does not go back into chamber C1.*take it out first"):
        go_on(off, key, later)
    off = take_out(off, "R-1", later)
    assert alarm_of(off, "R-1") is None and loads_of(off)[key].member("R-1").out == later
    on = go_on(off, key, later)
    assert {key: one.chamber for key, one in on.reels.items()} == {"R-1": "", "R-2": "C1"}
    with pytest.raises(Refused, match="acetate"):
        go_on(off.with_reel(reel(key="R-2", base="acetate", condition=("sticky",))), key, later)


def test_what_makes_no_sense_is_refused(warm: Shelf, now: datetime) -> None:
    (key,) = loads_of(warm)
    off = break_off(warm, key, now + timedelta(hours=3), "power")
    for shelf, work in (
        (warm, lambda s: break_off(s, key, now, " ")),
        (warm, lambda s: break_off(s, key, now - timedelta(hours=1), "power")),
        (warm, lambda s: break_off(s, "C9 never", now, "power")),
        (warm, lambda s: go_on(s, key, now)),
        (off, lambda s: break_off(s, key, now + timedelta(hours=4), "power")),
        (
            load(off, "C1", ["R-1", "R-2"], now + timedelta(hours=3)),
            lambda s: go_on(s, key, now + timedelta(hours=3)),
        ),
    ):
        with pytest.raises(Refused):
            work(shelf)
