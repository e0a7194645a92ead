"""Songs: what will I have? Readiness of each, what it waits for, the album's running time."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from typing import ClassVar

from textual import on
from textual.binding import BindingType
from textual.widget import Widget

from core.clock import clock_text
from core.errors import Refused
from core.shelf import Shelf
from core.songs.song import Song
from tui.asking.asking import AskText
from tui.board.glyphs import glyphs
from tui.frame.drawn.line_list import LineList, Part
from tui.frame.place import Place
from tui.keys.keys import bindings
from tui.keys.words import keyed
from tui.places.songs.song_rows import SongRow, album_line, albums, loose_line, song_row
from tui.safe_text import cells, fit

_ROLES = {"ready": "good", "waiting": "next", "barred": "bad", "no reels": "dim"}

GAP = 2
"""Columns between what stands beside one another."""


class SongList(LineList):
    """A heading for each album, a line for each song."""

    def __init__(self) -> None:
        super().__init__()
        self.lines: tuple[str | SongRow, ...] = ()
        self._widths = (16, 0)  # of the titles, and of what is said of a date: as wide as the longest

    def show(self, lines: Sequence[str | SongRow]) -> None:
        """Shows these lines; the cursor stays on its song."""
        here = self.song.key if self.song else ""
        self.lines = tuple(lines)
        rows = [line for line in lines if isinstance(line, SongRow)]
        longest = max((cells(row.song.title or row.song.key) for row in rows), default=0)
        says = max((cells(row.says) for row in rows), default=0)
        self._widths = (max(16, longest + GAP), says + GAP)
        keys = [line.song.key if isinstance(line, SongRow) else "" for line in lines]
        self.lay(len(lines), keys.index(here) if here in keys and here else self.cursor)

    @property
    def song(self) -> Song | None:
        """The song under the cursor."""
        line = self.lines[self.cursor] if self.cursor < len(self.lines) else ""
        return line.song if isinstance(line, SongRow) else None

    def nothing(self) -> Sequence[str]:
        """What a song is for, and which key begins one."""
        own = getattr(self.app, "own_keys", {})
        return (
            "",
            "No song is on this shelf yet.",
            "",
            keyed("{songs.add} adds one: its title, its album, and the tapes that it needs", own),
            "A plan puts first the tapes of the songs that weigh most.",
        )

    def skips(self, index: int) -> bool:
        """Albums' headings are passed over."""
        return isinstance(self.lines[index], str)

    def parts(self, index: int, width: int) -> Sequence[Part]:
        """Number, title, length, state and what it waits for."""
        line = self.lines[index]
        if isinstance(line, str):
            return [(fit(f" {line}", width), "head")]
        song = line.song
        signs = glyphs(plain=getattr(self.app, "plain_signs", False))
        sign = signs.cursor if index == self.cursor else " "
        mark = {"ready": signs.done, "barred": signs.barred}.get(line.state, signs.not_yet)
        number = str(song.order) if song.order is not None else ""
        length = clock_text(song.target_length) if song.target_length is not None else ""
        title, says = self._widths
        out = [(f"{sign}{fit(number, 3, right=True)} {mark} ", _ROLES[line.state])]
        title = max(12, min(title, width - 7 - 8 - says))
        out.append((fit(song.title or song.key, title) + fit(length, 6, right=True) + "  ", "word"))
        out.append((fit(line.says, says), _ROLES[line.state]))
        rest = width - 7 - title - 8 - says
        waits = line.waits if cells(line.waits) <= rest else line.waits_short or line.waits
        return [*out, (fit(waits, max(0, rest)), "dim" if line.state != "barred" else "bad")]


class SongsScreen(Place):
    """The songs by album."""

    PLACES: ClassVar[tuple[str, ...]] = ("songs",)
    BINDINGS: ClassVar[list[BindingType]] = bindings("songs")

    def __init__(self) -> None:
        super().__init__()
        self.only_waiting = False

    def body(self) -> Iterable[Widget]:
        """The list."""
        yield SongList()

    def heading(self) -> str:
        """The place, and whether only some songs are shown."""
        return "Songs, not ready" if self.only_waiting else "Songs"

    def laid(self) -> None:
        """Shows the songs as they stand."""
        board = self.home.board
        lines: list[str | SongRow] = []
        for album, songs in albums(self.home.shelf.songs.values()):
            rows = [song_row(song, board) for song in songs]
            lines.append(album_line(album, rows))
            lines += [row for row in rows if not self.only_waiting or row.state != "ready"]
        loose = loose_line(self.home.shelf)
        if loose:
            lines.append(self.home.keyed(loose))
        self.query_one(SongList).show(lines)
        stale = self.home.stale()
        if stale:
            self.say(stale, bad=True)

    @on(LineList.Moved)
    def _moved(self) -> None:
        listed = self.query_one(SongList)
        line = listed.lines[listed.cursor] if listed.lines else ""
        self.say(line.waits if isinstance(line, SongRow) else "")

    def reason_not(self, action: str) -> str | None:
        """Without songs there is no card to open."""
        if action in ("card", "parts", "time", "key_acts") and self.query_one(SongList).song is None:
            none = self.home.keyed("no song is shown: {songs.add} adds one")
            return none if not self.home.shelf.songs else "every song is ready"
        return super().reason_not(action)

    def action_card(self) -> None:
        """Opens the song's card."""
        from tui.places.songs.song_card import SongCard

        listed = self.query_one(SongList)
        if listed.song is not None:
            keys = [line.song.key for line in listed.lines if isinstance(line, SongRow)]
            self.app.push_screen(SongCard(listed.song.key, keys))

    def action_parts(self) -> None:
        """The parts of the song."""
        song = self.query_one(SongList).song
        if song is not None:
            self.home.open_door("parts", song.key)

    def action_key_acts(self) -> None:
        """Another key for the song, or off the shelf."""
        from tui.asking.key_acts import ask_key

        song = self.query_one(SongList).song
        if song is not None:
            ask_key(self.home, "song", song.key, self.other_key)

    def action_album(self) -> None:
        """The album of the song under the cursor; else the first there is."""
        song = self.query_one(SongList).song
        self.home.open_door("album", song.album if song is not None else "")

    def action_loose(self) -> None:
        """The loose sheets."""
        self.home.open_door("loose sheets")

    def action_time(self) -> None:
        """The song in time."""
        song = self.query_one(SongList).song
        if song is not None:
            self.home.open_door("in time", song.key)

    def action_waits(self) -> None:
        """Only songs that are not ready, or all."""
        self.only_waiting = not self.only_waiting
        self.laid()
        self.refresh_head()

    def action_add(self) -> None:
        """Asks for a new song's title and opens its card."""
        question = AskText("A new song: its title?", "The rest is filled in on its card.", draft="new song")
        self.app.push_screen(question, self._add)

    def _add(self, title: str | None) -> None:
        if not title:
            return
        key = next_key(self.home.shelf)

        def act(shelf: Shelf) -> Shelf:
            if key in shelf.songs:
                raise Refused(f"{key} was added by another program meanwhile: try again")
            return shelf.with_song(replace(Song(key), title=title))

        done = self.home.do(lambda: self.home.book.change(act, what=f"add song {key}"), f"{key} was added")
        if done is not None:
            from tui.places.songs.song_card import SongCard

            self.app.push_screen(SongCard(key))


def next_key(shelf: Shelf) -> str:
    """A key for a new song that no song has: S-01, S-02 and so on."""
    number = len(shelf.songs) + 1
    while f"S-{number:02}" in shelf.songs:
        number += 1
    return f"S-{number:02}"
