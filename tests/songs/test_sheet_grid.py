"""A row is known by sheet, track and song: two songs on one sheet keep their own cells."""

from __future__ import annotations

from dataclasses import replace

import pytest
from songfamilies import row

from core.errors import Refused
from tui.places.reel.sheet_grid import grids, with_cell


@pytest.fixture
def two_songs(shelf_of, make_reel):
    rows = (row("A:1", "voice", sheet="T"), row("A:1", "organ", song="Z", sheet="T"))
    return replace(shelf_of(make_reel("A")), sheets=rows)


def test_each_song_of_a_sheet_has_a_grid(two_songs):
    found = grids(two_songs, two_songs.reel("A"))
    assert [(one.sheet, one.song, one.cells[0].part) for one in found] == [
        ("T", "S", "voice"),
        ("T", "Z", "organ"),
    ]


def test_writing_one_songs_cell_leaves_the_others(two_songs):
    voice = replace(two_songs.sheets[0], part="lead voice")
    assert [one.part for one in with_cell(two_songs, voice).sheets] == ["lead voice", "organ"]


def test_a_cell_goes_to_another_song_and_not_over_a_row_that_is_there(two_songs):
    was = two_songs.sheets[0]
    assert [one.song for one in with_cell(two_songs, replace(was, song="Q"), was).sheets] == ["Q", "Z"]
    with pytest.raises(Refused, match="has a row for track 1 of song Z already"):
        with_cell(two_songs, replace(was, song="Z"), was)


def test_rows_without_a_song_stand_with_the_sheets_one_song(shelf_of, make_reel):
    rows = (row("A:1", "voice", sheet="T"), row("A:2", "organ", song="", sheet="T"))
    (found,) = grids(replace(shelf_of(make_reel("A")), sheets=rows), make_reel("A"))
    assert [one.part for one in found.cells[:2]] == ["voice", "organ"]
