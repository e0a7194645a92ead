"""The joint for unmarked tapes: stretches without a sheet held against every captured song, by harmony."""

from __future__ import annotations

import time
from typing import TYPE_CHECKING

from core.album.place import CaptureKey
from core.album.ties import capture_name
from core.capture.files.progress import Asked, Cancelled, Progress, Told, never
from core.errors import Refused, Unusable
from core.sheets.places import tapes
from core.sheets.stretch import Stretch
from core.standing.kept_checks import checks_of, files_sum
from core.standing.of_songs.other_takes import KIND, OtherTake
from core.standing.of_songs.song_facts import hearing_of, pass_begins
from core.values import dataclass

if TYPE_CHECKING:
    from core.album.sound.anew.harmony import Floats
    from core.album.sound.anew.takes import Alike
    from core.album.ties import Tie
    from core.songs.song import Song
    from core.store.book import Book
    from core.workbook.in_time.song_time import SongTime

_MOST_SECONDS, _MOST_TRACKS = 300.0, 8
"""So much of each is listened to; choices of ours, for time and memory."""
_OVERLAP = 0.5
"""A stretch that shares so much with the song's own span is that span."""


@dataclass(frozen=True, slots=True)
class Piece:
    """A stretch of one capture, in seconds of that capture, with the tracks that are listened to."""

    key: CaptureKey
    start: float
    end: float
    tracks: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class TakesFound:
    """What came of holding every unmarked stretch against every captured song."""

    found: tuple[OtherTake, ...]
    stretches: int
    songs: int
    left_out: tuple[str, ...]


class TakeFinding:
    """Unmarked tapes of a shelf held against its songs."""

    def __init__(self, book: Book, songs: SongTime) -> None:
        self.book, self.time = book, songs

    def look(self, *, progress: Told | None = None, cancelled: Asked | None = None) -> TakesFound:
        """For every stretch without a sheet the song that it sounds like; each is kept as it is found."""
        with self.book.as_one("look for other takes"):
            return self._look(progress, cancelled)

    def _look(self, progress: Told | None, cancelled: Asked | None) -> TakesFound:
        from core.album.sound.anew.takes import SHORTEST_SECONDS

        asked, left_out = cancelled or never, list[str]()
        bare, songs = list(self._unmarked()), self._songs()
        rows: dict[Piece, Floats] = {}
        began, done, found = time.monotonic(), 0, list[OtherTake]()
        total = len(bare) * (len(songs) + 1)
        for place, piece in bare:
            if piece.end - piece.start < SHORTEST_SECONDS:
                left_out.append(f"{place.label}: less than {SHORTEST_SECONDS:.0f} s tell of no song")
                done += len(songs)
                continue
            best: tuple[Alike, Song, Piece] | None = None
            for song, own in songs:
                if asked():
                    raise Cancelled
                try:
                    told = self._alike(piece, own, rows, asked)
                except Unusable as error:
                    left_out.append(str(error))
                    told = None
                if told is not None and told.one_song and (best is None or told.share > best[0].share):
                    best = told, song, own
                done += 1
                if progress is not None:
                    progress(Progress(done, total, time.monotonic() - began))
            done += 1
            if best is not None:
                found.append(self._kept(place, piece, *best, cancelled))
        return TakesFound(tuple(found), len(bare), len(songs), tuple(dict.fromkeys(left_out)))

    def _unmarked(self) -> list[tuple[Stretch, Piece]]:
        """Stretches that sound and that neither a sheet nor a song's span tells of, each in its capture."""
        shelf, out = self.book.shelf, []
        for tape in tapes(shelf):
            begins = pass_begins(shelf, tape.reel.key)
            for place in (*tape.bare, *tape.unspanned):
                if not place.heard or place.spanned or place.start is None or place.end is None:
                    continue
                for number, check in checks_of(shelf, tape.reel.key).items():
                    first = begins.get(number, 0.0)
                    tracks = tuple(t for t in check.get("tracks", ()) if t in place.sounding)
                    if tracks and first <= place.start < first + float(check.get("seconds") or 0):
                        key = (tape.reel.key, number)
                        out.append((place, _piece(key, place.start - first, place.end - first, tracks)))
                        break
        return out

    def _songs(self) -> list[tuple[Song, Piece]]:
        """Every song with the capture that is its own clock, over its span there."""
        out = []
        for song in self.book.shelf.songs.values():
            hearing = hearing_of(self.book.shelf, song)
            own = self.time.clock(song, hearing).own
            if own is None:
                continue
            check = checks_of(self.book.shelf, own[0])[own[1]]
            capture = self.time.capture(own, None)
            tracks = tuple(t for t in check.get("tracks", ()) if t not in capture.without)
            out.append((song, _piece(own, *self.time.span(song, hearing, own, check), tracks)))
        return out

    def _alike(self, one: Piece, own: Piece, rows: dict[Piece, Floats], asked: Asked) -> Alike | None:
        from core.album.sound.anew.takes import alike

        shared = min(one.end, own.end) - max(one.start, own.start)
        if one.key == own.key and shared > _OVERLAP * (one.end - one.start):
            return None
        for piece in (one, own):
            if piece not in rows:
                rows[piece] = self._harmony(piece, asked)
        return alike(rows[one], rows[own])

    def _harmony(self, piece: Piece, asked: Asked) -> Floats:
        from core.album.sound.anew.harmony import harmony_of
        from core.workbook.in_time.tie_finding import rows_at_work_rate

        capture = self.time.capture(piece.key, None)
        capture.open()
        rate = capture.sound.sample_rate
        low, high = int(piece.start * rate), min(capture.sound.frames, int(piece.end * rate))

        def ask() -> None:
            if asked():
                raise Cancelled

        return harmony_of(list(rows_at_work_rate(capture.sound, piece.tracks, low, high, ask).values()))

    def _kept(
        self, place: Stretch, piece: Piece, told: Alike, song: Song, own: Piece, asked: Asked | None
    ) -> OtherTake:
        """Keeps it as another take; as the same recording, with its tie, where waveforms prove that."""
        says, same = told.says, False
        if self._may_be_the_same(own.key, piece.key):
            try:
                tie = self.time.found(
                    own.key[0], piece.key[0], passes=(own.key[1], piece.key[1]), whole=True, cancelled=asked
                )
                if _is_of(tie, own, piece):
                    self.time.keep(tie)
                    says, same = tie.says, True
            except Refused:
                pass
        shelf = self.book.shelf
        of = tuple(files_sum(checks_of(shelf, reel)[number]) for reel, number in (piece.key, own.key))
        take = OtherTake(
            place.reel, piece.key[1], place.start or 0.0, place.end or 0.0, song.key, own.key, same, says,
            (of[0], of[1]),
        )  # fmt: skip
        record = take.to_record(self.book.now())
        what = f"{take.label} sounds like {song.key} on {capture_name(own.key)}"
        self.book.change(lambda after: after.with_record(KIND, take.key, record), what=what)
        return take

    def _may_be_the_same(self, one: CaptureKey, two: CaptureKey) -> bool:
        """True where the levels that the checks kept rise alike along one line, or were not kept."""
        from core.album.sound.sieve import Sieve

        if one == two:
            return False
        levels = []
        for key in (one, two):
            course, code = self.time.captures.course(*key), self.time.capture(key, None).without
            if course is not None and course.levels is not None:
                rows = [row for row, track in enumerate(course.tracks) if track not in code]
                levels.append(course.levels.of(rows).together())
        levels.sort(key=lambda one: one.halves.shape[1] / one.hertz)
        return len(levels) < 2 or bool(Sieve(levels[0]).score(Sieve(levels[1])))


def _is_of(tie: Tie, own: Piece, piece: Piece) -> bool:
    """True where the tie lays the song's own stretch on that stretch, not something else on both tapes."""
    first, last = tie.span or (own.start, own.end)
    first, last = max(first, own.start), min(last, own.end)
    return first < last and piece.start - 5 < tie.curve.song((first + last) / 2) < piece.end + 5


def _piece(key: CaptureKey, start: float, end: float, tracks: tuple[int, ...]) -> Piece:
    """At most so long and so many tracks, these spread over the tape."""
    step = max(1, -(-len(tracks) // _MOST_TRACKS))
    return Piece(key, max(0.0, start), min(end, start + _MOST_SECONDS), tracks[::step])
