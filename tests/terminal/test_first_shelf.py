"""From nothing to a shelf at a terminal: the offer, the questions, going back, and a break in the middle."""

from __future__ import annotations

import time
from datetime import date
from pathlib import Path

from core.store.studio.hours_words import row_words
from core.studio.opening import rows_on
from core.workbook.workbook import Workbook


def test_without_a_shelf_the_questions_make_one_and_it_opens(terminal, tmp_path: Path) -> None:
    shelf = tmp_path / "own.json"
    terminal.start("--shelf", str(shelf))
    terminal.sees("There is no shelf yet")
    terminal.sees("Which? [1]")
    terminal.press("Enter")
    terminal.sees("1/8 What is the place called?")
    terminal.press("-l", "Marram Wharf")
    terminal.press("Enter")
    terminal.sees("2/8 Which time zone")
    terminal.press("-l", "Europe/Nowhere")
    terminal.press("Enter")
    terminal.sees("is not a time zone")
    terminal.press("-l", "lisbin")
    terminal.press("Enter")
    terminal.sees("did you mean Europe/Lisbon?")
    terminal.sees("[Europe/Lisbon]")  # it stands there for Enter to take, and for nothing to be put behind
    terminal.press("-l", "<")
    terminal.press("Enter")
    terminal.sees("1/8 What is the place called? [Marram Wharf]")
    terminal.press("Enter")
    terminal.sees("2/8 Which time zone")
    terminal.press("-l", "lisbon")  # a town that one zone is called after is that zone
    terminal.press("Enter")
    terminal.sees("lisbon: Europe/Lisbon")
    terminal.press("-l", "?")
    terminal.press("Enter")
    terminal.sees("Wanted: numbers from 1 to")
    terminal.press("-l", "1, 4")
    terminal.press("Enter")
    terminal.sees("4/8")
    terminal.press("-l", "yes")
    terminal.press("Enter")
    terminal.sees("5/9 How many tracks can be captured at once? [16]")
    terminal.press("Enter")
    terminal.sees("6/9")
    terminal.press("-l", "6")
    terminal.press("Enter")
    terminal.sees("7/10")
    terminal.press("Enter")
    terminal.sees("8/10")
    terminal.press("-l", "10pm")
    terminal.press("Enter")
    terminal.sees("9/10 When is someone home and awake, for the chamber? [the same hours]")
    terminal.press("-l", "daily 5-11pm")
    terminal.press("Enter")
    terminal.sees("10/10 When does the person come who lines decks up? [not known yet]")
    terminal.press("Enter")
    terminal.sees("No deck is lined up in your plan before those hours are told")
    terminal.press("-l", "tue")
    terminal.press("Enter")
    terminal.until(shelf.exists, "the shelf")
    terminal.until(lambda: "Which?" not in terminal.screen(), "the screen of the program")
    studio = Workbook.open(shelf, _never).shelf.studio
    assert (studio.name, studio.timezone) == ("Marram Wharf", "Europe/Lisbon")
    assert [deck.tracks for deck in studio.decks] == [2, 16] and studio.chambers[0].trays == 6
    assert not shelf.with_name("own.json.begun").exists()
    # Home from 17:00 is no time at the bench; the helper who comes on Tuesdays comes for its bench hours.
    told = [row_words(row) for row in rows_on(studio, date(2026, 12, 1))]
    assert told == ["19:00-22:30 bench home loud 22:00", "17:00-23:00 home", "19:00-22:30 helper"]
    assert [row_words(row) for row in rows_on(studio, date(2026, 12, 6))] == ["17:00-23:00 home"]


def test_hours_too_short_for_the_warmth_and_a_misspelt_zone_are_told_at_their_question(
    terminal, tmp_path: Path
) -> None:
    """1 in tape is warmed eight hours (docs/treatment.md, its sources), and its take-out is behind them."""
    shelf = tmp_path / "own.json"
    terminal.start("--shelf", str(shelf), "new")
    for seen, typed in (
        ("1/8", ""), ("2/8", "Europe/Berlim"), ("did you mean Europe/Berlin?", ""), ("3/8", "4"), ("4/8", ""),
        ("5/8", ""), ("6/8", "6"), ("7/9", "mon-thu 19:00-22:30; sat 14:00-19:00"), ("8/9", ""),
        ("9/9", ""), ("`sat 14:00-22:30` would do", "sat 14:00-22:00"),
        ("`sat 14:00-22:00; sat", "sat 14:00-22:30"),
    ):  # fmt: skip
        terminal.sees(seen)
        if typed:
            terminal.press("-l", typed)
        terminal.press("Enter")
    terminal.until(shelf.exists, "the shelf")
    studio = Workbook.open(shelf, _never).shelf.studio
    assert studio.timezone == "Europe/Berlin"
    assert [row_words(row) for row in rows_on(studio, date(2026, 12, 5))][-1] == "14:00-22:30 home"


def test_hours_that_are_too_short_are_taken_by_a_second_enter(terminal, tmp_path: Path) -> None:
    shelf = tmp_path / "own.json"
    terminal.start("--shelf", str(shelf), "new")
    for seen, typed in (
        ("1/8", ""), ("2/8", ""), ("3/8", "4"), ("4/8", ""), ("5/8", ""), ("6/8", "6"),
        ("7/9", "sat 14:00-19:00"), ("8/9", ""), ("up to 8 h 10", ""), ("would do", ""),
    ):  # fmt: skip
        terminal.sees(seen)
        if typed:
            terminal.press("-l", typed)
        terminal.press("Enter")
    terminal.until(shelf.exists, "the shelf")


def test_a_conversation_that_breaks_off_keeps_what_was_answered(terminal, tmp_path: Path) -> None:
    shelf = tmp_path / "own.json"
    terminal.start("--shelf", str(shelf), "new")
    terminal.sees("What is the place called?")
    terminal.press("-l", "Marram Wharf")
    terminal.press("Enter")
    terminal.sees("2/8")
    terminal.press("C-d")
    terminal.until(lambda: terminal.status is not None, "the end of the program")
    assert terminal.status == 2 and not shelf.exists()
    begun = shelf.with_name("own.json.begun")
    assert "Marram Wharf" in begun.read_text(encoding="utf-8")
    # A terminal that is closed in the middle of a line: what was typed of it stands there to be changed.
    terminal.start("--shelf", str(shelf), "new")
    terminal.sees("What is the place called? [Marram Wharf]")
    terminal.press("-l", "Marram Quay, the ba")
    terminal.sees("Marram Quay, the ba")
    terminal.until(lambda: time.sleep(0.2) is None, "a look at the line")
    terminal.end()
    terminal.until(lambda: "Quay, the ba" in begun.read_text(encoding="utf-8"), "the line in the file")
    terminal.start("--shelf", str(shelf), "new")
    terminal.sees("[Marram Wharf] Marram Quay, the ba")


def test_files_that_are_refused_are_asked_for_again_and_nothing_is_begun(terminal, tmp_path: Path) -> None:
    shelf, rows, studio = tmp_path / "own.json", tmp_path / "reels.csv", tmp_path / "studio.toml"
    studio.write_text('[studio]\nname = "Marram Wharf"\ntimezone = "Europe/Lisbon"\n', encoding="utf-8")
    rows.write_text("reel,width\nR-001,1 in\nR-002,1 furlong\n", encoding="utf-8")
    terminal.start("--shelf", str(shelf))
    terminal.sees("There is no shelf yet")
    terminal.press("3", "Enter")
    terminal.sees("Files, with spaces between")
    terminal.press("-l", f"{studio} {rows}")
    terminal.press("Enter")
    terminal.sees("1 furlong")
    assert not shelf.exists()
    rows.write_text("reel,width\nR-001,1 in\nR-002,1/4 in\n", encoding="utf-8")
    terminal.press("-l", f"{studio} {rows}")
    terminal.press("Enter")
    terminal.sees("box says")
    assert set(Workbook.open(shelf, _never).shelf.reels) == {"R-001", "R-002"}


def test_bare_numbers_of_a_first_list_are_read_by_one_key(terminal, tmp_path: Path) -> None:
    shelf, rows, studio = tmp_path / "own.json", tmp_path / "reels.csv", tmp_path / "studio.toml"
    studio.write_text('[studio]\nname = "Marram Wharf"\ntimezone = "Europe/Lisbon"\n', encoding="utf-8")
    rows.write_text("reel,width,speed\nR-001,1,15\nR-002,1/4,38\n", encoding="utf-8")
    terminal.start("--shelf", str(shelf))
    terminal.sees("There is no shelf yet")
    terminal.press("3", "Enter")
    terminal.sees("Files, with spaces between")
    terminal.press("-l", f"{studio} {rows}")
    terminal.press("Enter")
    terminal.sees("Read 4 bare numbers in the one unit that the column can have?")
    assert not shelf.exists()
    terminal.press("Enter")
    terminal.sees("box says")
    told = Workbook.open(shelf, _never).shelf.reels
    assert (str(told["R-001"].width), str(told["R-002"].speed)) == ("1 in", "38 cm/s")


def _never() -> None:
    raise AssertionError("nobody asks the time")


def test_a_proposal_is_typed_over_a_refusal_is_not_passed_over_and_the_end_says_what_is_next(
    terminal, tmp_path: Path
) -> None:
    shelf = tmp_path / "own.json"
    terminal.start("--shelf", str(shelf), "new", then="sleep 60")
    terminal.sees("1/8 What is the place called?")
    terminal.press("Enter")
    terminal.sees("2/8 Which time zone")
    terminal.press("-l", "GMT+1")
    terminal.press("Enter")
    terminal.sees("an offset knows no summer time")
    terminal.press("-l", "Germany")
    terminal.press("Enter")
    terminal.sees("[Europe/Berlin]")
    terminal.press("-l", "lisbon")  # over what was proposed
    terminal.press("Enter")
    terminal.sees("lisbon: Europe/Lisbon")
    terminal.press("-l", "first one")
    terminal.press("Enter")
    terminal.sees("numbers from 1 to")
    terminal.press("Enter")
    terminal.sees("    1.")  # what Enter took after the refusal
    for place in ("4/8", "5/8", "6/8"):
        terminal.sees(place)
        terminal.press("Enter")
    terminal.sees("7/8")
    terminal.press("-l", "every day 7-10pm")
    terminal.press("Enter")
    terminal.sees("8/8")
    terminal.press("-l", "9")
    terminal.press("Enter")
    terminal.sees("did you mean 21:00?")
    terminal.press("Enter")
    terminal.sees("opens it: P there puts in what is there")
    studio = Workbook.open(shelf, _never).shelf.studio
    assert [row_words(row) for row in studio.hours] == ["19:00-22:00 bench home loud 21:00"]
    assert studio.timezone == "Europe/Lisbon"
