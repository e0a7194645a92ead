"""What fills an evening with a hole, what a change would bring, and how sure a date is."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

from planonce import plan_evenings

from core.planning.answers.changes import on_date
from core.planning.answers.desk_work import desk_work
from core.planning.answers.holes import LEAST, holes
from core.planning.answers.simulate import RUNS, runs_for
from core.planning.answers.whatif import usual_changes, what_if
from core.songs.song import SheetRow, Song


def test_free_time_and_work_fill_the_bench_time_exactly(shelf, start):
    plan = plan_evenings(shelf, start, 14, effort=0.5)
    bench = {}
    for item in plan.items:
        spans = [(t.start, t.end) for t in item.touches] or [(item.start, item.end)]
        for a, b in spans:
            if a.weekday() < 4:  # Monday to Thursday are bench evenings of three hours
                bench[a.date()] = bench.get(a.date(), timedelta()) + (b - a)
    found = {hole.day: hole.minutes for hole in holes(shelf, plan)}
    assert found
    for day, minutes in found.items():
        assert minutes <= 180 - bench.get(day, timedelta()) / timedelta(minutes=1)
        assert minutes > 180 - bench.get(day, timedelta()) / timedelta(minutes=1) - LEAST * 4


def test_desk_work_is_what_the_plan_leaves_and_is_never_in_it(shelf, start, reel):
    more = shelf.with_reel(
        reel("R-8", tracks=8, stage="verified"), reel("R-9", stage="found", condition=("mould",))
    ).with_song(Song("S-9", "Dunlin"))
    more = replace(more, sheets=(SheetRow("T-1", 1, "R-1", "", part="bass"),))
    plan = plan_evenings(more, start, 14, seconds=0)
    work = [(one.what, one.about) for one in desk_work(more, plan)]
    assert ("write down the reels of", "Dunlin") in work
    assert ("write the track sheet of", "R-8") in work
    assert ("write the song on sheet", "T-1") in work
    assert not any(about == "R-9" for _, about in work)  # nobody opens a mouldy box at the desk
    assert not any(what == "identify" and about == "R-3" for what, about in work)  # the plan does that
    said = " ".join(word for hole in holes(more, plan) for word in hole.work)
    assert "Dunlin" in said and {i.kind for i in plan.items} <= {
        "identify", "condition", "repair", "align", "transfer", "verify",
    }  # fmt: skip


def test_no_piece_of_desk_work_is_offered_twice(shelf, start):
    plan = plan_evenings(shelf, start, 14, seconds=0)
    offered = [words for hole in holes(shelf, plan) for words in hole.work]
    assert len(offered) == len(set(offered))


def test_no_change_does_harm_and_a_day_more_brings_a_song_forward(shelf, start):
    plan = plan_evenings(shelf, start, 14, effort=0.5)
    friday = on_date((start + timedelta(days=4)).date(), 19 * 60, 22 * 60)
    sunday = on_date((start + timedelta(days=6)).date(), 9 * 60, 21 * 60)
    tried = what_if(shelf, start, 14, {"friday": friday, "sunday": sunday}, effort=1, base=plan)
    assert all(one.saved >= 0 for one in tried)
    gains = {one.name: dict(one.sooner) for one in tried}
    assert gains["sunday"]["S-1"] > timedelta(hours=12)  # R-2 is warmed on Saturday, cool by Sunday
    assert tried[0].name == "sunday"


def test_the_same_effort_supposes_the_same(shelf, start):
    plan = plan_evenings(shelf, start, 7, effort=0.2)
    friday = {"friday": on_date((start + timedelta(days=4)).date(), 19 * 60, 22 * 60)}
    one, two = (what_if(shelf, start, 7, friday, effort=0.4, base=plan) for _ in range(2))
    assert [told.to_json() for told in one] == [told.to_json() for told in two]


def test_the_usual_changes_fit_the_studio(shelf, start, with_helper):
    plan = plan_evenings(shelf, start, 14, seconds=0)
    names = list(usual_changes(shelf, plan))
    assert names[0].startswith("one more Saturday, Sat 12 Sep")
    assert "3 trays in C1" in names
    assert not any("helper" in name or "inputs" in name for name in names)
    helped = with_helper(shelf, ("mon",))
    assert "the helper on Tuesdays" in usual_changes(helped, plan)


def test_a_plan_is_played_so_often_as_its_size_allows(shelf, start, every_evening):
    plan = plan_evenings(shelf, start, 14, seconds=0)
    assert runs_for(shelf, plan) == RUNS[0][1]
    years = plan_evenings(shelf, start, 800, seconds=0)
    assert runs_for(shelf, years) < RUNS[0][1]


def test_what_is_alike_is_told_in_one(shelf):
    from core.planning.answers.desk_work import DeskWork
    from core.planning.answers.holes import in_words

    tasks = [DeskWork("identify", f"R-{n}", 10) for n in range(1, 6)] + [DeskWork("verify", "R-9", 5)]
    assert in_words(tasks) == ["identify R-1, R-2 and 3 more", "verify R-9"]


def test_a_reel_that_is_left_over_is_looked_at_in_an_evening_with_work(
    shelf, start, reel, with_helper, standing_on
):
    alone = replace(standing_on(with_helper(shelf, ()), "IEC"), songs={})
    held = alone.with_reel(reel("R-9", eq="NAB", stage="found"))
    plan = plan_evenings(held, start, 7, seconds=0)
    assert "R-9" in {one.reel for one in plan.left_over}
    (look,) = (item for item in plan.items if item.reel == "R-9")
    assert look.kind == "identify"
    assert look.start.date() in {i.start.date() for i in plan.items if i.kind == "transfer"}
