"""The rule that binds: each named where it alone is in the way, with the smallest thing that would do."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

from planonce import plan_evenings

from core.planning.answers.because import why_reel, why_song, with_reasons
from core.planning.answers.changes import there_on
from core.planning.answers.more_hours import more_evenings
from core.planning.answers.whatif import what_if
from core.planning.bench.follow import draft_of_plan
from core.planning.bench.placing import Placing
from core.planning.facts.reading import read_problem
from core.planning.wishes.wishes import Wishes
from core.studio.studio import HoursRow


def planned(shelf, start, days=7):
    return plan_evenings(shelf, start, days, effort=0.5)


def test_three_reels_need_the_helper_who_comes_once(shelf, start, reel, with_helper):
    """One Tuesday holds two line-ups and their reels, no third: one more evening with the helper would do."""
    there = with_helper(shelf, ("tue",))
    eqs = ("NAB", "AES", "CCIR", "NAB2")
    more = [reel(f"T-{n}", eq=eq) for n, eq in enumerate(eqs)]
    full = there.with_reel(*more, replace(there.reels["R-3"], stage="verified"))
    plan = planned(full, start)
    left = [one.reel for one in plan.left_over if one.reel.startswith("T-")]
    assert left
    because = why_reel(full, plan, left[0])
    assert because.rule == "helper"
    assert "the helper, who comes on Tuesdays only" in because.why
    assert because.would_do[0].startswith("the helper on ")
    assert because.would_do[0].endswith(" as well")
    day = date(2026, 9, int(because.would_do[0].split()[4]))
    helped = {"helper": there_on("helper", day, 19 * 60, 22 * 60)}
    (shown,) = what_if(full, start, 7, helped, effort=0.5, base=plan)
    assert left[0] in shown.no_longer_left, "what is promised is what is shown"


def test_a_helper_who_comes_on_one_date_is_told_by_it(shelf, start, reel, with_helper):
    """Eight days hold two Tuesdays: she comes on one of them, and that is no rule of Tuesdays."""
    row = HoursRow((), (date(2026, 9, 8),), 19 * 60, 22 * 60, bench=True, home=True, helper=True)
    studio = with_helper(shelf, ()).studio
    once = replace(shelf, studio=replace(studio, hours=(*studio.hours, row)))
    more = [reel(f"T-{n}", eq=eq) for n, eq in enumerate(("NAB", "AES", "CCIR", "NAB2"))]
    full = once.with_reel(*more, replace(once.reels["R-3"], stage="verified"))
    plan = planned(full, start, 10)
    whys = [why_reel(full, plan, one.reel).why for one in plan.left_over if one.reel.startswith("T-")]
    assert any("the helper, who comes on Tue 8 Sep only" in why for why in whys), whys


def test_the_chambers_trays_are_the_reason_where_one_more_would_do(shelf, start, reel):
    sticky = [reel(f"T-{n}", condition=("sticky",)) for n in range(6)]
    home = HoursRow(("sat",), (), 9 * 60, 14 * 60, home=True)
    bench = tuple(row for row in shelf.studio.hours if row.bench)
    full = replace(shelf, studio=replace(shelf.studio, hours=(*bench, home))).with_reel(*sticky)
    plan = planned(full, start, 14)
    left = next(one.reel for one in plan.left_over if one.reel.startswith("T-"))
    because = why_reel(full, plan, left)
    assert because.rule == "trays"
    assert "trays in C1 in place of 2" in because.would_do[0]


def test_nobody_home_is_the_reason_and_the_date_and_hours_are_named(shelf, start):
    bench = tuple(row for row in shelf.studio.hours if row.bench)
    alone = replace(shelf, studio=replace(shelf.studio, hours=bench))  # home for three hours, four needed
    plan = planned(alone, start)
    because = why_reel(alone, plan, "R-2")
    assert because.rule == "home"
    assert "nobody is home for 4 h 10 in one go, as its warming with its take-out asks" in because.why
    assert because.would_do[0] == "someone home on Mon 7 Sep from 16:00 to 20:10"


def test_loud_hours_are_the_reason_where_later_ones_would_do(shelf, start, reel):
    from core.quantities import read_quantity

    deck = replace(shelf.studio.decks[0], loud=True)
    hours = tuple(
        replace(row, loud_until_minutes=20 * 60 if row.bench else None) for row in shelf.studio.hours
    )
    quiet = replace(shelf, studio=replace(shelf.studio, decks=(deck,), hours=hours))
    quiet = quiet.with_reel(reel("T-1", length=read_quantity("4000 ft", "length")))
    plan = planned(quiet, start)
    because = why_reel(quiet, plan, "T-1")
    assert because.rule == "loud hours"
    assert any(one.startswith("loud hours until ") for one in (*because.would_do, *because.may_do))


def test_playable_time_that_runs_out_is_the_reason(shelf, start):
    lapsing = shelf.with_reel(
        replace(
            shelf.reels["R-2"], stage="conditioned", playable_until=start.replace(hour=19, minute=30),
            conditioned_at=start.replace(day=1),
        )
    )  # fmt: skip
    bench = tuple(row for row in lapsing.studio.hours if row.bench)
    lapsing = replace(lapsing, studio=replace(lapsing.studio, hours=bench, chambers=()))
    plan = planned(lapsing, start)
    because = why_reel(lapsing, plan, "R-2")
    assert because.rule in ("playable days", "barred")
    assert "playable" in because.why or "chamber" in because.why


def test_a_calibration_reel_that_is_not_fit_in_time_is_named(shelf, start, reel):
    cooling = start + timedelta(days=30)
    late = shelf.with_reel(reel("CAL", role="calibration", stage="conditioned", conditioned_at=cooling))
    plan = planned(late, start)
    because = why_reel(late, plan, "R-1")
    assert because.rule == "calibration"
    assert "CAL" in because.why


def test_a_calibration_reel_that_is_fit_only_when_no_helper_comes_is_named(shelf, start, reel, with_helper):
    """Warmed at the weekend it plays two days, the helper comes on Thursdays: that binds its reels."""
    short = replace(shelf.studio.treatments[0], playable_days=2)
    late = with_helper(shelf.with_reel(reel("CAL", role="calibration", condition=("sticky",))), ("thu",))
    late = replace(late, studio=replace(late.studio, treatments=(short,)))
    left = {one.reel: one.why for one in planned(late, start, 14).left_over}
    assert "CAL must be warmed and is playable at no time when the helper is there" in left["R-1"]
    assert "CAL must be warmed" in left["R-2"] and "its cooling" not in left["R-2"]


def test_full_evenings_say_how_full_and_that_one_more_would_do(shelf, start, reel):
    more = [reel(f"T-{n}") for n in range(30)]
    full = shelf.with_reel(*more)
    plan = planned(full, start)
    left = next(one.reel for one in plan.left_over if one.reel.startswith("T-"))
    because = why_reel(full, plan, left)
    assert because.rule == "bench time"
    assert "of 720 bench minutes in 4 evenings go to" in because.why
    ways = (*because.would_do, *because.may_do)
    assert any(one.startswith("one more evening of 3 h on ") for one in ways)


def test_where_a_chamber_is_free_the_full_evenings_are_the_reason_and_not_the_home(
    shelf, start, reel, monkeypatch
):
    """Someone is home all weekend, the chamber is empty: the same reason beside the plan and when asked."""
    from core.planning.answers import asking

    monkeypatch.setattr(asking, "comes_in", lambda problem, *asked: len(problem.homes) == 1)  # home all days
    full = shelf.with_reel(*[reel(f"T-{n}") for n in range(80)], reel("V-1", condition=("sticky",)))
    plan = planned(full, start, 14)
    assert "V-1" in {one.reel for one in plan.left_over}
    because = why_reel(full, plan, "V-1", effort=0.5)
    assert (because.rule, "no stretch that long" in because.why) == ("bench time", False)
    assert why_reel(full, plan, "V-1", effort=0).why == because.why, "what stands beside the plan"


def test_what_nobody_planned_with_is_told_as_what_may(shelf, start, reel):
    """There is room for it beside the plan on one more evening; whether it is played then is open."""
    full = shelf.with_reel(*[reel(f"T-{n}") for n in range(30)])
    plan = planned(full, start)
    left = next(one.reel for one in plan.left_over if one.reel.startswith("T-"))
    told = why_reel(full, plan, left, effort=0)
    assert (told.would_do, told.says.endswith(" may do it")) == ((), True)
    there = next(
        one
        for one in more_evenings(full, plan, read_problem(full, start, 7), 1 << 40, {}, Wishes())
        if one.words == told.may_do[0]
    ).problem
    job = next(one for one in there.work if one.key == left)
    assert Placing(there, draft_of_plan(there, plan)).end_of(job) is not None
    same = read_problem(full, plan.start, 7)
    place = Placing(same, draft_of_plan(same, plan))
    assert place.end_of(next(one for one in same.work if one.key == left)) is None


def test_the_wish_that_stands_and_is_not_kept_is_no_remedy(shelf, start, with_helper):
    away = with_helper(shelf, ())
    by = date(2026, 9, 9)
    wished = Wishes(song_by=(("S-1", by),))
    plan = plan_evenings(away, start, 7, effort=0.3, wishes=wished)
    for told in why_song(away, plan, "S-1", by, wished, effort=0.5):
        assert "putting it first" not in told.says


def test_a_song_asked_for_too_soon_tells_the_way_of_its_reel(shelf, start):
    plan = plan_evenings(shelf, start, 14, effort=0.5)
    (because,) = why_song(shelf, plan, "S-1", date(2026, 9, 9))
    assert because.what == "R-2"
    assert "even alone it is verified on Mon 14 Sep" in because.why
    assert "warmed from Sat 12 Sep 09:00 and cool on Sat 12 Sep 17:00" in because.why
    assert because.says.endswith(" would do it")


def test_a_song_asked_for_before_the_plan_begins_is_told_so(shelf, start):
    plan = plan_evenings(shelf, start, 14, seconds=0)
    reasons = why_song(shelf, plan, "S-2", date(2026, 9, 1))
    assert [one.rule for one in reasons] == ["date"]


def test_the_plan_says_of_every_reel_left_over_what_binds_it(shelf, start, with_helper):
    away = with_helper(shelf, ())
    plan = with_reasons(away, planned(away, start, 14))
    assert plan.left_over
    assert all("the helper is never there for 30 min" in one.why for one in plan.left_over)
    assert all(" on Mon 7 Sep may do it" in one.why for one in plan.left_over if one.reel != "R-2")


def test_a_reel_that_is_not_left_over_is_told_so(shelf, start):
    plan = plan_evenings(shelf, start, 14, seconds=0)
    because = why_reel(shelf, plan, "R-1")
    assert (because.rule, because.would_do) == ("", ())


def test_a_reel_of_unknown_length_is_told_what_else_would_tell_it(shelf, start, reel):
    bare = shelf.with_reel(reel("T-1", length=None), reel("T-2", length=None, tracks=None))
    plan = planned(bare, start)
    only, more = why_reel(bare, plan, "T-1"), why_reel(bare, plan, "T-2")
    assert only.says.startswith("not known: length; its reel's size with")
    assert (more.why, more.would_do) == ("not known: tracks, length", ())
    from core.quantities import read_quantity

    thick = read_quantity("1.5 mil", "length")
    told = replace(bare.reels["T-1"], reel_size=read_quantity("10.5 in", "length"), thickness=thick)
    after = planned(bare.with_reel(told), start)
    assert "T-1" not in {one.reel for one in after.left_over}  # what would do it does
