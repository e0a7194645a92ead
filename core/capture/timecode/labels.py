"""Timecode labels as arithmetic: label to frame number and back, drop-frame counting included."""

from __future__ import annotations

import re
from fractions import Fraction

from core.errors import Unusable
from core.values import dataclass

_LABEL = re.compile(r"([0-9]{2}):([0-9]{2}):([0-9]{2})[:;.]([0-9]{2})")


@dataclass(frozen=True, slots=True)
class Rate:
    """A frame rate: how labels are counted and how fast they pass."""

    name: str
    """As the shelf writes it: 24, 25, 29.97, 29.97 DF or 30."""
    count: int
    """Labels in a second that drops none: 24, 25 or 30."""
    drop: bool
    """Whether two labels are left out in every minute but each tenth."""
    frames_per_second: Fraction
    """True rate; 30000/1001 for both kinds of 29.97."""

    @property
    def frames_per_day(self) -> int:
        """Labels from 00:00:00:00 until it comes again."""
        return self.count * 86400 - (2 * (1440 - 144) if self.drop else 0)

    @property
    def seconds_per_day(self) -> Fraction:
        """How long the labels of one day last at the true rate."""
        return self.frames_per_day / self.frames_per_second


RATES = {
    rate.name: rate
    for rate in (
        Rate("24", 24, False, Fraction(24)),
        Rate("25", 25, False, Fraction(25)),
        Rate("29.97", 30, False, Fraction(30000, 1001)),
        Rate("29.97 DF", 30, True, Fraction(30000, 1001)),
        Rate("30", 30, False, Fraction(30)),
    )
}


def rate_named(name: str) -> Rate:
    """The rate of that name; `Unusable` says which names there are."""
    try:
        return RATES[name]
    except KeyError:
        raise Unusable(f"timecode rate {name!r} is not known; write {', '.join(RATES)}") from None


def is_dropped(minutes: int, seconds: int, frames: int) -> bool:
    """Whether drop-frame counting leaves this label out (ST 12-1: :00 and :01, but for each tenth minute)."""
    return frames < 2 and seconds == 0 and minutes % 10 != 0


def frame_number(label: str, rate: Rate) -> int:
    """Frames from 00:00:00:00 to a label such as 01:02:03:04 (`;` is read as `:`).

    Raises:
        ValueError: the label is not one, or does not exist at this rate.
    """
    found = _LABEL.fullmatch(label)
    if found is None:
        raise ValueError(f"{label!r} is not a timecode label; write it as 01:02:03:04")
    hours, minutes, seconds, frames = (int(part) for part in found.groups())
    if hours > 23 or minutes > 59 or seconds > 59 or frames >= rate.count:
        raise ValueError(f"{label} is beyond the clock at rate {rate.name}")
    if rate.drop and is_dropped(minutes, seconds, frames):
        raise ValueError(f"{label} does not exist at rate {rate.name}: drop-frame counting leaves it out")
    total_minutes = 60 * hours + minutes
    number = (60 * total_minutes + seconds) * rate.count + frames
    return number - 2 * (total_minutes - total_minutes // 10) if rate.drop else number


def label_of(number: int, rate: Rate) -> str:
    """The label of a frame number, modulo one day, with `:` throughout."""
    number %= rate.frames_per_day
    if rate.drop:
        tens, rest = divmod(number, 17982)
        number += 18 * tens + (2 * ((rest - 2) // 1798) if rest >= 2 else 0)
    seconds, frames = divmod(number, rate.count)
    return f"{seconds // 3600:02}:{seconds // 60 % 60:02}:{seconds % 60:02}:{frames:02}"


def seconds_of(label: str, rate: Rate) -> Fraction:
    """Elapsed seconds from 00:00:00:00 to a label at the true rate, exact."""
    return frame_number(label, rate) / rate.frames_per_second
