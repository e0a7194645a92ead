"""What a line-up read: a dated record for each deck and set-up, kept on the shelf."""

from collections.abc import Mapping
from dataclasses import field
from datetime import datetime
from typing import Literal

from core.as_json import as_json, read
from core.lineup.sheet import CHOICES, Choice
from core.values import dataclass

When = Literal["before", "after"]


@dataclass(frozen=True, slots=True)
class ToneReading:
    """What one line read on one track (0 for the whole head), as found (`before`) or as left (`after`)."""

    line: str
    track: int
    value: float
    when: When = "after"

    def __post_init__(self) -> None:
        if self.when not in ("before", "after"):
            raise ValueError(f"a reading is from before or after, not {self.when!r}")
        if not abs(self.value) < 1000:
            raise ValueError(f"{self.value} is no reading of {self.line}")


@dataclass(frozen=True, slots=True)
class LineupRecord:
    """A line-up that was made: set-up in words, how it was chosen, lines ticked, readings."""

    at: datetime
    deck: str
    setup: Mapping[str, str]
    choice: Choice = "calibration tape"
    calibration: str = ""
    ticked: frozenset[str] = field(default_factory=frozenset)
    readings: tuple[ToneReading, ...] = ()
    reel: str = ""
    note: str = ""

    def __post_init__(self) -> None:
        if self.choice not in CHOICES:
            raise ValueError(f"a line-up is made by {', '.join(CHOICES)}, not {self.choice!r}")

    def reading(self, line: str, track: int, when: When = "after") -> float | None:
        """The last value written down there; None where the line is blank."""
        found = [r.value for r in self.readings if (r.line, r.track, r.when) == (line, track, when)]
        return found[-1] if found else None

    @property
    def same(self) -> tuple[str, ...]:
        """What two records share that are compared with one another: deck and set-up."""
        words = (str(self.setup.get(part, "")) for part in ("speed", "eq", "level", "noise_reduction"))
        plain = ("".join(word.casefold().split()) for word in words)
        return (self.deck, *("" if word == "none" else word for word in plain))


@dataclass(frozen=True, slots=True)
class _Kept:
    """A line-up as its record tells it."""

    at: datetime
    deck: str
    setup: Mapping[str, str] = field(default_factory=dict)
    choice: Choice = "calibration tape"
    calibration: str = ""
    ticked: tuple[str, ...] = ()
    readings: tuple[tuple[str, int, float, When], ...] = ()
    reel: str = ""
    note: str = ""


def to_record(lineup: LineupRecord) -> dict[str, object]:
    """The line-up as a plain JSON value."""
    return as_json(
        _Kept(
            lineup.at, lineup.deck, lineup.setup, lineup.choice, lineup.calibration,
            tuple(sorted(lineup.ticked)),
            tuple((one.line, one.track, one.value, one.when) for one in lineup.readings),
            lineup.reel, lineup.note,
        )
    )  # fmt: skip


def from_record(record: Mapping[str, object]) -> LineupRecord:
    """The line-up from its record; ValueError where it is none."""
    kept = read(_Kept, record)
    return LineupRecord(
        kept.at, kept.deck, kept.setup, kept.choice, kept.calibration, frozenset(kept.ticked),
        tuple(ToneReading(*one) for one in kept.readings), kept.reel, kept.note,
    )  # fmt: skip
