"""Planning anew after a mishap: the new plan breaks no rule and moves less than one made afresh."""

import json
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
import reelafter
import reeljudge
import reelmishaps
import reelplanner
import reeltroubles


def _mishap(plan: dict[str, Any]) -> tuple[datetime, str]:
    """Noon after the evening of the plan's first transfer, and the reel that failed on it."""
    first = min((one for one in plan["items"] if one["kind"] == "transfer"), key=lambda one: one["start"])
    noon = datetime.fromisoformat(first["start"]).replace(hour=12, minute=0) + timedelta(days=1)
    return noon, first["reel"]


@pytest.mark.parametrize("seed", [1, 2, 5, 6])
def test_after_a_mishap(seed: int, tmp_path: Path) -> None:
    from core.plan import plan_from_json
    from core.planning.replan import replan
    from core.workbook import Workbook

    shelf = reeltroubles.troubled_shelf(tmp_path / "before", "24", seed)
    kept = reelplanner.planned(shelf.folder, shelf.start, shelf.days, effort=1)
    moment, failed = _mishap(kept)
    folder = reelafter.later_folder(shelf.folder, kept, moment, tmp_path / "after", failed)
    left = (datetime.fromisoformat(kept["until"]).date() - moment.date()).days
    book = Workbook.open(reelplanner.fill(folder), now=lambda: moment)
    zone = book.shelf.studio.zone
    at = moment.astimezone(zone)

    anew = replan(book.shelf, plan_from_json(kept, zone), at, effort=1)  # work, not time: repeatable
    document = json.loads(json.dumps(anew.to_json()))
    assert reeljudge.judge(folder, document) == []
    afresh = reelplanner.planned(folder, at.isoformat(), left, effort=1)
    assert reeljudge.judge(folder, afresh) == []
    assert reelmishaps.moved_soon(kept, document, moment) <= reelmishaps.moved_soon(kept, afresh, moment)
    assert failed in {one.get("reel") for one in document["items"]} | {
        row["reel"] for row in document["left_over"]
    }
