"""Steps that were done by paper and are entered later: with their real times, passes and timed notes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from fractions import Fraction
from typing import Any, Literal

from core.clock import later, minutes_between, write_time
from core.errors import Refused
from core.evening.passes import NOTE_KINDS, end_pass, lay_aside
from core.evening.sheet import Step
from core.evening.steps import finish_step, skip_step
from core.evening.transfer import transfer_of
from core.reels.length import play_seconds
from core.shelf import Shelf
from core.standing.left_to_play import BACK_SECONDS, Transfer, pass_key

#: Which reel holds the tape afterwards: the one that took it up, its own after a wind, or some on each.
Holds = Literal["take-up", "own", "both"]


@dataclass(frozen=True, slots=True)
class PaperPiece:
    """One run of the tape as the log tells it; ``start`` and ``stop`` in seconds of play time.

    None for ``stop`` means that it ran to its end; for ``start``, from the head or from before the last stop.
    """

    number: int
    began: datetime
    ended: datetime
    start: float | None = None
    stop: float | None = None
    why: str = ""


@dataclass(frozen=True, slots=True)
class PaperNote:
    """A timed note from the log."""

    number: int
    seconds: float
    kind: str
    words: str = ""


@dataclass(frozen=True, slots=True)
class PaperLog:
    """A transfer log as it was filled in by hand; without pieces the step's own times stand for them."""

    pieces: tuple[PaperPiece, ...] = ()
    notes: tuple[PaperNote, ...] = ()
    holds: Holds = "take-up"


NOTHING = PaperLog()


def by_paper(
    shelf: Shelf,
    step: Step,
    started: datetime | None,
    finished: datetime,
    because: str = "",
    log: PaperLog = NOTHING,
) -> Shelf:
    """The shelf with a step that was done by paper; a transfer's passes are done at their real times.

    A tape that the log leaves standing on the way is kept so, and its step is left.
    """
    if started is not None and started > finished:
        raise Refused("it ends before it begins")
    told = replace(step, started=started or step.started)
    if step.kind != "transfer":
        return finish_step(shelf, told, finished, because)
    part = transfer_of(shelf, step)
    pieces = log.pieces or _by_the_step(shelf, part, told, finished)
    kept = _passes(shelf, step, part, pieces, log.holds)
    for note in log.notes:
        kept = _note(kept, step.subject, note, pieces)
    if told.started is None and pieces:
        told = replace(told, started=pieces[0].began)
    standing = [n for n in part.left if _state(kept, step.subject, n) != "done"]
    if standing:
        return skip_step(kept, told, finished, _stands(kept, step.subject, standing[0]))
    return finish_step(kept, told, finished, because)


def kind_and_words(text: str) -> tuple[str, str]:
    """The kind that the words begin with, by its name or its digit, and the rest of the words."""
    first, _, rest = text.partition(" ")
    if first.isdigit() and 1 <= int(first) <= len(NOTE_KINDS):
        return NOTE_KINDS[int(first) - 1], rest.strip()
    for kind in NOTE_KINDS:
        if text.casefold().startswith(kind):
            return kind, text[len(kind) :].strip()
    return "other", text


def _passes(shelf: Shelf, step: Step, part: Transfer, pieces: Sequence[PaperPiece], holds: Holds) -> Shelf:
    """The shelf with the passes of those pieces, each done where its last piece ran to the end."""
    for number in dict.fromkeys(piece.number for piece in pieces):
        if number not in part.left:
            raise Refused(f"pass {number} is not one of those that are left: {_numbers(part.left)}")
        mine = [piece for piece in pieces if piece.number == number]
        record = _record(shelf, step, part, number)
        for piece in mine:
            record["pieces"] = [*record["pieces"], _piece(record, piece)]
        key = pass_key(step.subject, number)
        whole = mine[-1].stop is None
        record |= {"holds": holds if whole else "both", "by paper": True}
        stands = shelf.of_kind("pass").get(key, {}).get("state") in ("running", "stopped")
        free = shelf if stands else lay_aside(shelf, step.subject, "played once more", [number])
        shelf = free.with_record("pass", key, record)
        if whole:
            shelf = end_pass(shelf, key, mine[-1].ended)
    return shelf


def _record(shelf: Shelf, step: Step, part: Transfer, number: int) -> dict[str, Any]:
    """The pass as it stands, a running one taken as if it had not run on the screen; else a new one."""
    if part.stands is not None and part.stands["pass"] == number:
        pieces = [piece for piece in part.stands["pieces"] if "to" in piece]
        return {**part.stands, "state": "stopped", "pieces": pieces}
    total = float(play_seconds(shelf.reel(step.subject), shelf.studio) or 0)
    record: dict[str, Any] = {"reel": step.subject, "pass": number, "state": "stopped", "total": total}
    record["pieces"] = []
    if part.span is not None:
        first, last = (float(edge) for edge in part.span)
        record |= {"span": [first, last], "segment": part.name, "total": max(total, last)}
    return record


def _piece(record: dict[str, Any], piece: PaperPiece) -> dict[str, Any]:
    """What a pass keeps of one run: where it was told, else by the head, the last stop, the end."""
    if piece.ended < piece.began:
        raise Refused(f"pass {piece.number} ends before it begins")
    head, end = record.get("span") or (0.0, record["total"])
    before = record["pieces"][-1]["to"] - BACK_SECONDS if record["pieces"] else head
    start = max(head, before) if piece.start is None else piece.start
    ran = float(minutes_between(piece.began, piece.ended)) * 60
    stop = (end or start + ran) if piece.stop is None else piece.stop
    if stop <= start:
        raise Refused(f"pass {piece.number}: the tape stops before it starts")
    told = {"from": start, "started": write_time(piece.began), "to": stop, "stopped": write_time(piece.ended)}
    return {**told, "why": piece.why or ("end" if piece.stop is None else "stopped")}


def _by_the_step(shelf: Shelf, part: Transfer, step: Step, finished: datetime) -> tuple[PaperPiece, ...]:
    """Passes where only the step's times are told: one after the other, the last ending with it."""
    seconds = play_seconds(part.reel, shelf.studio)
    count = len(part.left)
    if step.started is not None:
        each = Fraction(minutes_between(step.started, finished)) / max(1, count)
    else:
        each = Fraction(seconds or 0) / 60
    ends = [later(finished, minutes=-each * (count - 1 - place)) for place in range(count)]
    return tuple(
        PaperPiece(number, later(end, minutes=-each), end)
        for number, end in zip(part.left, ends, strict=True)
    )


def _note(shelf: Shelf, reel: str, note: PaperNote, pieces: Sequence[PaperPiece]) -> Shelf:
    """The shelf with a note of the log; its moment is that of its place on the tape."""
    key = pass_key(reel, note.number)
    record = shelf.of_kind("pass").get(key)
    if record is None:
        raise Refused(f"a note is on pass {note.number}, which was not played")
    kept = shelf.of_kind("timed note")
    number = 1 + max((int(one.rsplit(" ", 1)[1]) for one in kept if one.startswith(f"{key} ")), default=0)
    value = {
        "reel": reel,
        "pass": note.number,
        "at": _moment(record["pieces"], note.seconds),
        "seconds": note.seconds,
        "kind": note.kind if note.kind in NOTE_KINDS else "other",
        "words": note.words,
    }
    return shelf.with_record("timed note", f"{key} {number}", value)


def _moment(pieces: Sequence[dict[str, Any]], seconds: float) -> str:
    here = next((one for one in pieces if one["from"] <= seconds <= one["to"]), pieces[-1])
    run = max(0.0, seconds - here["from"])
    return write_time(later(datetime.fromisoformat(here["started"]), minutes=Fraction(round(run)) / 60))


def _state(shelf: Shelf, reel: str, number: int) -> str:
    return str(shelf.of_kind("pass").get(pass_key(reel, number), {}).get("state", ""))


def _stands(shelf: Shelf, reel: str, number: int) -> str:
    from core.clock import clock_text

    record = shelf.of_kind("pass").get(pass_key(reel, number))
    if record is None:
        return f"pass {number} was not played"
    last = record["pieces"][-1]
    return f"stands at {clock_text(int(last['to']))}: {last['why']}"


def _numbers(numbers: Sequence[int]) -> str:
    return ", ".join(str(number) for number in numbers) or "none"
