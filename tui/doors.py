"""The places a person works in, each loaded when it is first gone to."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from textual.screen import Screen


def _chart() -> Screen[Any]:
    from tui.places.chart.chart import ChartScreen

    return ChartScreen()


def _tonight() -> Screen[Any]:
    from tui.places.tonight.tonight import TonightScreen

    screen: Screen[Any] = TonightScreen()
    return screen


def _week() -> Screen[Any]:
    from tui.places.week.week import WeekScreen

    return WeekScreen()


def _songs() -> Screen[Any]:
    from tui.places.songs.songs import SongsScreen

    return SongsScreen()


def _chamber() -> Screen[Any]:
    from tui.places.chamber.chamber import ChamberScreen

    return ChamberScreen()


#: Name of the place -> what makes its screen.
PLACE_SCREENS: dict[str, str | Callable[[], Screen[Any]]] = {
    "chart": _chart,
    "tonight": _tonight,
    "week": _week,
    "songs": _songs,
    "chamber": _chamber,
}
