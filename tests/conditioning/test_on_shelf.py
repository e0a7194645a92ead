"""The chamber's log and the advice, on a shelf."""

from collections.abc import Callable
from datetime import datetime, timedelta

import pytest

from core.conditioning.advisor import advice_of, barred
from core.conditioning.loads.chamber_flags import flags
from core.conditioning.on_shelf import (
    loads_of,
    log_behaviour,
    log_broken_off,
    log_reading,
    log_trial,
    log_turn,
    log_weights,
    worked,
)
from core.conditioning.reel_advice import programme_for
from core.errors import Refused
from core.evening.mark import mark
from core.evening.warming.load import load
from core.reels.reel import Reel
from core.shelf import Shelf
from core.studio.studio import Studio

Make = Callable[..., Reel]


@pytest.fixture
def shelf(studio: Studio, reel: Make) -> Shelf:
    """Two sticky reels and a sound one."""
    sick = {"stock": "Ampex 456", "condition": ("sticky",), "eq": "NAB"}
    return Shelf(studio).with_reel(
        reel(key="R-1", **sick), reel(key="R-2", **sick), reel(key="R-3", stock="Sony PR-150")
    )


def test_a_load_that_began_is_read_with_what_the_studio_gives_its_width(shelf: Shelf, now: datetime) -> None:
    warm = load(shelf, "C1", ["R-1", "R-2"], now)
    (log,) = loads_of(warm).values()
    assert (log.celsius, [member.hours for member in log.members]) == (54, [8, 8])
    assert all(member.out is None for member in log.members)


def test_a_take_out_is_the_reels_own(shelf: Shelf, now: datetime) -> None:
    warm = load(shelf, "C1", ["R-1"], now)
    out = mark(warm, "R-1", "conditioned", now + timedelta(hours=8))
    (log,) = loads_of(out).values()
    assert log.hours_had("R-1", now + timedelta(hours=30)) == 8


def test_what_is_written_down_stays_with_what_else_the_record_holds(shelf: Shelf, now: datetime) -> None:
    warm = load(shelf, "C1", ["R-1"], now)
    (key,) = loads_of(warm)
    warm = warm.with_record("load", key, {**warm.of_kind("load")[key], "touches": [], "mine": 1})
    two = now + timedelta(hours=2)
    warm = log_reading(warm, key, two, 61.0, "top")
    warm = log_turn(warm, key, two)
    warm = log_weights(warm, key, "R-1", before_g=1500)
    warm = log_weights(warm, key, "R-1", after_g=1494)
    log = loads_of(warm)[key]
    assert warm.of_kind("load")[key]["mine"] == 1
    assert log.turns == (two,)
    assert (log.members[0].before_g, log.members[0].after_g) == (1500, 1494)
    course = programme_for(warm.reel("R-1"), warm.studio)
    assert course is not None
    assert [flag.kind for flag in flags(log, course, two)] == ["hard stop"]


def test_the_evenings_touches_count_as_turns(shelf: Shelf, now: datetime) -> None:
    warm = load(shelf, "C1", ["R-1"], now)
    (key,) = loads_of(warm)
    touches = [
        {"do": "load", "at": now.isoformat()},
        {"do": "turn", "at": (now + timedelta(hours=2)).isoformat()},
    ]
    warm = warm.with_record("load", key, {**warm.of_kind("load")[key], "touches": touches})
    assert loads_of(warm)[key].turns == (now + timedelta(hours=2),)


def test_two_loads_after_which_it_stopped_leave_a_reel_out(shelf: Shelf, now: datetime) -> None:
    for days in (0, 10):
        at = now + timedelta(days=days)
        shelf = load(shelf, "C1", ["R-1"], at)
        shelf = mark(shelf, "R-1", "conditioned", at + timedelta(hours=8))
        shelf = log_behaviour(shelf, "R-1", "stopped")
        shelf = mark(shelf, "R-1", "identified", at + timedelta(days=2), because="stopped")
    later = now + timedelta(days=20)
    assert "needs a reason" in str(barred(shelf, shelf.reel("R-1"), later))
    assert barred(shelf, shelf.reel("R-2"), later) is None
    assert advice_of(shelf, shelf.reel("R-1"), later).had == 2
    (row,) = worked(shelf)
    assert (row.stock, row.stopped, row.hours) == ("Ampex 456", 2, 8)


def test_a_broken_off_load_keeps_its_reason(shelf: Shelf, now: datetime) -> None:
    warm = load(shelf, "C1", ["R-1"], now)
    (key,) = loads_of(warm)
    off = log_broken_off(warm, key, now + timedelta(hours=3), " power ")
    assert loads_of(off)[key].why == "power"
    assert loads_of(off)[key].hours_had("R-1", now + timedelta(hours=9)) == 3


def test_an_empty_run_is_begun_before_the_first_load(shelf: Shelf, now: datetime) -> None:
    (log,) = loads_of(log_trial(shelf, "C1", now, 54)).values()
    assert log.trial


@pytest.mark.parametrize(
    "wrong",
    [
        lambda shelf, now: log_reading(shelf, "nothing", now, 54),
        lambda shelf, now: log_turn(shelf, "nothing", now),
        lambda shelf, now: log_trial(shelf, "C9", now, 54),
        lambda shelf, now: log_behaviour(shelf, "R-1", "stopped"),
        lambda shelf, now: log_behaviour(shelf, "R-1", "fine"),
        lambda shelf, now: log_reading(shelf, "nothing", now, 540),
        lambda shelf, now: log_weights(shelf, "nothing", "R-1", before_g=-1),
        lambda shelf, now: log_broken_off(shelf, "nothing", now, ""),
    ],
)
def test_what_makes_no_sense_is_refused(
    wrong: Callable[[Shelf, datetime], Shelf], shelf: Shelf, now: datetime
) -> None:
    with pytest.raises(Refused):
        wrong(shelf, now)


def test_a_record_that_is_no_load_spoils_nothing(shelf: Shelf, now: datetime) -> None:
    for number, odd in enumerate([{}, {"chamber": "C1", "at": "soon"}, [], "x", {"chamber": "C1", "at": 4}]):
        shelf = shelf.with_record("load", str(number), odd)
    assert loads_of(shelf) == {}
    assert barred(shelf, shelf.reel("R-1"), now) is None
