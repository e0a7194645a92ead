"""Where only the hours are others, what was read of the reels stands: the problem is the one read anew."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
import reelplanner
import reeltroubles

from core.clock import read_time
from core.planning.answers.more_hours import open_on
from core.planning.facts.reading import read_problem, with_hours
from core.workbook.workbook import Workbook


@pytest.mark.parametrize("helper", [False, True])
@pytest.mark.parametrize("day", [0, 1, 5])
def test_one_more_evening_is_as_read_anew(shelf, start, with_helper, day, helper):
    helped = with_helper(shelf, ("tue",))
    more = open_on(helped.studio, (start + timedelta(days=day)).date(), 18 * 60, 23 * 60, helper=helper)
    anew = read_problem(replace(helped, studio=more), start, 7)
    assert with_hours(read_problem(helped, start, 7), more) == anew
    assert anew.windows != read_problem(helped, start, 7).windows


@pytest.mark.parametrize("seed", range(4))
def test_also_on_a_shelf_with_every_trouble(seed: int, tmp_path: Path):
    made = reeltroubles.troubled_shelf(tmp_path, "24", seed, comfort=seed % 2 == 1)
    noon = datetime(2026, 1, 5, 12, tzinfo=UTC)
    shelf = Workbook.open(reelplanner.fill(tmp_path), now=lambda: noon).shelf
    begin = read_time(made.start, shelf.studio.zone)
    more = open_on(shelf.studio, (begin + timedelta(days=2)).date(), 19 * 60, 22 * 60, helper=True)
    anew = read_problem(replace(shelf, studio=more), begin, made.days)
    assert repr(with_hours(read_problem(shelf, begin, made.days), more)) == repr(anew)
