"""Turns of a load that nobody made: the next touch was logged, and what was due before it was left out."""

from __future__ import annotations

from datetime import datetime
from fractions import Fraction

from core.clock import minutes_between
from core.conditioning.loads.chamber_log import ChamberLog
from core.conditioning.loads.kept_loads import load_key
from core.shelf import Shelf


def not_turned(shelf: Shelf, log: ChamberLog, every: Fraction) -> tuple[int, ...]:
    """By number, the first being 1, the turns of that load that a later touch went past: nothing moved then.

    A turn that is due, and behind which nothing was logged yet, may still be made late, and is none of them;
    one that is not made since the touch before came so late is.
    """
    told = (moment for moment, _ in _told(shelf, log))
    logged = [_minute(log.as_counted(moment.astimezone(log.at.tzinfo), every)) for moment in told]
    last, missed, number = max(logged, default=log.at), [], 1
    while every > 0:
        due = _minute(log.after(every * number))
        if due > last and not turned_before(log, due, every) and not turned_since(shelf, log, due):
            break
        if due not in logged:
            missed.append(number)
        number += 1
    return tuple(missed)


def turned_before(log: ChamberLog, due: datetime, every: Fraction) -> datetime | None:
    """The turn that was made so late that it lies nearer to that moment than to its own; None where none was.

    That moment is no turn any more: what was turned a few minutes ago is not turned again.
    """
    near = (at for at in log.turns if 0 < minutes_between(at, due) < every * 30)
    return max(near, default=None)


def turned_since(shelf: Shelf, log: ChamberLog, due: datetime) -> bool:
    """True where a touch told at that moment or behind it turned what stays: it is not turned once more.

    A take-out that comes hours late turns the rest with it, whatever turn was due meanwhile.
    """
    return any(minutes_between(due, at) >= 0 for _, at in _told(shelf, log))


def _told(shelf: Shelf, log: ChamberLog) -> list[tuple[datetime, datetime]]:
    """The load's turns and take-outs as the evening tells them: when each was due, and when it was made."""
    touches = shelf.of_kind("load").get(load_key(log.chamber, log.at), {}).get("touches", ())
    return [
        (datetime.fromisoformat(one["planned"]), datetime.fromisoformat(one["at"]))
        for one in touches
        if one["do"] in ("turn", "take out")
    ]


def _minute(at: datetime) -> datetime:
    return at.replace(second=0, microsecond=0)
