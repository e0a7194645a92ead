"""A pass of one reel: its clock runs with the tape, and it may be stopped, cleaned after, and gone on with.

Kept as a ``pass`` record under ``REEL n``: pieces with the tape position (seconds of play time) where each
began and stopped, when, and why. A reel may stand at 12:31 of 33:20 overnight, where its last piece ended. A
pass of one part of a tape names the part; one span of a tape, played for a reason of its own, is no transfer.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import datetime
from fractions import Fraction
from typing import Any

from core.clock import clock_seconds, clock_text, later, write_time
from core.errors import Refused
from core.reels.length import play_seconds
from core.shelf import Shelf
from core.standing.gates import ready_to_play
from core.standing.left_to_play import BACK_SECONDS, Transfer, pass_key, position_at, transfers


@dataclass(frozen=True, slots=True)
class TapePass:
    """A pass as it stands: ``position`` and ``total`` in seconds of play time."""

    reel: str
    number: int
    state: str  # running | stopped | done
    position: float
    total: float
    pieces: int
    stopped_for: str = ""
    span: tuple[float, float] | None = None
    part: str = ""  # the part of the tape that it is the transfer of

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
) -> Shelf:
    """The shelf with that pass running from the tape's head, or from that of the ``part`` it is of.

    It may also run over one span ``m:ss-m:ss`` only, with a reason.
    """
    reel = shelf.reel(reel_key)
    why = ready_to_play(shelf, reel, at)
    if why is not None:
        raise Refused(f"{reel_key} may not be played: {why}")
    running = running_pass(shelf, at)
    if running is not None:
        raise Refused(f"pass {running.number} of {running.reel} is running: stop it first")
    if pass_key(reel_key, number) in shelf.of_kind("pass"):
        raise Refused(f"pass {number} of {reel_key} was begun: go on with it, or start pass {number + 1}")
    if span and not because.strip():
        raise Refused("a whole reel is the rule, since it may play only once: one span takes a reason")
    start, end = _read_span(span) if span else (0.0, None)
    total = float(play_seconds(reel, shelf.studio) or 0)
    told: dict[str, Any] = {"span": [start, end], "because": because.strip()} if span else {}
    if part is not None and part.span is not None:
        start, end = (float(edge) for edge in part.span)
        total = max(total, end)
        told = {"span": [start, end], "segment": part.name}
    record: dict[str, Any] = {
        "reel": reel_key,
        "pass": number,
        "state": "running",
        "total": total,
        "pieces": [{"from": start, "started": write_time(at)}],
    }
    record |= told
    return shelf.with_record("pass", pass_key(reel_key, number), record)


def stop_pass(shelf: Shelf, key: str, at: datetime, why: str, place: float | None = None) -> Shelf:
    """The shelf with that pass stopped where the tape is at that moment, or at that place; and why."""
    record = _record(shelf, key)
    if record["state"] != "running":
        raise Refused(f"pass {key} is not running")
    return shelf.with_record("pass", key, {**_halted(record, at, why, place), "state": "stopped"})


def stopped_before(shelf: Shelf, key: str, at: datetime, place: float | None = None) -> Shelf:
    """The shelf with a pass that stands stopped having stopped at another moment, or place, than was kept.

    What stops by itself is noticed late. Notes that were dropped meanwhile keep their moments; those beyond
    the place lie at it, since the tape stood.
    """
    record = _record(shelf, key)
    if record["state"] != "stopped":
        raise Refused(f"pass {key} is not stopped")
    last = {name: value for name, value in record["pieces"][-1].items() if name not in ("to", "stopped")}
    begun = datetime.fromisoformat(last["started"])
    if at < begun:
        raise Refused(f"pass {key} runs since {begun:%H:%M}: it did not stop before")
    free = {**record, "pieces": [*record["pieces"][:-1], last]}
    halted = _halted(free, at, str(last.get("why", "stopped")), place)
    to = float(halted["pieces"][-1]["to"])
    for name, note in notes_of(shelf, record["reel"]):
        dropped = datetime.fromisoformat(note["at"])
        if note["pass"] == record["pass"] and float(note["seconds"]) > to and dropped >= begun:
            shelf = shelf.with_record("timed note", name, {**note, "seconds": to})
    return shelf.with_record("pass", key, {**halted, "state": "stopped"})


def stopped_for(shelf: Shelf, key: str, why: str) -> Shelf:
    """The shelf with the reason for which that pass stands; where and when it stopped never moves."""
    record = _record(shelf, key)
    if record["state"] != "stopped":
        raise Refused(f"pass {key} is not stopped")
    pieces = [*record["pieces"][:-1], {**record["pieces"][-1], "why": why}]
    return shelf.with_record("pass", key, {**record, "pieces": pieces})


def go_on(shelf: Shelf, key: str, at: datetime, back: float = BACK_SECONDS) -> Shelf:
    """The shelf with a new piece of that pass running, some seconds before the last one stopped."""
    record = _record(shelf, key)
    if record["state"] != "stopped":
        raise Refused(f"pass {key} is not stopped")
    why = ready_to_play(shelf, shelf.reel(record["reel"]), at)
    if why is not None:
        raise Refused(f"{record['reel']} may not be played: {why}")
    start = max(0.0, float(record["pieces"][-1]["to"]) - back)
    pieces = [*record["pieces"], {"from": start, "started": write_time(at)}]
    return shelf.with_record("pass", key, {**record, "state": "running", "pieces": pieces})


def end_pass(shelf: Shelf, key: str, at: datetime, place: float | None = None) -> Shelf:
    """The shelf with that pass done: the tape has run to its end, was heard, and lies tails out."""
    record = _record(shelf, key)
    halted = _halted(record, at, "end", place) if record["state"] == "running" else record
    reel = shelf.reels.get(record["reel"])
    if reel is not None:
        first = datetime.fromisoformat(record["pieces"][0]["started"])
        wind = reel.wind if record.get("span") else "tails"
        shelf = shelf.with_reel(replace(reel, heard=reel.heard or first, wind=wind))
    return shelf.with_record("pass", key, {**halted, "state": "done"})


def end_running(shelf: Shelf, reel: str, at: datetime) -> Shelf:
    """The shelf with a pass of that reel that runs done, since the reel was marked transferred."""
    for key, record in shelf.of_kind("pass").items():
        if record["reel"] == reel and record["state"] == "running":
            shelf = end_pass(shelf, key, at)
    return shelf


def lay_aside(shelf: Shelf, reel: str, why: str, numbers: Iterable[int] | None = None) -> Shelf:
    """The shelf with passes of that reel (all, or those numbers) kept, but to be played again.

    Their numbers become free; what they tell stays under a key with the moment at which they began.
    """
    wanted = None if numbers is None else set(numbers)
    for key, record in shelf.of_kind("pass").items():
        alone = record.get("span") and not record.get("segment")  # one span, for a reason of its own
        if record["reel"] != reel or record.get("void") or alone or record["state"] == "running":
            continue
        if wanted is not None and record["pass"] not in wanted:
            continue
        apart = f"{key} of {record['pieces'][0]['started']}"
        shelf = shelf.with_record("pass", apart, {**record, "void": why}).with_record("pass", key, None)
    return shelf


def passes_of(shelf: Shelf, now: datetime, reel: str = "") -> tuple[TapePass, ...]:
    """Every pass of that reel, or of all, as it stands now; not those that are to be played again."""
    return tuple(
        _as_it_stands(record, now)
        for record in shelf.of_kind("pass").values()
        if (not reel or record["reel"] == reel) and not record.get("void")
    )


def running_pass(shelf: Shelf, now: datetime) -> TapePass | None:
    """The pass that runs, of whatever reel: there is one at most."""
    records = shelf.of_kind("pass").values()
    running = (one for one in records if one["state"] == "running" and not one.get("void"))
    return next((_as_it_stands(record, now) for record in running), None)


def drop_note(
    shelf: Shelf, key: str, at: datetime, kind: str = "other", words: str = "", place: float | None = None
) -> Shelf:
    """The shelf with a timed note on that pass, stamped at that moment or place; words may come later."""
    record = _record(shelf, key)
    kind = kind if kind in NOTE_KINDS else "other"
    notes = shelf.of_kind("timed note")
    number = 1 + max((int(one.rsplit(" ", 1)[1]) for one in notes if one.startswith(f"{key} ")), default=0)
    note = {
        "reel": record["reel"],
        "pass": record["pass"],
        "at": write_time(at),
        "seconds": round(position_at(record, at) if place is None else place, 1),
        "kind": kind,
        "words": words,
    }
    return shelf.with_record("timed note", f"{key} {number}", note)


def reword_note(shelf: Shelf, note_key: str, *, kind: str | None = None, words: str | None = None) -> Shelf:
    """The shelf with another kind or other words on that note; its time never moves."""
    note = shelf.of_kind("timed note").get(note_key)
    if note is None:
        raise Refused(f"no timed note {note_key!r}")
    changed = {**note, "kind": kind or note["kind"], "words": note["words"] if words is None else words}
    return shelf.with_record("timed note", note_key, changed)


def notes_of(shelf: Shelf, reel: str) -> tuple[tuple[str, Mapping[str, Any]], ...]:
    """The timed notes on that reel with their keys, in the order of the tape."""
    mine = [(key, note) for key, note in shelf.of_kind("timed note").items() if note["reel"] == reel]
    return tuple(sorted(mine, key=lambda pair: (pair[1]["pass"], pair[1]["seconds"])))


NOTE_KINDS = (
    "dropout",
    "squeal",
    "splice",
    "print-through",
    "noise",
    "song start",
    "song end",
    "other",
)


def next_number(shelf: Shelf, reel: str) -> int:
    """The number of a pass that is no transfer: after those that the reel's transfers take."""
    regular = [n for one in transfers(shelf, shelf.reel(reel)) for n in one.numbers]
    begun = [int(r["pass"]) for r in shelf.of_kind("pass").values() if r["reel"] == reel]
    return 1 + max([*regular, *begun])


def _record(shelf: Shelf, key: str) -> dict[str, Any]:
    record = shelf.of_kind("pass").get(key)
    if record is None:
        raise Refused(f"no pass {key!r} was begun")
    return dict(record)


def _halted(record: dict[str, Any], at: datetime, why: str, place: float | None = None) -> dict[str, Any]:
    to = round(position_at(record, at) if place is None else max(place, record["pieces"][-1]["from"]), 1)
    last = {**record["pieces"][-1], "to": to, "stopped": write_time(at), "why": why}
    return {**record, "pieces": [*record["pieces"][:-1], last]}


def _as_it_stands(record: Mapping[str, Any], now: datetime) -> TapePass:
    span = record.get("span")
    end = record["total"] if span is None or span[1] is None else span[1]
    return TapePass(
        reel=record["reel"],
        number=record["pass"],
        state=record["state"],
        position=position_at(record, now),
        total=record["total"],
        pieces=len(record["pieces"]),
        stopped_for=record["pieces"][-1].get("why", ""),
        span=(span[0], end) if span else None,
        part=record.get("segment", ""),
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
    mine = [
        record
        for record in shelf.of_kind("pass").values()
        if record["reel"] == reel and not record.get("void")
    ]
    if not mine:
        return None
    newest = max(mine, key=lambda record: datetime.fromisoformat(record["pieces"][-1]["started"]))
    if newest["state"] == "running":
        return "on the deck, running"
    if newest["state"] == "stopped":
        at = clock_text(int(newest["pieces"][-1]["to"]))
        return f"stands at {at}: what was played is on the take-up reel, the rest on its own"
    return {
        "own": "on its own reel, wound back",
        "both": "some on the take-up reel, the rest on its own",
    }.get(str(newest.get("holds")), "on the take-up reel")


def place(one: TapePass) -> str:
    """Where it is: ``12:31 of 33:20``, ``34:28, 1:08 over the estimate``; in a span ``3:10, to 4:00``."""
    at, end = int(one.position), int(one.span[1] if one.span else one.total)
    if not end:
        return clock_text(at)
    if at > end:
        over = f"past {clock_text(end)}" if one.span else "over the estimate"
        return f"{clock_text(at)}, {clock_text(at - end)} {over}"
    return f"{clock_text(at)}{', to' if one.span else ' of'} {clock_text(end)}"


def standing(one: TapePass) -> str:
    """Where a tape stands, in words: ``stopped at 12:31 of 33:20 (clean heads)``."""
    return f"{one.state} at {place(one)}" + (f" ({one.stopped_for})" if one.stopped_for else "")
