"""Each rule lets a right plan pass and names what breaks it. Figures are worked out by hand here."""

from dataclasses import replace
from datetime import timedelta

import pytest

from core.planning.plan_evenings import plan_evenings
from core.planning.rules.checker import violations


@pytest.fixture
def plan(shelf, start):
    return plan_evenings(shelf, start, 14, seconds=0)


def item_of(plan, kind, reel=""):
    return next(i for i in plan.items if i.kind == kind and (not reel or i.reel == reel))


def with_items(plan, old, new):
    items = tuple(new if one is old else one for one in plan.items if not (one is old and new is None))
    return replace(plan, items=items)


def shifted(item, **step):
    return replace(item, start=item.start + timedelta(**step), end=item.end + timedelta(**step))


def says(shelf, plan, word):
    return any(word in sentence for sentence in violations(shelf, plan))


def test_a_plan_of_the_planner_passes(shelf, plan):
    assert violations(shelf, plan) == ()


def test_two_things_at_once_are_named(shelf, plan):
    verify, align = item_of(plan, "verify"), item_of(plan, "align")
    moved = replace(verify, start=align.start, end=align.start + (verify.end - verify.start))
    assert says(shelf, with_items(plan, verify, moved), "overlaps")


def test_work_outside_the_evening_is_named(shelf, plan):
    verify = item_of(plan, "verify")
    assert says(shelf, with_items(plan, verify, shifted(verify, hours=8)), "bench window")


def test_an_item_off_the_grid_is_named(shelf, plan):
    verify = item_of(plan, "verify")
    assert says(shelf, with_items(plan, verify, shifted(verify, minutes=2)), "grid")


def test_a_missing_turn_is_named(shelf, plan):
    load = item_of(plan, "condition")
    cut = replace(load, touches=(load.touches[0], load.touches[-1]))
    assert says(shelf, with_items(plan, load, cut), "touched")


def test_acetate_in_the_chamber_is_named(shelf, plan):
    acetate = replace(shelf.reels["R-2"], base="acetate")
    assert says(shelf.with_reel(acetate), plan, "must never be warmed")


def test_a_reel_played_before_it_has_cooled_is_named(shelf, plan):
    load = item_of(plan, "condition")
    late = shifted(load, days=14)
    assert says(shelf, with_items(plan, load, late), "before the reel has cooled")


def test_a_transfer_without_repair_is_named(shelf, plan):
    assert says(shelf, with_items(plan, item_of(plan, "repair"), None), "before its repair")


def test_a_transfer_without_line_up_is_named(shelf, plan):
    items = tuple(i for i in plan.items if i.kind != "align")
    assert says(shelf, replace(plan, items=items), "without a line-up")


def test_a_touch_up_to_another_set_up_is_named(shelf, plan, standing_on):
    align = item_of(plan, "align")
    touch = replace(align, full=False, end=align.start + timedelta(minutes=10))
    assert says(standing_on(shelf, "NAB"), with_items(plan, align, touch), "stands on another set-up")


def test_a_full_line_up_without_the_helper_is_named(shelf, plan, with_helper):
    assert says(with_helper(shelf, ("sun",)), plan, "without the helper")


def test_a_loud_deck_after_the_loud_hours_is_named(shelf, plan):
    studio = shelf.studio
    hours = tuple(replace(row, loud_until_minutes=row.from_minutes + 15) for row in studio.hours)
    loud = replace(studio, decks=(replace(studio.decks[0], loud=True),), hours=hours)
    assert says(replace(shelf, studio=loud), plan, "outside loud time")


def test_a_transfer_that_is_too_short_is_named(shelf, plan):
    # 1200 ft at 15 ips play for 16 min; 5 min to load, rounded up to the grid of 5: 25 min
    transfer = item_of(plan, "transfer", "R-1")
    assert transfer.end - transfer.start == timedelta(minutes=25)
    short = replace(transfer, end=transfer.end - timedelta(minutes=5))
    assert says(shelf, with_items(plan, transfer, short), "minutes long")


def test_a_verify_without_transfer_is_named(shelf, plan):
    assert says(shelf, with_items(plan, item_of(plan, "transfer", "R-1"), None), "not transferred")


def test_a_wrong_score_is_named(shelf, plan):
    assert says(shelf, replace(plan, score=plan.score - 1), "score")
