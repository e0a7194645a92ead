"""A pass of one reel: its clock runs with the tape, and it may be stopped, cleaned after, and gone on with.

Its pieces tell where on the tape (seconds of play time) and when each began and stopped, and why. A reel may
stand at 12:31 of 33:20 overnight, where its last piece ended. A pass of one part of a tape names the part;
one span of a tape, played for a reason of its own, is no transfer.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from datetime import datetime
from fractions import Fraction
from typing import get_args

from core.clock import clock_seconds, clock_text, later, write_time
from core.conditioning.box_asked import box_answered, box_asked
from core.conditioning.on_deck import told_since_it_stood
from core.errors import Refused
from core.evening.playing.from_the_tail import notes_turned
from core.evening.playing.left_lying import stood_apart
from core.evening.playing.open_joint import open_joint, open_squeal
from core.logbook.passes import (
    NoteKind,
    PassState,
    Piece,
    PlayedPass,
    TapeNote,
    noted,
    pass_key,
    played,
    with_note,
)
from core.logbook.running import in_the_way, line_ups_running, table_work
from core.logbook.typed import with_entry
from core.reels.length import play_seconds
from core.shelf import Shelf
from core.standing.gates import goes_on, ready_to_play
from core.standing.left_to_play import BACK_SECONDS, Transfer, transfers
from core.values import dataclass


@dataclass(frozen=True, slots=True)
class TapePass:
    """A pass as it stands: ``position`` and ``total`` in seconds of play time."""

    reel: str
    number: int
    state: PassState
    position: float
    total: float
    pieces: int
    stopped_for: str = ""
    span: tuple[float, float] | None = None
    part: str = ""  # the part of the tape that it is the transfer of
    backwards: bool = False  # from the tail: places count from there
    to_clean: tuple[float, ...] = ()  # where it is stopped to clean its path

    @property
    def left(self) -> float:
        """Seconds of tape still to run."""
        return max(0.0, (self.span[1] if self.span else self.total) - self.position)

    def ends(self, now: datetime) -> datetime:
        """When the tape comes to its end, if it runs on from where it is now."""
        return later(now, minutes=Fraction(round(self.left)) / 60)


def start_pass(
    shelf: Shelf,
    reel_key: str,
    number: int,
    at: datetime,
    *,
    span: str = "",
    because: str = "",
    part: Transfer | None = None,
    backwards: bool = False,
) -> Shelf:
    """The shelf with that pass running from the tape's head, or from that of the ``part`` it is of.

    It may also run over one span ``m:ss-m:ss`` only, with a reason; or ``backwards``, from the tape's tail.
    """
    reel = shelf.reel(reel_key)
    why = ready_to_play(shelf, reel, at)
    if why is not None:
        raise Refused(f"{reel_key} may not be played: {why}")
    nothing_runs(shelf, at, deck_of_pass(shelf, reel_key), reel_key)
    if pass_key(reel_key, number) in played(shelf):
        raise Refused(f"pass {number} of {reel_key} was begun: go on with it, or start pass {number + 1}")
    if span and not because.strip():
        raise Refused("a whole reel is the rule, since it may play only once: one span takes a reason")
    stretch = _read_span(span) if span else None
    total = float(play_seconds(reel, shelf.studio) or 0)
    if part is not None and part.span is not None:
        stretch = float(part.span[0]), float(part.span[1])
        total = max(total, stretch[1])
    begun = PlayedPass(
        reel=reel_key,
        number=number,
        state="running",
        total=total,
        pieces=(Piece(stretch[0] if stretch else 0.0, at),),
        span=stretch,
        because=because.strip() if span else "",
        segment=part.name if part is not None and part.span is not None else "",
        backwards=backwards,
    )
    return with_entry(shelf, pass_key(reel_key, number), begun)


def stop_pass(shelf: Shelf, key: str, at: datetime, why: str, place: float | None = None) -> Shelf:
    """The shelf with that pass stopped where the tape is at that moment, or at that place; and why."""
    begun = _begun(shelf, key)
    if begun.state != "running":
        raise Refused(f"pass {key} is not running")
    return with_entry(shelf, key, _halted(begun, at, why, place))


def stopped_before(shelf: Shelf, key: str, at: datetime, place: float | None = None) -> Shelf:
    """The shelf with a pass that stands stopped having stopped at another moment, or place, than was kept.

    What stops by itself is noticed late. Notes that were dropped meanwhile keep their moments; those beyond
    the place lie at it, since the tape stood.
    """
    stood = _stopped(shelf, key)
    last = stood.last
    if at < last.started:
        raise Refused(f"pass {key} runs since {last.started:%H:%M}: it did not stop before")
    halted = _halted(stood.with_last(last.running()), at, last.why or "stopped", place)
    to = halted.position_at(at)
    for name, note in notes_of(shelf, stood.reel):
        if note.number == stood.number and note.seconds > to and note.at >= last.started:
            shelf = with_entry(shelf, name, replace(note, seconds=to))
    return with_entry(shelf, key, halted)


def stopped_for(shelf: Shelf, key: str, why: str) -> Shelf:
    """The shelf with the reason for which that pass stands; where and when it stopped never moves."""
    stood = _stopped(shelf, key)
    return with_entry(shelf, key, stood.with_last(replace(stood.last, why=why)))


def go_on(shelf: Shelf, key: str, at: datetime, back: float = BACK_SECONDS, *, because: str = "") -> Shelf:
    """The shelf with a new piece of that pass running, some seconds before the last one stopped.

    A tape that was stopped for a joint goes on once that is remade, one that squealed once somebody has
    looked what lies on the heads, one of whose box or notes something is asked once that is answered; or
    ``because`` says why all the same.
    """
    stood = _stopped(shelf, key)
    why = goes_on(shelf, shelf.reel(stood.reel), at)
    if why is not None:
        raise Refused(f"{stood.reel} may not be played: {why}")
    squeal, joint = open_squeal(shelf, stood.reel), open_joint(shelf, stood.reel)
    reel, reasoned = shelf.reel(stood.reel), bool(because.strip())
    asks, against = box_asked(shelf, reel), told_since_it_stood(shelf, stood.reel, at)
    if (squeal or joint or asks or against) and not reasoned:
        told = f"{squeal}: `reelturn tonight stop --heads WHAT` tells it" if squeal else joint or against
        told = f" does not go on: {told}" if told else f" {asks}"
        raise Refused(f"{stood.reel}{told} (--because says why all the same)")
    shelf = box_answered(shelf, stood.reel) if reasoned else shelf
    nothing_runs(shelf, at, deck_of_pass(shelf, stood.reel), stood.reel)
    start = max(0.0, stood.position_at(at) - back) if stood.again is None else stood.again
    runs = replace(stood.with_piece(Piece(start, at)), state="running", holds="take-up", again=None)
    return with_entry(shelf, key, runs)


def end_pass(shelf: Shelf, key: str, at: datetime, place: float | None = None) -> Shelf:
    """The shelf with that pass done: the tape has run to its end, was heard, and lies tails out.

    One that ran backwards lies heads out.
    """
    begun = _begun(shelf, key)
    halted = _halted(begun, at, "end", place) if begun.state == "running" else begun
    reel = shelf.reels.get(begun.reel)
    if reel is not None:
        wind = reel.wind if begun.span else "heads" if begun.backwards else "tails"
        shelf = shelf.with_reel(replace(reel, heard=reel.heard or begun.pieces[0].started, wind=wind))
    done = replace(halted, state="done", holds="take-up" if halted.holds == "off" else halted.holds)
    return with_entry(notes_turned(shelf, done) if done.backwards else shelf, key, done)


def end_running(shelf: Shelf, reel: str, at: datetime) -> Shelf:
    """The shelf with a pass of that reel that runs done, since the reel was marked transferred.

    What stops by itself is noticed late: one that had run out long before was over then.
    """
    for key, one in played(shelf).items():
        if one.reel == reel and one.state == "running":
            shelf = end_pass(shelf, key, one.ran_out(at) or at)
    return shelf


def lay_aside(shelf: Shelf, reel: str, why: str, numbers: Iterable[int] | None = None) -> Shelf:
    """The shelf with passes of that reel (all, or those numbers) kept, but to be played again.

    Their numbers become free; what they tell stays under a key with the moment at which they began.
    """
    wanted = None if numbers is None else set(numbers)
    for key, one in played(shelf).items():
        if one.reel != reel or one.void or one.alone or one.state == "running":
            continue
        if wanted is not None and one.number not in wanted:
            continue
        apart = f"{key} of {write_time(one.pieces[0].started)}"
        shelf = with_entry(shelf, apart, replace(one, void=why)).with_record("pass", key, None)
    return shelf


def passes_of(shelf: Shelf, now: datetime, reel: str = "") -> tuple[TapePass, ...]:
    """Every pass of that reel, or of all, as it stands now; not those that are to be played again."""
    return tuple(
        _as_it_stands(one, now)
        for one in played(shelf).values()
        if (not reel or one.reel == reel) and not one.void
    )


def running_pass(shelf: Shelf, now: datetime) -> TapePass | None:
    """The pass that runs, of whatever reel: there is one at most."""
    running = (one for one in played(shelf).values() if one.state == "running" and not one.void)
    return next((_as_it_stands(one, now) for one in running), None)


def nothing_runs(shelf: Shelf, at: datetime, deck: str = "", reel: str = "") -> None:
    """Refused while a tape runs, or anything on that deck: whoever listens to one does not begin another."""
    running = running_pass(shelf, at)
    if running is not None:
        raise Refused(f"pass {running.number} of {running.reel} is running: stop it first")
    deck_is_free(shelf, deck, at, reel)


def deck_is_free(shelf: Shelf, deck: str, at: datetime, reel: str = "") -> None:
    """Refused while something runs on that deck: a pass, a first hearing, a line-up."""
    other = in_the_way(shelf, deck, at, reel)
    if other is not None:
        since = _clock(shelf, other.since)
        what = "a line-up" if other.kind == "align" else other.words
        raise Refused(f"{what} runs on {deck} since {since}: end it or stop it first")


def deck_of_pass(shelf: Shelf, reel: str) -> str:
    """The deck of that reel's transfer that was begun; empty where none was."""
    raw = shelf.of_kind("actual").values()
    mine = (one for one in raw if (one.get("kind"), one.get("subject")) == ("transfer", reel))
    return next((str(one.get("deck", "")) for one in mine if one.get("state") == "running"), "")


def _clock(shelf: Shelf, at: datetime) -> str:
    return f"{at.astimezone(shelf.studio.zone):%H:%M}"


def planning_waits_for(shelf: Shelf, now: datetime) -> str | None:
    """What runs on a deck or at the table: a plan made now would have it once more, so it waits for its end.

    None where nothing runs.
    """
    running = running_pass(shelf, now)
    if running is None:
        runs = [(one.words, one.since) for one in line_ups_running(shelf, now)] or table_work(shelf, now)
        begun = next((f"{words} runs since {_clock(shelf, since)}" for words, since in runs), "")
        return f"{begun}: a plan made now would have it once more; plan when it is over" if begun else None
    until = f", until about {running.ends(now).astimezone(shelf.studio.zone):%H:%M}" if running.left else ""
    return f"{running.reel} is running{until}: a plan made now would play it once more; plan when it is over"


def drop_note(
    shelf: Shelf,
    key: str,
    at: datetime,
    kind: NoteKind = "other",
    words: str = "",
    place: float | None = None,
) -> Shelf:
    """The shelf with a timed note on that pass, stamped at that moment or place; words may come later."""
    begun = _begun(shelf, key)
    kind = kind if kind in NOTE_KINDS else "other"
    seconds = round(begun.position_at(at) if place is None else place, 1)
    return with_note(shelf, TapeNote(begun.reel, begun.number, at, seconds, kind, words))


def reword_note(
    shelf: Shelf, note_key: str, *, kind: NoteKind | None = None, words: str | None = None
) -> Shelf:
    """The shelf with another kind or other words on that note; its time never moves."""
    note = noted(shelf).get(note_key)
    if note is None:
        raise Refused(f"no timed note {note_key!r}")
    changed = replace(note, kind=kind or note.kind, words=note.words if words is None else words)
    return with_entry(shelf, note_key, changed)


def notes_of(shelf: Shelf, reel: str) -> tuple[tuple[str, TapeNote], ...]:
    """The timed notes on that reel with their keys, in the order of the tape."""
    mine = [(key, note) for key, note in noted(shelf).items() if note.reel == reel]
    return tuple(sorted(mine, key=lambda pair: (pair[1].number, pair[1].seconds)))


NOTE_KINDS: tuple[NoteKind, ...] = get_args(NoteKind)


#: Why a tape is stopped; a digit names it, at the tape and on paper.
STOPPED_FOR = ("clean heads", "squeal", "splice")


def next_number(shelf: Shelf, reel: str) -> int:
    """The number of a pass that is no transfer: after those that the reel's transfers take."""
    regular = [n for one in transfers(shelf, shelf.reel(reel)) for n in one.numbers]
    begun = [one.number for one in played(shelf).values() if one.reel == reel]
    return 1 + max([*regular, *begun])


def _begun(shelf: Shelf, key: str) -> PlayedPass:
    found = played(shelf).get(key)
    if found is None:
        raise Refused(f"no pass {key!r} was begun")
    return found


def _stopped(shelf: Shelf, key: str) -> PlayedPass:
    found = _begun(shelf, key)
    if found.state != "stopped":
        raise Refused(f"pass {key} is not stopped")
    return found


def _halted(begun: PlayedPass, at: datetime, why: str, place: float | None = None) -> PlayedPass:
    to = round(begun.position_at(at) if place is None else max(place, begun.last.start), 1)
    return replace(begun.with_last(begun.last.halted(to, at, why)), state="stopped")


def _as_it_stands(one: PlayedPass, now: datetime) -> TapePass:
    return TapePass(
        reel=one.reel,
        number=one.number,
        state=one.state,
        position=one.position_at(now),
        total=one.total,
        pieces=len(one.pieces),
        stopped_for=one.last.why if one.again is None else "to be played again from there",
        span=one.span,
        part=one.segment,
        backwards=one.backwards,
        to_clean=one.to_clean,
    )


def _read_span(text: str) -> tuple[float, float]:
    start, dash, end = text.partition("-")
    try:
        span = float(clock_seconds(start)), float(clock_seconds(end))
    except ValueError as error:
        raise Refused(f"a span is written as 12:30-16:45, not {text!r}") from error
    if span[0] >= span[1] or not dash:
        raise Refused(f"the span {text} ends before it begins")
    return span


def where_tape_is(shelf: Shelf, reel: str) -> str | None:
    """Which reel holds the tape after its newest pass, in words; None where it was never played."""
    mine = [one for one in played(shelf).values() if one.reel == reel and (not one.void or stood_apart(one))]
    if not mine:
        return None
    newest = max(mine, key=lambda one: one.last.started)
    if newest.state == "running":
        return "on the deck, running"
    at = clock_text(int(newest.last.to or 0.0))
    back = "; wind it back before it plays again" if newest.void else ""
    lies = newest.state == "stopped" and newest.holds != "own"
    if newest.backwards and newest.holds != "own":  # it ran from the take-up reel, on which it lay tails out
        stands = f"stands at {at} from the tail: what was played is on the supply reel, the rest on the other"
        return f"{stands}{back}" if lies else "on the supply reel, heads out"
    if lies:
        return f"stands at {at}: what was played is on the take-up reel, the rest on its own{back}"
    return {
        "own": "on its own reel, wound back",
        "both": "some on the take-up reel, the rest on its own",
    }.get(newest.holds, "on the take-up reel")


def place(one: TapePass) -> str:
    """Where it is: ``12:31 of 33:20``, ``34:28, 1:08 over the estimate``; in a span ``3:10, to 4:00``."""
    at, end = int(one.position), int(one.span[1] if one.span else one.total)
    tail = ", from the tail" if one.backwards else ""
    if not end:
        return f"{clock_text(at)}{tail}"
    if at > end:
        over = f"past {clock_text(end)}" if one.span else "over the estimate"
        return f"{clock_text(at)}, {clock_text(at - end)} {over}{tail}"
    return f"{clock_text(at)}{', to' if one.span else ' of'} {clock_text(end)}{tail}"


def standing(one: TapePass) -> str:
    """Where a tape stands, in words: ``stopped at 12:31 of 33:20 (clean heads)``."""
    return f"{one.state} at {place(one)}" + (f" ({one.stopped_for})" if one.stopped_for else "")
