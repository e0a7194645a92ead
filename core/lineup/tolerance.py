"""How far off a reading may be: the house's figures with their sources, the owner's own in their place."""

from collections.abc import Mapping

from core.tape.exact import not_negative
from core.tape.where import figure
from core.values import dataclass


@dataclass(frozen=True, slots=True)
class Tolerances:
    """Decibels and degrees that a reading may be off; ValueError for one below nothing."""

    level_db: float
    balance_db: float
    middle_db: float
    treble_up_db: float
    treble_down_db: float
    phase_degrees: float
    drift_db: float

    def __post_init__(self) -> None:
        for name in self.__slots__:
            not_negative(getattr(self, name), f"the tolerance {name}")

    def band_db(self, hz: float) -> tuple[float, float]:
        """Lowest and highest deviation in dB allowed for a tone of the response."""
        if hz > figure("lineup.treble_from_hz"):
            return -self.treble_down_db, self.treble_up_db
        return -self.middle_db, self.middle_db

    def phase_at(self, hz: float) -> float:
        """Degrees allowed at a frequency: the same angle of the head, so in proportion to 10 kHz."""
        return self.phase_degrees * hz / 10_000


def tolerances(own: Mapping[str, float] = {}) -> Tolerances:
    """The figures `lineup.*` of the tables; `own` holds the owner's, by the same keys."""
    names = Tolerances.__slots__
    return Tolerances(**{name: float(own.get(f"lineup.{name}", figure(f"lineup.{name}"))) for name in names})
