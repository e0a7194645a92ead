"""The album: one page that tells whether it is full, fits, what is missing and who must be asked."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterable
from datetime import datetime
from typing import ClassVar

from textual import on
from textual.app import RenderResult
from textual.binding import BindingType
from textual.content import Content
from textual.reactive import reactive
from textual.widget import Widget

from core.clock import minutes_text
from core.errors import ReelturnError
from core.release.album import Album
from core.release.album_song import AlbumSong
from core.words import counted
from tui.frame.drawn.line_list import LineList
from tui.frame.place import Place
from tui.keys.keys import KEYS, bindings
from tui.places.album.album_acts import AlbumActs
from tui.places.album.album_lines import (
    LeftOutLine,
    Line,
    PlayerLine,
    SongLine,
    WordLine,
    fits_words,
    page_lines,
    song_words,
)
from tui.places.album.album_list import AlbumList, heads
from tui.places.album.album_mixes import AlbumMixes
from tui.places.album.album_people import AlbumPeople
from tui.safe_text import fit, plain

OWN = frozenset(key.action.partition("(")[0] for key in KEYS if key.id.startswith("album."))
"""What only this place does."""


class AlbumHeads(Widget):
    """Does it fit, is it full, whom does it wait for; and the heads of the columns."""

    fits: reactive[str] = reactive("")
    full: reactive[str] = reactive("")
    bad: reactive[bool] = reactive(False)

    def render(self) -> RenderResult:
        """Three lines, as wide as the list."""
        width = self.size.width
        answers = ((self.fits, "bold $error" if self.bad else "bold"), (self.full, "bold"))
        told = [plain(fit(f" {words}", width) + "\n", style) for words, style in answers]
        return Content("").join([*told, plain(heads(width), "$dim-text")])


class AlbumScreen(Place):
    """One album, the songs' place's or the first; ``without`` and ``free`` are what-ifs."""

    CSS_PATH = os.path.join(os.path.dirname(__file__), "album.tcss")
    PLACES: ClassVar[tuple[str, ...]] = ("album",)
    BINDINGS: ClassVar[list[BindingType]] = bindings("album")

    def __init__(self, name: str = "") -> None:
        super().__init__()
        self.album = name
        self.page: Album | None = None
        self.without: tuple[str, ...] = ()
        self.free = False
        self.holds(AlbumActs(self), AlbumMixes(self), AlbumPeople(self))

    @property
    def line(self) -> Line | None:
        """The line under the cursor."""
        return self.query_one(AlbumList).line if self.is_laid_out else None

    @property
    def one(self) -> AlbumSong | None:
        """The song under the cursor."""
        line = self.line
        return line.one if isinstance(line, SongLine) else None

    def keep(self, work: Callable[[], object], said: str) -> None:
        """Does something to the shelf, and says that it was done."""
        if self.home.do(lambda: (work(), True)) is not None:
            self.say(self.home.undoable(said))

    def body(self) -> Iterable[Widget]:
        """Heads and page."""
        yield AlbumHeads()
        yield AlbumList()

    @property
    def word_here(self) -> str:
        """How the song under the cursor stands, or that a player is to be credited."""
        line = self.line
        if isinstance(line, SongLine):
            return line.one.state
        return "credit" if isinstance(line, PlayerLine) else ""

    def heading(self) -> str:
        """The album, how long it is, and whether it fits."""
        page = self.page
        if page is None:
            return self.album or "Album"
        return f"{page.name}: {counted(len(page.songs), 'song')}, {minutes_text(page.seconds)}"

    def laid(self) -> None:
        """Shows the page as it is now; who plays on it follows where that is not known yet."""
        self.page = self._asked()
        if self.page is None:
            return
        left_out = tuple(self.home.shelf.songs[key] for key in self.without)
        above = self.query_one(AlbumHeads)
        above.fits, above.full = fits_words(self.page, free=self.free), self.page.fullness
        above.bad = not self.page.fit(free=self.free).fits
        self.query_one(AlbumList).show(tuple(page_lines(self.page, left_out, free=self.free)))
        self.refresh_head()
        if not self.page.credits_whole:
            self._look_up()

    def _asked(self) -> Album | None:
        release, shelf = self.home.book.release, self.home.shelf
        names = release.albums()
        if not names:
            self._nothing(
                "No song names an album yet.",
                "",
                self.home.keyed(
                    "{any.songs} goes to the songs; {songs.card} opens a card, which has its line."
                ),
                "Songs of one album then stand here: lengths, sides, players, what is missing.",
            )
            return None
        self.album = self.album or names[0]
        self.without = tuple(key for key in self.without if key in shelf.songs)
        try:
            return release.album(self.album, self.without, dates=self.home.board.song_dates, soon=True)
        except ReelturnError as error:
            self._nothing(str(error))
            return None

    def _nothing(self, *why: str) -> None:
        self.query_one(AlbumHeads).fits = self.query_one(AlbumHeads).full = ""
        self.query_one(AlbumList).show(tuple(WordLine("word", one) for one in why))

    def _look_up(self) -> None:
        """Works out who plays what in a thread; the page stays free meanwhile."""
        home, name = self.home, self.album

        def work() -> None:
            try:
                home.book.release.album(name)
            except ReelturnError as error:
                home.call_from_thread(self.say, str(error), bad=True)
            else:
                home.call_from_thread(self._looked_up)

        home.run_worker(work, thread=True, group="album", exclusive=True, exit_on_error=False)

    def _looked_up(self) -> None:
        if self.is_laid_out and self.is_current:
            self.laid()

    def tick(self, now: datetime) -> None:
        """Once a second: how far the reading has come."""
        super().tick(now)
        reading = self.home.reading
        if reading is not None and reading.progress is not None and not reading.stopped:
            stops = self.home.keyed("{album.stop} stops")
            self.say(f"{reading.reel} is being {reading.word}: {reading.progress.share:.0%}   {stops}")

    @on(LineList.Moved)
    def _moved(self) -> None:
        line = self.line
        if isinstance(line, SongLine):
            self.say(song_words(line.one))
        elif isinstance(line, PlayerLine):
            self.say(f"{line.credit.player}: {line.credit.plays_words}")
        else:
            self.say(getattr(line, "words", ""))
        self.refresh_foot()

    def reason_not(self, action: str) -> str | None:
        """Most keys are about the song, or the player, under the cursor."""
        reading = self.home.reading
        if action == "halt":
            return None if reading is not None else "nothing is being read"
        if self.page is None:
            return "no song names an album" if action in OWN else super().reason_not(action)
        if action in ("mix_home", "hand_over") and reading is not None:
            stops = self.home.keyed("{album.stop} stops that")
            return f"{reading.reel} is being {reading.word}: {stops}"
        line = self.line
        if action == "left_out":
            return None if isinstance(line, SongLine | LeftOutLine) else "the cursor is on no song"
        if action == "player":
            return None if isinstance(line, PlayerLine) else "the cursor is on no player"
        if action.startswith("song_on"):
            if self.without or self.free:
                return "the order is moved with every song there, in the given order"
            return None if isinstance(line, SongLine) else "the cursor is on no song"
        if action in ("mix_home", "stands", "step", "step_done", "wish", "card", "parts"):
            if not isinstance(line, SongLine):
                return "the cursor is on no song"
            if action == "stands" and not line.one.mixes:
                return f"no mix of {line.one.name} has come home"
            if action == "step_done" and all(step.done for step in line.one.steps):
                return f"{line.one.name} has no step that is left to do"
        if action == "take_free" and not self.free:
            return self.home.keyed("{album.free} splits the sides freely first")
        return super().reason_not(action)
