"""What has moved since a deck was last lined up to the same set-up."""

from collections.abc import Iterable
from datetime import datetime

from core.lineup.record import LineupRecord, When
from core.lineup.tolerance import Tolerances, tolerances
from core.values import dataclass


@dataclass(frozen=True, slots=True)
class Drift:
    """One line of one track: as it was left last time, as it was found now, and whether that is much."""

    line: str
    track: int
    left: float
    found: float
    since: datetime
    much: bool

    @property
    def moved(self) -> float:
        """Found less left, in the line's unit."""
        return self.found - self.left


def last_before(record: LineupRecord, earlier: Iterable[LineupRecord]) -> LineupRecord | None:
    """The newest earlier record of the same deck and set-up."""
    mine = [one for one in earlier if one.same == record.same and one.at < record.at]
    return max(mine, key=lambda one: one.at, default=None)


def drift(
    record: LineupRecord, earlier: Iterable[LineupRecord], allowed: Tolerances | None = None
) -> tuple[Drift, ...]:
    """Every reading that both line-ups have: as left then, and now as found, or else as left."""
    last = last_before(record, earlier)
    if last is None:
        return ()
    allowed = allowed or tolerances()
    found = []
    for line, track in dict.fromkeys((reading.line, reading.track) for reading in record.readings):
        then, now = (
            _either(last, line, track, ("after", "before")),
            _either(record, line, track, ("before", "after")),
        )
        if then is not None and now is not None:
            much = allowed.phase_degrees if line.startswith("azimuth") else allowed.drift_db
            found.append(Drift(line, track, then, now, last.at, abs(now - then) > much + 1e-9))
    return tuple(found)


def history(
    line: str, track: int, records: Iterable[LineupRecord], when: When = "before"
) -> tuple[tuple[datetime, float], ...]:
    """A line's readings on a track over time, oldest first."""
    ordered = sorted(records, key=lambda one: one.at)
    return tuple((one.at, value) for one in ordered if (value := one.reading(line, track, when)) is not None)


def _either(record: LineupRecord, line: str, track: int, order: tuple[When, When]) -> float | None:
    first = record.reading(line, track, order[0])
    return first if first is not None else record.reading(line, track, order[1])
