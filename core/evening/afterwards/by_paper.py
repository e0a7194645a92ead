"""Steps that were done by paper and are entered later: with their real times, passes and timed notes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime
from fractions import Fraction

from core.clock import later, minutes_between
from core.errors import Refused
from core.evening.afterwards.paper_log import NOTHING, PaperLog, PaperNote, PaperPiece
from core.evening.answers import squeals
from core.evening.playing.again import splice_let_go
from core.evening.playing.passes import NOTE_KINDS, end_pass, lay_aside
from core.evening.playing.real_length import PAPER_SECONDS
from core.evening.tonight.backwards import may_run_backwards
from core.evening.tonight.sheet import Step
from core.evening.tonight.steps import finish_step, skip_step
from core.evening.tonight.transfer import moved_here, transfer_of
from core.logbook.passes import (
    Holds,
    NoteKind,
    Piece,
    PlayedPass,
    TapeNote,
    pass_key,
    played,
    with_note,
)
from core.logbook.typed import with_entry
from core.reels.length import play_seconds
from core.reels.needs import needs_repair
from core.shelf import Shelf
from core.standing.left_to_play import BACK_SECONDS, Transfer


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
    beyond = beyond_the_step(started, finished, log)
    if beyond is not None:
        raise Refused(beyond)
    told = replace(step, started=started or step.started)
    if step.kind != "transfer":
        return finish_step(shelf, told, finished, because)
    shelf, part = moved_here(shelf, step), transfer_of(shelf, step)
    pieces = log.pieces or _by_the_step(shelf, part, told, finished)
    kept = _passes(shelf, step, part, pieces, log.holds)
    for note in log.notes:
        kept = _note(kept, step.subject, note, pieces)
    for piece in _last_runs(pieces):
        if piece.stop is None:  # with its notes there, so that those of a pass from the tail are put right
            kept = end_pass(kept, pass_key(step.subject, piece.number), piece.ended)
    if told.started is None and pieces:
        told = replace(told, started=pieces[0].began)
    standing = [n for n in part.left if _state(kept, step.subject, n) != "done"]
    if standing:
        kept = skip_step(kept, told, finished, _stands(kept, step.subject, standing[0]))
    else:
        kept = finish_step(kept, told, finished, because)
    let_go = bool(pieces) and pieces[-1].stop is not None and pieces[-1].why == "splice"
    if let_go and not needs_repair(kept.reel(step.subject)):
        kept = splice_let_go(kept, step.subject)
    return squeals(kept, step.subject, log.heads) if log.squealed else kept


def beyond_the_step(started: datetime | None, finished: datetime, log: PaperLog) -> str | None:
    """Why the step's own times cannot be right beside those of its tape; None where they hold them."""
    for piece in log.pieces:
        ran = f"the tape ran {piece.began:%H:%M}-{piece.ended:%H:%M}"
        if started is not None and piece.began < started:
            return f"{ran}, and the step began at {started:%H:%M}: one of them is wrong"
        if piece.ended > finished:
            return f"{ran}, and the step ended at {finished:%H:%M}: one of them is wrong"
    return None


def kind_and_words(text: str) -> tuple[NoteKind, str]:
    """The kind that the words begin with, by its name or its digit, and the rest of the words."""
    first, _, rest = text.partition(" ")
    if first.isdigit() and 1 <= int(first) <= len(NOTE_KINDS):
        return NOTE_KINDS[int(first) - 1], rest.strip()
    for kind in NOTE_KINDS:
        if text.casefold().startswith(kind):
            return kind, text[len(kind) :].strip()
    return "other", text


def _passes(shelf: Shelf, step: Step, part: Transfer, pieces: Sequence[PaperPiece], holds: Holds) -> Shelf:
    """The shelf with the passes of those pieces, each as it stands behind its last piece."""
    for number in dict.fromkeys(piece.number for piece in pieces):
        if number not in part.left:
            raise Refused(f"pass {number} is not one of those that are left: {_numbers(part.left)}")
        mine = [piece for piece in pieces if piece.number == number]
        told = _as_it_was(shelf, step, part, number)
        if any(piece.backwards for piece in mine):
            if not may_run_backwards(shelf, step):
                raise Refused(
                    f"{step.subject} plays backwards only from its tail, on a deck that plays both ways"
                )
            told = replace(told, backwards=True)
        for piece in mine:
            told = told.with_piece(_piece(told, piece))
        key = pass_key(step.subject, number)
        whole = mine[-1].stop is None
        stands = _state(shelf, step.subject, number) in ("running", "stopped")
        free = shelf if stands else lay_aside(shelf, step.subject, "played once more", [number])
        shelf = with_entry(free, key, replace(told, holds=holds if whole else "both", by_paper=True))
    return shelf


def _last_runs(pieces: Sequence[PaperPiece]) -> list[PaperPiece]:
    """The last piece of each pass."""
    return list({piece.number: piece for piece in pieces}.values())


def _as_it_was(shelf: Shelf, step: Step, part: Transfer, number: int) -> PlayedPass:
    """The pass as it stands, a running one taken as if it had not run on the screen; else a new one."""
    if part.stands is not None and part.stands.number == number:
        ran = tuple(piece for piece in part.stands.pieces if piece.to is not None)
        return replace(part.stands, state="stopped", pieces=ran)
    total = float(play_seconds(shelf.reel(step.subject), shelf.studio) or 0)
    new = PlayedPass(step.subject, number, "stopped", total, ())
    if part.span is None:
        return new
    span = float(part.span[0]), float(part.span[1])
    return replace(new, span=span, segment=part.name, total=max(total, span[1]))


def _piece(told: PlayedPass, piece: PaperPiece) -> Piece:
    """What a pass keeps of one run: where it was told, else by the head, the last stop, the end."""
    if piece.ended < piece.began:
        raise Refused(f"pass {piece.number} ends before it begins")
    head, end = told.span or (0.0, told.total)
    before = told.position_at(piece.began) - BACK_SECONDS if told.pieces else head
    start = max(head, before) if piece.start is None else piece.start
    ran = float(minutes_between(piece.began, piece.ended)) * 60
    if told.backwards and abs(start + ran - (end or 0.0)) > PAPER_SECONDS:
        end = start + ran  # its places are told from the tail, by the length that it really ran
    stop = (end or start + ran) if piece.stop is None else piece.stop
    if stop <= start:
        raise Refused(f"pass {piece.number}: the tape stops before it starts")
    why = piece.why or ("end" if piece.stop is None else "stopped")
    return Piece(start, piece.began, stop, piece.ended, why)


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
    found = played(shelf).get(pass_key(reel, note.number))
    if found is None:
        raise Refused(f"a note is on pass {note.number}, which was not played")
    kind = note.kind if note.kind in NOTE_KINDS else "other"
    at = _moment(found.pieces, note.seconds)
    return with_note(shelf, TapeNote(reel, note.number, at, note.seconds, kind, note.words))


def _moment(pieces: Sequence[Piece], seconds: float) -> datetime:
    ran = (one for one in pieces if one.to is None or one.start <= seconds <= one.to)
    here = next(ran, pieces[-1])
    return later(here.started, minutes=Fraction(round(max(0.0, seconds - here.start))) / 60)


def _state(shelf: Shelf, reel: str, number: int) -> str:
    found = played(shelf).get(pass_key(reel, number))
    return "" if found is None else found.state


def _stands(shelf: Shelf, reel: str, number: int) -> str:
    from core.clock import clock_text

    found = played(shelf).get(pass_key(reel, number))
    if found is None:
        return f"pass {number} was not played"
    return f"stands at {clock_text(int(found.last.to or 0.0))}: {found.last.why}"


def _numbers(numbers: Sequence[int]) -> str:
    return ", ".join(str(number) for number in numbers) or "none"
