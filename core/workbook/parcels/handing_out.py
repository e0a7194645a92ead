"""What is made of captures: manifests, a bag for handing over, reports, a line-up; and finding them."""

from __future__ import annotations

import os
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from core.errors import Refused, Unusable
from core.workbook.captures import program, watch_files
from core.workbook.turning import only_turned

if TYPE_CHECKING:
    from core.capture.files.progress import Asked, Told
    from core.capture.lineup.lineup_record import CapturedLineUp
    from core.lineup.record import When
    from core.store.book import Book
    from core.workbook.captures import Captures


class HandingOut:
    """What is made of a shelf's captures."""

    def __init__(self, book: Book, captures: Captures) -> None:
        self.book = book
        self.captures = captures

    def manifest(self, reels: Sequence[str], beside: Path | None = None) -> str:
        """The checked files of these reels as a manifest that `sha256sum -c` verifies.

        Names are below the folder ``beside`` where they lie there, else absolute.
        """
        from core.capture.kept.fixity import manifest, on_disk

        entries: dict[str, str] = {}
        for reel in reels:
            for _, files in self.captures.captured_files(reel):
                for file in files:
                    path = on_disk(file.path).absolute()
                    near = beside is not None and path.is_relative_to(beside.absolute())
                    name = path.relative_to(beside.absolute()) if near and beside is not None else path
                    if file.sha256:
                        entries[os.fspath(name)] = file.sha256
        return manifest((digest, name) for name, digest in entries.items())

    def write_manifest(self, reels: Sequence[str], file: Path) -> Path:
        """Writes the manifest into a file; Unusable where another file is there that is none."""
        from core.capture.kept.fixity import read_manifest
        from core.store.disk.atomic import write_whole

        text = self.manifest(reels, file.parent)
        if file.exists():
            try:
                read_manifest(file.read_bytes().decode("utf-8", "surrogateescape"))
            except (OSError, ValueError) as error:
                raise Unusable(f"{file}: is there and no manifest, it was not touched: {error}") from error
        if not file.parent.is_dir():
            raise Unusable(f"{file.parent}: no folder is there: name one that is")
        write_whole(file, text.encode("utf-8", "surrogateescape"))
        return file

    def hand_over(
        self,
        reels: Sequence[str],
        folder: Path,
        *,
        progress: Told | None = None,
        cancelled: Asked | None = None,
    ) -> Path:
        """Lays these reels' checked files out as a BagIt folder, each reel with its checks and its report.

        Unusable where that cannot be: the folder is there, a file is missing or is not what was checked.
        """
        from core.capture.kept.bagit import write_bag
        from core.capture.kept.handover import bag_facts, bag_of

        passes = [one for reel in reels for one in self.captures.captured_files(reel)]
        every = [file for _, files in passes for file in files]
        content = bag_of(passes)
        for reel in reels:
            name, report = self.report_of(reel)
            content.add(reel, name, report)
        facts = bag_facts(self.book.shelf, reels, self.book.now(), program())
        try:
            watch = watch_files(every, progress, cancelled, times=2)
            return write_bag(folder, content.files, facts, expected=content.digests, watch=watch)
        except FileExistsError as error:
            raise Unusable(f"{folder}: is there already, it was not touched: name a new folder") from error
        except OSError as error:
            where = f"{error.filename}: " if error.filename else ""
            raise Unusable(f"{where}{error.strerror or error}; no bag was made") from error

    def report_of(self, reel: str) -> tuple[str, bytes]:
        """The capture report of a reel that is checked: a name for the file, and the PDF."""
        from core.paper.kept.capture_report import capture_reports
        from core.paper.look.files import safe_name

        pdf = capture_reports(self.book.shelf, self.captures.kept_checks(reel), made=self.book.now())
        return f"capture-{safe_name(reel)}.pdf", pdf

    def report(self, reel: str, folder: Path, size: str = "") -> list[Path]:
        """Prints the capture report of one reel, all its passes; Refused where none is checked."""
        from core.paper.kept.capture_report import capture_reports
        from core.paper.look.files import put, safe_name

        next(self.captures.captured_files(reel))
        pdf = capture_reports(
            self.book.shelf,
            self.captures.kept_checks(reel),
            size=size or self.book.shelf.chosen.paper_size,
            made=self.book.now(),
        )
        return [put(folder, f"capture-{safe_name(reel)}.pdf", pdf)]

    def found_captures(self, reel: str, pass_number: int) -> list[Path]:
        """Files in the folder of captures whose names carry the reel's key, for that pass."""
        from core.capture.files.found import captures_of

        found = captures_of(self.capture_folder(), reel, pass_number)
        return only_turned(self.book.shelf, reel, pass_number, found)

    def capture_folder(self) -> Path:
        """Where captures lie: as the studio's file says, else `captures` beside the shelf."""
        capture = self.book.shelf.studio.capture
        named = capture.folder if capture is not None else ""
        return Path(named).expanduser() if named else self.book.path.absolute().parent / "captures"

    def line_up(
        self,
        deck: str,
        reel: str,
        files: Sequence[Path],
        *,
        zero_dbfs: float | None = None,
        apart_mm: float | None = None,
        when: When = "before",
    ) -> CapturedLineUp:
        """Reads a deck's line-up from a capture of a calibration reel's tones and keeps the record.

        The deck's own set-up is what the tones are held to, the calibration reel's where the deck has none.
        Without `apart_mm` the tracks are taken as laid evenly over the tape's width.
        """
        from core.capture.lineup.lineup_record import captured_line_up, hear_line_up
        from core.lineup.calibration import calibration_tape
        from core.lineup.on_shelf import keep, own_tolerances
        from core.lineup.sheet import lineup_sheet

        one, machine = self.book.shelf.reel(reel), self.book.shelf.studio.deck(deck)
        if machine is None:
            raise Refused(f"no deck {deck!r} in this studio")
        if not one.calibration:
            raise Refused(
                f"{reel} is no calibration reel: a line-up is measured from a calibration tape's tones"
            )
        tracks = one.tracks or machine.tracks
        setup = machine.lined_up or one.setup
        try:
            tape, allowed = calibration_tape(one), own_tolerances(self.book.shelf)
            sheet = lineup_sheet(deck, setup, tracks, tape, which="many frequencies", allowed=allowed)
        except ValueError as error:
            raise Refused(str(error)) from error
        if apart_mm is None:
            width = float(one.width.number if one.width else machine.widths[0].number)
            apart_mm = 25.4 * width * max(1, tracks - 1) / tracks
        heard = hear_line_up(files, tracks)
        made = captured_line_up(
            sheet, heard, self.book.now(), apart_mm=apart_mm, zero_dbfs=zero_dbfs, when=when
        )
        self.book.change(lambda shelf: keep(shelf, made.record), what=f"line-up of {deck} by {reel}")
        return made
