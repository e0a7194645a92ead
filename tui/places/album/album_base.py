"""What every part of the album's page knows: its album, the line under the cursor, the what-ifs."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from core.release.album import Album
from core.release.album_song import AlbumSong
from tui.frame.place import Place
from tui.places.album.album_lines import Line, SongLine
from tui.places.album.album_list import AlbumList

if TYPE_CHECKING:
    pass


class AlbumBase(Place):
    """The keys of the album's place; ``without`` and ``free`` are what-ifs and change no shelf."""

    def __init__(self) -> None:
        super().__init__()
        self.album = ""
        self.page: Album | None = None
        self.without: tuple[str, ...] = ()
        self.free = False

    @property
    def line(self) -> Line | None:
        """The line under the cursor."""
        return self.query_one(AlbumList).line if self.is_laid_out else None

    @property
    def one(self) -> AlbumSong | None:
        """The song under the cursor."""
        line = self.line
        return line.one if isinstance(line, SongLine) else None

    def _do(self, work: Callable[[], object], said: str) -> None:
        if self.home.do(lambda: (work(), True)) is not None:
            self.say(f"{said}. {self.home.takes_back}")
