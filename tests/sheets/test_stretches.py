"""Stretches that sound, from the kept levels alone."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from core.findings import Strip
from core.sheets.places import tapes
from core.sheets.stretches import Levels, sounding_in, soundings
from core.songs.song import Need, SheetRow, Song


def strip(seconds, *tracks):
    """A strip of a column a second; each track is a list of (from, to) that sound."""
    rows = [bytearray([255] * seconds) for _ in tracks]
    for row, spans in zip(rows, tracks, strict=True):
        for first, last in spans:
            row[first:last] = bytes([40] * (last - first))
    packed = tuple(bytes(row) for row in rows)
    return Strip(float(seconds), tuple(range(1, len(tracks) + 1)), seconds, packed, packed)


def test_two_songs_parted_by_leader_are_two_stretches_with_their_tracks():
    one, two = soundings([Levels(strip(600, [(10, 200), (230, 500)], [(230, 490)], []))])
    assert (round(one.start), round(one.end), one.tracks) == (10, 200, {1})
    assert (round(two.start), round(two.end), two.tracks, two.heard) == (230, 500, {1, 2}, {1, 2, 3})


def test_a_rest_is_music_and_a_slate_is_no_song():
    (one,) = soundings([Levels(strip(400, [(0, 8), (40, 150), (153, 300)]))])
    assert (round(one.start), round(one.end)) == (40, 300)


def test_timecode_runs_on_between_songs_and_joins_none():
    found = soundings([Levels(strip(400, [(10, 150), (200, 380)], [(0, 400)]), clocks=frozenset([2]))])
    assert [(round(one.start), round(one.end), one.tracks) for one in found] == [
        (10, 150, {1}),
        (200, 380, {1}),
    ]


def test_passes_of_a_part_lie_where_the_part_does():
    (one,) = soundings([Levels(strip(100, [(20, 80)]), begins=300.0)])
    assert (round(one.start), round(one.end)) == (320, 380)


def test_nothing_kept_tells_nothing():
    assert soundings([]) == ()


def test_a_span_within_a_longer_stretch_tells_what_sounds_in_it_and_one_not_captured_tells_nothing():
    levels = [Levels(strip(600, [(0, 600)], [(200, 400)]))]
    assert sounding_in(levels, 0, 150).tracks == {1} and sounding_in(levels, 210, 390).tracks == {1, 2}
    assert sounding_in(levels, 580, 900) is None and sounding_in([], 0, 100) is None


CHECK = {"reel": "K-1", "pass": 1, "tracks": [1, 2], "seconds": 600.0, "verdict": "pass", "files": [],
         "findings": [], "channels": [], "timecode": [], "at": "2026-11-20"}  # fmt: skip


def test_two_songs_without_spans_leave_two_stretches_and_each_span_told_takes_one(shelf_of, make_reel):
    shelf = shelf_of(make_reel("K-1", tracks=2)).with_song(
        Song("A", "Alpha", needs=(Need("K-1"),)), Song("B", "Beta", needs=(Need("K-1"),))
    )
    rows = (SheetRow("T-1", 1, "K-1", "A", part="x"), SheetRow("T-1", 1, "K-1", "B", part="y"))
    kept = strip(600, [(10, 200), (230, 500)], [(230, 490)])
    shelf = replace(shelf, sheets=rows).with_record("check", "K-1 pass 1", CHECK)
    shelf = shelf.with_record("strip", "K-1 pass 1", kept.to_json())
    (tape,) = tapes(shelf)
    first, second = tape.unspanned
    assert (round(first.start), round(second.end), tape.bare) == (10, 500, ())
    told = shelf.with_song(Song("A", "Alpha", needs=(Need("K-1", Fraction(8), Fraction(201)),)))
    assert [round(one.start) for one in tapes(told)[0].unspanned] == [230]
