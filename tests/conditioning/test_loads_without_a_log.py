"""A reel that was imported as in a chamber has a load all the same, and its log begins with the first act."""

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime, timedelta

import pytest

from core.conditioning.loads.chamber_log import from_record
from core.conditioning.loads.kept_loads import loads_of, running_load
from core.conditioning.on_shelf import log_reading, log_trial, log_turn, log_weights
from core.evening.mark import mark
from core.evening.warming.load import load
from core.reels.reel import Reel
from core.shelf import Shelf
from core.studio.studio import Studio

Make = Callable[..., Reel]
KEY = "C1 2026-12-01T19:00+00:00"


@pytest.fixture
def shelf(studio: Studio, reel: Make, now: datetime) -> Shelf:
    """Two reels in C1 as files say, and no record of any load."""
    inside = reel(key="R-1", stock="Ampex 456", condition=("sticky",), chamber="C1", loaded_at=now)
    return Shelf(studio).with_reel(inside, replace(inside, key="R-2"))


def test_the_load_is_told_from_its_reels(shelf: Shelf, now: datetime) -> None:
    assert running_load(shelf, "C1") == KEY
    log = loads_of(shelf)[KEY]
    assert [(one.reel, one.hours) for one in log.members] == [("R-1", 8), ("R-2", 8)]
    assert (log.at, log.celsius) == (now, 54)


def test_the_first_act_begins_its_log(shelf: Shelf, now: datetime) -> None:
    two = now + timedelta(hours=2)
    after = log_reading(shelf, KEY, two, 55, "top")
    after = log_turn(log_weights(after, KEY, "R-2", before_g=1500), KEY, two)
    log = from_record(after.of_kind("load")[KEY])
    assert [one.celsius for one in log.readings] == [55]
    assert (log.member("R-2") or log.members[0]).before_g == 1500
    assert log.turns == (two,)


def test_its_take_out_is_kept_with_it_and_stays_when_it_is_warmed_again(shelf: Shelf, now: datetime) -> None:
    out = now + timedelta(hours=8)
    after = mark(shelf, "R-1", "conditioned", out)
    after = mark(after, "R-2", "conditioned", out)
    after = mark(after, "R-1", "identified", out + timedelta(days=20), because="sticky again")
    again = load(after, "C1", ["R-1"], out + timedelta(days=20))
    assert loads_of(again)[KEY].hours_had("R-1", out + timedelta(days=21)) == 8
    assert running_load(again, "C1") != KEY


def test_an_empty_run_before_it_is_not_taken_for_it(shelf: Shelf, now: datetime) -> None:
    tried = log_trial(shelf, "C1", now - timedelta(days=1), 54)
    assert running_load(tried, "C1") == KEY
    assert [log.trial for log in loads_of(tried).values()] == [True, False]
