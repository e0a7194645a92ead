"""One shelf on the disk, as an object: read, changed under the lock, undone, brought in and taken out."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import replace
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any, Self

from core.errors import Refused, Unusable
from core.shelf import Event, Shelf
from core.store.disk.changes.history import History
from core.store.disk.shelf_file import Kept, read_shelf, real_path, stamp_of
from core.store.disk.shelf_write import after_writing, refuse_if_read_only, write_change, write_first
from core.values import dataclass

if TYPE_CHECKING:
    from core.store.disk.changes.undo import Change
    from core.store.exchange.what_came import ImportReport, Reads
    from core.store.intake.looking import Look
    from core.studio.studio import Studio

Act = Callable[[Shelf], Shelf]


@dataclass(frozen=True, slots=True)
class Saying:
    """What history tells of a change beside old and new."""

    what: str
    note: str = ""
    because: str = ""
    at: datetime | None = None
    takes_back: int = 0
    events: tuple[Event, ...] = ()  # rows that the act brings itself
    compared: bool = True  # False: the act's own rows tell everything
    replaces_history: bool = False
    silent: tuple[str, ...] = ()  # kinds of rows that history is not told of
    whole: bool = False  # results count too, so that undoing brings them back


@dataclass(slots=True)
class _Series:
    """Changes that are one act of the owner's: what it is, and the number of its last change."""

    what: str
    number: int = 0


_series: ContextVar[_Series | None] = ContextVar("series", default=None)
"""Of the thread that works: what is done elsewhere meanwhile is no part of it."""


class Book:
    """One shelf on the disk. ``shelf`` is what was last read or written; ``now`` tells the time."""

    def __init__(self, path: Path, kept: Kept, now: Callable[[], datetime]) -> None:
        self.path = path
        self._file = real_path(path)
        self._kept: Kept | None = kept
        self._now = now
        self.shelf = kept.shelf
        self._mine: set[int] = set()  # the numbers of the changes that were made by this program
        self._before: int = kept.shelf.history.last_change()  # type: ignore[attr-defined]

    @classmethod
    def open(cls, path: Path, now: Callable[[], datetime]) -> Self:
        """The shelf at that path; Unusable where there is none, or it is damaged, foreign or newer."""
        return cls(path, read_shelf(real_path(path)), now)

    @classmethod
    def create(cls, path: Path, studio: Studio, now: Callable[[], datetime]) -> Self:
        """A new, empty shelf of that studio; Refused where something is there already."""
        file = real_path(path)
        try:
            file.parent.mkdir(parents=True, exist_ok=True)
        except OSError as error:
            raise Unusable(
                f"{file.parent}: no folder can be made there: {error.strerror or error}"
            ) from error
        from core.store.disk.lock import locked

        with locked(file):
            if file.exists():
                raise Unusable(
                    f"{path}: there is something already, it was not touched: name another --shelf"
                )
            write_first(file, Shelf(studio, name=file.stem), ())
        return cls.open(path, now)

    def now(self) -> datetime:
        """This moment by the studio's clock, to the second."""
        return self._now().astimezone(self.shelf.studio.zone).replace(microsecond=0)

    def reload(self) -> bool:
        """Reads the shelf again where another program has written it; True if so."""
        if self._kept is not None and stamp_of(self._file) == self._kept.stamp:
            return False
        self._kept = read_shelf(self._file)
        self.shelf = self._kept.shelf
        return True

    def change(
        self, act: Act, *, what: str, note: str = "", because: str = "", at: datetime | None = None
    ) -> Shelf:
        """Applies the act to the shelf as it is on the disk now and writes what it made, with its history.

        Whatever the act raises leaves the shelf as it was. An act that changes nothing writes nothing.
        """
        saying = Saying(what, note, because, at)
        return self.written(lambda kept: (act(kept.shelf), saying))

    def written(self, work: Callable[[Kept], tuple[Shelf, Saying]]) -> Shelf:
        """Does the work on the shelf as it is on the disk now, under the lock, and writes what it made."""
        from core.store.disk.changes.difference import to_the_minute
        from core.store.disk.lock import locked

        with locked(self._file):
            self.reload()
            kept = self._kept
            assert kept is not None
            refuse_if_read_only(self._file)
            new, saying = work(kept)
            new = to_the_minute(kept.shelf, new)
            events = self._events(kept.shelf, new, saying)
            if not events and not saying.replaces_history and _same(kept.shelf, new):
                return kept.shelf
            self._kept = None  # its tables are used up: if writing fails they are read again
            write_change(self._file, kept, new, events, fresh_history=saying.replaces_history)
            self._kept = after_writing(self._file, kept, new)
            self.shelf = self._kept.shelf
            self._mine.add(self.last_change)
        return self.shelf

    def whose(self, change: int) -> str:
        """Who made that change, in words; empty where this program did since it was opened."""
        if change in self._mine:
            return ""
        opened = "before this program was opened"
        return opened if change <= self._before else "by another program, since this one was opened"

    def _events(self, old: Shelf, new: Shelf, saying: Saying) -> tuple[Event, ...]:
        from core.logbook.noted import TAKES_BACK
        from core.store.disk.changes.difference import differences
        from core.store.disk.changes.undo import ACT

        told = (*saying.events, *new.history[len(old.history) :])
        if not saying.compared:
            return told
        at = (saying.at or self.now()).replace(second=0, microsecond=0)
        number, act = self._numbered(old, saying)
        rows = [
            Event(at, row.kind, row.key, row.field, row.old, row.new, saying.note, saying.because, number)
            for row in differences(old, new, whole=saying.whole)
            if row.kind not in saying.silent
        ]
        out = [*rows, *(replace(event, change=event.change or number) for event in told)]
        if out:
            extra = ({ACT: act} if act else {}) | (
                {TAKES_BACK: str(saying.takes_back)} if saying.takes_back else {}
            )
            out[0] = replace(out[0], extra=(*out[0].extra, *extra.items()))
        return tuple(out)

    def _numbered(self, old: Shelf, saying: Saying) -> tuple[int, str]:
        """The number of a change and what it is called; one that goes on with a series has its number."""
        last: int = old.history.last_change()  # type: ignore[attr-defined]
        series = _series.get()
        if series is None or saying.takes_back:
            return last + 1, saying.what
        if series.number and series.number == last:  # nobody changed anything between
            return last, ""
        series.number = last + 1
        return series.number, series.what

    @contextmanager
    def as_one(self, what: str) -> Iterator[None]:
        """Every change made inside is kept at once, and all of them are one act: one undo takes them back."""
        token = _series.set(_Series(what))
        try:
            yield
        finally:
            _series.reset(token)

    @property
    def last_change(self) -> int:
        """The number of the last change of the shelf as it was last read or written."""
        number: int = self.shelf.history.last_change()  # type: ignore[attr-defined]
        return number

    def next_to_take_back(self) -> tuple[int, str]:
        """The number and the words of what ``undo`` would take back on the disk now; 0 for nothing."""
        from core.store.disk.changes.undo import to_take_back

        self.reload()
        change = to_take_back(self.shelf.history)  # type: ignore[arg-type]
        return (change.number, change.words) if change is not None else (0, "")

    def undo(self) -> str:
        """Takes back the last change not taken back yet, as a change of its own; says which it was."""
        from core.store.disk.changes.undo import to_take_back

        return self._turned("taken back", to_take_back, "nothing to take back")

    def redo(self) -> str:
        """Does over again what was last taken back, where nothing was changed since; says which it was."""
        from core.store.disk.changes.undo import to_do_again

        return self._turned("done again", to_do_again, "nothing to do again")

    def _turned(self, word: str, choose: Callable[[Any], Change | None], nothing: str) -> str:
        from core.store.disk.changes.rows_changed import RENAMED, RESULTS
        from core.store.disk.changes.taking_back import notes_turned, turned_round

        said = ""

        def work(kept: Kept) -> tuple[Shelf, Saying]:
            nonlocal said
            change = choose(kept.shelf.history)
            if change is None:
                raise Refused(nothing)
            said = f"{word}: {change.words.removeprefix('taken back: ')}"
            back = turned_round(kept.shelf, change.rows, kept.reading)
            name = next((row for row in change.rows if row.field == RENAMED), None)
            if name is not None:
                return back, self.under_another_key(
                    kept, name.kind, name.new, name.old, said, takes_back=change.number
                )
            whole = any(row.kind in RESULTS and row.field == "record" for row in change.rows)
            notes = notes_turned(change, self.now().replace(second=0, microsecond=0))
            return back, Saying(said, events=notes, takes_back=change.number, whole=whole)

        self.written(work)
        return said

    def under_another_key(
        self, kept: Kept, kind: str, old: str, new: str, what: str, *, takes_back: int = 0
    ) -> Saying:
        """What history tells of a renaming: one row, and that thing's earlier rows under its new key."""
        from core.logbook.noted import TAKES_BACK
        from core.shelving.rename import KINDS, events_renamed
        from core.store.disk.changes.rows_changed import RENAMED
        from core.store.disk.changes.undo import ACT

        told = next(one for one in KINDS if one == kind)
        at = self.now().replace(second=0, microsecond=0)
        number = kept.shelf.history.last_change() + 1  # type: ignore[attr-defined]
        extra = {ACT: what} | ({TAKES_BACK: str(takes_back)} if takes_back else {})
        row = Event(at, kind, new, RENAMED, old, new, change=number, extra=tuple(extra.items()))
        events = (*events_renamed(iter(kept.shelf.history), told, old, new), row)
        return Saying(what, events=events, compared=False, replaces_history=True)

    def note(self, reel: str, text: str, at: datetime | None = None) -> Shelf:
        """Adds a note to the reel's history, where it stays also when it is taken back."""
        if not text.strip():
            raise Refused("a note needs some words")
        moment = (at or self.now()).replace(second=0, microsecond=0)
        event = Event(moment, "reel", reel, "note", note=text)

        def work(kept: Kept) -> tuple[Shelf, Saying]:
            kept.shelf.reel(reel)
            return kept.shelf, Saying(f"note on {reel}", events=(event,))

        return self.written(work)

    def take_note_off(self, note: Event) -> Shelf:
        """Takes that one note off its reel: history keeps it, and that it was taken off. One undo."""
        from core.logbook.noted import noted_of, taken_off

        moment = self.now().replace(second=0, microsecond=0)

        def work(kept: Kept) -> tuple[Shelf, Saying]:
            there = {(one.at, one.note) for one in noted_of(kept.shelf, note.key)}
            if (note.at, note.note) not in there:
                raise Refused(f"that note is not on {note.key} any more")
            return kept.shelf, Saying(f"take a note off {note.key}", events=(taken_off(note, moment),))

        return self.written(work)

    def reel_history(self) -> Iterator[Event]:
        """When each reel came to which stage, and the notes on it that were not taken back."""
        from core.logbook.noted import in_force

        return in_force(self.told_of("reel", ("stage", "note")))

    def told_of(self, kind: str, fields: tuple[str, ...]) -> Iterator[Event]:
        """The history's events of that kind about one of those fields, the oldest first."""
        history = self.shelf.history
        if isinstance(history, History):
            return history.picked(kind, fields)
        return (event for event in history if event.kind == kind and event.field in fields)

    def import_files(
        self, paths: Sequence[Path], *, update: bool = False, reads: Reads | None = None
    ) -> ImportReport:
        """Takes in CSV, records and studio files: all rows of all files, or none.

        ``reads`` tells how to read what is not written as ours is.
        """
        from core.evening.tonight.heard_otherwise import follow
        from core.store.exchange.imports import Import
        from core.store.exchange.what_came import AS_WRITTEN, read_files
        from core.store.intake.delimited import as_they_are, read_whole

        reads, were = reads or AS_WRITTEN, as_they_are(paths)
        with read_whole(paths, were):
            files = read_files(paths, reads.columns)
        report: ImportReport | None = None

        def work(kept: Kept) -> tuple[Shelf, Saying]:
            nonlocal report
            bringing = Import(kept.shelf, files, update=update, reads=reads, this_year=self.now().year)
            with read_whole(paths, were):
                shelf, events, report = bringing.run()
            edited = shelf
            if not files.records:  # an exported shelf tells of its passes itself
                shelf = follow(kept.shelf, shelf, self.now())
            new = self._told_of_rows(kept.shelf, edited, shelf)
            report = replace(report, notes=(*report.notes, *new))
            return shelf, Saying(
                f"import {', '.join(path.name for path in paths)}",
                events=events,
                compared=not files.tells_history,
                replaces_history=bringing.replaces_history,
                silent=tuple({record.kind for record in files.records}),
            )

        self.written(work)
        assert report is not None
        return report

    def _told_of_rows(self, before: Shelf, edited: Shelf, after: Shelf) -> list[str]:
        """What is said of rows that came in, a sentence each; ``edited``: as the files alone have it."""
        from core.conditioning.beyond_published import beyond_in_studio
        from core.evening.warming.as_logged import kept_by_log, told_of_warmth
        from core.reels.photographs import gone_words
        from core.reels.unlikely import house_curves_told, odd_tracks_told, unlikely_eq
        from core.standing.uncalibrated import uncalibrated
        from core.studio.in_vain import hours_in_vain

        told = {one.key for one in uncalibrated(before, self.now())}
        new = [one.words for one in uncalibrated(after, self.now()) if one.key not in told]
        odd = unlikely_eq(before.studio, before.reels.values())
        new += [one for one in unlikely_eq(after.studio, after.reels.values()) if one not in odd]
        vain = hours_in_vain(before.studio, self.now())
        new += [one for one in hours_in_vain(after.studio, self.now()) if one not in vain or not before.reels]
        usual = beyond_in_studio(before.studio)
        new += [one for one in beyond_in_studio(after.studio) if one not in usual]
        brought = [one for key, one in after.reels.items() if before.reels.get(key) is not one]
        new += [*house_curves_told(brought), *odd_tracks_told(after.studio, brought)]
        gone = gone_words(brought, self.path.parent)
        new += [f"column photographs: {gone}"] if gone else []
        return [*new, *kept_by_log(before, edited, after), *told_of_warmth(before, after, self.now())]

    def look_at_files(
        self, paths: Sequence[Path], *, update: bool = False, reads: Reads | None = None
    ) -> Look:
        """What taking those files in would do; nothing is taken."""
        from core.store.exchange.imports import Import
        from core.store.exchange.what_came import AS_WRITTEN, read_files
        from core.store.intake.looking import looked

        self.reload()
        reads = reads or AS_WRITTEN
        files = read_files(paths, reads.columns)
        return looked(
            Import(self.shelf, files, update=True, reads=reads, this_year=self.now().year), update=update
        )

    def export(self, folder: Path) -> list[Path]:
        """Writes the shelf's files into the folder and names them."""
        from core.store.exchange.exports import export_shelf

        return export_shelf(self.shelf, folder)

    def backups(self) -> tuple[object, ...]:
        """The shelf's backups, newest first, each with whether it can be read."""
        from core.store.disk.restore import listed

        return listed(self.path)


def _same(old: Shelf, new: Shelf) -> bool:
    """True where nothing differs; values that were not touched are the same objects."""
    names = ("studio", "reels", "songs", "sheets", "segments", "records")
    return all(getattr(old, n) is getattr(new, n) or getattr(old, n) == getattr(new, n) for n in names)
