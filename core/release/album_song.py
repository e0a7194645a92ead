"""One song of an album: what stands for it, how long it is, and by when it may be there."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime, time, tzinfo
from fractions import Fraction
from typing import Literal

from core.clock import write_time
from core.release.lengths import LengthFrom, captured_span, length_of
from core.release.missing import of_song
from core.release.mixes import Mix, mixes_of, the_one
from core.release.steps import SongStep, steps_of
from core.release.waits import Missing
from core.shelf import Shelf
from core.songs.song import Song
from core.songs.when import SongDate, in_hundred
from core.values import dataclass
from core.words import day_text

Day = date


SongState = Literal["nothing known", "waiting", "captured", "in work", "mixed", "approved"]


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
    missing: tuple[Missing, ...]
    wished: Day | None = None

    @property
    def name(self) -> str:
        """Its title, else its key."""
        return self.song.title or self.song.key

    @property
    def there_by(self) -> str:
        """When it can be there and how surely, and the day it is wished for: ``Mon 7 Dec, 97 in 100``."""
        told = day_text(self.date.date()) if self.date else ""
        if told and self.chance is not None and self.chance < 1:
            told += f", {in_hundred(self.chance)}"
        wish = f"wished by {day_text(self.wished)}" if self.wished else ""
        return "; ".join(part for part in (told, wish) if part)

    def to_json(self) -> dict[str, object]:
        """As other programs read it."""
        return {
            "song": self.song.key, "title": self.song.title, "order": self.song.order,
            "seconds": None if self.seconds is None else float(self.seconds), "from": self.length_from,
            "state": self.state, "date": write_time(self.date) if self.date else None,
            "chance": self.chance, "next": self.next,
            "wished": self.wished.isoformat() if self.wished else None,
        }  # fmt: skip


def album_song(
    shelf: Shelf, song: Song, when: SongDate, today: date, wished: date | None = None
) -> AlbumSong:
    """One song as it stands."""
    mixes, steps = mixes_of(shelf, song.key), steps_of(shelf, song.key)
    one = the_one(mixes)

    def captured(reel: str) -> bool:
        return reel in shelf.reels and shelf.reels[reel].past("transferred")

    span = captured_span(song, captured)
    seconds, from_ = length_of(song, one, span)
    left = [step for step in steps if not step.done]
    state = _state(shelf, song, when, mixes, left)
    missing = of_song(shelf, song, state, when, seconds, mixes, steps, today, wished, span)
    date = _date(when, left, shelf.studio.zone)
    return AlbumSong(
        song, seconds, from_, state, date, _chance(when, date), mixes, steps,
        missing[0].says if missing else "", missing, wished,
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


def _date(when: SongDate, left: Sequence[SongStep], where: tzinfo) -> datetime | None:
    """When it can be there: by the plan, carried on to the last day that one of its steps was given.

    A song whose tapes are all there waits for its steps alone; with none it has no date.
    """
    days = [step.due for step in left if step.due is not None]
    if when.state == "ready":
        return datetime.combine(max(days), time(23, 59), where) if days else None
    if when.planned is None:
        return None
    last = max((day for day in days if day > when.planned.date()), default=when.planned.date())
    return when.planned.replace(year=last.year, month=last.month, day=last.day)


def _chance(when: SongDate, date: datetime | None) -> float | None:
    """The chance that its tapes are there by then: at least four of five from the promised time on."""
    if when.state == "ready":
        return None if date is None else 1.0
    if date is not None and when.chance is not None and when.promised is not None and when.promised <= date:
        return max(when.chance, 0.8)
    return when.chance
