"""What a chamber's log is held to: the house's figures with their sources, the owner's own in their place."""

from collections.abc import Mapping
from datetime import datetime
from fractions import Fraction

from core.clock import minutes_between
from core.shelf import Shelf
from core.tape.exact import not_negative
from core.tape.where import figure
from core.values import dataclass


@dataclass(frozen=True, slots=True)
class Limits:
    """Degrees, hours, minutes and a share by which a log is judged; ValueError for one below nothing.

    The hard stop is none of them: no owner's figure lifts it.
    """

    reading_band_c: float
    settle_hours: float
    turn_late_minutes: float
    resume_minutes: float
    trial_spread_c: float
    weight_settled_share: float

    def __post_init__(self) -> None:
        for name in self.__slots__:
            not_negative(getattr(self, name), f"the limit {name}")

    @property
    def settle_minutes(self) -> Fraction:
        """How long a load may read low at first."""
        return Fraction(str(self.settle_hours)) * 60


def limits(own: Mapping[str, float] = {}) -> Limits:
    """The figures `heat.*` of the tables; `own` holds the owner's, by the same keys."""
    names = Limits.__slots__
    return Limits(**{name: float(own.get(f"heat.{name}", figure(f"heat.{name}"))) for name in names})


def limits_of(shelf: Shelf) -> Limits:
    """The limits with the owner's own figures."""
    return limits(shelf.chosen.numbers("heat."))


def early_by(due: datetime, at: datetime, *, out: bool = False) -> Fraction | None:
    """Minutes by which a touch comes so much before its time that it is asked about; else None.

    A take-out is at any: tape that comes ``out`` before its hours are up counts as not treated.
    """
    early = minutes_between(at, due)
    return early if early > (0 if out else figure("heat.turn_late_minutes")) else None


#: What a take-out before its time means, behind when it is due.
NOT_TREATED = ": out before, it counts as not treated"
