"""An album as a page: order, lengths, states, carriers, credits, and in one list what is missing."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from fractions import Fraction
from typing import Any, Literal

from core.clock import write_time
from core.errors import Refused
from core.release.carriers import Fit, carriers, fit, side_length
from core.release.codes import isrc_trouble, iswc_trouble
from core.release.credits import Credit, credits_of
from core.release.lengths import LengthFrom, captured_span, length_of
from core.release.mixes import Mix, mixes_of, the_one
from core.release.steps import SongStep, steps_of, waits_on
from core.shelf import Shelf
from core.songs.parts import SongParts
from core.songs.song import Song
from core.songs.when import SongDate
from core.words import listed

SongState = Literal["nothing known", "waiting", "captured", "in work", "mixed", "approved"]
GAP_SECONDS = 2
"""Between two songs, where the owner says nothing; common practice of the trade."""


@dataclass(frozen=True, slots=True)
class AlbumSong:
    """One song of an album: its length in seconds and where that comes from, its state, date, next step."""

    song: Song
    seconds: Fraction | None
    length_from: LengthFrom
    state: SongState
    date: datetime | None
    chance: float | None
    mixes: tuple[Mix, ...]
    steps: tuple[SongStep, ...]
    next: str
    missing: tuple[str, ...]

    def to_json(self) -> dict[str, Any]:
        """As other programs read it."""
        return {
            "song": self.song.key, "title": self.song.title, "order": self.song.order,
            "seconds": None if self.seconds is None else float(self.seconds), "from": self.length_from,
            "state": self.state, "date": write_time(self.date) if self.date else None,
            "chance": self.chance, "next": self.next,
        }  # fmt: skip


@dataclass(frozen=True, slots=True)
class Album:
    """The page: songs in order, seconds with gaps, how each carrier fits, credits, what is missing."""

    name: str
    songs: tuple[AlbumSong, ...]
    without: tuple[str, ...]
    gap: Fraction
    seconds: Fraction
    fits: tuple[Fit, ...]
    free: tuple[Fit, ...]
    credits: tuple[Credit, ...]
    missing: tuple[str, ...]

    def to_json(self) -> dict[str, Any]:
        """As other programs read it."""
        return {
            "album": self.name, "songs": [one.to_json() for one in self.songs], "without": list(self.without),
            "gap_seconds": float(self.gap), "seconds": float(self.seconds),
            "carriers": [_fit_json(one, free) for one, free in zip(self.fits, self.free, strict=True)],
            "credits": [
                {"player": one.player, "named": one.name, "asked": one.asked.asked or None,
                 "answered": one.asked.answered or None, "agreed": one.asked.agreed,
                 "plays": {song: list(parts) for song, parts in one.plays}}
                for one in self.credits
            ],
            "missing": list(self.missing),
        }  # fmt: skip


def _fit_json(one: Fit, free: Fit) -> dict[str, Any]:
    told = {
        "carrier": one.carrier.name, "fits": one.fits, "sides": [list(side) for side in one.sides],
        "side_seconds": [float(seconds) for seconds in one.side_seconds], "says": one.says,
    }  # fmt: skip
    if free.sides != one.sides:
        told["free"] = {
            "fits": free.fits, "sides": [list(side) for side in free.sides],
            "side_seconds": [float(seconds) for seconds in free.side_seconds], "says": free.says,
        }  # fmt: skip
    return told


def songs_of(shelf: Shelf, name: str) -> tuple[Song, ...]:
    """The songs of an album in its order, those without a place last; Refused where there is none."""
    mine = [song for song in shelf.songs.values() if song.album and _same(song.album, name)]
    if not mine:
        there = ", ".join(dict.fromkeys(song.album for song in shelf.songs.values() if song.album))
        raise Refused(f"no song has the album {name!r}: there is {there or 'no album yet'}")
    return tuple(sorted(mine, key=lambda song: (song.order is None, song.order or 0)))


def _same(one: str, other: str) -> bool:
    return " ".join(one.casefold().split()) == " ".join(other.casefold().split())


def album(
    shelf: Shelf,
    name: str,
    dates: Mapping[str, SongDate],
    parts: Callable[[str], SongParts],
    today: date,
    without: Sequence[str] = (),
) -> Album:
    """The album's page now; ``without`` leaves songs out. Refused for what is not there."""
    every = songs_of(shelf, name)
    absent = [key for key in without if key not in {song.key for song in every}]
    if absent:
        raise Refused(f"{absent[0]} is not on {every[0].album}: {', '.join(song.key for song in every)} are")
    some = [song for song in every if song.key not in without]
    told = tuple(album_song(shelf, song, dates[song.key], today) for song in some)
    gap = Fraction(str(shelf.of_kind("album").get(every[0].album, {}).get("gap_seconds", GAP_SECONDS)))
    known = [(one.song.key, one.seconds) for one in told if one.seconds is not None]
    fits = tuple(fit(one, known, gap) for one in carriers())
    free = tuple(fit(one, known, gap, free=True) for one in carriers())
    who = credits_of(shelf, [parts(song.key) for song in some])
    missing = (
        *_places_twice(some),
        *(f"{one.song.key} {one.song.title}: {what}".strip() for one in told for what in one.missing),
        *(f"credits: {one.open}" for one in who if one.open),
        *_codes(some),
    )
    return Album(
        every[0].album, told, tuple(without), gap, side_length([seconds for _, seconds in known], gap),
        fits, free, who, missing,
    )  # fmt: skip


def album_song(shelf: Shelf, song: Song, when: SongDate, today: date) -> AlbumSong:
    """One song as it stands."""
    mixes, steps = mixes_of(shelf, song.key), steps_of(shelf, song.key)
    one = the_one(mixes)

    def captured(reel: str) -> bool:
        return reel in shelf.reels and shelf.reels[reel].past("transferred")

    seconds, from_ = length_of(song, one, lambda song: captured_span(song, captured))
    left = [step for step in steps if not step.done]
    state = _state(shelf, song, when, mixes, left)
    missing = _missing(shelf, state, when, seconds, mixes, steps, today)
    return AlbumSong(
        song, seconds, from_, state, _date(when, left), when.chance, mixes, steps,
        missing[0] if missing else "", tuple(missing),
    )  # fmt: skip


def _state(
    shelf: Shelf, song: Song, when: SongDate, mixes: tuple[Mix, ...], left: Sequence[SongStep]
) -> SongState:
    if the_one(mixes) is not None and not left:
        return "approved"
    if mixes and (mixes[-1].stands != "rough" or the_one(mixes) is not None):
        return "mixed"
    if mixes or (left and when.state == "ready"):
        return "in work"
    if when.state == "ready":
        return "captured"
    return "waiting" if song.needs else "nothing known"


def _date(when: SongDate, left: Sequence[SongStep]) -> datetime | None:
    """When it can be there: by the plan, carried on to the last day that one of its steps was given."""
    days = [step.due for step in left if step.due is not None]
    if when.planned is None:
        return None
    last = max((day for day in days if day > when.planned.date()), default=when.planned.date())
    return when.planned.replace(year=last.year, month=last.month, day=last.day)


def _missing(
    shelf: Shelf,
    state: SongState,
    when: SongDate,
    seconds: Fraction | None,
    mixes: tuple[Mix, ...],
    steps: Sequence[SongStep],
    today: date,
) -> list[str]:
    said = []
    if state == "nothing known":
        said.append("nothing is known of it: which reel is it on?")
    elif state == "waiting":
        said.append(when.words + (f"; waits for {', '.join(when.waits_for)}" if when.waits_for else ""))
    by_number = {step.number: step for step in steps}
    for step in steps:
        if not step.done:
            waits = waits_on(shelf, step, by_number)
            who = f", {step.who}" if step.who else ""
            late = " (late)" if step.due is not None and step.due < today else ""
            until = f", by {step.by}{late}" if step.by else ""
            said.append(f"{step.text}{who}{until}" + (f"; waits for {waits}" if waits else ""))
    if the_one(mixes) is None:
        waiting = [mix for mix in mixes if mix.stands == "to-approve"]
        if waiting:
            said.append(f"mix {waiting[-1].number} is to be approved")
        elif state in ("captured", "in work"):
            said.append("no mix is the one yet")
    if seconds is None:
        said.append("its length is not known")
    return said


def _places_twice(songs: Sequence[Song]) -> list[str]:
    by_place: dict[int, list[str]] = {}
    for song in songs:
        if song.order is not None:
            by_place.setdefault(song.order, []).append(song.key)
    twice = {place: keys for place, keys in by_place.items() if len(keys) > 1}
    return [f"{listed(keys)} have one place on the album: {place}" for place, keys in twice.items()]


def _codes(songs: Sequence[Song]) -> list[str]:
    said = []
    for song in songs:
        for code, trouble in ((song.isrc, isrc_trouble), (song.iswc, iswc_trouble)):
            wrong = trouble(code) if code else None
            if wrong:
                said.append(f"{song.key}: {code} {wrong}")
    lacking = [song.key for song in songs if not song.isrc]
    if lacking and len(lacking) < len(songs):
        said.append(f"no ISRC for {', '.join(lacking)}")
    return said
