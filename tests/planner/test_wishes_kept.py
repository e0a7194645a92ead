"""Wishes as they are typed, kept by the plan where they can be, and told in one line where they cannot."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest
from planonce import plan_evenings

from core.errors import Refused
from core.planning.answers.wish_kept import wishes_told
from core.planning.rules.checker import violations
from core.planning.wishes.wish_words import read_wish
from core.planning.wishes.wishes import Wish, one_less, wished_on, wishes_of

TODAY = date(2026, 9, 7)  # a Monday
FRIDAY = date(2026, 9, 11)


@pytest.fixture
def wishing(shelf, start):
    """Keeps wishes on the shelf as they are typed, plans, and tells how each stands."""

    def wish(*texts, on=shelf, effort=0.3, days=14):
        for text in texts:
            one = read_wish(text, on, TODAY)
            on = on.with_record("pin", one.key, one.to_record())
        plan = plan_evenings(on, start, days, effort=effort, wishes=wishes_of(on))
        assert violations(on, plan) == ()
        return plan, wishes_told(on, plan, tuple(wished_on(on).values()), wishes_of(on))

    return wish


@pytest.mark.parametrize(
    ("text", "wish"),
    [
        ("R-1 on 2026-09-09", Wish("on", "R-1", date(2026, 9, 9))),
        ("R-1 on wed", Wish("on", "R-1", date(2026, 9, 9))),
        ("R-1 on Monday", Wish("on", "R-1", TODAY)),
        ("R-1 not on fri", Wish("off", "R-1", FRIDAY)),
        ("R-2 warmed on fri", Wish("warm", "R-2", FRIDAY)),
        ("R-2  not before  fri", Wish("from", "R-2", FRIDAY)),
        ("S-1 by fri", Wish("by", "S-1", FRIDAY)),
        ("no chamber on fri", Wish("no chamber", "", FRIDAY)),
        ("no deck on fri", Wish("no deck", "", FRIDAY)),
        ("no D1 on fri", Wish("no deck", "D1", FRIDAY)),
        ("slack 12.5 %", Wish("slack", share=0.125)),
    ],
)
def test_a_wish_is_read_as_it_is_typed_and_comes_back_from_the_shelf(shelf, text, wish):
    assert read_wish(text, shelf, TODAY) == wish
    assert read_wish(wish.words, shelf, TODAY) == wish
    kept = shelf.with_record("pin", wish.key, wish.to_record())
    assert list(wished_on(kept).values()) == [wish]


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("R-1", "is no wish"),
        ("R-9 on fri", "no reel 'R-9'"),
        ("S-9 by fri", "no song 'S-9'"),
        ("R-1 on 31.2.", "is no date"),
        ("R-1 on 2026-09-06", "is past"),
        ("no D7 on fri", "one of the decks"),
        ("CAL on fri", "calibration reel"),
        ("slack 80%", "60 %"),
    ],
)
def test_what_is_no_wish_is_answered_in_one_line(shelf, text, says):
    with pytest.raises(Refused, match=says) as refused:
        read_wish(text, shelf, TODAY)
    assert "\n" not in str(refused.value)


def test_no_deck_on_a_date_leaves_that_evening_to_the_desk(wishing):
    plan, told = wishing("no deck on mon")
    assert all(i.start.date() != TODAY for i in plan.items if i.deck)
    assert any(i.start.date() == TODAY for i in plan.items)
    assert [one.state for one in told] == ["kept"]


def test_a_reel_that_is_not_at_hand_before_a_date_is_not_touched_before_it(wishing):
    plan, told = wishing("R-1 not before wed")
    work = [i for i in plan.items if "R-1" in i.reels and i.kind != "identify"]
    assert work and all(i.start.date() >= date(2026, 9, 9) for i in work)
    assert [one.state for one in told] == ["kept"]


def test_a_reel_is_warmed_on_the_date_that_was_wished(wishing):
    plan, told = wishing("R-2 warmed on sun")
    load = next(i for i in plan.items if i.kind == "condition" and "R-2" in i.reels)
    assert load.start.date() == date(2026, 9, 13)
    assert [one.state for one in told] == ["kept"]


def test_no_chamber_cuts_a_long_stretch_at_home_into_the_days_beside(shelf, start, wishing):
    from core.studio.studio import HoursRow

    always = HoursRow(("mon", "tue", "wed", "thu", "fri", "sat", "sun"), (), 0, 1440, home=True)
    there = replace(shelf, studio=replace(shelf.studio, hours=(*shelf.studio.hours, always)))
    plan, told = wishing("no chamber on mon", on=there)
    loads = [i for i in plan.items if i.kind == "condition"]
    assert loads and all(i.start.date() > TODAY for i in loads)
    assert [one.state for one in told] == ["kept"]


def test_a_wish_that_nothing_can_meet_leaves_no_reel_over(wishing):
    plan, told = wishing("R-1 on fri", "R-2 on tue", "R-3 on thu")
    assert not plan.left_over
    states = {one.wish.about: one.state for one in told}
    assert states == {"R-1": "not kept", "R-2": "not kept", "R-3": "kept"}
    whys = {one.wish.about: one.why for one in told}
    assert "no bench hours on Fri 11 Sep" in whys["R-1"]
    assert "warmed for 4 h" in whys["R-2"]  # nobody is home before the weekend


def test_a_held_reel_is_not_left_over_for_the_sake_of_songs(shelf, start, reel, wishing):
    # R-0 is in no song and three hours long but for its line-up: without the wish the songs come first.
    from core.quantities import read_quantity

    long = reel("R-0", length=read_quantity("8000 ft", "length"))
    full = shelf.with_reel(long)
    for effort in (0, 0.3):
        plan, told = wishing("R-0 on tue", on=full, effort=effort, days=3)
        assert [one.state for one in told] == ["kept"], effort
        assert any(i.kind == "transfer" and i.reel == "R-0" for i in plan.items)


def test_a_song_by_a_date_comes_before_more_important_ones(wishing):
    plan, told = wishing("S-2 by mon")
    ready = next(one.ready for one in plan.songs if one.song == "S-2")
    assert ready.date() == TODAY
    assert [one.state for one in told] == ["kept"]


def test_a_song_that_cannot_be_ready_by_its_date_says_which_reel_and_why(wishing):
    _, told = wishing("S-1 by tue")
    assert told[0].state == "not kept"
    assert "R-2: even alone it is verified on" in told[0].why


def test_wishes_about_what_is_done_or_past_are_over(shelf, start):
    plan = plan_evenings(shelf, start, 14, seconds=0)
    done = shelf.with_reel(replace(shelf.reels["R-1"], stage="transferred"))
    past = Wish("on", "R-3", TODAY - timedelta(days=1))
    told = wishes_told(done, plan, (Wish("on", "R-1", FRIDAY), past))
    assert [one.state for one in told] == ["over", "over"]


def test_a_wish_beyond_the_plan_says_where_the_plan_ends(wishing):
    _, told = wishing("R-1 on 2026-12-01")
    assert (told[0].state, told[0].why) == ("beyond", "this plan ends on Mon 21 Sep")


def test_every_wish_can_be_left_out_alone(shelf):
    for text in (
        "R-1 on fri",
        "R-3 not on fri",
        "no chamber on sat",
        "no D1 on tue",
        "S-1 by fri",
        "slack 10%",
    ):
        one = read_wish(text, shelf, TODAY)
        shelf = shelf.with_record("pin", one.key, one.to_record())
    wishes = wishes_of(shelf)
    words = [text for text, _ in one_less(wishes)]
    assert sorted(words) == sorted(wish.words for wish in wished_on(shelf).values())
    assert all(fewer != wishes for _, fewer in one_less(wishes))


def test_the_owners_own_wish_is_named_where_it_keeps_a_reel_out(shelf, start, wishing):
    from core.planning.answers.because import why_reel

    texts = [f"no chamber on 2026-09-{day:02}" for day in (12, 13)]
    on = shelf
    for text in texts:
        one = read_wish(text, on, TODAY)
        on = on.with_record("pin", one.key, one.to_record())
    plan = plan_evenings(on, start, 10, effort=0.3, wishes=wishes_of(on))
    assert [one.reel for one in plan.left_over] == ["R-2"]
    because = why_reel(on, plan, "R-2", wishes_of(on))
    assert because.rule == "wish"
    assert because.would_do[0] == "letting go of `no chamber on 2026-09-12`"


def test_what_is_kept_off_stays_off_though_the_reel_is_left_over(wishing):
    plan, told = wishing("R-1 not before 2026-10-30")
    assert [one.reel for one in plan.left_over] == ["R-1"]
    assert [one.state for one in told] == ["kept"]


def test_a_reel_kept_off_every_evening_names_a_wish(shelf, start, wishing):
    texts = [f"R-1 not on 2026-09-{day:02}" for day in (7, 8, 9, 10)]
    plan, told = wishing(*texts, days=7)
    assert [one.state for one in told] == ["kept"] * 4
    assert "R-1" in [one.reel for one in plan.left_over]


def test_a_load_wished_for_when_nobody_is_home_long_enough_says_how_long_somebody_is(wishing):
    _, told = wishing("R-2 warmed on tue")
    assert told[0].state == "not kept"
    assert "it takes 4 h 10 with someone home, and on that date the longest stretch is 3 h" in told[0].why


@pytest.mark.parametrize(
    "record",
    [
        {"do": "pin", "kind": "transfer", "reel": "R-1", "day": "soon"},
        {"do": "dance", "kind": "transfer", "reel": "R-1", "day": "2026-09-09"},
        {"do": "slack", "share": 7},
        {"do": "by", "kind": "song", "reel": "S-1"},
        "R-1",
    ],
)
def test_a_record_that_tells_no_wish_is_passed_over(shelf, record):
    strange = shelf.with_record("pin", "strange", record)
    assert wished_on(strange) == {}
    assert not wishes_of(strange).bind


def test_a_reel_on_its_date_comes_before_a_song_by_one_and_is_named_by_its_number(wishing):
    _, (reel_on, by) = wishing("R-1 on thu", "S-1 by wed")
    assert reel_on.state == "kept"
    assert by.state == "not kept" and "; wish 1 comes first; " in by.why
    assert "`R-1 on 2026-09-10` is wished" in by.why
