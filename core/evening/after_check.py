"""What becomes of a tape whose check tells that it shed: played again from a minute, warmed or not."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import datetime
from fractions import Fraction
from typing import Literal

from core.clock import later
from core.conditioning.advisor import heat_of
from core.errors import Refused
from core.evening.mark import mark
from core.evening.playing.again import condition_again, treatments_had
from core.logbook.passes import Piece, PlayedPass, pass_key, played
from core.logbook.typed import with_entry
from core.reels.length import play_seconds
from core.reels.needs import sticky
from core.reels.reel import Reel, Stage
from core.shelf import Shelf
from core.standing.back_to_tape import CLEAN_EVERY, due_by_pass
from core.standing.kept_checks import checks_of
from core.standing.left_to_play import Transfer, transfers

Again = Literal["play", "clean", "warm", "whole"]
AGAIN_STAGE: dict[Again, Stage] = {
    "play": "conditioned", "clean": "conditioned", "warm": "identified", "whole": "conditioned",
}  # fmt: skip
"""The stage that such a tape goes back to: it waits for the deck, or for a chamber first."""


def again_stage(shelf: Shelf, reel: Reel, how: Again) -> Stage:
    """The stage to which that reel goes back: none that rests on warmth, or a look, that nothing tells."""
    own = shelf.own_stocks()
    asked = sticky(reel, own) or not reel.condition
    told = reel.conditioned_at is not None or treatments_had(shelf, reel.key) > 0
    return "identified" if asked and not told else AGAIN_STAGE[how]


def again_after_check(
    shelf: Shelf, key: str, how: Again, at: datetime, because: str, since: float | None = None
) -> Shelf:
    """The shelf with that reel back where it waits, so that the next plan holds it.

    Each pass is due from the minute that its newest check tells, or from ``since`` where that is told; what
    ran before is kept. Where nothing tells a minute, or all is wanted, every pass is. Refused where it must
    never be warmed.
    """
    due = {} if how == "whole" else due_from_minutes(shelf, key, since)
    back = mark(shelf, key, again_stage(shelf, shelf.reel(key), how), at, because, keeping=bool(due))
    if due:
        back = _due_again(back, key, due, CLEAN_EVERY if how == "clean" else 0)
    return condition_again(back, key, None, at) if how == "warm" else back


def due_from_minutes(shelf: Shelf, key: str, since: float | None = None) -> dict[int, float]:
    """By pass, the second from which it can be played again; empty where all of the tape has to be.

    Refused for a minute that the tape has not.
    """
    reel = shelf.reel(key)
    ran_back = {one.number for one in played(shelf).values() if one.reel == key and one.backwards}
    due = due_by_pass(shelf, reel)
    if since is not None:
        due = dict.fromkeys(
            due or (number for one in transfers(shelf, reel) for number in one.numbers), since
        )
    parts = {number: one for one in transfers(shelf, reel) for number in one.numbers}
    if any(number in ran_back for number in due):
        return {}
    out = {}
    for number, second in due.items():
        first, last = _span(shelf, parts[number])
        if second >= last:
            if since is not None:
                raise Refused(f"{key} plays no longer than that: name a minute before its end")
            continue
        if second > first:
            out[number] = second
    return out if len(out) == len(due) else {}


def not_again(shelf: Shelf, key: str, how: Again, at: datetime) -> str:
    """Why that cannot be; empty where it can."""
    reel = shelf.reel(key)
    if not reel.past("transferred"):
        return f"{key} is {reel.stage}: it waits for its pass already"
    never = heat_of(shelf, reel, at).never if how == "warm" else None
    return never or ""


def _span(shelf: Shelf, part: Transfer) -> tuple[float, float]:
    """Where on the tape a pass of that transfer begins and ends."""
    if part.span is not None:
        return float(part.span[0]), float(part.span[1])
    return 0.0, float(play_seconds(part.reel, shelf.studio) or 0)


def _due_again(shelf: Shelf, key: str, due: Mapping[int, float], every: int) -> Shelf:
    """The shelf with those passes due once more, each from its second on; all others stay done."""
    reel = shelf.reel(key)
    for part in transfers(shelf, reel):
        for number in part.numbers:
            ran = played(shelf).get(pass_key(key, number)) or _as_checked(shelf, reel, part, number)
            if number in due:
                ran = replace(ran, state="stopped", holds="own", again=due[number], clean_every=every)
            shelf = with_entry(shelf, pass_key(key, number), ran)
    return shelf


def _as_checked(shelf: Shelf, reel: Reel, part: Transfer, number: int) -> PlayedPass:
    """A pass of which nothing but its capture is kept: it ran out by the time when it was transferred."""
    marked = [one.at for one in shelf.history
              if (one.key, one.field, one.new) == (reel.key, "stage", "transferred")]  # fmt: skip
    checked = (str(check["at"]) for check in checks_of(shelf, reel.key).values() if check.get("at"))
    over = marked[-1] if marked else datetime.fromisoformat(max(checked))
    first, last = _span(shelf, part)
    began = later(over, minutes=-Fraction(round(last - first), 60))
    ran = Piece(first, began, last, over, "end")
    span = None if part.span is None else (first, last)
    return PlayedPass(reel.key, number, "done", last, (ran,), span, segment=part.name, by_paper=True)
