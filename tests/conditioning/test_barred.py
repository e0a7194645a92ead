"""Which reels are left out of the work, and why. Rules of the trade: common practice unless said."""

from dataclasses import replace

import pytest

from core.clock import later
from core.conditioning.advisor import Advisor


def barred(reel, studio, now):
    return Advisor(studio).barred(reel, now)


def heat(reel, studio, now):
    return Advisor(studio).heat(reel, now).never


@pytest.mark.parametrize("base", ["acetate", "pvc", "paper", "unknown", ""])
def test_no_base_but_polyester_is_ever_warmed(make_reel, studio, now, base):
    reel = make_reel(condition=("sticky",), base=base)
    assert heat(reel, studio, now) and barred(reel, studio, now)


@pytest.mark.parametrize("trouble", ["vinegar", "mould"])
def test_vinegar_and_mould_are_never_warmed(make_reel, studio, now, trouble):
    reel = make_reel(condition=(trouble, "sticky"))
    assert heat(reel, studio, now) and barred(reel, studio, now)


def test_a_squeal_without_a_known_cause_is_barred(make_reel, studio, now):
    assert "find the cause first" in barred(make_reel(condition=("squeal",)), studio, now)
    assert barred(make_reel(condition=("squeal", "sticky")), studio, now) is None
    assert barred(make_reel(condition=("squeal",), stock="Ampex 456"), studio, now) is None


def test_a_sticky_acetate_that_is_still_playable_is_not_barred(make_reel, studio, now):
    reel = make_reel(condition=("sticky",), base="acetate", playable_until=later(now, hours=5))
    assert barred(reel, studio, now) is None


def test_a_reel_without_speed_is_barred_but_waits_to_be_heard_where_the_studio_auditions(
    make_reel, studio, now
):
    silent = make_reel(speed=None)
    assert barred(silent, studio, now) == "not known: speed"
    hearing = replace(studio, minutes=replace(studio.minutes, audition=10))
    assert barred(silent, hearing, now) is None
    unseen = make_reel(speed=None, condition=())  # it is inspected before it is heard
    assert barred(unseen, hearing, now) == "not known: speed"


def test_a_reel_no_deck_plays_is_barred(make_reel, studio, now):
    assert "no deck plays" in barred(make_reel(tracks=24), studio, now)
    assert "no deck plays" in barred(make_reel(speed="7.5 ips"), studio, now)


def test_a_sticky_width_without_a_treatment_is_barred(make_reel, studio, now):
    bare = replace(studio, treatments=())
    assert "no treatment" in barred(make_reel(condition=("sticky",)), bare, now)
    assert barred(make_reel(), bare, now) is None
