"""Values that many rooms' tests start from: a small studio and reels of a made-up shelf."""

from __future__ import annotations

import gc
import os
from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import datetime
from fractions import Fraction
from typing import Any
from zoneinfo import ZoneInfo

import hypothesis
import pytest
from picturenames import name_plainly

from core.planning.answers.simulate import RUNS
from core.quantities import Quantity, read_quantity
from core.reels.reel import Reel
from core.shelf import Shelf
from core.studio.studio import Capture, Chamber, Deck, HoursRow, Studio, Treatment
from tui import one_key

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # workers that share cores would wait for one another
os.environ.setdefault("REELTURN_DEBUG", "1")  # a fault fails the test that met it, on the screen too
LISBON = ZoneInfo("Europe/Lisbon")

gc.disable()  # while tests are collected
one_key.BOUNCE_SECONDS = 0.0  # keys of a test are pressed by no finger
os.fsync = os.fstat  # no test pulls the plug: what is written in this process waits for no disk

hypothesis.settings.register_profile("untimed", deadline=None)  # a busy machine fails no test
hypothesis.settings.load_profile("untimed")
name_plainly()


def pytest_collection_finish() -> None:
    """What collecting made stays to the end: no search for garbage goes over all of it again."""
    gc.collect()
    gc.freeze()
    gc.set_threshold(200_000, 5, 10)
    gc.enable()


@pytest.hookimpl(tryfirst=True)
def pytest_sessionfinish() -> None:
    """What is unused by now is looked for once, and not again as often as pytest does after this."""
    gc.collect()
    gc.freeze()


@pytest.fixture(scope="session", autouse=True)
def few_evenings() -> Iterator[None]:
    """A plan made by the workbook is played a few times, not a hundred: see ``every_evening``."""
    from core.planning.answers import simulate

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(simulate, "RUNS", tuple((most, 8) for most, _ in RUNS))
        yield


@pytest.fixture
def every_evening(monkeypatch: pytest.MonkeyPatch) -> None:
    """For what a test tells of chances and promises: plans are played as often as the program plays them."""
    monkeypatch.setattr("core.planning.answers.simulate.RUNS", RUNS)


def _q(text: str, kind: str) -> Quantity:
    return read_quantity(text, kind)  # type: ignore[arg-type]


@pytest.fixture
def moment() -> Callable[[str], datetime]:
    """A moment of the studio's clock in Lisbon, from ``2026-12-01T19:00``."""
    return lambda text: datetime.fromisoformat(text).replace(tzinfo=LISBON)


@pytest.fixture
def studio() -> Studio:
    """One loud 16-track deck, one chamber of six trays, bench from 19:00 to 22:30 on weekdays."""
    return Studio(
        name="Test wharf",
        timezone="Europe/Lisbon",
        decks=(
            Deck(
                "D1",
                (_q("1 in", "length"), _q("1/4 in", "length")),
                16,
                (_q("15 ips", "speed"), _q("30 ips", "speed")),
                _q("180 ips", "speed"),
                loud=True,
                setup_minutes=40,
                touch_up_minutes=15,
            ),
        ),
        capture=Capture(16, _q("96 kHz", "frequency"), 24),
        chambers=(
            Chamber("C1", 6, ((_q("1 in", "length"), 2), (_q("1/4 in", "length"), 1)), _q("2 h", "time"), 10),
        ),
        treatments=(
            Treatment(
                _q("1 in", "length"),
                _q("54 degC", "temperature"),
                _q("8 h", "time"),
                _q("8 h", "time"),
                Fraction(14),
            ),
            Treatment(
                _q("1/4 in", "length"),
                _q("54 degC", "temperature"),
                _q("4 h", "time"),
                _q("4 h", "time"),
                Fraction(14),
            ),
        ),
        hours=(HoursRow(("mon", "tue", "wed", "thu", "fri"), (), 1140, 1350, True, True, False, 1320),),
    )


@pytest.fixture
def make_reel() -> Callable[..., Reel]:
    """A 1-inch 16-track reel, identified, sound, 2500 ft at 15 ips; any field may be said otherwise."""
    sound = Reel(
        "R-001",
        width=_q("1 in", "length"),
        tracks=16,
        speed=_q("15 ips", "speed"),
        eq="NAB",
        level=_q("250 nWb/m", "flux"),
        base="polyester",
        length=_q("2500 ft", "length"),
        condition=("ok",),
        stage="identified",
    )
    kinds = {"width": "length", "speed": "speed", "level": "flux", "length": "length", "thickness": "length"}

    def make(key: str = "R-001", **other: Any) -> Reel:
        read = {
            name: _q(value, kinds[name]) if name in kinds and isinstance(value, str) else value
            for name, value in other.items()
        }
        return replace(sound, key=key, **read)

    return make


@pytest.fixture
def shelf_of(studio: Studio) -> Callable[..., Shelf]:
    """A shelf of those reels in the test studio."""
    return lambda *reels: Shelf(studio).with_reel(*reels)
