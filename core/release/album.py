"""An album as a page: order, lengths, states, carriers, credits, and in one list what is missing."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from datetime import date
from fractions import Fraction

from core.errors import Refused
from core.release.album_song import AlbumSong, SongState, album_song
from core.release.arrange import carrier_of, gap_of, songs_of
from core.release.carriers import Carrier, Fit, carriers, fit, side_length
from core.release.missing_of_album import half_on, of_album
from core.release.people.credits import Credit, credits_of
from core.release.waits import YOU, Missing, grouped, waits_words
from core.shelf import Shelf
from core.songs.parts import SongParts
from core.songs.when import SongDate
from core.values import dataclass


@dataclass(frozen=True, slots=True)
class Album:
    """The page: songs in order, seconds with gaps, how each carrier fits, credits, what is missing."""

    name: str
    songs: tuple[AlbumSong, ...]
    without: tuple[str, ...]
    gap: Fraction
    carrier: Carrier
    seconds: Fraction
    fits: tuple[Fit, ...]
    free: tuple[Fit, ...]
    credits: tuple[Credit, ...]
    missing: tuple[Missing, ...]
    credits_whole: bool = True

    @property
    def fullness(self) -> str:
        """Whether it is full, and how much waits for whom: ``4 of 13 approved; waits for you (3)``."""
        approved = sum(one.state == "approved" for one in self.songs)
        return f"{approved} of {len(self.songs)} approved; {waits_words(self.missing)}"

    def fit(self, *, free: bool = False) -> Fit:
        """How it fits the carrier chosen for it, in the given order or with the sides split freely."""
        fits = self.free if free else self.fits
        return next(one for one in fits if one.carrier.key == self.carrier.key)

    def sides(self, *, free: bool = False) -> tuple[tuple[AlbumSong, ...], ...]:
        """The songs side by side on the chosen carrier; one without a length is with the song before it."""
        return self._on(self.fit(free=free), free=free)

    def _on(self, fitted: Fit, *, free: bool) -> tuple[tuple[AlbumSong, ...], ...]:
        laid = fitted.sides
        side_of = {key: number for number, side in enumerate(laid) for key in side}
        out: list[list[AlbumSong]] = [[] for _ in range(max(1, len(laid)))]
        here = 0
        for one in self.songs:
            here = side_of.get(one.song.key, len(out) - 1 if free else here)
            out[here].append(one)
        return tuple(tuple(side) for side in out)

    def to_json(self) -> dict[str, object]:
        """As other programs read it."""
        return {
            "album": self.name, "songs": [one.to_json() for one in self.songs], "without": list(self.without),
            "gap_seconds": float(self.gap), "carrier": self.carrier.name, "seconds": float(self.seconds),
            "carriers": [self._fit_json(one, free) for one, free in zip(self.fits, self.free, strict=True)],
            "credits": [
                {"player": one.player, "named": one.name, "asked": one.asked.asked or None,
                 "answered": one.asked.answered or None,
                 "agreed": one.asked.agreed if one.asked.answered else None,
                 "plays": {song: list(parts) for song, parts in one.plays}}
                for one in self.credits
            ],
            "missing": [one.sentence for one in self.missing],
            "waits_for": {who: [one.sentence for one in some] for who, some in grouped(self.missing).items()},
        }  # fmt: skip

    def _fit_json(self, one: Fit, free: Fit) -> dict[str, object]:
        told = {"carrier": one.carrier.name} | self._sides_json(one, free=False)
        return told if free.sides == one.sides else told | {"free": self._sides_json(free, free=True)}

    def _sides_json(self, one: Fit, *, free: bool) -> dict[str, object]:
        """A song of unknown length stands on its side and counts nothing yet."""
        return {
            "fits": one.sure, "sides": [[s.song.key for s in side] for side in self._on(one, free=free)],
            "side_seconds": [float(seconds) for seconds in one.side_seconds], "says": one.verdict,
        }  # fmt: skip


def album(
    shelf: Shelf,
    name: str,
    dates: Mapping[str, SongDate],
    parts: Callable[[str], SongParts | None],
    today: date,
    without: Sequence[str] = (),
    wished: Mapping[str, date] | None = None,
) -> Album:
    """The album's page now; ``without`` leaves songs out. Refused for what is not there.

    Where ``parts`` does not know a song's parts yet (None), its players are left out and that is told.
    """
    every = songs_of(shelf, name)
    absent = [key for key in without if key not in {song.key for song in every}]
    if absent:
        raise Refused(f"{absent[0]} is not on {every[0].album}: {', '.join(song.key for song in every)} are")
    some = [song for song in every if song.key not in without]
    told = tuple(
        album_song(shelf, song, dates[song.key], today, (wished or {}).get(song.key)) for song in some
    )
    gap = gap_of(shelf, name)
    known = [(one.song.key, one.seconds) for one in told if one.seconds is not None]
    unknown = len(told) - len(known)
    fits = tuple(fit(one, known, gap, unknown=unknown) for one in carriers())
    free = tuple(fit(one, known, gap, free=True, unknown=unknown) for one in carriers())
    found = [parts(song.key) for song in some]
    who = credits_of(shelf, [one for one in found if one is not None])
    lacks = (
        *(what for one in told for what in one.missing),
        *of_album(some, who),
        *half_on(shelf, every[0].album),
    )
    missing = tuple(one for group in grouped(lacks).values() for one in group)
    return Album(
        every[0].album, told, tuple(without), gap, carrier_of(shelf, name),
        side_length([seconds for _, seconds in known], gap),
        fits, free, who, missing, None not in found,
    )  # fmt: skip


def with_lost(page: Album, lost: Mapping[str, str]) -> Album:
    """The page where the file of a mix that is the one is no more what came home; ``lost``: song to sentence.

    Such a song is approved no longer.
    """
    if not lost:
        return page
    songs = []
    for one in page.songs:
        if one.song.key in lost:
            more = Missing(YOU, lost[one.song.key], one.song.key, one.song.title)
            state: SongState = "mixed" if one.state == "approved" else one.state
            one = replace(one, state=state, missing=(more, *one.missing), next=more.says)
        songs.append(one)
    of_songs = [what for one in songs for what in one.missing]
    rest = [one for one in page.missing if not one.song]
    missing = tuple(one for group in grouped((*of_songs, *rest)).values() for one in group)
    return replace(page, songs=tuple(songs), missing=missing)
