"""The joint for captures: a shelf's checks, the files that they rest on, and second copies of these."""

from __future__ import annotations

import os
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, cast

from core.errors import Refused, Unusable
from core.logbook.files import FilesLook, FileState, Mark, SecondCopy, looks, state_of
from core.logbook.typed import with_entry
from core.shelf import Shelf
from core.standing.kept_checks import MARKS, check_key, checks_of, files_sum, with_mark
from core.standing.proof import changed
from core.workbook.courses import course_record, read_course, write_course

if TYPE_CHECKING:
    from core.album.course import Course
    from core.capture.files.progress import Asked, Told
    from core.capture.kept.fixity import Looked, Watch
    from core.findings import AudioFile, Check, Finding
    from core.logbook.turned import TurnedRound
    from core.raw import RawCheck
    from core.store.book import Book


class Captures:
    """A shelf's captures. What reads files and what keeps the result are two acts, but for a check."""

    def __init__(self, book: Book) -> None:
        self.book = book

    def check(
        self,
        reel: str,
        files: Sequence[Path],
        *,
        pass_number: int = 1,
        tracks: tuple[int, ...] | None = None,
        progress: Told | None = None,
        cancelled: Asked | None = None,
        workers: int = 2,
        keep: bool = True,
        thresholds: Mapping[str, float | str] | None = None,
    ) -> Check:
        """Measures captured files against the reel; keeps the result where anything could be measured.

        ``thresholds`` in place of the shelf's own. Refused for thresholds that do not fit.
        """
        from core.capture.check import check_capture
        from core.capture.weighing.verdict import thresholds_with
        from core.workbook.capture_facts import reel_facts, studio_facts

        own = self.own_thresholds() if thresholds is None else thresholds
        try:
            judged_by = thresholds_with(own).plain()
        except ValueError as error:
            raise Refused(f"{error}: reelturn thresholds mends it") from error
        found = check_capture(
            reel_facts(self.book.shelf, reel, pass_number),
            studio_facts(self.book.shelf.studio),
            files,
            pass_number=pass_number,
            tracks=tracks,
            thresholds=own,
            workers=workers,
            progress=progress,
            cancelled=cancelled,
        )
        from core.workbook.turning import told_of_turning

        found = told_of_turning(self.book.shelf, found)
        found = replace(found, program=program(), thresholds=judged_by)
        return self.keep_check(found) if keep and found.measured else found

    def turn_round(
        self,
        reel: str,
        files: Sequence[Path],
        *,
        pass_number: int = 1,
        turned_over: bool = False,
        progress: Told | None = None,
        cancelled: Asked | None = None,
    ) -> TurnedRound:
        """Turns the files of a pass that ran backwards round, beside the originals; kept with the reel."""
        total = sum(path.stat().st_size for path in files if path.is_file())
        watch = watch_bytes(total, progress, cancelled)
        from core.workbook.turning import turn_captures

        return turn_captures(
            self.book, reel, files, pass_number, turned_over=turned_over, told=watch.read, cancelled=cancelled
        )

    def keep_check(self, found: Check) -> Check:
        """Keeps a check as the newest of its reel and pass; its strip goes into a file beside the shelf."""
        at = self.book.now()
        placed = tuple(replace(file, path=os.path.abspath(file.path)) for file in found.files)
        kept = replace(found.kept(at, None), files=placed)
        key = check_key(found.reel, found.pass_number)
        course = None
        if found.course is not None:
            course = course_record(
                cast("RawCheck", kept.to_json()), write_course(self.book.path, found.course)
            )

        def act(shelf: Shelf) -> Shelf:
            shelf.reel(found.reel)
            after = shelf.with_record("check", key, kept.to_json()).with_record("look", key, None)
            after = after.with_record("course", key, course)
            return after if found.strip is None else after.with_record("strip", key, found.strip.to_json())

        self.book.change(act, what=f"check {key}")
        return found.kept(at, found.strip)

    def kept_checks(self, reel: str) -> tuple[Check, ...]:
        """The newest check of every pass of that reel, each with its strip."""
        from core.findings import Check, Strip

        strips = self.book.shelf.of_kind("strip")
        out = []
        for number, record in checks_of(self.book.shelf, reel).items():
            strip = strips.get(check_key(reel, number))
            out.append(replace(Check.from_json(record), strip=Strip.from_json(strip) if strip else None))
        return tuple(out)

    def course(self, reel: str, pass_number: int = 1) -> Course | None:
        """Frames, speed and levels along a checked pass; none where they are not kept: check it again."""
        return read_course(self.book.path, self.book.shelf, reel, pass_number)

    def measured_again(self, reel: str, progress: Told | None = None) -> Iterator[tuple[Check, Check]]:
        """Every kept check of that reel with the same files measured anew, by the thresholds of then."""
        from core.capture.kept.fixity import on_disk

        next(self.captured_files(reel))
        for kept in self.kept_checks(reel):
            files = [on_disk(file.path) for file in kept.files]
            yield kept, self.check(
                reel, files, pass_number=kept.pass_number, tracks=kept.tracks or None, progress=progress,
                keep=False, thresholds=kept.thresholds,
            )  # fmt: skip

    def own_thresholds(self) -> dict[str, float | str]:
        """The shelf's own thresholds and weights."""
        return self.book.shelf.chosen.thresholds

    def set_threshold(self, name: str, value: float | str | None) -> None:
        """Sets one of the shelf's own thresholds or weights, or lets it go; Refused where it does not fit."""
        from core.capture.weighing.verdict import standard_thresholds, thresholds_with
        from core.findings import KINDS

        names = [*standard_thresholds().plain(), *(f"weight {kind}" for kind in KINDS)]
        own = {one: said for one, said in self.own_thresholds().items() if one != name}
        if name not in names:
            raise Refused(f"there is no threshold {name!r}: reelturn thresholds lists them")
        if value is not None:
            try:
                own[name] = thresholds_with({name: value}).plain()[name]
            except ValueError as error:
                raise Refused(str(error)) from error
        what = f"threshold {name}: {'the usual one' if value is None else value}"
        self.book.change(lambda shelf: shelf.choosing("check thresholds", own or None), what=what)

    # Are they still what they were? ----------------------------------------------------------------------

    def captured_files(self, reel: str) -> Iterator[tuple[RawCheck, tuple[AudioFile, ...]]]:
        """Every kept check of that reel as it is kept, with its files; Refused where none is kept."""
        from core.as_json import read
        from core.findings import AudioFile

        self.book.shelf.reel(reel)
        checks = checks_of(self.book.shelf, reel)
        if not checks:
            raise Refused(f"no check of {reel} is kept: reelturn check {reel} FILE... measures its files")
        for record in checks.values():
            yield record, read(tuple[AudioFile, ...], record["files"])

    def look_again(
        self, reel: str, *, progress: Told | None = None, cancelled: Asked | None = None
    ) -> tuple[Looked, ...]:
        """Reads the reel's checked files again and says what became of each; keeps nothing."""
        from core.capture.kept.fixity import Looked, look_again

        checks = list(self.captured_files(reel))
        watch = watch_files([file for _, files in checks for file in files], progress, cancelled)
        return tuple(
            Looked(reel, int(record.get("pass", 1)), files_sum(record), tuple(look_again(files, watch)))
            for record, files in checks
        )

    def keep_looks(self, looked: Sequence[Looked]) -> str | None:
        """Keeps what a look found; a verified reel whose files changed loses its stage: then a sentence.

        A file that was found changed stays so while it is missing.
        """
        from core.evening.mark import mark

        at = self.book.now()
        reel = looked[0].reel

        def kept(shelf: Shelf) -> Shelf:
            for one in looked:
                key = check_key(reel, one.pass_number)
                before = looks(shelf).get(key)
                files = _still_changed(one.files, before.files if before is not None else ())
                look = FilesLook(reel, one.pass_number, at, one.of, state_of(files), files)
                shelf = with_entry(shelf, key, look)
            return shelf

        why = changed(kept(self.book.shelf), self.book.shelf.reel(reel))
        lost = why is not None and self.book.shelf.reel(reel).stage == "verified"
        because = why if why and lost else ""

        def act(shelf: Shelf) -> Shelf:
            after = kept(shelf)
            return mark(after, reel, "transferred", at, because) if lost else after

        self.book.change(act, what=f"look at the files of {reel}", because=because)
        return f"{reel} is verified no more: {because}" if lost else None

    def compare_copy(
        self, reel: str, folder: Path, *, progress: Told | None = None, cancelled: Asked | None = None
    ) -> tuple[Looked, ...]:
        """Compares a second copy of the reel's checked files by SHA-256; keeps nothing."""
        from core.capture.kept.fixity import Looked, compare_copy, same_disk

        checks = list(self.captured_files(reel))
        if not folder.is_dir():
            raise Unusable(f"{folder}: no folder is there: name the one that holds the second copy")
        watch = watch_files([file for _, files in checks for file in files], progress, cancelled)
        place = os.path.abspath(folder)
        return tuple(
            Looked(reel, int(record.get("pass", 1)), files_sum(record),
                   tuple(compare_copy(files, folder, watch)), place, same_disk(files, folder))
            for record, files in checks
        )  # fmt: skip

    def keep_copies(self, copies: Sequence[Looked]) -> None:
        """Keeps what was found of a second copy."""
        at = self.book.now()

        def act(shelf: Shelf) -> Shelf:
            for one in copies:
                key = f"{check_key(one.reel, one.pass_number)} {one.folder}"
                copy = SecondCopy(
                    one.reel, one.pass_number, at, one.of, one.state, one.files, one.folder, one.same_disk
                )
                shelf = with_entry(shelf, key, copy)
            return shelf

        self.book.change(act, what=f"second copy of {copies[0].reel}")

    def mark_place(self, reel: str, pass_number: int, finding: Finding, mark: Mark | None) -> Shelf:
        """Marks a place of the listening list ``fine`` or ``again``; none takes it back."""
        at = self.book.now()

        def act(shelf: Shelf) -> Shelf:
            return with_mark(shelf, checks_of(shelf, reel)[pass_number], finding, mark, at)

        said = MARKS[mark] if mark is not None else "not listened to"
        return self.book.change(act, what=f"{reel} {finding.kind} at {finding.start:.1f} s: {said}")

    def checked_reels(self) -> list[str]:
        """Every reel of the shelf with a kept check, in the shelf's order."""
        checked = {str(check.get("reel")) for check in self.book.shelf.of_kind("check").values()}
        return [key for key in self.book.shelf.reels if key in checked]


def program() -> str:
    """The version of this program."""
    from importlib.metadata import PackageNotFoundError, version

    try:
        return version("reelturn")
    except PackageNotFoundError:
        return ""


def watch_files(
    files: Sequence[AudioFile], progress: Told | None, cancelled: Asked | None, times: int = 1
) -> Watch:
    """Tells of the bytes of these files as they are read, and again where they are read several times."""
    return watch_bytes(times * sum(file.bytes for file in files), progress, cancelled)


def watch_bytes(total: int, progress: Told | None, cancelled: Asked | None) -> Watch:
    """Tells how many of so many bytes were read."""
    import time

    from core.capture.files.progress import Progress, never
    from core.capture.kept.fixity import Watch

    began, done = time.monotonic(), 0

    def read(count: int) -> None:
        nonlocal done
        done += count
        if progress is not None:
            progress(Progress(min(done, total), total, time.monotonic() - began))

    return Watch(read, cancelled or never)


def _still_changed(files: Sequence[FileState], before: Sequence[FileState]) -> tuple[FileState, ...]:
    """The files as a look found them; what was changed and is missing now has not become right by that."""
    was = {file.path: file for file in before if file.state == "changed"}
    return tuple(was.get(file.path, file) if file.state == "missing" else file for file in files)
