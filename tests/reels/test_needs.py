"""What a reel needs, and what must never be done to it. Rules of the trade: common practice unless said."""

from dataclasses import replace

import pytest

from core.clock import later
from core.quantities import read_quantity
from core.reels.estimate import estimate
from core.reels.minutes import passes, repair_minutes, transfer_minutes, verify_minutes
from core.reels.needs import (
    cool_until,
    may_be_conditioned_again,
    needs_conditioning,
    playable,
)


@pytest.fixture
def now(moment):
    return moment("2026-12-01T19:00")


def test_a_sticky_reel_must_be_warmed(make_reel, studio, now):
    assert needs_conditioning(make_reel(condition=("sticky",)), studio, now)


def test_a_listed_stock_must_be_warmed_though_it_feels_sound(make_reel, studio, now):
    assert needs_conditioning(make_reel(stock="ampex 456"), studio, now)


def test_a_sound_reel_needs_no_warmth(make_reel, studio, now):
    assert not needs_conditioning(make_reel(), studio, now)


def test_a_reel_is_playable_to_the_last_moment_of_its_days(make_reel, studio, now):
    reel = make_reel(condition=("sticky",), stage="conditioned", conditioned_at=now)
    assert playable(reel, studio, later(now, hours=14 * 24))
    assert not playable(reel, studio, later(now, hours=14 * 24, minutes=1))


def test_a_lapsed_reel_falls_back_in_what_it_needs(make_reel, studio, now):
    reel = make_reel(condition=("sticky",), stage="conditioned", conditioned_at=now)
    assert needs_conditioning(reel, studio, later(now, hours=15 * 24))


def test_a_reel_conditioned_with_no_time_written_is_playable_for_good(make_reel, studio, now):
    reel = make_reel(condition=("sticky",), stage="conditioned")
    assert playable(reel, studio, now) and not may_be_conditioned_again(reel, studio, now)


def test_a_reel_that_still_cools_is_not_at_hand(make_reel, studio, now):
    reel = make_reel(conditioned_at=now)
    assert cool_until(reel, studio) == later(now, hours=8)


# 2500 ft at 15 ips plays 33:20; wound at 180 ips it takes 166 2/3 s (length / speed).
def test_a_pass_of_a_tails_out_reel_takes_a_wind(make_reel, studio):
    assert transfer_minutes(make_reel(), studio.decks[0], studio) == 45  # 5 + 33:20 + 2:47 = 41:07
    assert transfer_minutes(make_reel(wind="heads"), studio.decks[0], studio) == 40  # 38:20


def test_cleaning_follows_a_sticky_reel(make_reel, studio):
    assert transfer_minutes(make_reel(condition=("sticky",)), studio.decks[0], studio) == 50  # 46:07


@pytest.mark.parametrize(
    ("tracks", "inputs", "guides", "runs"), [(16, 16, 0, 1), (16, 8, 0, 2), (16, 8, 1, 3), (24, 16, 2, 2)]
)
def test_passes_with_guide_tracks(studio, tracks, inputs, guides, runs):
    narrow = replace(studio, capture=replace(studio.capture, inputs=inputs, guide_tracks=guides))
    assert passes(tracks, narrow) == runs


def test_verifying_listens_to_a_share(make_reel, studio):
    assert verify_minutes(make_reel(), studio) == 10  # 5 + 3:20


def test_a_splice_takes_ten_minutes_at_least(make_reel, studio):
    assert repair_minutes(make_reel(condition=("splices",)), studio) == 10
    assert repair_minutes(make_reel(splices=5), studio) == 15


def test_an_estimate_says_how_each_figure_was_got(make_reel, studio):
    told = estimate(make_reel(), studio).to_json()
    assert told["length_feet"] == 2500 and told["play_seconds"] == 2000
    assert told["capture_bytes"] == 9_216_000_000  # 16 x 3 bytes x 96 000 x 2000 s
    assert set(told["from"]) == {
        "length_feet",
        "play_seconds",
        "passes",
        "winds",
        "machine_minutes",
        "capture_bytes",
    }


def test_a_length_that_nothing_tells_is_said_to_be_assumed(make_reel, studio):
    guessed = replace(studio, assume_length=read_quantity("1200 ft", "length"))
    told = estimate(make_reel(length=None), guessed).to_json()
    assert told["length_feet"] == 1200 and "assumed" in told["from"]["length_feet"]
    assert estimate(make_reel(length=None), studio).to_json()["play_seconds"] is None
