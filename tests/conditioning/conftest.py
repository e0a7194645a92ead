"""A small studio and reels for it."""

from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, datetime
from fractions import Fraction
from typing import Any

import pytest

from core.quantities import Quantity
from core.reels.reel import Reel
from core.studio.studio import WEEKDAYS, Chamber, Deck, HoursRow, Studio, Treatment

INCH = Quantity("1 in", Fraction(1))
QUARTER = Quantity("1/4 in", Fraction(1, 4))


def hours(number: int) -> Quantity:
    return Quantity(f"{number} h", Fraction(number))


@pytest.fixture
def now() -> datetime:
    """An evening in December."""
    return datetime(2026, 12, 1, 19, 0, tzinfo=UTC)


@pytest.fixture
def studio() -> Studio:
    """One deck and one chamber for 1 in and 1/4 in."""
    warm = Quantity("54 degC", Fraction(54))
    return Studio(
        "Harbour Lane",
        "UTC",
        decks=(
            Deck(
                "D1",
                (INCH, QUARTER),
                16,
                (Quantity("15 ips", Fraction(15)),),
                Quantity("180 ips", Fraction(180)),
            ),
        ),
        chambers=(Chamber("C1", 6, ((INCH, 2), (QUARTER, 1)), hours(2), 10),),
        treatments=(
            Treatment(INCH, warm, hours(8), hours(8), Fraction(14)),
            Treatment(QUARTER, warm, hours(4), hours(4), Fraction(14)),
        ),
        hours=(HoursRow(WEEKDAYS, (), 0, 1440, home=True),),
        assume_length=Quantity("2500 ft", Fraction(30_000)),
    )


@pytest.fixture
def reel() -> Callable[..., Reel]:
    """Makes a 1-inch, 16-track, 15 ips reel that has been looked at, with what is given changed."""
    plain = Reel(
        "R-1",
        width=INCH,
        tracks=16,
        speed=Quantity("15 ips", Fraction(15)),
        condition=("ok",),
        stage="identified",
    )

    def make(**fields: Any) -> Reel:
        return replace(plain, **fields)

    return make
