"""The places a person works in, each loaded when it is first gone to."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from textual.screen import Screen


def _chart() -> Screen[object]:
    from tui.places.chart.chart import ChartScreen

    return ChartScreen()


def _tonight() -> Screen[object]:
    from tui.places.tonight.tonight import TonightScreen

    screen: Screen[object] = TonightScreen()
    return screen


def _week() -> Screen[object]:
    from tui.places.week.week import WeekScreen

    return WeekScreen()


def _songs() -> Screen[object]:
    from tui.places.songs.songs import SongsScreen

    return SongsScreen()


def _chamber() -> Screen[object]:
    from tui.places.chamber.chamber import ChamberScreen

    return ChamberScreen()


def _studio() -> Screen[Any]:
    from tui.places.studio.studio import StudioScreen

    return StudioScreen()


#: Name of the place -> what makes its screen.
PLACE_SCREENS: dict[str, str | Callable[[], Screen[Any]]] = {
    "chart": _chart,
    "tonight": _tonight,
    "week": _week,
    "songs": _songs,
    "chamber": _chamber,
    "studio": _studio,
}


def _reel_card(*told: Any) -> Screen[Any]:
    from tui.places.reel.reel_card import ReelCard

    return ReelCard(*told)


def _song_card(*told: Any) -> Screen[Any]:
    from tui.places.songs.song_card import SongCard

    return SongCard(*told)


def _captures(*told: Any) -> Screen[Any]:
    from tui.places.captures.capture import CaptureScreen

    return CaptureScreen(*told)


def _lineup(*told: Any) -> Screen[Any]:
    from tui.places.lineup.lineup import LineupScreen

    return LineupScreen(*told)


def _loading(*told: Any) -> Screen[Any]:
    from tui.places.chamber.loading import AskLoad

    return AskLoad(*told)


def _track_sheet(*told: Any) -> Screen[Any]:
    from tui.places.reel.track_sheet import TrackSheet

    return TrackSheet(*told)


def _history(*told: Any) -> Screen[Any]:
    from tui.places.reel.history import HistoryPage

    return HistoryPage(*told)


def _parts(*told: Any) -> Screen[object]:
    from tui.places.parts.parts import PartsScreen

    return PartsScreen(*told)


def _loose(*told: object) -> Screen[object]:
    from tui.places.loose.loose import LooseScreen

    return LooseScreen(*told)


def _in_time(*told: Any) -> Screen[object]:
    from tui.places.clock.clock import ClockScreen

    return ClockScreen(*told)


def _album(*told: Any) -> Screen[object]:
    from tui.places.album.album import AlbumScreen

    return AlbumScreen(*told)


#: Name of a card, page or question -> what makes its screen; `Home.open_door` opens it.
DOORS: dict[str, Callable[..., Screen[object]]] = {
    "reel": _reel_card,
    "song": _song_card,
    "captures": _captures,
    "line-up": _lineup,
    "load": _loading,
    "track sheet": _track_sheet,
    "history": _history,
    "parts": _parts,
    "loose sheets": _loose,
    "in time": _in_time,
    "album": _album,
}
