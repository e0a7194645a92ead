"""Wrong reel in the box: names move, heat and what happened to the tape never do."""

from dataclasses import replace

import pytest

from core.conditioning.advisor import advice_of
from core.conditioning.alarms import alarm_of
from core.errors import Refused
from core.evening.boxes import chains, closed, exchange, notes_elsewhere, stocks_in_doubt
from core.songs.song import Need, SheetRow, Song


def test_two_swapped_boxes_trade_names():
    assert closed({"A": "B"}) == {"A": "B", "B": "A"}


def test_a_chain_of_boxes_is_closed_by_the_names_that_are_left():
    assert closed({"A": "B", "B": "C"}) == {"A": "B", "B": "C", "C": "A"}
    assert chains(closed({"A": "B", "B": "C", "X": "Y"})) == (("A", "B", "C"), ("X", "Y"))


def test_a_tape_in_its_own_box_changes_nothing():
    assert closed({"A": "A"}) == {}


def test_two_tapes_cannot_be_the_same_recording():
    with pytest.raises(Refused, match="two tapes"):
        closed({"A": "C", "B": "C"})


def test_names_sheets_and_songs_move_but_heat_stays(shelf_of, make_reel, moment):
    warm = moment("2026-12-01T19:00")
    shelf = shelf_of(
        make_reel("A", contents="Marram", conditioned_at=warm, condition=("sticky",), eq="NAB"),
        make_reel("B", contents="Causeway", eq="IEC1"),
    ).with_song(Song("S", needs=(Need("B"),)))
    object.__setattr__(shelf, "sheets", (SheetRow("T", 1, reel="B", copied_from="A:1-8"),))
    moved, labels = exchange(shelf, {"A": "B"})
    assert moved.reel("A").contents == "Causeway" and moved.reel("A").eq == "IEC1"
    assert moved.reel("A").conditioned_at == warm and moved.reel("A").condition == ("sticky",)
    assert moved.reel("B").conditioned_at is None
    assert moved.song("S").needs == (Need("A"),)
    assert (moved.sheets[0].reel, moved.sheets[0].copied_from) == ("A", "B:1-8")
    assert [label.reel for label in labels] == ["A", "B"]


def test_a_note_that_names_a_reel_of_the_exchange_is_pointed_at_and_left(shelf_of, make_reel):
    shelf = shelf_of(
        make_reel("R-1", notes="edited; see R-10"),
        make_reel("R-2", notes="slave of R-1: tracks 1-4 are copied"),
        make_reel("R-10"),
    )
    moved, labels = exchange(shelf, {"R-1": "R-2"})
    assert moved.reel("R-1").notes == "slave of R-1: tracks 1-4 are copied"
    said = "R-1: the note that comes to it names R-1 itself; see whether that is still so"
    assert [label.note_says for label in labels] == [said, ""]  # R-10 is no reel of this exchange


def test_a_note_of_a_tape_outside_the_exchange_is_pointed_at_too(shelf_of, make_reel):
    shelf = shelf_of(
        make_reel("R-1", notes="see R-2"),
        make_reel("R-2"),
        make_reel("R-3", notes="second half of R-2, played after R-1"),
        make_reel("R-10", notes="safety copy of R-20"),
    )
    said = "R-3: its note names R-1 and R-2; see whether that is still so"
    assert notes_elsewhere(shelf, {"R-1": "R-2"}) == (said,)
    assert exchange(shelf, {"R-1": "R-2"})[0].reel("R-3") == shelf.reel("R-3")


def test_what_was_heard_on_a_tape_stays_with_it(shelf_of, make_reel, moment):
    shelf = shelf_of(make_reel("A", eq="NAB", heard=moment("2026-11-01T20:00")), make_reel("B", eq="IEC1"))
    assert exchange(shelf, {"A": "B"})[0].reel("A").eq == "NAB"


def test_an_exchange_and_its_reverse_leave_the_shelf_as_it_was(shelf_of, make_reel):
    shelf = shelf_of(
        make_reel("A", contents="one"), make_reel("B", contents="two"), make_reel("C", contents="three")
    )
    there, _ = exchange(shelf, {"A": "B", "B": "C"})
    back, _ = exchange(there, {"B": "A", "C": "B"})
    assert back.reels == shelf.reels


def test_a_base_that_only_a_wrong_box_told_is_not_known_any_more(shelf_of, make_reel, moment):
    """What lies in the heat then comes out: its box lied, and nobody saw what the tape is."""
    warm = {"chamber": "C1", "loaded_at": moment("2026-12-01T19:00"), "condition": ("sticky",)}
    shelf = shelf_of(
        make_reel("A", stock="Ampex 456", base="polyester", **warm),
        make_reel("B", base="acetate"),
        make_reel("C", base="polyester"),
    )
    assert alarm_of(shelf, "A") is None
    told = alarm_of(exchange(shelf, {"A": "B"})[0], "A")
    assert told is not None and told.startswith("Take A out of chamber C1 now") and "base" in told
    assert alarm_of(exchange(shelf, {"A": "C"})[0], "A") is None  # both boxes told the same
    seen = shelf.with_reel(replace(shelf.reel("A"), base_seen="yes"))
    assert alarm_of(exchange(seen, {"A": "B"})[0], "A") is None


def test_a_stock_that_two_boxes_tell_differently_is_asked_before_the_tape_runs(shelf_of, make_reel, moment):
    """Either tape may be the one that becomes sticky; where both boxes tell the same, nothing is asked."""
    at = moment("2026-12-01T19:00")
    sound = {"condition": ("ok",), "base": "polyester", "base_seen": "yes"}
    shelf = shelf_of(
        make_reel("A", stock="BASF SM 911", **sound),
        make_reel("B", stock="456", **sound),
        make_reel("C", stock="Ampex 456", **sound),
        make_reel("D", stock="", **sound),
    )
    moved, _ = exchange(shelf, {"A": "B"})
    assert moved.reel("A").stock == "BASF SM 911 or Ampex 456"
    assert moved.reel("B").stock == "Ampex 456 or BASF SM 911"
    assert {advice_of(moved, moved.reel(key), at).word for key in "AB"} == {"which stock"}
    assert stocks_in_doubt(shelf, moved)[0] == "A: BASF SM 911 or Ampex 456, asked before it runs on"
    again, _ = exchange(moved, {"A": "B"})
    assert [again.reel(key).stock for key in "AB"] == [moved.reel(key).stock for key in "AB"]
    assert exchange(shelf, {"B": "C"})[0].reel("B").stock == "456"
    blank, _ = exchange(shelf, {"C": "D"})
    assert (blank.reel("C").stock, blank.reel("D").stock) == ("Ampex 456", "one not told or Ampex 456")
    assert advice_of(blank, blank.reel("D"), at).word == "which stock"


def test_a_base_that_both_boxes_told_by_their_stocks_stays_known(shelf_of, make_reel):
    shelf = shelf_of(make_reel("A", stock="3M 226"), make_reel("B", stock="Ampex 456"))
    assert exchange(shelf, {"A": "B"})[0].reel("A").base == "polyester"
