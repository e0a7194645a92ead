"""Every change is told of with old and new, can be taken back, and outlives a restart."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta
from typing import Any

import pytest

from core.errors import Refused, Stale
from core.logbook.noted import noted_of
from core.shelf import Event
from core.store.disk.changes.history import PAGE_ROWS
from core.workbook.workbook import Workbook

Reopened = Callable[[Workbook], Workbook]


def test_one_act_is_one_change_with_a_row_for_each_thing_it_changed(book: Workbook) -> None:
    book.mark("R-002", "conditioned", because="done elsewhere", note="by a friend")
    rows = [event for event in book.shelf.history if event.change == book.shelf.history[-1].change]
    assert {row.field for row in rows} == {"stage", "conditioned_at", "playable_until", "record"}
    stage = next(row for row in rows if row.field == "stage")
    assert (stage.old, stage.new, stage.note, stage.because) == (
        "identified", "conditioned", "by a friend", "done elsewhere",
    )  # fmt: skip


def test_why_nothing_was_warmed_is_kept(book: Workbook) -> None:
    book.mark("R-013", "conditioned")
    assert "no conditioning needed" in book.shelf.history[-1].because


def test_undo_takes_back_one_act_after_the_other_also_after_a_restart(
    book: Workbook, reopened: Reopened
) -> None:
    before = book.shelf
    book.load("C1", ["R-002"], because="we stay up")
    book.mark("R-008", "conditioned")
    other = reopened(book)
    assert other.undo() == "taken back: mark R-008 conditioned"
    assert other.undo() == "taken back: load C1: R-002"
    last = reopened(book).shelf
    assert last.reels == before.reels
    assert not last.of_kind("load")


def test_undo_is_itself_told_of_and_can_be_done_again(book: Workbook) -> None:
    rows = len(book.shelf.history)
    book.mark("R-008", "conditioned")
    book.undo()
    assert len(book.shelf.history) == rows + 2
    assert book.redo() == "done again: mark R-008 conditioned"
    assert book.shelf.reel("R-008").stage == "conditioned"
    assert book.undo() == "taken back: mark R-008 conditioned"
    assert book.redo() == "done again: mark R-008 conditioned"


def test_nothing_can_be_done_again_once_something_else_was_changed(book: Workbook) -> None:
    book.mark("R-008", "conditioned")
    book.undo()
    book.mark("R-013", "conditioned")
    with pytest.raises(Refused, match="nothing to do again"):
        book.redo()


def test_a_change_that_another_covers_is_refused_with_a_sentence(book: Workbook, write: Any) -> None:
    book.change(lambda s: s.with_reel(replace(s.reel("R-008"), notes="one")), what="words on R-008")
    told_elsewhere = "at,kind,key,field,old,new\n2026-12-01T12:00,reel,R-008,notes,one,two\n"
    reels = write("reels.csv", "reel,notes\nR-008,two\n")
    book.import_files([reels, write("history.csv", told_elsewhere)], update=True)
    before = book.path.read_bytes()
    with pytest.raises(Stale, match="R-008: notes is 'two' now and no longer 'one'"):
        book.undo()
    assert book.path.read_bytes() == before


def test_a_plan_and_a_check_are_told_of_but_never_taken_back(book: Workbook) -> None:
    book.mark("R-008", "conditioned")
    book.change(lambda s: s.with_record("plan", "kept", {"number": 4}), what="keep a plan")
    book.change(lambda s: s.with_record("check", "R-021 pass 1", {"verdict": "fail"}), what="check")
    assert [e.new for e in book.shelf.history[-2:]] == ["number 4", "verdict fail"]
    assert book.undo() == "taken back: mark R-008 conditioned"
    assert book.shelf.of_kind("plan")["kept"] == {"number": 4}


def test_an_import_is_taken_back_as_one(empty: Workbook, demo_files: Any) -> None:
    empty.import_files([file for file in demo_files if file.name != "history.csv"])
    assert empty.undo().startswith("taken back: import")
    assert not empty.shelf.reels and not empty.shelf.songs and not empty.shelf.sheets


def noted(book: Workbook, key: str) -> list[str]:
    return [one.note for one in noted_of(book.shelf, key)]


def test_a_note_is_taken_back_before_what_was_done_before_it_and_stays_in_history(
    book: Workbook, reopened: Reopened
) -> None:
    """A slip of the pen never brings a tape back into the heat."""
    book.mark("R-008", "conditioned")
    book.note("R-002", "edge damage at 400 ft")
    assert book.undo() == "taken back: note on R-002"
    assert book.shelf.reel("R-008").stage == "conditioned" and not noted(book, "R-002")
    assert "edge damage at 400 ft" in [one.note for one in book.shelf.history]
    other = reopened(book)
    assert other.redo() == "done again: note on R-002" and noted(other, "R-002") == ["edge damage at 400 ft"]
    assert other.undo() == "taken back: note on R-002" and not noted(other, "R-002")
    assert "edge damage at 400 ft" not in [one.note for one in other.reel_history()]
    assert other.undo() == "taken back: mark R-008 conditioned"


def test_one_note_is_taken_off_long_after_and_comes_back_with_undo(
    book: Workbook, reopened: Reopened
) -> None:
    """The note of two minutes that is taken off is that one, though another has the same words."""
    slip = "splice at the head"
    book.note("R-002", slip, book.now() - timedelta(hours=2))
    book.note("R-002", "smells of wax")
    book.note("R-002", slip)
    book.note("R-008", slip)
    book.mark("R-008", "conditioned")
    book.take_note_off(noted_of(book.shelf, "R-002")[0])
    assert noted(book, "R-002") == ["smells of wax", slip] and noted(book, "R-008") == [slip]
    assert [e.note for e in book.shelf.history].count(slip) == 3 and book.shelf.history[-1].old == slip
    other = reopened(book)
    assert other.undo() == "taken back: take a note off R-002"
    assert noted(other, "R-002") == [slip, "smells of wax", slip]
    assert other.redo() == "done again: take a note off R-002"
    assert noted(other, "R-002") == ["smells of wax", slip]
    other.shelving.rename("R-002", "WREN")
    assert noted(other, "WREN") == ["smells of wax", slip]
    gone = noted_of(other.shelf, "WREN")[0]
    other.take_note_off(gone)
    with pytest.raises(Refused, match="that note is not on WREN any more"):
        other.take_note_off(gone)


def test_notes_that_came_with_a_merge_go_with_it_and_come_again(book: Workbook) -> None:
    """R-009 and R-010 are two tapes again: neither says what was written of the other.

    R-009 has a track sheet of its own, which is no reason against it.
    """
    assert any(row.reel == "R-009" for row in book.shelf.sheets)
    book.note("R-010", "smells of cellar")
    before = [noted(book, key) for key in ("R-009", "R-010")]
    book.shelving.merge("R-009", "R-010")
    brought = noted(book, "R-009")
    assert "smells of cellar (written of R-010)" in brought and "R-010 is the same tape" in brought
    book.undo()
    assert [noted(book, key) for key in ("R-009", "R-010")] == before
    book.redo()
    assert noted(book, "R-009") == brought


def test_the_deck_that_a_line_up_changed_goes_back_too(book: Workbook) -> None:
    deck = book.shelf.studio.deck("D2")
    book.mark("R-013", "conditioned")
    book.mark("R-013", "aligned")
    assert book.shelf.studio.deck("D2") != deck
    book.undo()
    assert book.shelf.studio.deck("D2") == deck


def test_pages_of_history_are_one_sequence(book: Workbook, reopened: Reopened) -> None:
    first = len(book.shelf.history)
    events = tuple(
        Event(book.now(), "reel", "R-001", "note", note=f"note {n}") for n in range(2 * PAGE_ROWS + 7)
    )
    book.change(lambda s: replace(s, history=(*s.history, *events)), what="many notes")
    history = reopened(book).shelf.history
    assert len(history) == first + len(events)
    assert [e.note for e in history[first:]] == [e.note for e in events]
    assert history[-1].note == events[-1].note
    assert next(iter(reversed(history))).note == events[-1].note
    assert [e.note for e in list(history)[first : first + 3]] == ["note 0", "note 1", "note 2"]
    assert history[first + PAGE_ROWS].note == f"note {PAGE_ROWS}"


def test_moments_are_kept_to_the_minute_as_files_write_them(book: Workbook) -> None:
    at = book.now().replace(second=31)
    book.mark("R-002", "conditioned", at, because="warmed elsewhere")
    assert book.shelf.reel("R-002").conditioned_at == at.replace(second=0)


def test_an_act_that_changes_nothing_writes_nothing(book: Workbook) -> None:
    before = book.path.read_bytes()
    book.change(lambda shelf: shelf, what="nothing")
    book.change(lambda shelf: shelf.with_reel(shelf.reel("R-001")), what="nothing")
    assert book.path.read_bytes() == before


def test_an_act_that_fails_leaves_the_shelf_as_it_was(book: Workbook) -> None:
    before = book.path.read_bytes()

    def fails(shelf: Any) -> Any:
        shelf.with_reel(replace(shelf.reel("R-001"), notes="half"))
        raise Refused("no")

    with pytest.raises(Refused):
        book.change(fails, what="half")
    assert book.path.read_bytes() == before
    assert book.shelf.reel("R-001").notes != "half"
