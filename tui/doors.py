"""The places a person works in, each loaded when it is first gone to."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

from textual.screen import Screen

Door = Screen[Any]


def _chart() -> Door:
    from tui.places.chart.chart import ChartScreen

    return ChartScreen()


def _tonight() -> Door:
    from tui.places.tonight.tonight import TonightScreen

    return TonightScreen()


def _week() -> Door:
    from tui.places.week.week import WeekScreen

    return WeekScreen()


def _songs() -> Door:
    from tui.places.songs.songs import SongsScreen

    return SongsScreen()


def _chamber() -> Door:
    from tui.places.chamber.chamber import ChamberScreen

    return ChamberScreen()


def _studio() -> Door:
    from tui.places.studio.studio import StudioScreen

    return StudioScreen()


#: Name of the place -> what makes its screen.
PLACE_SCREENS: dict[str, str | Callable[[], Door]] = {
    "chart": _chart,
    "tonight": _tonight,
    "week": _week,
    "songs": _songs,
    "chamber": _chamber,
    "studio": _studio,
}


def _reel_card(key: str, ring: Sequence[str] = ()) -> Door:
    from tui.places.reel.reel_card import ReelCard

    return ReelCard(key, ring)


def _song_card(key: str, ring: Sequence[str] = ()) -> Door:
    from tui.places.songs.song_card import SongCard

    return SongCard(key, ring)


def _captures(reel: str) -> Door:
    from tui.places.captures.capture import CaptureScreen

    return CaptureScreen(reel)


def _lineup(reel: str, deck: str, calibration: str = "", by: str = "") -> Door:
    from tui.places.lineup.lineup import LineupScreen

    return LineupScreen(reel, deck, calibration, by)


def _loading(reel: str = "") -> Door:
    from tui.places.chamber.loading import AskLoad

    return AskLoad(reel)


def _track_sheet(reel: str, sheet: str = "", track: int = 0) -> Door:
    from tui.places.reel.track_sheet import TrackSheet

    return TrackSheet(reel, sheet, track)


def _history(kind: str, key: str) -> Door:
    from tui.places.reel.history import HistoryPage

    return HistoryPage(kind, key)


def _parts(song: str) -> Door:
    from tui.places.parts.parts import PartsScreen

    return PartsScreen(song)


def _loose() -> Door:
    from tui.places.loose.loose import LooseScreen

    return LooseScreen()


def _in_time(song: str) -> Door:
    from tui.places.clock.clock import ClockScreen

    return ClockScreen(song)


def _album(name: str = "") -> Door:
    from tui.places.album.album import AlbumScreen

    return AlbumScreen(name)


#: Name of a card, page or question -> what makes its screen; `Home.open_door` opens it.
DOORS: dict[str, Callable[..., Door]] = {
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
