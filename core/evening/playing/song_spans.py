"""Where songs begin and end on a tape, from the notes that were dropped while it played."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from core.clock import clock_text
from core.evening.playing.passes import notes_of
from core.logbook.passes import played_of
from core.shelf import Shelf
from core.songs.song import Need, Song
from core.values import dataclass


@dataclass(frozen=True, slots=True)
class Span:
    """A song as it was heard on a tape: from and to in seconds of play time, and what was kept before."""

    song: str
    reel: str
    start: float
    end: float
    title: str = ""
    before: str = ""

    @property
    def words(self) -> str:
        """``0:32-4:10 Low Tide (was 0:00-4:00)``."""
        was = f" (was {self.before})" if self.before else ""
        return f"{clock_text(int(self.start))}-{clock_text(int(self.end))} {self.title or self.song}{was}"


def spans_heard(shelf: Shelf, key: str, number: int) -> tuple[Span, ...]:
    """The songs that the notes of that pass mark, each with a start and an end.

    A note whose words name a song is that song's; the others go in order to the songs that need the tape,
    in the order in which they lie on it as far as that is told, else as the shelf has them. Nothing is told
    where more songs were marked than the tape is needed by, or where all spans are so already.
    """
    heard = _marked(shelf, key, number)
    songs = _on_tape(shelf, key)
    named = {place: song for place, (_, _, words) in enumerate(heard) if (song := _named(songs, words))}
    rest = [song for song in songs if song not in named.values()]
    if len(heard) - len(named) > len(rest):
        return ()
    out = []
    for place, (start, end, _) in enumerate(heard):
        song = named.get(place) or rest.pop(0)
        need = song.span_on(key)
        told = need is not None and need.start is not None and need.end is not None
        if need is not None and told and _same(need, start, end):
            continue
        before = (
            f"{clock_text(need.start)}-{clock_text(need.end)}"
            if need and need.start is not None and need.end
            else ""
        )
        out.append(Span(song.key, key, start, end, song.title, before))
    return tuple(out)


def take_spans(shelf: Shelf, spans: tuple[Span, ...]) -> Shelf:
    """The shelf with each of these songs needing its tape from there to there."""
    for one in spans:
        song = shelf.song(one.song)
        was = song.span_on(one.reel)
        new = Need(one.reel, Fraction(round(one.start)), Fraction(round(one.end)))
        needs = tuple(new if need is was else need for need in song.needs)
        shelf = shelf.with_song(replace(song, needs=needs))
    return shelf


def _marked(shelf: Shelf, key: str, number: int) -> list[tuple[float, float, str]]:
    """Starts with their ends: a song that has no end note ends where the next begins, and needs one else.

    A note behind the end of the tape was dropped after it had run out: what it ends, ended there.
    """
    over = _ran_to(shelf, key, number)
    marks = [
        (note.seconds if over is None else min(note.seconds, over), note.kind, note.words)
        for _, note in notes_of(shelf, key)
        if note.number == number and note.kind in ("song start", "song end")
    ]
    out = []
    for place, (seconds, kind, words) in enumerate(marks):
        if kind == "song start" and place + 1 < len(marks) and marks[place + 1][0] > seconds:
            out.append((seconds, marks[place + 1][0], words))
    return out


def _ran_to(shelf: Shelf, key: str, number: int) -> float | None:
    """Where on the tape that pass came to its end; None for one that is not over, or ran backwards."""
    mine = (one for one in played_of(shelf, key) if one.number == number and one.state == "done")
    one = next(mine, None)
    return one.last.to if one is not None and not one.backwards else None


def _on_tape(shelf: Shelf, key: str) -> list[Song]:
    songs = [song for song in shelf.songs.values() if song.span_on(key) is not None]

    def lies(song: Song) -> tuple[bool, Fraction]:
        need = song.span_on(key)
        start = need.start if need is not None else None
        return start is None, start or Fraction(0)

    return sorted(songs, key=lies)


def _named(songs: list[Song], words: str) -> Song | None:
    plain = words.strip().casefold()
    return next(
        (song for song in songs if plain and plain in (song.key.casefold(), song.title.casefold())), None
    )


def _same(need: Need, start: float, end: float) -> bool:
    return abs(float(need.start or 0) - start) <= 1 and abs(float(need.end or 0) - end) <= 1
