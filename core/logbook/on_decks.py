"""What ran on which deck, and when: passes, first hearings, line-ups by a calibration reel or own tones."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import datetime
from typing import NamedTuple

from core.clock import write_time
from core.logbook.passes import played
from core.shelf import RecordKind, Shelf

MARKED: RecordKind = "ran"
OWN = "own-"  # how a line of a line-up's sheet is named that is read by the tape's own tones


class Ran(NamedTuple):
    """On which deck which reel's tape began to run, and when."""

    deck: str
    reel: str
    at: datetime
    tones: bool = False  # for a line-up alone: nothing of its programme was played


def _by_steps(shelf: Shelf) -> Iterator[Ran]:
    """What the steps of the evenings ran."""
    for record in shelf.of_kind("actual").values():
        align = record.get("kind") == "align"
        deck = str(record.get("subject" if align else "deck", "") or "")
        reel = str(record.get("calibration" if align else "subject", "") or "")
        began = record.get("started") or (record.get("finished") if record.get("state") == "done" else None)
        if deck and reel and began and (align or record.get("kind") in ("transfer", "audition", "wind")):
            yield Ran(deck, reel, datetime.fromisoformat(str(began)), align)


def runs(shelf: Shelf) -> Iterator[Ran]:
    """Everything that ever began to run on a deck; looked at raw, since most of it is long over."""
    last: dict[str, str] = {}
    for ran in _by_steps(shelf):
        last[ran.reel] = ran.deck
        yield ran
    for record in shelf.of_kind(MARKED).values():
        yield Ran(str(record["deck"]), str(record["reel"]), datetime.fromisoformat(str(record["at"])))
    for record in shelf.of_kind("lineup").values():
        for reel in _read(record):
            yield Ran(
                str(record.get("deck", "")), reel, datetime.fromisoformat(str(record["at"])), tones=True
            )
    for one in played(shelf).values() if last else ():
        if one.reel in last:
            yield Ran(last[one.reel], one.reel, one.last.started)


def ran_by_mark(shelf: Shelf, reel: str, deck: str, at: datetime) -> Shelf:
    """The shelf that knows that this tape ran on that deck until then, though no pass tells of it."""
    told = {"deck": deck, "reel": reel, "at": write_time(at)}
    return shelf.with_record(MARKED, f"{reel} {write_time(at)}", told)


def _read(record: Mapping[str, object]) -> set[str]:
    """The tapes whose tones a line-up read: a calibration reel's, those at the head of the reel itself."""
    lines = [str(one[0]) for one in record.get("readings") or ()]  # type: ignore[attr-defined]
    own = [line.startswith(OWN) or "own tones" in str(record.get("choice", "")) for line in lines]
    told = (record.get("reel") if any(own) else "", record.get("calibration") if not all(own) else "")
    return {str(reel) for reel in told if reel}
