"""Stages and gates: what `mark` asks for, and what it writes."""

from dataclasses import replace

import pytest

from core.clock import later
from core.errors import Refused
from core.evening.mark import mark, none_needed
from core.evening.warming.load import load
from core.standing.gates import stage_now, unmet

WHY = "we stay up"


@pytest.fixture
def now(moment):
    return moment("2026-12-01T20:00")  # a Tuesday, the bench is open from 19:00


def test_a_take_out_starts_the_playable_days(shelf_of, make_reel, now):
    shelf = load(shelf_of(make_reel(condition=("sticky",))), "C1", ["R-001"], now, WHY)
    assert shelf.reel("R-001").chamber == "C1"
    out = mark(shelf, "R-001", "conditioned", later(now, hours=8)).reel("R-001")
    assert (out.stage, out.chamber, out.loaded_at) == ("conditioned", "", None)
    assert out.conditioned_at == later(now, hours=8)
    assert out.playable_until == later(now, hours=8 + 14 * 24)


def test_a_sound_reel_passes_conditioning_with_the_reason_kept(shelf_of, make_reel, now):
    shelf = shelf_of(make_reel())
    assert "not sticky" in none_needed(shelf, shelf.reel("R-001"), now)
    marked = mark(shelf, "R-001", "conditioned", now).reel("R-001")
    assert marked.stage == "conditioned" and marked.conditioned_at is None


def test_an_uninspected_reel_is_not_identified(shelf_of, make_reel, now):
    shelf = shelf_of(make_reel(stage="found", condition=(), width=None))
    with pytest.raises(Refused, match="not known yet: width, condition"):
        mark(shelf, "R-001", "identified", now)
    assert mark(shelf, "R-001", "identified", now, "seen through the bag").reel("R-001").stage == "identified"


def test_of_a_reel_that_nobody_inspected_nobody_says_that_it_needs_no_warmth(shelf_of, make_reel, now):
    shelf = shelf_of(make_reel(condition=()))
    with pytest.raises(Refused, match="nobody has inspected it"):
        mark(shelf, "R-001", "conditioned", now)
    assert mark(shelf, "R-001", "conditioned", now, "wiped dry").reel("R-001").stage == "conditioned"
    seen = shelf_of(make_reel(condition=("ok",)))
    assert mark(seen, "R-001", "conditioned", now).reel("R-001").stage == "conditioned"


def test_a_sticky_reel_does_not_skip_the_chamber(shelf_of, make_reel, now):
    shelf = shelf_of(make_reel(condition=("sticky",)))
    assert unmet(shelf, shelf.reel("R-001"), "transferred", now) == "sticky, and not warmed yet"


def test_lining_up_for_one_reel_lines_up_for_all_that_wait(shelf_of, make_reel, now):
    shelf = shelf_of(
        make_reel(stage="conditioned"),
        make_reel("R-002", stage="conditioned", eq=" nab "),
        make_reel("R-003", stage="conditioned", eq="IEC1"),
        make_reel("R-004"),
    )
    marked = mark(shelf, "R-001", "aligned", now)
    stages = {key: stage_now(marked, reel, now) for key, reel in marked.reels.items()}
    assert stages == {"R-001": "aligned", "R-002": "aligned", "R-003": "conditioned", "R-004": "identified"}
    assert marked.studio.decks[0].lined_up.eq == "NAB"


def test_a_line_up_lasts_for_its_bench_window(shelf_of, make_reel, now):
    marked = mark(shelf_of(make_reel(stage="conditioned")), "R-001", "aligned", now)
    assert stage_now(marked, marked.reel("R-001"), later(now, hours=2)) == "aligned"
    assert stage_now(marked, marked.reel("R-001"), later(now, hours=24)) == "conditioned"


def test_another_line_up_takes_the_deck_away(shelf_of, make_reel, now):
    shelf = shelf_of(make_reel(stage="conditioned"), make_reel("R-002", stage="conditioned", eq="IEC1"))
    shelf = mark(mark(shelf, "R-001", "aligned", now), "R-002", "aligned", later(now, minutes=30))
    assert stage_now(shelf, shelf.reel("R-001"), later(now, minutes=40)) == "conditioned"


def test_a_lapsed_reel_may_not_be_played(shelf_of, make_reel, now):
    reel = make_reel(condition=("sticky",), stage="conditioned", conditioned_at=later(now, hours=-15 * 24))
    with pytest.raises(Refused, match="warm it again"):
        mark(shelf_of(reel), "R-001", "transferred", now)


def test_a_transferred_reel_lies_tails_out(shelf_of, make_reel, now):
    marked = mark(shelf_of(make_reel(stage="conditioned", wind="heads")), "R-001", "transferred", now)
    assert marked.reel("R-001").wind == "tails" and marked.reel("R-001").heard == now


def test_verified_rests_on_checks(shelf_of, make_reel, now):
    shelf = shelf_of(make_reel(stage="transferred"))
    with pytest.raises(Refused, match="no check"):
        mark(shelf, "R-001", "verified", now)
    failed = shelf.with_record("check", "1", {"reel": "R-001", "pass": 1, "verdict": "fail", "at": "1"})
    with pytest.raises(Refused, match="failed"):
        mark(failed, "R-001", "verified", now)
    again = failed.with_record("check", "2", {"reel": "R-001", "pass": 1, "verdict": "remarks", "at": "2"})
    assert mark(again, "R-001", "verified", now).reel("R-001").stage == "verified"


def test_verified_wants_a_check_of_every_pass(shelf_of, make_reel, now):
    shelf = shelf_of(make_reel(stage="transferred"))
    narrow = replace(shelf.studio, capture=replace(shelf.studio.capture, inputs=8))
    shelf = replace(shelf, studio=narrow).with_record(
        "check", "1", {"reel": "R-001", "pass": 1, "verdict": "pass"}
    )
    with pytest.raises(Refused, match="pass 2 is not there"):
        mark(shelf, "R-001", "verified", now)


def test_going_back_takes_a_reason_and_ends_the_playable_time(shelf_of, make_reel, now):
    reel = make_reel(condition=("sticky",), stage="conditioned", conditioned_at=now)
    with pytest.raises(Refused, match="needs a reason"):
        mark(shelf_of(reel), "R-001", "identified", now)
    back = mark(shelf_of(reel), "R-001", "identified", now, "squeals on the deck").reel("R-001")
    assert (back.stage, back.conditioned_at, back.playable_until) == ("identified", None, None)


def test_a_mouldy_reel_is_not_marked_conditioned(shelf_of, make_reel, now):
    with pytest.raises(Refused, match="mould"):
        mark(shelf_of(make_reel(condition=("mould",))), "R-001", "conditioned", now)


@pytest.mark.parametrize(
    ("other", "why"),
    [
        ({"base": "acetate"}, "acetate must never be warmed"),
        ({"condition": ("vinegar",)}, "vinegar syndrome: the base decays"),
        ({"width": "2 in"}, "takes no 2 in"),
    ],
)
def test_what_must_not_go_into_the_chamber_does_not(shelf_of, make_reel, now, other, why):
    with pytest.raises(Refused, match=why):
        load(shelf_of(make_reel(**other)), "C1", ["R-001"], now, WHY)


def test_what_nobody_looked_at_is_warmed_only_for_a_reason(shelf_of, make_reel, moment):
    shelf = shelf_of(make_reel(stage="found", condition=("sticky",)))
    with pytest.raises(Refused, match="not identified"):
        load(shelf, "C1", ["R-001"], moment("2026-12-01T20:00"))
    assert load(shelf, "C1", ["R-001"], moment("2026-12-01T20:00"), WHY).reel("R-001").chamber == "C1"


def test_a_chamber_takes_no_more_than_its_trays_and_one_load(shelf_of, make_reel, now):
    shelf = shelf_of(*(make_reel(f"R-00{n}", condition=("sticky",)) for n in range(1, 5)))
    with pytest.raises(Refused, match="8 trays"):
        load(shelf, "C1", ["R-001", "R-002", "R-003", "R-004"], now, WHY)
    with pytest.raises(Refused, match="holds R-001"):
        load(load(shelf, "C1", ["R-001"], now, WHY), "C1", ["R-002"], now, WHY)


def test_a_line_up_made_early_counts_for_the_window_that_opens(shelf_of, make_reel, moment):
    early = moment("2026-12-01T18:30")  # the bench opens at 19:00
    marked = mark(shelf_of(make_reel(stage="conditioned")), "R-001", "aligned", early)
    for at, stage in (
        (early, "aligned"),
        (later(early, hours=2), "aligned"),
        (later(early, hours=6), "conditioned"),
    ):
        assert stage_now(marked, marked.reel("R-001"), at) == stage
    far = moment("2026-12-01T17:30")
    marked = mark(shelf_of(make_reel(stage="conditioned")), "R-001", "aligned", far)
    assert stage_now(marked, marked.reel("R-001"), later(far, hours=2)) == "conditioned"
