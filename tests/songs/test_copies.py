"""Copies of copies: each track once, rings named, several sources, sources nobody knows."""

from __future__ import annotations

import time
from graphlib import CycleError, TopologicalSorter

import pytest
from songfamilies import row, used

from core.errors import Refused
from core.songs.written.copies import copied_tracks
from core.songs.written.rings import copies_that_cannot_be, rings


def test_several_sources_and_unknown_ones_are_read():
    assert list(copied_tracks("R-1:3-5; R-2:1; ?")) == [("R-1", 3), ("R-1", 4), ("R-1", 5), ("R-2", 1)]


def test_two_reels_that_name_one_another_are_refused_at_once_with_their_rows(told):
    rows = [row(f"{a}:{t}", "x", f"{b}:1-2") for a, b in (("A", "B"), ("B", "A")) for t in (1, 2)]
    begun = time.monotonic()
    with pytest.raises(Refused, match=r"ring: sheet T-[AB] track [12] \([AB]:[12]\), then sheet T-"):
        told(rows)
    assert time.monotonic() - begun < 5  # walking every path took more than 20 s


def test_eight_reels_each_copied_whole_from_the_one_before_are_told_at_once(told):
    rows = [row(f"R{n}:{t}", f"p{t}", f"R{n - 1}:1-16" if n else "") for n in range(8) for t in range(1, 17)]
    begun = time.monotonic()
    parts = told(rows)
    assert time.monotonic() - begun < 5  # six took 20 s by every path, a seventh minutes
    assert used(parts) == {f"p{t}": f"R0:{t}" for t in range(1, 17)}
    assert {source.generation for source in parts.parts[0].others} == set(range(1, 8))


def test_a_ring_is_what_the_standard_library_calls_one():
    rows = [row("A:1", "a", "B:1"), row("B:1", "b", "C:1"), row("C:1", "c", "A:1"), row("D:1", "d", "A:1")]
    (ring,) = rings(rows)
    with pytest.raises(CycleError):
        TopologicalSorter({"A": ["B"], "B": ["C"], "C": ["A"], "D": ["A"]}).prepare()
    assert {one.reel for one in ring} == {"A", "B", "C"}


def test_a_copy_of_itself_is_a_ring_of_one_and_the_same_track_for_two_songs_is_none():
    assert [one.label for one in rings([row("A:1", "a", "A:1")])[0]] == ["A:1"]
    other = [row("A:1", "a", "B:1", song="S"), row("B:1", "a", song="S"), row("B:1", "z", "A:1", song="Z"),
             row("A:1", "z", song="Z")]  # fmt: skip
    assert rings(other) == []


def test_one_reel_with_two_songs_has_generations_for_each(told):
    rows = [row("A:1", "voice"), row("A:1", "voice", "Q:1", song="Z"), row("B:1", "voice", "A:1")]
    parts = told(rows)
    assert [(one.label, one.generation) for one in (*parts.parts[0].use, *parts.parts[0].others)] == [
        ("A:1", 0), ("B:1", 1),
    ]  # fmt: skip


def test_what_no_source_is_known_of_was_copied_at_least_once(told):
    (part,) = told([row("A:1", "fiddle", "?")]).parts
    assert (part.copied, part.at_least, part.labels) == (1, True, "A:1")
    assert "at least once" in part.why


def test_a_track_beyond_the_tape_and_a_copy_of_one_are_named(make_reel):
    reels = {key: make_reel(key) for key in ("A", "B")}
    told = [words for _, words in copies_that_cannot_be([row("A:17", "x"), row("B:1", "y", "A:18")], reels)]
    assert "track 17 (A:17): A has 16 tracks" in told[0] and "copied from A:18" in told[1]
