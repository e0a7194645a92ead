"""The album's page as its acts see it: its album, the line under the cursor, the what-ifs."""

from __future__ import annotations

from collections.abc import Callable
from typing import Protocol

from core.release.album import Album
from core.release.album_song import AlbumSong
from tui.frame.acts.held import Here
from tui.keys.words import Told
from tui.places.album.album_lines import Line


class OnAlbum(Here, Protocol):
    """What is done with an album asks this much; ``without`` and ``free`` change no shelf."""

    album: str
    page: Album | None
    without: tuple[str, ...]
    free: bool

    @property
    def line(self) -> Line | None:
        """The line under the cursor."""

    @property
    def one(self) -> AlbumSong | None:
        """The song under the cursor."""

    def keep(self, work: Callable[[], object], said: str) -> None:
        """Does something to the shelf, and says that it was done."""

    def laid(self) -> None:
        """Shows the page as it is now."""

    def say(self, text: str | Told, *, bad: bool = False) -> None:
        """Says one line at the foot of the place."""

    def refresh_foot(self) -> None:
        """Draws the foot anew, since what can be used may have changed."""
