"""The joint for songs: readiness, their parts, and what the owner chose to use."""

from __future__ import annotations

from typing import TYPE_CHECKING

from core.clock import write_time
from core.errors import Refused
from core.shelf import Shelf
from core.songs.parts import changed_words

if TYPE_CHECKING:
    from core.album.place import SongClock
    from core.reels.reel import Reel
    from core.songs.claims import Sounded
    from core.songs.family import Kin
    from core.songs.heard import Hearing
    from core.songs.parts import SongParts
    from core.songs.readiness import Readiness
    from core.songs.song import Song
    from core.songs.sources.weighed import Facts
    from core.store.book import Book
    from core.workbook.in_time.song_time import SongTime


class Songs:
    """A shelf's songs."""

    def __init__(self, book: Book, time: SongTime) -> None:
        self.book, self.time = book, time

    def readiness(self) -> tuple[Readiness, ...]:
        """Every song's readiness now."""
        from core.evening.around.song_dates import song_state

        shelf, now = self.book.shelf, self.book.now()
        return tuple(song_state(shelf, song, now) for song in shelf.songs.values())

    def parts(self, song: str) -> SongParts:
        """Which tracks to use for every recording of a song, by key or title; Refused for rings of copies."""
        from core.songs.song_parts import song_parts

        return song_parts(self._facts(song))

    def family(self, song: str) -> tuple[Kin, ...]:
        """The song's tapes and what was copied from which, as a tree; Refused for rings of copies."""
        from core.songs.family import family

        return family(self._facts(song))

    def _facts(self, song: str) -> Facts:
        from core.conditioning.advisor import barred
        from core.songs.on_albums import on_several
        from core.songs.sources.weighed import Facts
        from core.songs.spans import others_there
        from core.standing.of_songs.song_facts import (
            hearing_of,
            longest_on,
            on_others,
            own_choices,
            rows_of_song,
        )

        shelf, now = self.book.shelf, self.book.now()
        one = song_named(shelf, song)
        hearing = hearing_of(shelf, one)
        told: dict[str, str | None] = {}

        def why_barred(reel: Reel) -> str | None:
            if reel.key not in told:
                told[reel.key] = barred(shelf, reel, now)
            return told[reel.key]

        return Facts(
            one,
            rows_of_song(shelf.sheets, one.key),
            shelf.reels,
            hearing,
            why_barred,
            shelf.chosen.equal_parts,
            own_choices(shelf, one.key),
            self.song_clock(one, hearing),
            tuple(
                other.key for other in shelf.songs.values()
                if other is not one and one.album and one.order is not None
                and (other.album, other.order) == (one.album, one.order)
            ),
            on_several(one, shelf.songs.values()),
            self._sounded(one),
            self._takes(one),
            on_others(shelf.sheets, one.key),
            tuple(others_there(one, shelf.songs.values())),
            lambda reel: longest_on(shelf, reel),
        )  # fmt: skip

    def _takes(self, song: Song) -> tuple[str, ...]:
        if not self.book.shelf.of_kind("take"):
            return ()
        from core.standing.of_songs.other_takes import untold_takes

        return tuple(untold_takes(self.book.shelf, song))

    def _sounded(self, song: Song) -> tuple[Sounded, ...]:
        if not self.book.shelf.of_kind("claim"):
            return ()
        from core.workbook.in_time.hearing_claims import heard_claims

        return heard_claims(self.book.shelf, song.key, self.time.checks(song))

    def told_by_sound(self, song: str) -> tuple[str, ...]:
        """What sound says against the song's sheets, a line each, as far as anybody listened."""
        from core.songs.claims import sound_points
        from core.standing.of_songs.song_facts import rows_of_song

        one = song_named(self.book.shelf, song)
        rows = [row for row in rows_of_song(self.book.shelf.sheets, one.key) if row.song]
        return tuple(sound_points(rows, self._sounded(one)))

    def clock(self, song: str) -> SongClock:
        """Where the song's captures lie on its clock, by key or title."""
        from core.standing.of_songs.song_facts import hearing_of

        one = song_named(self.book.shelf, song)
        return self.song_clock(one, hearing_of(self.book.shelf, one))

    def song_clock(self, song: Song, hearing: Hearing) -> SongClock:
        """Where the song's captures lie on its clock."""
        return self.time.clock(song, hearing)

    def use(self, song: str, part: str, track: str) -> str:
        """Keeps the owner's ``REEL:TRACK`` for ``PART[/TAKE]``, ``-`` lets it go; says what was done.

        Refused where nothing is called so, or the track does not carry it or cannot be had.
        """
        from core.standing.of_songs.song_facts import with_choice

        one = song_named(self.book.shelf, song)
        parts = self.parts(one.key)
        at = write_time(self.book.now())
        said = ""

        def act(shelf: Shelf) -> Shelf:
            nonlocal said
            after, said = with_choice(shelf, parts, part, track, at)
            return after

        self.book.change(act, what=f"use {track} for {part} of {one.key}")
        return "; ".join([said, *changed_words(parts, self.parts(one.key))])

    def same_part(self, song: str, name: str, other: str) -> str:
        """Two names are one part from now on, on every sheet; the same name twice lets it go.

        Refused for a song that is not there, and for names that no sheet has.
        """
        from core.standing.of_songs.song_facts import with_equal

        song_named(self.book.shelf, song)
        self.book.change(
            lambda shelf: with_equal(shelf, name, other), what=f"{name} and {other} are one part"
        )
        return f"{name!r} and {other!r} are one part" if name != other else f"{name!r} is its own part again"


def song_named(shelf: Shelf, name: str) -> Song:
    """The song of that key or title; Refused where there is none, or several have that title."""
    from difflib import get_close_matches

    if name in shelf.songs:
        return shelf.songs[name]
    fold = " ".join(name.casefold().split())
    found = [song for song in shelf.songs.values() if " ".join(song.title.casefold().split()) == fold]
    if len(found) == 1:
        return found[0]
    if found:
        keys = ", ".join(song.key for song in found)
        raise Refused(f"{len(found)} songs are called {name!r}: give one of the keys {keys}")
    titles = {song.title.casefold(): song for song in shelf.songs.values()}
    near = get_close_matches(fold, [*titles, *(key.casefold() for key in shelf.songs)], 1)
    like = titles.get(near[0]) if near else None
    hint = f": did you mean {like.key} {like.title}?" if like else ": reelturn songs lists them"
    raise Refused(f"no song {name!r} on this shelf{hint}")
