"""What a new plan moves, in sentences."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime, timedelta
from typing import Final

from core.clock import evening_of
from core.plan import Move, MoveKind
from core.words import counted, day_text, listed

#: A verify that comes by so much later behind its transfer than it did is told apart.
APART = timedelta(hours=1)
WARMING: Final = "warming"
_TWINS: dict[MoveKind, MoveKind] = {"transfer": "verify", "verify": "transfer"}


def moved_words(told: Sequence[Move], tonight: date | None = None) -> list[str]:
    """A sentence for every move, a verify together with its transfer.

    ``tonight``: the date of an evening that has begun; what stays in it at another time is told in one line.
    """
    here = [move for move in told if tonight is not None and _within(move, tonight)]
    if here:
        rest = moved_words([move for move in told if move not in here])
        return [*rest, f"{counted(len(here), 'step')} of this evening at another time of it"]
    by = {(move.reel, move.kind): move for move in told}
    loads: dict[tuple[object, ...], list[str]] = {}
    for move in told:
        if move.kind == WARMING:
            loads.setdefault(_load(move), []).append(move.reel)
    out = []
    for move in told:
        together = loads.get(_load(move), [move.reel]) if move.kind == WARMING else [move.reel]
        if together[0] != move.reel:
            continue  # said with the first of its load
        twin = by.get((move.reel, _TWINS[move.kind])) if move.kind in _TWINS else None
        both = twin is not None and [one is None for one in (twin.was, twin.now)] == [
            one is None for one in (move.was, move.now)
        ]
        if both and move.kind == "verify":
            continue
        named = "transfer and verify" if both else move.kind
        apart = _apart(move, twin) if both and twin is not None else ""
        out.append(f"{named} of {listed(together)}: {_from_to(move.was, move.now)}{apart}, {move.why}")
    return out


def things_moved(told: Sequence[Move], tonight: date | None = None) -> int:
    """How many things a person is told of as elsewhere or gone: one a sentence, and none that is new.

    A tape with its verify is one, and so are the tapes of a load that stay together. A step at another time
    of its own evening is one too, but for an evening that has begun: what stays in it is one line.
    """
    return len(moved_words([move for move in told if move.was is not None], tonight))


def _within(move: Move, day: date) -> bool:
    if move.was is None or move.now is None or move.kind == WARMING:
        return False
    return evening_of(move.was) == evening_of(move.now) == day


def _load(move: Move) -> tuple[object, ...]:
    """What the reels of one load have in common that moves together."""
    return move.kind, move.was, move.now, move.why


def _apart(transfer: Move, verify: Move) -> str:
    """``, verify at 21:15`` where that comes long after its transfer now, as it did not before."""
    if transfer.now is None or verify.now is None:
        return ""
    before = verify.was - transfer.was if verify.was is not None and transfer.was is not None else None
    if verify.now - transfer.now - (before or timedelta()) <= APART:
        return ""
    other = f"{day_text(verify.now)} " if verify.now.date() != transfer.now.date() else "at "
    return f", verify {other}{verify.now:%H:%M}"


def _from_to(was: datetime | None, now: datetime | None) -> str:
    """``from Tue 8 Dec 19:40 to 21:05``, the day said once where it is the same."""
    if was is None:
        return f"new on {day_text(now)} {now:%H:%M}" if now is not None else ""
    if now is None:
        return f"was on {day_text(was)} {was:%H:%M}, not in this plan"
    other = f"{day_text(now)} " if now.date() != was.date() else ""
    return f"from {day_text(was)} {was:%H:%M} to {other}{now:%H:%M}"
