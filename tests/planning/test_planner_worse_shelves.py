"""Whatever is taken away or overdone, every plan keeps the rules and no draft on its way breaks one.

Seeds that once found something wrong are kept: 209 and 370, a calibration reel taken out of the chamber at
the moment of its own line-up; 389, an item over the hour that the clocks in autumn repeat.
"""

import json
from datetime import datetime
from pathlib import Path

import pytest
import reeljudge
import reelplanner
import reelworse


@pytest.mark.parametrize("effort", [0.0, 0.6])
@pytest.mark.parametrize("seed", [209, 370, 389, 2001, 2002, 2003, 2004, 2005, 2006, 2007])
def test_worse_shelves_break_no_rule(seed: int, effort: float, tmp_path: Path) -> None:
    from core.planning.incumbent import Incumbent
    from core.planning.search import search
    from core.planning.wishes.wishes import Wishes
    from core.workbook.workbook import Workbook

    made = reelworse.worse_shelf(tmp_path, seed)
    noon = datetime.fromisoformat("2026-01-05T12:00+00:00")
    shelf = Workbook.open(reelplanner.fill(tmp_path), now=lambda: noon).shelf
    so_far = Incumbent(shelf, made.start.replace(tzinfo=shelf.studio.zone), made.days, Wishes())
    plan = json.loads(json.dumps(search(so_far, effort, by_effort=True, stop=None).to_json()))
    assert reeljudge.judge(tmp_path, plan) == []
    assert so_far.refused == []
    assert all(len(row["why"].split()) > 1 for row in plan["left_over"])
