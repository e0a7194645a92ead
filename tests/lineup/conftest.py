"""Set-ups, calibration tapes and reels to line up."""

from collections.abc import Callable
from datetime import UTC, datetime
from fractions import Fraction
from typing import Any

import pytest

from core.lineup.calibration import CalibrationTape
from core.lineup.record import LineupRecord, ToneReading
from core.lineup.sheet import LineupSheet
from core.quantities import Quantity
from core.reels.reel import Reel
from core.studio.setup import Setup
from core.tape.physics.equalisation import find_equalisation


def quantity(number: float, unit: str) -> Quantity:
    return Quantity(f"{number:g} {unit}", Fraction(number))


@pytest.fixture
def setup_of() -> Callable[..., Setup]:
    """Makes a set-up of speed, eq, level."""

    def make(speed: float = 15, eq: str = "NAB", level: float = 250, noise_reduction: str = "") -> Setup:
        return Setup(quantity(speed, "ips"), eq, quantity(level, "nWb/m"), noise_reduction)

    return make


@pytest.fixture
def tape_of() -> Callable[..., CalibrationTape]:
    """Makes a calibration tape of level, eq, speed."""

    def make(nwb_m: float = 250, eq: str = "NAB", speed: float = 15, **more: Any) -> CalibrationTape:
        found = find_equalisation(eq, speed)
        assert found is not None
        return CalibrationTape("CAL-1", nwb_m, found, **more)

    return make


@pytest.fixture
def multitrack() -> Callable[..., Reel]:
    """Makes a 1-inch, 16-track reel with what is given changed."""

    def make(**fields: Any) -> Reel:
        plain: dict[str, Any] = {
            "width": quantity(1, "in"),
            "tracks": 16,
            "speed": quantity(15, "ips"),
            "eq": "NAB",
        }
        return Reel("R-1", **(plain | {"level": quantity(250, "nWb/m")} | fields))

    return make


@pytest.fixture
def readings() -> Callable[..., LineupRecord]:
    """A record in which every line reads as expected, moved by `off`: (line, track) -> dB or degrees."""

    def make(
        sheet: LineupSheet,
        off: dict[tuple[str, int], float] | None = None,
        at: datetime = datetime(2026, 12, 1, 19, tzinfo=UTC),
        when: str = "after",
    ) -> LineupRecord:
        moved = off or {}
        found = tuple(
            ToneReading(line.key, track, (line.expected or 0) + moved.get((line.key, track), 0.0), when)  # type: ignore[arg-type]
            for line in sheet.lines
            if line.unit
            for track in (range(1, sheet.tracks + 1) if line.per_track else (0,))
        )
        ticked = frozenset({"clean", "demagnetise", "safe"})
        return LineupRecord(
            at, sheet.deck, sheet.setup.words(), sheet.choice, sheet.calibration, ticked, found
        )

    return make
