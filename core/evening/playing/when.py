"""When something happened, as a person tells it: a time of this evening, or the place where the tape was."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import date, datetime, timedelta, tzinfo
from fractions import Fraction

from core.clock import NIGHT_ENDS, at_wall, clock_seconds, clock_text, evening_of, later, read_time
from core.logbook.passes import PlayedPass
from core.values import dataclass

#: So much further than by the clock a tape may be, its speed and its start not being known to the second.
AHEAD, AHEAD_SECONDS = 1.02, 20.0

_CLOCK = re.compile(r"([01]?\d|2[0-3])[:.]?([0-5]\d)")

_MINUTE = re.compile(r"[0-5]\d")


def of_evening(text: str, day: date, where: tzinfo) -> datetime:
    """A moment of the evening that began on ``day``: ``19:40`` or ``1940``; ``0:20`` of the night after.

    A whole date and time is taken as it is. ValueError with what would be right.
    """
    typed = text.strip()
    if "-" in typed or "T" in typed:
        return read_time(typed, where)
    read = _CLOCK.fullmatch(typed)
    if read is None:
        raise ValueError("a time such as 19:40")
    hours, minutes = int(read[1]), int(read[2])
    night = timedelta(days=1 if hours < NIGHT_ENDS else 0)
    return at_wall(day + night, hours * 60 + minutes, where)


def start_and_end(text: str, day: date, where: tzinfo, now: datetime) -> tuple[datetime | None, datetime]:
    """``19:05-19:40`` as both times, ``19:40`` as the end alone; ValueError where it is still to come.

    ``1905-40`` ends within the hour behind its beginning.
    """
    first, dash, second = text.partition(" - ") if " - " in text else _halves(text)
    begin = of_evening(first, day, where) if dash else None
    if begin is not None and (short := _MINUTE.fullmatch(second.strip())):
        end = later(begin, minutes=(int(short[0]) - begin.minute) % 60)
    else:
        end = of_evening(second if dash else first, day, where)
    if end > now or (begin is not None and begin > now):
        raise ValueError("a time that is over: this is still to come")
    if begin is not None and begin > end:
        raise ValueError("an end that comes after its beginning")
    return begin, end


def last_time(text: str, where: tzinfo, now: datetime) -> datetime:
    """The last moment at which the clock showed that time; a whole date and time as it is; ValueError else.

    In the morning ``23:10`` is last night's. What is still to come did not happen.
    """
    typed, today = text.strip(), now.astimezone(where).date()
    if "-" in typed or "T" in typed:
        moment = read_time(typed, where)
        if moment > now:
            raise ValueError("a time that is over: this is still to come")
        return moment
    read = _CLOCK.fullmatch(typed)
    if read is None:
        raise ValueError("a time such as 20:07")
    minutes = int(read[1]) * 60 + int(read[2])
    moment = at_wall(today, minutes, where)
    return moment if moment <= now else at_wall(today - timedelta(days=1), minutes, where)


def _halves(text: str) -> tuple[str, str, str]:
    return text.partition("-") if text.count("-") == 1 else (text, "", "")


@dataclass(frozen=True, slots=True)
class When:
    """A moment, and where the tape was at it in seconds of play time; None where no tape was meant.

    ``told_by`` is ``clock`` or ``tape``, whichever was typed.
    """

    moment: datetime
    place: float | None = None
    told_by: str = "clock"

    @property
    def words(self) -> str:
        """``20:07, the tape at 7:00``: how it was read, to be shown while it is typed."""
        tape = "" if self.place is None else f", the tape at {clock_text(int(self.place))}"
        return f"{self.moment:%H:%M}{tape}"


def read_when(text: str, day: date, where: tzinfo, now: datetime, tape: PlayedPass | None) -> When:
    """``20:07`` or ``2007`` of that evening, or ``12:30`` of the tape of that pass; ValueError else.

    A time at which the tape of the pass cannot have run, and which is a place on it, is one; so the clock
    goes before the tape where both could be meant. What is still to come did not happen. Times are of the
    evening in which the tape began.
    """
    typed = text.strip()
    begun = None if tape is None else tape.last.started.astimezone(where)
    if begun is not None:
        day = min(day, evening_of(begun))  # a tape that was left running is told of by its own evening
    try:
        moment: datetime | None = of_evening(typed, day, where)
    except ValueError:
        moment = None
    if moment is not None and moment <= now and (begun is None or moment >= begun):
        return When(moment, None if tape is None else tape.last.running().position_at(moment))
    if tape is None or begun is None:
        raise ValueError(
            "a time such as 20:07" if moment is None else "a time that is over: this is still to come"
        )
    place = _place(typed)
    if place is None:
        raise ValueError("a time such as 20:07, or a place on the tape such as 12:30")
    first = tape.last.start
    if place < first:
        raise ValueError(
            f"a time since {begun:%H:%M}, or a place on the tape from {clock_text(int(first))} on"
        )
    there = first + replace(tape.last.running(), start=0.0).position_at(now)
    if place > there * AHEAD + AHEAD_SECONDS:
        raise ValueError(f"a place where the tape was: it cannot be past {clock_text(int(there))} by now")
    run = later(begun, minutes=Fraction(round((place - first) * 10), 600))
    return When(min(run, now), place, "tape")


def _place(text: str) -> float | None:
    """A place on the tape, its colon left out or not; None where it reads as none."""
    plain = text.replace(".", ":") if text.count(".") == 1 and ":" not in text else text
    if plain.isdigit() and 3 <= len(plain) <= 4:
        plain = f"{plain[:-2]}:{plain[-2:]}"
    try:
        return float(clock_seconds(plain))
    except ValueError:
        return None
