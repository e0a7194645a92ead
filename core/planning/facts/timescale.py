"""Whole minutes from the plan's first grid moment, and back to moments on the studio's clock."""

from __future__ import annotations

from dataclasses import field
from datetime import UTC, datetime, timedelta
from fractions import Fraction
from math import ceil, floor

from core.clock import days_later, grid_ceiling, minutes_between
from core.values import dataclass


@dataclass(frozen=True, slots=True)
class Timescale:
    """Minute 0 is the first moment of the studio's grid at or after ``start``.

    Clock changes are whole multiples of 30 minutes and the grid divides 30, so a multiple of ``grid`` here
    is a grid moment of the studio's clock on both sides of a change.
    """

    start: datetime
    until: datetime
    grid: int
    zero: datetime
    lead: Fraction = field(init=False, compare=False)  # minutes from the plan's start to zero: under one step
    horizon: Fraction = field(init=False, compare=False)  # elapsed minutes from start to until
    _moments: dict[int, datetime] = field(default_factory=dict, compare=False, repr=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "lead", minutes_between(self.start, self.zero))
        object.__setattr__(self, "horizon", minutes_between(self.start, self.until))

    @classmethod
    def of(cls, start: datetime, days: int, grid: int) -> Timescale:
        """The scale of a plan from ``start`` to the same clock time ``days`` dates later."""
        return cls(start, days_later(start, days), grid, grid_ceiling(start, grid))

    def exact(self, moment: datetime) -> Fraction:
        """Minutes from zero, exact."""
        return minutes_between(self.zero, moment)

    def not_before(self, moment: datetime) -> int:
        """The first whole minute at or after the moment."""
        return ceil(self.exact(moment))

    def not_after(self, moment: datetime) -> int:
        """The last whole minute at or before the moment."""
        return floor(self.exact(moment))

    def up(self, minute: int | Fraction) -> int:
        """The first grid minute at or after."""
        whole = minute if isinstance(minute, int) else ceil(minute)
        return -(-whole // self.grid) * self.grid

    def down(self, minute: int | Fraction) -> int:
        """The last grid minute at or before."""
        whole = minute if isinstance(minute, int) else floor(minute)
        return whole // self.grid * self.grid

    def moment(self, minute: int) -> datetime:
        """The moment that many minutes after zero."""
        kept = self._moments.get(minute)
        if kept is None:
            moment = self.zero.astimezone(UTC) + timedelta(minutes=minute)
            kept = self._moments[minute] = moment.astimezone(self.zero.tzinfo)
        return kept


def whole(minutes: Fraction) -> int | Fraction:
    """The same minutes, as an int where they are whole: those are compared and summed many times faster."""
    return minutes.numerator if minutes.denominator == 1 else minutes
