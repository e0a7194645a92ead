"""The rows of the chart: states, the next step, what it waits for, machine minutes."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta
from typing import Any

import pytest

from core.quantities import read_quantity
from core.reels.reel import Reel
from core.shelf import Shelf
from tui.board.rows import Board
from tui.board.totals import stage_line, time_line
from tui.board.words import format_words, width_words
from tui.places.chart.filters import Filter
from tui.places.chart.finding import Finder
from tui.places.chart.sorting import ORDERS, in_order
from tui.safe_text import cells


@pytest.fixture
def board(shelf: Shelf, evening: datetime) -> Board:
    return Board(shelf, evening)


def states(board: Board, key: str) -> str:
    letters = {"done": "D", "next": "o", "under_way": "~", "not_needed": "-", "barred": "x", "not_yet": "."}
    return "".join(letters[state] for state in board.row(key).states)


@pytest.mark.parametrize(
    ("key", "shown", "words"),
    [
        ("R-001", "DDDo..", "line up D1"),
        ("R-002", "DD~...", "turn at 19:15"),
        ("R-003", "DD-o..", "line up D2"),
        ("R-004", "Do....", "what is it?"),
        ("R-005", "DD-...", "repair splices"),
        ("R-006", "DD-DDo", "verify"),
        ("R-007", "DD-DDD", ""),
        ("R-008", "DDo...", "warm 8 h"),
        ("R-011", "DD-...", "inspect first"),
        ("CAL-1", "DD----", ""),
    ],
)
def test_each_reel_shows_where_it_stands_and_what_is_next(
    board: Board, key: str, shown: str, words: str
) -> None:
    assert states(board, key) == shown
    assert board.row(key).step.words == words


def test_a_box_that_says_no_equalisation_and_level_waits_for_neither(shelf: Shelf, evening: datetime) -> None:
    blank = replace(shelf.reels["R-001"], eq="", level=None)
    row = Board(shelf.with_reel(blank), evening).row("R-001")
    assert row.step.words == "line up D1" and row.step.possible and row.blocked is None


def test_a_calibration_reel_without_a_speed_says_that_it_serves_nothing(
    shelf: Shelf, evening: datetime
) -> None:
    row = Board(shelf.with_reel(replace(shelf.reels["CAL-1"], speed=None)), evening).row("CAL-1")
    assert row.step.words == "its speed?" and row.blocked == "without its speed it fits no line-up"


def test_a_sticky_acetate_reel_is_barred_where_it_would_be_warmed(board: Board) -> None:
    assert states(board, "R-009") == "DDx..."
    assert "acetate" in str(board.row("R-009").blocked)


def test_a_lapsed_reel_falls_back_to_being_warmed_again(shelf: Shelf, evening: datetime) -> None:
    board = Board(shelf, evening + timedelta(days=20))
    assert board.row("R-001").step.words == "warm again 8 h"
    assert states(board, "R-001") == "DDo..."


def test_a_reel_that_still_cools_waits_for_it(shelf: Shelf, evening: datetime) -> None:
    warm = replace(shelf.reels["R-001"], conditioned_at=evening - timedelta(hours=2))
    board = Board(shelf.with_reel(warm), evening)
    assert board.row("R-001").step.words == "cools to Wed 00:52"
    assert not board.row("R-001").step.possible


def test_a_take_out_that_is_due_comes_before_the_next_turn(shelf: Shelf, evening: datetime) -> None:
    board = Board(shelf, evening + timedelta(hours=7))  # eight hours in the chamber are over at 01:15
    assert board.row("R-002").step.words == "take out, 01:15"


def test_machine_minutes_are_those_of_the_transfer(board: Board) -> None:
    # 2500 ft at 15 ips: 33:20 a pass; wound tails, 2500 ft at 180 ips: 2:47; threading 5, cleaning 5 when
    # sticky: 46:07, on a five-minute grid 50 (worked out by hand).
    assert board.row("R-001").minutes == 50
    assert board.row("R-006").minutes is None


def test_rows_are_taken_over_where_nothing_changed(shelf: Shelf, board: Board, evening: datetime) -> None:
    before = board.row("R-001"), board.row("R-004")
    changed = shelf.with_reel(replace(shelf.reels["R-004"], box_label="Marram?"))
    after = Board(changed, evening, None, board)
    assert after.row("R-001") is before[0]
    assert after.row("R-004").says == "Marram?"


def test_totals_leave_calibration_reels_out(board: Board) -> None:
    assert stage_line(board) == "found 2  identified 5  conditioned 2  aligned 0  transferred 1  verified 1"
    assert time_line(board).startswith("6 h 55 of machine time")
    for width in (60, 78, 110):
        assert cells(time_line(board, width)) <= max(width, cells(time_line(board, 1)))


def test_a_shelf_of_which_no_time_is_known_is_not_said_to_need_none(shelf: Shelf, evening: datetime) -> None:
    dark = {key: replace(reel, length=None, speed=None, reel_size=None) for key, reel in shelf.reels.items()}
    line = time_line(Board(replace(shelf, reels=dark), evening))
    assert line.startswith("machine time of ") and "not known" in line


def test_filters_combine(board: Board, evening: datetime) -> None:
    def shown(**parts: Any) -> list[str]:
        return [row.key for row in board.rows() if Filter(**parts).shows(row, evening)]

    assert shown(stages=frozenset({"found"})) == ["R-004", "R-010"]
    wide = shown(width=board.row("R-001").reel.width.number)  # type: ignore[union-attr]
    assert wide == ["R-001", "R-002", "R-008", "CAL-1"]
    assert shown(song="S-01", blocked=False) == ["R-001", "R-003"]
    assert shown(due_hours=24) == ["R-002"]
    assert "R-009" in shown(blocked=True)


@pytest.mark.parametrize("order", ORDERS)
def test_every_order_keeps_every_reel_and_turns_round(board: Board, order: str) -> None:
    rows = board.rows()
    assert sorted(row.key for row in in_order(rows, order)) == sorted(board.shelf.reels)
    assert {row.key for row in in_order(rows, order, backwards=True)} == set(board.shelf.reels)


def test_reel_two_comes_before_reel_ten(board: Board) -> None:
    keys = [row.key for row in in_order(board.rows(), "reel")]
    assert keys[:2] == ["CAL-1", "CAL-2"]
    assert keys.index("R-002") < keys.index("R-010")


@pytest.mark.parametrize(
    ("words", "reels", "where"),
    [
        ("marram", ["R-002"], ""),
        ("moura", ["R-001"], "track 1: Ines Moura"),
        ("low tide", ["R-001", "R-003"], ""),
        ("ferrymen", ["R-001", "R-003", "R-007"], "song: Low Tide The Ferrymen"),
        ("VINEGAR", ["R-011"], "note: smells of vinegar? no"),
        ("[di]", ["R-001"], "track 3: bass [DI]"),
        ("a1", ["R-001"], "place: A1"),
        ("nowhere to be found", [], ""),
    ],
)
def test_finding_goes_over_reels_songs_boxes_players_and_notes(
    shelf: Shelf, words: str, reels: list[str], where: str
) -> None:
    found = Finder(shelf).find(words)
    assert [one.reel for one in found][: len(reels)] == reels
    if reels:
        assert found[0].where == where
    else:
        assert found == ()


def test_a_reel_that_was_set_aside_says_so_until_it_is_captured(shelf: Shelf, evening: datetime) -> None:
    for key in ("R-004", "R-008", "R-003"):
        reel = replace(shelf.reels[key], set_aside="sent to a specialist")
        row = Board(shelf.with_reel(reel), evening).row(key)
        assert row.step.words == "set aside: sent to a specialist" and not row.step.possible
        assert "barred" in row.states


@pytest.mark.parametrize(
    ("typed", "shown"), [("25,4 mm", '1"'), ("6,3 mm", '1/4"'), ("6.25 mm", '1/4"'), ("1/2 in", '1/2"')]
)
def test_a_width_is_called_as_the_trade_calls_it_and_touches_nothing(typed: str, shown: str) -> None:
    # IEC 60094-1 has 6.30 mm tape for 1/4 in (from memory); 25.4 mm are an inch (international inch, 1959).
    width = read_quantity(typed, "length")
    assert width_words(width) == shown
    assert len(format_words(Reel("R-1", width=width, tracks=16))) <= 13
