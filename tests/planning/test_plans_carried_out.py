"""Plan and gate are one: the command line carries out plans of half-known shelves without a refusal."""

import json
from pathlib import Path

import pytest
import reelcarry
import reelhalf
import reeljudge
import reelplanner
import reeltroubles


@pytest.mark.parametrize("seed", range(40, 46))
@pytest.mark.parametrize("size", ["12", "24"])
def test_no_step_is_refused_at_its_time(size: str, seed: int, tmp_path: Path) -> None:
    shelf = reeltroubles.troubled_shelf(tmp_path, size, seed, comfort=True)
    reelhalf.half_known(shelf.folder, seed)
    file = reelplanner.fill(shelf.folder)
    plan = json.loads(reelplanner.printed_plan(file, shelf.start, shelf.days, "--effort", "0.2"))
    assert reeljudge.judge(shelf.folder, plan) == []
    assert any(item["kind"] == "transfer" for item in plan["items"])
    assert reelcarry.carry_out(shelf.folder, file, plan) == []
