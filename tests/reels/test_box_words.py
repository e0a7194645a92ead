"""What words on a box tell; the words are common practice of the trade, from memory."""

from __future__ import annotations

import pytest

from core.quantities import read_quantity
from core.reels.box.words import told_by_box, told_by_words, told_in_a_line
from core.reels.reel import Reel
from core.store.rows.columns import Reading
from core.store.rows.tables import REELS

SAID = {
    "Low Tide 15 ips NAB tails out": {"speed": "15 ips", "eq": "NAB", "wind": "tails out"},
    "Lanterns 38 cm/s CCIR Dolby A": {"speed": "38 cm/s", "eq": "CCIR", "noise_reduction": "Dolby A"},
    "mixes 7½ips iec1 copy master": {"role": "copy master", "speed": "7 1/2 ips", "eq": "IEC1"},
    "15/NAB 24 track 2in": {"tracks": "24", "speed": "15 ips", "eq": "NAB"},
    "38 IEC 1": {"speed": "38 cm/s", "eq": "IEC1"},
    "19cm half track, heads out, no dolby": {
        "tracks": "2", "speed": "19 cm/s", "noise_reduction": "none", "wind": "heads out",
    },
    "Cal tape 250 nWb 30 ips": {"role": "cal tape", "level": "250 nWb/m", "speed": "30 ips"},
    "Physical tape 3": {},
    "test tape 320 nWb, tones: 1k 10k 100": {
        "role": "test tape", "level": "320 nWb/m", "tones": "tones: 1k 10k 100",
    },
    "Demo tape 1 8-track 15 ips NAB": {"tracks": "8", "speed": "15 ips", "eq": "NAB"},
    "Salt Ladder 8 track 7.5 ips dbx": {"tracks": "8", "speed": "7.5 ips", "noise_reduction": "dbx"},
    "spare 16 trk 250 nWb/m": {"tracks": "16", "level": "250 nWb/m"}, "8tr 15 NAB": {
        "tracks": "8", "speed": "15 ips", "eq": "NAB",
    },
    "memo 3 3/4 ips": {"speed": "3 3/4 ips"}, "memo 1⅞ips": {"speed": "1 7/8 ips"},
    "Harbour Ampex 456 15 ips": {"stock": "Ampex 456", "speed": "15 ips"}, "take 456 of 3": {},
    "Brass 15ips IEC tails out mold": {"speed": "15 ips", "eq": "IEC", "wind": "tails out", "signs": "mould"},
    "calibration": {"role": "calibration"}, "reference tape 250 nWb/m": {
        "role": "reference tape", "level": "250 nWb/m",
    },
    "Messband 250 nWb/m": {"role": "messband", "level": "250 nWb/m"}, "BEZUGSBAND 19": {"role": "bezugsband"},
    "bande étalon": {"role": "bande étalon"}, "Fita de calibração": {"role": "fita de calibração"},
    "Choir, smells of vinegar": {"signs": "vinegar"}, "moulding plans": {}, "no mould 1998": {},
    # Words that only look so: titles, dates, sizes, counts of songs, and what is told in two ways.
    "Nab the Thief": {}, "Tones of Autumn": {}, "12 tracks for the album": {}, "10.5 in reel": {},
    "Session 15 AUG": {}, "Side 2 track 4": {}, "23 ips": {}, "side A 15 ips, side B 7.5 ips": {}, "": {},
}  # fmt: skip


@pytest.mark.parametrize("words", SAID)
def test_words_on_a_box_tell_what_they_say_and_no_more(words: str) -> None:
    assert told_by_words(words) == SAID[words]


def test_what_is_told_says_what_it_is_in_a_line() -> None:
    assert told_in_a_line(Reel("R-1", "Organ 7 1/2 ips 4 track")) == "4 tracks, 7 1/2 ips"
    assert told_in_a_line(Reel("R-1", "full track, mouldy")) == "1 track, mould"
    assert told_in_a_line(Reel("R-1", "Low Tide")) == ""


@pytest.mark.parametrize("key", ["CAL-2", "cal3", "Calibration 1", "CAL"])
def test_a_key_that_calls_its_tape_one_to_calibrate_with_tells_so(key: str) -> None:
    assert told_by_box(Reel(key, "15 NAB 250 1 inch"))["role"] == "calibration"
    assert told_by_box(Reel(key, "rough mixes"))["role"] == "rough mixes"  # its words come first


@pytest.mark.parametrize("key", ["CALLUM-2", "R-CAL", "CAL-B"])
def test_a_key_that_only_begins_so_tells_nothing(key: str) -> None:
    assert "role" not in told_by_box(Reel(key, "15 NAB"))


def test_whatever_is_told_is_read_by_the_column_of_that_name() -> None:
    for told in SAID.values():
        for name, text in told.items():
            value = REELS.columns[name].read(text, Reading(None, read_quantity))  # type: ignore[arg-type]
            assert REELS.columns[name].write(value) == text
