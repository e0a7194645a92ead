"""The strip: notes stand where they are on the tape, and nothing is wider than the line."""

from datetime import UTC, datetime

import pytest

from core.logbook.passes import TapeNote
from tui.places.tonight.strip import LETTERS, strip
from tui.safe_text import cells


def note(seconds, kind):
    return TapeNote("R-001", 1, datetime(2026, 12, 1, 20, tzinfo=UTC), seconds, kind)


@pytest.mark.parametrize("width", [40, 80, 200])
def test_a_note_stands_at_its_share_of_the_tape(width):
    line = strip([note(0, "dropout"), note(1000, "splice")], 1500, 2000, width, plain=True)
    assert cells(line) == width
    bar = line[8 : line.rindex(" 33:20")]  # 2000 s are 33:20
    assert bar[0] == "d"
    assert abs(bar.index("s") - len(bar) / 2) <= 1
    assert abs(bar.index(">") - len(bar) * 3 / 4) <= 1
    assert set(bar) == {"d", "s", ">", "=", "-"}


def test_what_lies_past_the_end_stands_at_the_end():
    line = strip([note(9999, "other")], 9999, 2000, 60, plain=True)
    assert line.rstrip().endswith("o 33:20")


def test_every_kind_has_a_letter_of_its_own():
    from core.evening.playing.passes import NOTE_KINDS

    assert set(LETTERS) == set(NOTE_KINDS) and len(set(LETTERS.values())) == len(NOTE_KINDS)


def test_no_length_no_strip():
    assert strip([], 10, 0, 60).strip() == ""
