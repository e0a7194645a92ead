"""Tapes that lie in a chamber which is off since their load was broken off, until they are told out."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import replace
from datetime import datetime

from core.clock import later
from core.conditioning.alarms import alarm_of, reads_too_hot
from core.conditioning.loads.kept_loads import loads_of
from core.conditioning.loads.left_inside import left_inside
from core.conditioning.loads.limits import limits_of
from core.shelf import Shelf
from core.values import dataclass
from core.words import day_text, listed


@dataclass(frozen=True, slots=True)
class LiesOff:
    """What lies in a chamber that is off: when its load began, since when and why it is off.

    Its load may go on until ``by``, None where it may not at all: the chamber reads too hot, or all had
    their hours.
    """

    chamber: str
    reels: tuple[str, ...]
    began: datetime
    since: datetime
    why: str
    by: datetime | None

    def says(self, now: datetime) -> str:
        """What lies there, and what to do with it; once it has cooled there is no going on."""
        them, theirs = ("it", "its") if len(self.reels) == 1 else ("them", "their")
        out = f"take {them} out and say so"
        if self.by is None or now > self.by:
            return f"{self._lie} ({self.why}): {out}"
        return f"{self._lie} ({self.why}): on again by {self.by:%H:%M} {theirs} hours count; else {out}"

    def command(self, now: datetime) -> str:
        """The same, with the commands that tell either."""
        on = f"`chamber {self.chamber} --go-on`, " if self.by is not None and now <= self.by else ""
        return f"{self.says(now)} ({on}`{self._told_out}`)"

    @property
    def in_the_way(self) -> str:
        """Why nothing else begins in that chamber, and how it is told that they are out."""
        them = "it" if len(self.reels) == 1 else "them"
        return f"{self._lie}: take {them} out first, then say so (`{self._told_out}`)"

    @property
    def moment(self) -> str:
        """Since when it is off, in words."""
        return f"{day_text(self.since.date())} {self.since:%H:%M}"

    @property
    def _lie(self) -> str:
        lie = "lies" if len(self.reels) == 1 else "lie"
        return f"{listed(self.reels)} {lie} in {self.chamber}, off since {self.moment}"

    @property
    def _told_out(self) -> str:
        return f"chamber {self.chamber} --out {' '.join(self.reels)}"


def lies_off(shelf: Shelf) -> Iterator[LiesOff]:
    """What lies in each chamber that is off; what must come out of it is an alarm, and not told here."""
    for one in _lying(shelf):
        calm = tuple(key for key in one.reels if alarm_of(shelf, key) is None)
        if calm:
            yield replace(one, reels=calm)


def off_since(shelf: Shelf, key: str) -> str:
    """``it lies in C1, off since Sat 5 Dec 10:10``; empty for a reel that lies in no such chamber."""
    one = next((one for one in _lying(shelf) if key in one.reels), None)
    return f"it lies in {one.chamber}, off since {one.moment}" if one is not None else ""


def lies_in(shelf: Shelf, chamber: str, apart: Collection[str] = ()) -> LiesOff | None:
    """What lies in that chamber which is off, those apart; None where it was told to be empty."""
    for one in _lying(shelf):
        keys = tuple(key for key in one.reels if key not in apart)
        if one.chamber == chamber and keys:
            return replace(one, reels=keys)
    return None


def _lying(shelf: Shelf) -> Iterator[LiesOff]:
    lying = left_inside(shelf)
    for load in dict.fromkeys(lying.values()):
        log = loads_of(shelf)[load]
        if log.broken_off is not None:
            by = later(log.broken_off, minutes=round(limits_of(shelf).resume_minutes))
            reels = tuple(key for key, at in lying.items() if at == load)
            lie = [one for one in log.members if one.reel in reels]
            over = reads_too_hot(shelf, log) or not any(log.too_short(one) for one in lie)
            yield LiesOff(log.chamber, reels, log.at, log.broken_off, log.why, None if over else by)
