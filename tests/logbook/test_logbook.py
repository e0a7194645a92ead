"""The logbook: records read as values and written back, with nothing lost and nothing guessed."""

from datetime import UTC, datetime, timedelta, timezone

import numpy as np
import pytest

from core.as_json import as_json
from core.errors import Refused
from core.logbook.passes import Piece, PlayedPass, TapeNote, noted, played, played_of, with_note
from core.logbook.steps import StepTaken, taken
from core.logbook.typed import Entries, with_entry
from core.shelf import Shelf
from core.studio.studio import Studio

LISBON = timezone(timedelta(hours=1))
BEGAN = datetime(2026, 12, 1, 19, 5, tzinfo=LISBON)
#: As shelves have held them since passes were first kept.
PASS = {
    "reel": "R-001", "pass": 2, "state": "stopped", "total": 2000.0, "by paper": True, "holds": "both",
    "span": [0.0, 900.0], "segment": "side one",
    "pieces": [
        {"from": 0.0, "started": "2026-12-01T19:05+01:00", "to": 420.5,
         "stopped": "2026-12-01T19:12:01+01:00", "why": "squeal"},
        {"from": 410.5, "started": "2026-12-01T19:30+01:00"},
    ],
}  # fmt: skip
STEP = {
    "kind": "align", "subject": "D1", "reels": ["R-001"], "state": "skipped", "not tonight": True,
    "planned": ["2026-12-01T19:00+00:00", "2026-12-01T19:40+00:00"], "because": "the helper is ill",
    "setup": {"speed": "15 ips", "eq": "NAB"}, "full": True,
}  # fmt: skip


def shelf_with(kind: str, key: str, record: object) -> Shelf:
    return Shelf(Studio("Harbour Lane", "UTC"), records={kind: {key: record}})  # type: ignore[dict-item]


def test_a_pass_is_read_as_it_was_kept_and_written_as_it_was_read() -> None:
    one = played(shelf_with("pass", "R-001 2", PASS))["R-001 2"]
    assert (one.number, one.by_paper, one.holds, one.ends, one.alone) == (2, True, "both", 900.0, False)
    assert one.pieces[0] == Piece(0.0, BEGAN, 420.5, BEGAN + timedelta(minutes=7, seconds=1), "squeal")
    assert one.position_at(datetime(2026, 12, 1, 18, 31, tzinfo=UTC)) == 470.5
    assert as_json(one, quiet=True) == PASS


def test_a_step_is_read_as_it_was_kept_and_written_as_it_was_read() -> None:
    one = taken(shelf_with("actual", "k", STEP))["k"]
    assert one.not_tonight and one.setup == {"speed": "15 ips", "eq": "NAB"} and one.reels == ("R-001",)
    assert as_json(one, quiet=True) == STEP


def test_a_kind_that_another_program_wrote_is_read_as_it_stands_and_kept() -> None:
    note = {"reel": "R-001", "pass": 2, "at": "2026-12-01T19:07+00:00", "seconds": 12.0, "kind": "hum"}
    there = noted(shelf_with("timed note", "R-001 2 1", note))["R-001 2 1"]
    assert there.told == "hum" and as_json(there, quiet=True) == note
    step = {**STEP, "kind": "rewind"}
    assert as_json(taken(shelf_with("actual", "k", step))["k"], quiet=True) == step


def test_what_is_as_by_default_is_not_written() -> None:
    planned = BEGAN, BEGAN + timedelta(minutes=10)
    told = as_json(StepTaken("identify", "R-001", planned, "running", started=BEGAN), quiet=True)
    assert sorted(told) == ["kind", "planned", "started", "state", "subject"]


def test_what_a_record_holds_beside_stays_in_it() -> None:
    shelf = shelf_with("pass", "R-001 2", {**PASS, "of a later time": [1, 2]})
    one = played(shelf)["R-001 2"]
    kept = with_entry(shelf, "R-001 2", one.with_piece(Piece(500.0, BEGAN))).of_kind("pass")["R-001 2"]
    assert kept["of a later time"] == [1, 2] and len(kept["pieces"]) == 3


@pytest.mark.parametrize(
    "wrong", [{"state": "resting"}, {"pieces": None}, {"total": "long"}, {"span": [1.0]}, {"reel": None}]
)
def test_a_record_that_is_no_pass_is_refused_with_its_key(wrong: dict[str, object]) -> None:
    record = {**PASS, **wrong}
    if record["reel"] is None:
        del record["reel"]
    shelf = shelf_with("pass", "R-001 2", record)
    with pytest.raises(Refused, match="pass 'R-001 2' on this shelf cannot be read: ") as told:
        played_of(shelf, "R-001")
    assert "\n" not in str(told.value)


def test_notes_are_numbered_within_their_pass() -> None:
    shelf = Shelf(Studio("Harbour Lane", "UTC"))
    for reel, number, words in (("R-1", 1, "one"), ("R-1 1", 1, "other"), ("R-1", 1, "two"), ("R-1", 2, "")):
        shelf = with_note(shelf, TapeNote(reel, number, BEGAN, 61.2, "dropout", words))
    assert list(noted(shelf)) == ["R-1 1 1", "R-1 1 1 1", "R-1 1 2", "R-1 2 1"]
    assert noted(shelf)["R-1 1 2"].told == "dropout two"


def test_numbers_of_numpy_and_yes_and_no_become_plain_json() -> None:
    note = TapeNote("R-001", np.int64(1), BEGAN, np.float64(61.2), "dropout")  # type: ignore[arg-type]
    told = as_json(note)
    assert [type(told[name]) for name in ("pass", "seconds")] == [int, float]
    assert as_json(Entries(PlayedPass, {"k": PASS})["k"])["by paper"] is True
