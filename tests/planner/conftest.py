"""A small invented studio and shelf, made of values; every test takes what it needs and changes one thing."""

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime
from fractions import Fraction
from typing import Any
from zoneinfo import ZoneInfo

import pytest

from core.quantities import read_quantity
from core.reels.reel import Reel
from core.shelf import Shelf
from core.songs.song import Need, Song
from core.studio.setup import Setup
from core.studio.studio import Capture, Chamber, Comfort, Deck, HoursRow, Minutes, Studio, Treatment

ZONE = ZoneInfo("Africa/Nairobi")  # no clock changes
NO_COMFORT = Comfort("hours", Fraction(0), Fraction(0), Fraction(0))  # ends to the minute, nothing kept free
WEEK = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")


def q(text: str, kind: str) -> Any:
    return read_quantity(text, kind)  # type: ignore[arg-type]


def a_studio() -> Studio:
    quarter = q("1/4 in", "length")
    deck = Deck(
        "D1",
        (quarter,),
        2,
        (q("15 ips", "speed"), q("7.5 ips", "speed")),
        q("150 ips", "speed"),
        setup_minutes=30,
        touch_up_minutes=10,
    )
    chamber = Chamber("C1", 2, ((quarter, 1),), q("2 h", "time"), 10)
    treatment = Treatment(quarter, q("54 degC", "temperature"), q("4 h", "time"), q("4 h", "time"), 5)  # type: ignore[arg-type]
    hours = (
        HoursRow(("mon", "tue", "wed", "thu"), (), 19 * 60, 22 * 60, bench=True, home=True),
        HoursRow(("sat", "sun"), (), 9 * 60, 21 * 60, home=True),
    )
    capture = Capture(8, q("96 kHz", "frequency"), 24)
    return Studio(
        "Tern Street",
        "Africa/Nairobi",
        (deck,),
        capture,
        (chamber,),
        (treatment,),
        hours,
        Minutes(),
        comfort=NO_COMFORT,
    )


def a_reel(key: str, **told: Any) -> Reel:
    plain = Reel(
        key,
        width=q("1/4 in", "length"),
        tracks=2,
        speed=q("15 ips", "speed"),
        eq="IEC",
        level=q("320 nWb/m", "flux"),
        base="polyester",
        length=q("1200 ft", "length"),
        wind="heads",
        condition=("ok",),
        stage="identified",
    )
    return replace(plain, **told)


@pytest.fixture
def start() -> datetime:
    """A Monday afternoon."""
    return datetime(2026, 9, 7, 16, 0, tzinfo=ZONE)


@pytest.fixture
def reel() -> Callable[..., Reel]:
    """Makes a quarter-inch reel, 16 minutes long, with nothing wrong unless said."""
    return a_reel


@pytest.fixture
def shelf() -> Shelf:
    """Three reels, one of them sticky, two songs, one calibration reel."""
    reels = (
        a_reel("R-1"),
        a_reel("R-2", condition=("sticky",)),
        a_reel("R-3", eq="NAB", stage="found", condition=("splices",), splices=4),
        a_reel("CAL", role="calibration"),
    )
    songs = (
        Song("S-1", "Tern", album="Low Water", priority=5, needs=(Need("R-1"), Need("R-2"))),
        Song("S-2", "Plover", album="Low Water", priority=2, needs=(Need("R-3"),)),
    )
    return Shelf(a_studio(), "test", {r.key: r for r in reels}, {s.key: s for s in songs})


@pytest.fixture
def with_helper() -> Callable[[Shelf, tuple[str, ...]], Shelf]:
    """The shelf whose deck needs a helper, who comes on those weekdays."""

    def change(shelf: Shelf, days: tuple[str, ...]) -> Shelf:
        deck = replace(shelf.studio.decks[0], setup_needs_helper=True)
        row = HoursRow(days, (), 19 * 60, 22 * 60, helper=True)
        hours = (*shelf.studio.hours, row) if days else shelf.studio.hours
        return replace(shelf, studio=replace(shelf.studio, decks=(deck,), hours=hours))

    return change


@pytest.fixture
def standing_on() -> Callable[[Shelf, str], Shelf]:
    """The shelf whose deck stands on 15 ips, 320 nWb/m and that equalisation."""

    def change(shelf: Shelf, eq: str) -> Shelf:
        setup = Setup(q("15 ips", "speed"), eq, q("320 nWb/m", "flux"))
        return replace(
            shelf, studio=replace(shelf.studio, decks=(replace(shelf.studio.decks[0], lined_up=setup),))
        )

    return change
