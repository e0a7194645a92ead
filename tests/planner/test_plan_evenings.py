"""The one door: proven plans, repeatable effort, stopping, and plans of what can be done."""

import json
import os
import subprocess
import sys
from dataclasses import replace

import pytest

from core.planning.bounds.bounds import quick_bound
from core.planning.bounds.evening_bound import evening_bound
from core.planning.facts.reading import read_problem
from core.planning.incumbent import Incumbent
from core.planning.plan_evenings import plan_evenings
from core.planning.rules.checker import violations
from core.planning.solving import prove_songs
from core.planning.time_left import Clock
from core.planning.wishes.wishes import Wishes
from core.quantities import read_quantity


def test_a_small_shelf_is_planned_to_the_proven_best(shelf, start):
    plan = plan_evenings(shelf, start, 7, effort=4)
    assert plan.status == "optimal"
    assert plan.bound >= plan.score - 0.0002
    assert violations(shelf, plan) == ()


def test_every_bound_stays_below_the_proven_best(shelf, start):
    best = plan_evenings(shelf, start, 7, effort=4).score
    so_far = Incumbent(shelf, start, 7, Wishes())
    assert float(quick_bound(so_far.problem)) <= best + 1e-6
    linear = evening_bound(so_far.problem, 60.0, cells=2000)
    assert linear is not None and 0 < float(linear) <= best * 1.001
    so_far.clock = Clock(5.0, True, None)
    assert prove_songs(so_far, 1.0) is not None
    assert float(linear) <= float(so_far.bound) * 1.001 <= best * 1.002


def test_smiths_order_is_bounded_from_below(shelf, reel, start):
    # one endless window, one set-up, one song a reel: Smith 1956; three equal reels end after 30 + k * 35 min
    from core.songs.song import Need, Song
    from core.studio.studio import HoursRow

    keys = ("R-1", "R-2", "R-3")
    reels = {key: reel(key) for key in keys} | {"CAL": reel("CAL", role="calibration")}
    songs = {k: Song(k, album="A", priority=1, needs=(Need(k),)) for k in keys}
    always = HoursRow(("mon", "tue", "wed", "thu", "fri", "sat", "sun"), (), 0, 1440, bench=True, home=True)
    endless = replace(shelf, reels=reels, songs=songs, studio=replace(shelf.studio, hours=(always,)))
    expected = 1.01 * sum(30 + k * (25 + 10) for k in (1, 2, 3)) / 60
    plan = plan_evenings(endless, start, 7, effort=4)
    assert plan.score == pytest.approx(expected, abs=1e-4)
    assert float(quick_bound(read_problem(endless, start, 7))) <= expected


REPEAT = """
import json, sys, runpy
sys.path.insert(0, sys.argv[1])
parts = runpy.run_path(sys.argv[1] + "/conftest.py")
from dataclasses import replace
from datetime import datetime
made = parts["shelf"]
shelf = made.__wrapped__() if hasattr(made, "__wrapped__") else made.__pytest_wrapped__.obj()
from core.planning.plan_evenings import plan_evenings
start = datetime(2026, 9, 7, 16, 0, tzinfo=parts["ZONE"])
print(json.dumps(plan_evenings(shelf, start, 14, effort=0.5).to_json()))
"""


def test_the_same_effort_gives_the_same_plan_to_the_byte():
    here = os.path.dirname(__file__)
    outs = []
    for seed in ("1", "2"):
        done = subprocess.run(
            [sys.executable, "-c", REPEAT, here],
            capture_output=True,
            text=True,
            env={**os.environ, "PYTHONHASHSEED": seed},
            check=True,
        )
        outs.append(done.stdout)
    assert outs[0] == outs[1]
    assert json.loads(outs[0])["effort"] == "0.5"


def test_said_to_stop_it_hands_out_the_best_so_far(shelf, start):
    plan = plan_evenings(shelf, start, 14, seconds=60, stop=lambda: True)
    assert violations(shelf, plan) == ()
    assert plan.made_in_seconds < 30


def test_progress_hears_of_better_plans_only(shelf, start):
    heard = []
    plan_evenings(shelf, start, 14, effort=1, progress=heard.append)
    scores = [one.score for one in heard]
    assert scores == sorted(scores, reverse=True)


def test_no_bench_time_leaves_everything_over_with_a_reason(shelf, start):
    empty = replace(shelf, studio=replace(shelf.studio, hours=()))
    plan = plan_evenings(empty, start, 7, effort=0.3)
    assert {row.reel for row in plan.left_over} == {"R-1", "R-2", "R-3"}
    assert all(row.why for row in plan.left_over)
    assert plan.status == "optimal"


def test_a_helper_who_never_comes_is_the_reason(shelf, start, with_helper):
    plan = plan_evenings(with_helper(shelf, ()), start, 7, effort=0.3)
    why = {row.reel: row.why for row in plan.left_over}
    assert "helper" in why["R-1"]


def test_where_no_calibration_reel_fits_it_is_said_by_what_the_deck_is_lined_up(shelf, start, reel):
    other = shelf.with_reel(
        reel("CAL", role="calibration", speed=read_quantity("7.5 ips", "speed")),
        reel("R-1", tones="1 kHz, 10 kHz"),
    )
    plan = plan_evenings(other, start, 7, effort=0.3)
    aligns = [item for item in plan.items if item.kind == "align"]
    assert aligns and {item.calibration for item in aligns} == {""}
    assert {item.by for item in aligns} == {"tones", "as it stands"}


def test_a_verified_shelf_has_nothing_to_do(shelf, start):
    done = shelf.with_reel(*(replace(r, stage="verified") for r in shelf.reels.values()))
    assert plan_evenings(done, start, 7, effort=0.3).status == "nothing to do"


def test_a_line_up_names_the_calibration_reel_of_its_own_set_up(shelf, reel, start):
    twin = reel("CAL-2", role="calibration", eq="NAB")
    plan = plan_evenings(shelf.with_reel(twin), start, 14, seconds=0)
    named = {dict(i.setup)["eq"]: i.calibration for i in plan.items if i.kind == "align"}
    assert named == {"IEC": "CAL", "NAB": "CAL-2"}


def test_a_calibration_reel_that_nobody_inspected_is_looked_at_before_it_is_used(shelf, start):
    blank = shelf.with_reel(replace(shelf.reels["CAL"], condition=()))
    plan = plan_evenings(blank, start, 7, effort=0.3)
    looked = next(item for item in plan.items if item.kind == "identify" and item.reel == "CAL")
    first = next(item for item in plan.items if item.kind == "align")
    assert first.calibration == "CAL" and looked.end <= first.start
