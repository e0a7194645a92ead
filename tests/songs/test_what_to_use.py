"""Nothing missing and nothing twice, the fewest copyings, and only what can be had."""

from __future__ import annotations

import random
from itertools import combinations

import pytest
from songfamilies import check, finding, row, used
from wholetable import each_holds

from core.songs.song import Need
from core.songs.sources.choice import _Search, _solved, choose
from core.songs.sources.recordings import Recording


def test_a_bounce_and_its_sources_are_never_both_in(told):
    rows = [row(f"A:{t}", f"p{t}") for t in range(1, 9)]
    rows += [row("B:1", "band L", "A:1-8"), row("B:2", "band R", "A:1-8"), row("B:3", "voice")]
    parts = told(rows)
    assert used(parts) == {**{f"p{t}": f"A:{t}" for t in range(1, 9)}, "voice": "B:3"}
    assert {(one.reel, one.track) for one in parts.not_used} == {("B", 1), ("B", 2)}
    assert parts.not_used[0].why == "its sources are used: A:1-8"


def test_what_was_recorded_over_lives_in_the_bounce_and_brings_its_neighbours_along(told):
    rows = [
        row("A:1", "bass"),
        row("A:2", "piano", notes="wiped, drums here now"),
        row("B:1", "band", "A:1-2"),
    ]
    assert used(told(rows)) == {"bass": "B:1", "piano": "B:1"}


@pytest.mark.parametrize("word", ["wiped", "Wiped for take 9"])
def test_a_column_of_that_name_says_it_too(told, word):
    rows = [
        row("A:1", "bass", wiped="yes"),
        row("B:1", "bass", "A:1"),
        row("A:2", "organ", notes="not wiped"),
    ]
    assert used(told(rows)) == {"bass": "B:1", "organ": "A:2"}
    assert row("A:1", notes=word).recorded_over and not row("A:1", wiped="no").recorded_over


def test_two_tracks_of_one_name_are_a_pair_and_two_takes_are_two(told):
    rows = [row("A:1", "drums", take="3"), row("A:2", "drums", take="3"), row("A:5", "voice", take="4")]
    rows += [row("A:3", "kit left"), row("A:4", "kit right"), row("A:6", "voice", take="7")]
    parts = told(rows)
    assert used(parts) == {
        "drums, take 3": "A:1-2",
        "kit": "A:3-4",
        "voice, take 4": "A:5",
        "voice, take 7": "A:6",
    }
    assert any("voice" in line and "take 4 (A:5), take 7 (A:6)" in line for line in parts.open)


def test_a_first_recording_that_cannot_be_had_gives_way_to_a_copy_that_passed(told, make_reel):
    copy = make_reel("B", stage="verified")
    rows = [row("A:1", "voice"), row("B:1", "voice", "A:1")]
    assert used(told(rows, check("B"), reels=[copy])) == {"voice": "B:1"}  # A is not on the shelf
    both = [make_reel("A"), copy]
    assert used(told(rows, check("B"), reels=both, barred={"A": "mould"})) == {"voice": "B:1"}
    silent = check("A", finding("silence", 1, 0.0, 600.0, "remark"))
    assert used(told(rows, silent, check("B"), reels=both)) == {"voice": "B:1"}
    beyond = [row("A:17", "voice"), row("B:1", "voice", "A:17")]
    assert used(told(beyond, check("B"), reels=both)) == {"voice": "B:1"}


def test_a_barred_tape_is_named_where_it_alone_carries_the_part(told, make_reel):
    (part,) = told([row("A:1", "choir")], reels=[make_reel("A")], barred={"A": "brittle acetate"}).parts
    assert (part.labels, part.state) == ("A:1", "not captured") and "brittle acetate" in part.why


def test_clipping_counts_on_its_track_and_within_the_song_only(told, make_reel):
    reel = make_reel("A", stage="transferred")
    rows = [row("A:1", "voice"), row("A:2", "bass")]
    needs = (Need("A", 60, 300),)
    clipped = check("A", finding("clipping", 1, 58.0, 58.2, "fail"), verdict="fail")
    parts = told(rows, clipped, reels=[reel], needs=needs)
    assert [(one.state, one.use[0].verdict) for one in parts.parts] == [("to hand", "pass")] * 2
    inside = check("A", finding("clipping", 1, 158.0, 158.2, "fail"), verdict="fail")
    parts = told(rows, inside, reels=[reel], needs=needs)
    assert [(one.state, one.use[0].verdict) for one in parts.parts] == [("open", "fail"), ("to hand", "pass")]
    assert "clipping at 2:38.0" in parts.parts[0].why


def test_a_failed_take_is_not_handed_to_another_performance(told, make_reel):
    rows = [row("A:1", "voice", take="4"), row("A:2", "voice", take="7")]
    failed = check("A", finding("clipping", 1, 10.0, 10.2, "fail"))
    assert used(told(rows, failed)) == {"voice, take 4": "A:1", "voice, take 7": "A:2"}


def test_a_place_that_a_copy_has_not_can_be_mended_from_there(told):
    rows = [row("A:1", "voice"), row("B:1", "voice", "A:1")]
    parts = told(rows, check("A", finding("dropout", 1, 134.3, 134.4, "remark")), check("B"))
    assert parts.parts[0].labels == "A:1"
    assert "dropout at 2:14.3, which B:1 has not: it can be mended from there" in parts.parts[0].why


def test_what_only_a_mix_holds_is_told_and_the_mix_is_not_laid_over_the_parts(told, make_reel):
    reels = [make_reel("A"), make_reel("M", role="mix", tracks=2)]
    rows = [row("A:1", "drums"), row("A:2", "fiddle", wiped="yes"),
            row("M:1", "mix left", "A:1-2"), row("M:2", "mix right", "A:1-2")]  # fmt: skip
    parts = told(rows, reels=reels)
    assert [(one.name, one.state, one.labels) for one in parts.parts] == [
        ("drums", "not captured", "A:1"), ("fiddle", "only in a mix", "-"),
    ]  # fmt: skip
    assert "only in the mix M:1-2, which would sound twice with A:1" in parts.parts[1].why


def test_a_loose_sheet_is_told_and_never_used(told):
    parts = told([row(":3", "tin whistle", sheet="L-2"), row("A:1", "bass")])
    assert [(one.name, one.state, one.labels) for one in parts.parts] == [
        ("tin whistle", "only on paper", "-"), ("bass", "open", "A:1"),
    ]  # fmt: skip


@pytest.mark.parametrize(
    "name", ["SMPTE 29.97 DF", "code 25", "TC", "Time-code", "EBU timecode 25 fps", "code"]
)
def test_timecode_is_known_by_many_names(told, name):
    assert [part.name for part in told([row("A:1", "voice"), row("A:2", name)]).parts] == ["voice"]


def test_a_song_about_code_is_a_part_and_the_reels_own_code_track_is_none(told, make_reel):
    reel = make_reel("A", stage="transferred", timecode_track=3)
    found = told(
        [row("A:1", "code talker voice"), row("A:2", "clock bells"), row("A:3", "blips")], reels=[reel]
    )
    assert [part.name for part in found.parts] == ["code talker voice", "clock bells"]


def test_timecode_is_no_part_and_a_part_that_nobody_named_is_told(told):
    parts = told([row("A:1", "bass"), row("A:16", "timecode"), row("A:2", "")])
    assert used(parts) == {"bass": "A:1", "(not named: A:2)": "A:2"}
    assert any("sheet T-A track 2 (A:2): nobody named the part" in line for line in parts.open)


def test_parts_stand_in_the_order_of_the_sheets_whatever_was_copied(told):
    found = told([row("B:1", "drums", "A:1"), row("B:2", "voice"), row("B:3", "mix", "B:1-2; C:1"),
                  row("C:1", "harp"), row("A:1", "drums")])  # fmt: skip
    assert [part.name for part in found.parts] == ["drums", "voice", "harp"]


def test_the_tracks_that_failed_are_named_and_where_on_which(told, make_reel):
    clip = finding("clipping", 2, 58, 58.1, "fail")
    found = told([row("A:1", "drums L"), row("A:2", "drums R"), row("A:3", "bass")], check("A", clip),
                 reels=[make_reel("A", stage="transferred")])  # fmt: skip
    drums, bass = found.parts
    assert (drums.state, bass.state) == ("open", "to hand") and "clipping on A:2 at 0:58.0" in drums.why
    assert any(one.startswith("A:2 failed the check in this song's span") for one in found.open)


def test_a_song_that_no_sheet_tells_of_says_what_would_do(told, make_reel):
    found = told([], reels=[make_reel("A")])
    assert not found.parts and "write a track sheet of A, or place a loose sheet" in found.open[0]


def test_two_sheets_of_one_track_do_not_put_it_out(told):
    found = told([row("A:1", "drums"), row("A:1", "drums", sheet="T-9")])
    assert found.parts[0].labels == "A:1" and not found.not_used


def test_open_points_are_told_once_a_reel(told, make_reel):
    parts = told([row(f"A:{t}", f"p{t}") for t in range(1, 9)], reels=[make_reel("A", stage="found")])
    assert parts.open == ("A is found, not captured: p1, p2, p3, p4, p5, p6, p7, p8",)


def test_a_track_that_its_copies_alone_tell_of_is_a_source_too(told, make_reel):
    parts = told([row("B:1", "voice", "A:5")], reels=[make_reel("A"), make_reel("B")])
    assert used(parts) == {"voice": "A:5"}
    assert "no sheet has it" in parts.parts[0].why


def test_names_that_the_owner_said_are_equal_are_one_part_and_others_are_only_proposed(told):
    rows = [row("A:1", "gtr L", take="1"), row("B:1", "guitar left", take="1")]
    apart = told(rows)
    assert len(apart.parts) == 2 and any(
        "'gtr L' and 'guitar left' may be one part" in one for one in apart.open
    )
    assert len(told(rows, equals={"gtr l": "guitar left"}).parts) == 1


def test_copies_that_nobody_wrote_down_and_opposed_tracks_are_told(told):
    rows = [row("A:1", "voice"), row("A:2", "voice double"), row("A:3", "bass"), row("A:4", "bass DI")]
    heard = check("A", finding("copy", 1, 0.0, 600.0, "remark") | {"other": 2},
                  finding("polarity", 3, 0.0, 600.0, "remark") | {"other": 4})  # fmt: skip
    open_points = told(rows, heard).open
    assert any(
        "A:1 voice and A:2 voice double sound the same, and no sheet says so" in one for one in open_points
    )
    assert any("A:3 bass and A:4 bass DI are the same, opposed" in one for one in open_points)


def test_what_only_sounds_and_stands_on_no_sheet_is_listed_and_code_is_not(told, make_reel):
    heard = check("A", *(finding("sound", track, 0, 600, "remark") for track in (3, 4, 9)),
                  timecode=[{"track": 9, "runs": [{}]}])  # fmt: skip
    found = told([row("A:1", "drums")], heard, reels=[make_reel("A", stage="transferred")])
    lines = [line for line in found.open if "no sheet row" in line]
    assert lines == ["A:3-4 sound, and no sheet row tells of them: write on the sheet what it is"]


def test_a_copy_that_is_older_than_its_source_is_told(told):
    rows = [row("A:1", "voice", date="May 1982"), row("B:1", "voice", "A:1", date="autumn 1981")]
    assert any("a copy is not older than its source" in one for one in told(rows).open)


def test_a_span_past_the_end_of_the_capture_is_told(told, make_reel):
    parts = told([row("A:1", "voice")], check("A"), reels=[make_reel("A")], needs=(Need("A", 60, 700),))
    assert any("the song goes on to 11:40, and the capture ends at 10:00" in one for one in parts.open)


def test_a_track_told_in_two_ways_counts_as_both_and_sounds_once(told, make_reel):
    gone = [row(f"A:{t}", name, wiped="yes") for t, name in ((1, "harp"), (2, "gong"))]
    first = [row("B:1", "one", "A:1"), row("B:2", "two", "A:2")]
    second = [row("B:1", "one", "A:2", sheet="T-9"), row("B:2", "two", "A:1", sheet="T-9")]
    found = told([*gone, *first, *second], check("B"))
    assert [one.labels for one in found.parts] == ["B:1", "B:1"]  # not B:1 for one and B:1 for the other
    assert {one.state for one in found.parts} == {"open"}  # never to hand before one sheet is mended
    assert "what the sheets tell of B:1 is not sure" in found.parts[0].why
    alone = told([row("A:1", "harp"), row("A:1", "gong", sheet="T-9")], check("A"))
    assert {one.state for one in alone.parts} == {"open"} and len(alone.parts) == 2
    agreed = told([*gone[:1], first[0], row("B:1", "one", "A:1", sheet="T-9")], check("B"))
    assert [one.state for one in agreed.parts] == ["to hand"]


def test_no_pair_is_of_two_playings_and_a_copy_of_its_own_completes_one(told):
    pair = [row("A:1", "gtr L"), row("A:2", "gtr R"), row("B:1", "guitar left"), row("B:2", "guitar right")]
    clip = finding("clipping", 1, 10.0, 10.2, "fail")
    same = {"gtr": "guitar", "gtr l": "guitar left", "gtr r": "guitar right"}
    heard = check("A", clip), check("B", {**clip, "track": 2})
    parts = told(pair, *heard, equals=same)
    assert len(parts.parts) == 1 and parts.parts[0].labels in ("A:1-2", "B:1-2")
    heard = check("A", clip), check("B")
    assert told(pair, *heard, equals=same).parts[0].labels == "B:1-2"
    copied = [row("A:1", "gtr L", wiped="yes"), row("A:2", "gtr R"), row("B:1", "gtr L", "A:1")]
    assert told(copied).parts[0].labels == "B:1, A:2"  # the copy is of the same playing


def test_the_runner_up_says_what_would_be_lost_by_it(told, make_reel):
    rows = [row("A:1", "bass", wiped="yes"), row("A:2", "harp", wiped="yes"), row("B:1", "bass", "A:1"),
            row("B:2", "harp", "A:2"), row("C:1", "both", "A:1-2")]  # fmt: skip
    parts = told(rows)  # two tracks of their own come before one with both
    assert parts.parts[0].labels == "B:1" and "C:1 holds 2 recordings in one" in parts.parts[0].why
    more = [*rows[:2], row("A:3", "gong", wiped="yes"), row("B:1", "bass", "A:1"), row("B:2", "two", "A:2-3"),
            row("C:1", "both", "A:1-2")]  # fmt: skip
    why = told(more).parts[0].why
    assert "with C:1 in its place gong could not be had" in why and "as good" not in why
    stages = [make_reel("A"), make_reel("B", stage="transferred"), make_reel("C", stage="found")]
    assert "it is transferred, C:1 is found" in told([*rows[:1], rows[2], row("C:1", "bass", "A:1")],
                                                      reels=stages).parts[0].why  # fmt: skip


def test_what_the_owner_takes_from_a_mix_stands_as_its_capture_does(told, make_reel):
    reels = [make_reel("A"), make_reel("M", role="mix", tracks=2)]
    rows = [row("A:1", "drums"), row("A:2", "fiddle", wiped="yes"),
            row("M:1", "mix left", "A:1-2"), row("M:2", "mix right", "A:1-2")]  # fmt: skip
    heard = check("M", tracks=(1, 2))
    own = {Recording("drums", ""): ("M", 1)}
    parts = told(rows, heard, reels=reels, own=own).parts
    assert [(one.labels, one.state) for one in parts] == [("M:1-2", "to hand")] * 2
    assert told(rows, reels=reels, own=own).parts[0].state == "not captured"


def test_the_family_marks_the_tracks_that_are_used_alone_and_hangs_a_mix_below_each_source(kin):
    lines = kin([row("A:1", "bass"), row("A:2", "harp", wiped="yes"), row("B:1", "harp", "A:2"),
                 row("B:2", "voice"), row("M:1", "mix", "A:1; B:1-2")])  # fmt: skip
    assert [(one.depth, one.tracks, one.used) for one in lines] == [
        (0, "A:1", True), (1, "M:1", False),
        (0, "A:2", False), (1, "B:1", True), (2, "M:1", False),
        (0, "B:2", True), (1, "M:1", False),
    ]  # fmt: skip
    assert [one.words for one in lines if one.tracks == "M:1"][1:] == ["as above", "as above"]


def test_a_track_that_sheets_contradict_is_used_for_what_nothing_else_holds(told):
    rows = [row("A:1", "kick"), row("A:2", "horn"), row("B:9", "trumpet", "A:1"),
            row("B:9", "clarinet", sheet="T-9")]  # fmt: skip
    found = told(rows)
    assert used(found) == {"kick": "A:1", "horn": "A:2", "clarinet": "-"}
    assert "perhaps on B:9, told in two ways: it could sound twice with A:1" in found.parts[2].why
    assert any("B:9 is called trumpet, and A:1, which it was copied from, kick" in x for x in found.open)
    gone = told([row("A:9", "kazoo"), row("A:9", "kazoo", sheet="T-9", wiped="yes")], check("A"))
    assert gone.parts[0].state == "open" and any(", recorded over): mend" in line for line in gone.open)


def test_a_mix_that_tells_no_source_may_hold_all_and_is_used_alone_only(told, make_reel):
    reels = [make_reel("A"), make_reel("M", role="mix", tracks=2)]
    mix = [row("M:1", "mix left"), row("M:2", "mix right", "?")]
    found = told([row("A:1", "sax"), row("A:2", "voice"), *mix], reels=reels)
    assert used(found) == {"sax": "A:1", "voice": "A:2"} and found.parts[0].beside == "M:1-2 (mix)"
    assert any("no sheet tells what it was mixed from" in line for line in found.open)
    assert used(told(mix, reels=reels[1:])) == {"mix": "M:1-2"}
    fiddle = told([row("A:1", "sax"), row("M:1", "fiddle")], reels=reels)  # a part of its own on such a tape
    assert used(fiddle) == {"sax": "A:1", "fiddle": "M:1"}


@pytest.mark.parametrize(
    ("rows", "labels"),
    [
        ((("A:2", ""), ("B:2", "?"), ("C:3", "", "left"), ("C:4", "", "right")), "C:3-4"),
        ((("A:1", "?"), ("B:1", "", "left"), ("B:2", "", "right")), "B:1-2"),
        ((("A:1", "?", "left"), ("A:2", "?", "right"), ("B:1", "")), "B:1"),
        ((("A:1", "?", "left"), ("A:2", "gone", "right"), ("B:1", "")), "B:1"),
    ],
)
def test_one_recording_told_by_several_tapes_sounds_once(told, rows, labels):
    made = [row(at, f"harp {side[0]}" if side else "harp", "?" if how == "?" else "", take="1",
                wiped="yes" if how == "gone" else "") for at, how, *side in rows]  # fmt: skip
    assert used(told(made)) == {"harp, take 1": labels}


def test_a_pair_is_not_given_up_for_one_track_of_both(told):
    gone = [row("A:6", "guitar left", wiped="yes"), row("A:7", "guitar right", wiped="yes")]
    copies = [row("B:1", "guitar left", "A:6"), row("C:1", "guitar right", "A:7"),
              row("D:1", "guitar", "A:6-7")]  # fmt: skip
    assert used(told([*gone, *copies])) == {"guitar": "B:1, C:1"}


def test_what_was_flown_in_from_another_song_is_a_part_of_its_own(told):
    found = told([row("B:1", "choir", "A:1"), row("B:2", "kick")], elsewhere={("A", 1)})
    assert used(found) == {"choir": "B:1", "kick": "B:2"} and found.parts[0].copied == 1
    twice = told([row("B:1", "choir", "A:1"), row("C:1", "ooh", "A:1")], elsewhere={("A", 1)})
    assert len(twice.parts) == 1 and len(twice.parts[0].use) == 1  # called two things, and one


def test_a_choice_of_the_owners_that_does_not_count_any_more_is_told(told):
    own = {Recording("bass", ""): ("B", 1)}
    found = told([row("A:1", "bass"), row("B:1", "bass", "A:1", wiped="yes")], own=own)
    assert used(found) == {"bass": "A:1"}
    assert any(
        line.startswith("your choice B:1 for bass does not count: recorded over; reelturn use S 'bass' -")
        for line in found.open
    )


def test_a_bounce_holds_what_its_track_carried_when_it_was_made(told):
    old = [row("A:1", "tom", date="1980", wiped="yes"), row("A:1", "voice", date="1982", sheet="T-9")]
    dated = told([*old, row("B:1", "drums", "A:1", date="1981")])
    assert used(dated) == {"tom": "B:1", "voice": "A:1"} and not any("older" in x for x in dated.open)
    bare = told([*old, row("B:1", "drums", "A:1")])  # whichever it is, the voice does not sound twice
    assert used(bare) == {"tom": "-", "voice": "A:1"}
    assert any("B:1 is copied from A:1, which carried tom and later voice" in line for line in bare.open)


def test_one_wiped_side_of_a_bounce_leaves_the_other(told):
    gone = [row("A:1", "bass", wiped="yes"), row("A:2", "harp", wiped="yes")]
    found = told([*gone, row("B:1", "band left", "A:1-2", wiped="yes"), row("B:2", "band right", "A:1-2")])
    assert used(found) == {"bass": "B:2", "harp": "B:2"}


def test_left_and_right_on_two_tapes_are_not_given_up_for_a_copy_of_both(told):
    firsts = [row("A:1", "choir left"), row("B:1", "choir right")]
    assert used(told([*firsts, row("C:3", "choir", "A:1; B:1")])) == {"choir": "A:1, B:1"}


def test_a_mix_of_unknown_source_is_known_on_any_tape(told):
    rows = [row("A:1", "kick"), row("B:2", "mix left", "?"), row("B:3", "mix right", "?")]
    assert used(told(rows)) == {"kick": "A:1"}
    found = told([row("A:1", "kick"), row("B:1", "rhythm submix", "?")])  # a part, as far as we know
    assert used(found) == {"kick": "A:1", "rhythm submix": "B:1"}
    assert any(line.startswith("B:1 rhythm submix: copied from what is not known") for line in found.open)


@pytest.mark.parametrize(
    ("wiped", "notes", "over"),
    [("yes", "", True), ("n", "", False), ("?", "", False), ("", "erased 1980", True),
     ("", "recorded over in May", True), ("", "heads wiped before", False), ("", "never wiped", False)],
)  # fmt: skip
def test_words_for_recorded_over(wiped, notes, over):
    assert row("A:1", "tom", wiped=wiped, notes=notes).recorded_over is over


# Brute force: every choice of tracks, by code that shares nothing with the program. ---------------------


def _contents(rows):
    """What each track holds, by walking its sources; a row is (track, part, copied from)."""
    by_track = {track: (part, copied) for track, part, copied in rows}

    def walk(track):
        part, copied = by_track[track]
        if not copied:
            return {part}, 0
        found = [walk(one) for one in copied]
        return set().union(*(held for held, _ in found)), 1 + max(deep for _, deep in found)

    return {track: walk(track) for track in by_track}


def _best_by_hand(rows, gone):
    """Most recordings held, none twice; of these the least sum of copyings over the recordings."""
    holds = {track: held for track, held in _contents(rows).items() if track not in gone}
    best = (0, 0)
    for size in range(len(holds) + 1):
        for some in combinations(holds, size):
            held = [one for track in some for one in holds[track][0]]
            if len(held) == len(set(held)):
                copyings = sum(len(holds[track][0]) * holds[track][1] for track in some)
                best = max(best, (len(held), -copyings))
    return best


def _family(seed):
    luck = random.Random(seed)
    rows = [(f"A:{n}", f"p{n}", ()) for n in range(1, luck.randint(3, 6))]
    for n in range(1, luck.randint(2, 7)):
        tracks = [track for track, _, _ in rows]
        copied = tuple(luck.sample(tracks, luck.randint(1, min(3, len(tracks)))))
        rows.append((f"{luck.choice('BC')}:{n}", f"bounce {n}", copied))
    gone = {track for track, _, _ in rows if luck.random() < 0.25}
    return rows, gone


def test_no_choice_of_tracks_is_better_than_the_programs(told):
    each_holds(range(120), lambda seed: _is_best(seed, told))


def _is_best(seed, told):
    rows, gone = _family(seed)
    parts = told([row(track, part, "; ".join(copied), wiped="yes" if track in gone else "")
                  for track, part, copied in rows])  # fmt: skip
    chosen = {one.label for part in parts.parts for one in part.use}
    contents = _contents(rows)
    held = [one for track in chosen for one in contents[track][0]]
    assert len(held) == len(set(held)) and not chosen & gone
    copyings = sum(len(contents[track][0]) * contents[track][1] for track in chosen)
    assert (len(held), -copyings) == _best_by_hand(rows, gone)
    for part in parts.parts:  # each recording names the one track that holds it
        assert [one.label for one in part.use] == [
            track for track in chosen if part.name in contents[track][0]
        ]


def test_search_and_solver_choose_equally_well():
    each_holds(range(40), _chosen_equally_well)


def _chosen_equally_well(seed):
    luck = random.Random(seed)
    masks = sorted({luck.randrange(1, 256) for _ in range(14)})
    costs = [luck.randrange(1, 50) for _ in masks]

    def worth(found):
        cost = sum(costs[masks.index(mask)] for mask in found)
        return sum(mask.bit_count() for mask in found), -cost

    assert worth(_Search(masks, costs, 255).run()) == worth(_solved(masks, costs, 255))


def test_a_hundred_bounces_of_anything_are_chosen_from_at_once():
    luck = random.Random(7)
    order = luck.sample(range(48), 45)
    planted = [sum(1 << bit for bit in order[n : n + 5]) for n in range(0, 45, 5)]
    masks = planted + [sum(1 << bit for bit in luck.sample(range(48), 5)) for _ in range(140)]
    luck.shuffle(masks)
    chosen = choose(masks, [5] * len(masks), (1 << 48) - 1)
    assert sum(masks[n].bit_count() for n in chosen) == 45  # no more than nine of five go into 48
