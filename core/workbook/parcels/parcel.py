"""The joint for handing over: a song for the one who mixes, or an album, as one folder that tells itself."""

from __future__ import annotations

import os
import shutil
import tempfile
from collections.abc import Iterator, Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from core.capture.files.progress import Asked, Told
from core.errors import NotWritten, Refused, Unusable
from core.release.arrange import songs_of
from core.release.mixes import mixes_of
from core.release.parcel.finish import credit_rows
from core.release.parcel.index_page import Heading, IndexPage, Line, index_html, index_text
from core.values import dataclass
from core.words import counted, listed, no_room
from core.workbook.captures import program, watch_bytes
from core.workbook.parcels.parcel_song import Packed, ParcelSong
from core.workbook.songs import song_named

if TYPE_CHECKING:
    from core.release.album import Album
    from core.shelf import Shelf
    from core.songs.song import Song
    from core.store.book import Book
    from core.workbook.laying import Laying
    from core.workbook.parcels.handing_out import HandingOut
    from core.workbook.release import Release

LISTS = ("reels.csv", "songs.csv", "sheets.csv", "history.csv")
"""What of the shelf goes along; the studio, with the hours of its people, stays at home."""


@dataclass(frozen=True, slots=True)
class HandedOver:
    """What was laid out: the folder, its songs, how many files, and what could not go along."""

    folder: Path
    songs: tuple[str, ...]
    files: int
    left_out: tuple[str, ...]

    def to_json(self) -> dict[str, object]:
        """As `bag --json` prints it."""
        return {
            "folder": str(self.folder), "songs": list(self.songs), "files": self.files,
            "left_out": list(self.left_out),
        }  # fmt: skip


class Parcels:
    """Songs and albums laid out for somebody else."""

    def __init__(self, book: Book, laying: Laying, release: Release, handing_out: HandingOut) -> None:
        self.book, self.laying, self.release, self.handing_out = book, laying, release, handing_out

    def hand_over(
        self, folder: Path, *, song: str = "", album: str = "",
        progress: Told | None = None, cancelled: Asked | None = None,
    ) -> HandedOver:  # fmt: skip
        """Lays one song or one album out as a new BagIt folder, whole or not at all.

        Refused where nothing of it is captured and no mix came home; Unusable where the folder is there, or
        a file is missing or is not what was checked. Originals are only read.
        """
        shelf = self.book.shelf
        page = self.release.album(album) if album else None
        songs = [song_named(shelf, song)] if page is None else songs_of(shelf, album)
        if not any(self.laying.time.checks(one) or mixes_of(shelf, one.key) for one in songs):
            name = songs[0].key if page is None else page.name
            raise Refused(f"{name}: nothing is captured and no mix has come home: nothing to hand over yet")
        if os.path.lexists(folder):
            raise Unusable(f"{folder}: is there already, it was not touched: name a new folder")
        try:
            folder.absolute().parent.mkdir(parents=True, exist_ok=True)
            beside = Path(tempfile.mkdtemp(prefix=".laying-", dir=folder.absolute().parent))
        except OSError as error:
            raise Unusable(f"{folder}: no folder can be made there: {error.strerror or error}") from error
        try:
            return self._pack(folder, beside, songs, page, progress, cancelled)
        except OSError as error:
            where = f"{error.filename}: " if error.filename else ""
            raise Unusable(f"{where}{error.strerror or error}; no bag was made") from error
        except NotWritten as error:  # the folder that they lay in is nobody's concern
            raise Unusable(f"{folder}: {error.why}; no bag was made") from error
        finally:
            shutil.rmtree(beside, ignore_errors=True)

    def _pack(
        self, folder: Path, beside: Path, songs: Sequence[Song], page: Album | None,
        progress: Told | None, cancelled: Asked | None,
    ) -> HandedOver:  # fmt: skip
        from core.album.copies.names import plain_word, unlike
        from core.capture.kept.bagit import write_bag

        packed = Packed()
        names = unlike(plain_word(f"{one.key} {one.title}", "song") for one in songs)
        headings = [] if page is None else [self._album(packed, page)]
        for number, (one, name) in enumerate(zip(songs, names, strict=True)):
            state = None if page is None else next(s for s in page.songs if s.song.key == one.key)
            packer = ParcelSong(self.laying, packed, one, f"songs/{name}", beside / str(number))
            headings.append(packer.pack(state, progress, cancelled))
        headings += [self._tapes(packed), self._lists(packed, songs)]
        self._index(packed, songs, page, headings)
        content = packed.content
        size = packed.bytes
        if size > (free := shutil.disk_usage(beside).free):
            raise Unusable(f"{folder}: {no_room(size, free)}")
        watch = watch_bytes(2 * size + packed.moved_bytes, progress, cancelled)
        facts = self._facts(songs, page)
        write_bag(
            folder, content.files, facts, expected=content.digests, moved=packed.moved, watch=watch
        )  # fmt: skip
        keys = tuple(one.key for one in songs)
        return HandedOver(folder, keys, len(content.files), tuple(packed.left_out))

    def _album(self, packed: Packed, page: Album) -> Heading:
        """The album sheet, the credits, and what is missing."""
        from core.album.copies.listing import csv_bytes
        from core.clock import minutes_text
        from core.paper.shelf.album_sheet import album_pages

        shelf = self.book.shelf
        pdf = album_pages(shelf, [page], size=shelf.chosen.paper_size, made=self.book.now())
        fit = page.fit()
        lines = [
            Line(f"{counted(len(page.songs), 'song')}, {minutes_text(page.seconds)} with the gaps; "
                 f"{fit.carrier.name}: {fit.verdict}"),
            Line(page.fullness),
            *(Line(words) for words in _sides(page)),
            Line("album sheet and credits on paper", packed.content.put("album.pdf", pdf)),
            Line("credits as a list",
                 packed.content.put("credits.csv", csv_bytes(credit_rows(page.credits)))),
            *(Line(f"{one.name} ({one.says}): {one.plays_words}") for one in page.credits),
            *(Line(f"missing, waits for {one.waits_for}: {one.sentence}") for one in page.missing),
        ]  # fmt: skip
        return Heading("The album", tuple(lines))

    def _tapes(self, packed: Packed) -> Heading:
        """Each tape's capture report and checks, and the checked files that could not be laid."""
        from core.capture.kept.handover import bag_of, folder_name

        lines = []
        for reel, wanted in packed.reels.items():
            passes = list(self.handing_out.captures.captured_files(reel))
            name, report = self.handing_out.report_of(reel)
            at = packed.content.put(f"tapes/{folder_name(reel)}/{name}", report)
            lines.append(Line(f"{reel}: capture report", at))
            for check, files in passes:
                number = int(check.get("pass", 1))
                taken = files if number in wanted else ()
                part = bag_of([(check, taken)])
                packed.bytes += sum(file.bytes for file in taken)
                for original, place in part.files:
                    digest = part.digests.get(place)
                    at = packed.content.put(f"tapes/{place}", original, digest)
                    what = "as captured" if isinstance(original, Path) else "all that was measured"
                    lines.append(Line(f"{reel} pass {number}: {what}", at))
        return Heading("The tapes", tuple(lines))

    def _lists(self, packed: Packed, songs: Sequence[Song]) -> Heading:
        """Track sheets on paper, and all that is known of these songs and tapes as lists."""
        from core.paper.shelf.track_sheet import track_sheets
        from core.store.exchange.exports import files_of

        part = self._part_of_shelf(songs)
        reels = [reel for reel in part.reels.values() if part.sheets_of(reel.key)]
        lines = []
        if part.sheets:
            pdf = track_sheets(
                part, reels, size=self.book.shelf.chosen.paper_size, made=self.book.now(), loose=True
            )
            lines.append(Line("track sheets on paper", packed.content.put("track sheets.pdf", pdf)))
        texts = files_of(part)
        for name in LISTS:
            words = {"sheets.csv": "track sheets as a list", "history.csv": "what was done with the tapes"}
            said = words.get(name, f"the {name.removesuffix('.csv')} as a list")
            lines.append(Line(said, packed.content.put(f"lists/{name}", texts[name].encode())))
        return Heading("Sheets and lists", tuple(lines))

    def _part_of_shelf(self, songs: Sequence[Song]) -> Shelf:
        """The shelf with these songs alone, their tapes, and the sheets of both."""
        shelf = self.book.shelf
        keys = {one.key for one in songs}
        mine = {row.reel for row in shelf.sheets if row.song in keys}
        mine |= {need.reel for one in songs for need in one.needs}
        reels = {key: reel for key, reel in shelf.reels.items() if key in mine}
        return replace(
            shelf,
            reels=reels,
            songs={one.key: one for one in songs},
            sheets=tuple(row for row in shelf.sheets if row.song in keys or row.reel in reels),
            segments=(),
            history=[event for event in shelf.history if event.key in reels or event.key in keys],
        )

    def _index(
        self, packed: Packed, songs: Sequence[Song], page: Album | None, headings: Sequence[Heading]
    ) -> None:
        """The page to begin at, as HTML and as plain text."""
        studio = self.book.shelf.studio
        title = page.name if page is not None else (songs[0].title or songs[0].key)
        day = self.book.now().astimezone(studio.zone).date().isoformat()
        by = f"by {studio.name} " if studio.name else ""
        artists = _artists(songs)
        says = [
            *([f"{title}, by {artists}."] if artists else []),
            f"Handed over {by}on {day}. Files are named below this page.",
            "Sound is WAV or as it was captured, lists are CSV in UTF-8, paper is PDF, markers are a "
            "Standard MIDI File. The folder around it is a BagIt folder (RFC 8493): in it, sha256sum -c "
            "manifest-sha256.txt tells whether every file is still what it was.",
            *(f"Not in this folder: {words}" for words in packed.left_out),
        ]
        told = IndexPage(title, tuple(says), tuple(one for one in headings if one.lines))
        packed.content.put("index.html", index_html(told).encode())
        packed.content.put("index.txt", index_text(told).encode())

    def _facts(self, songs: Sequence[Song], page: Album | None) -> dict[str, str]:
        """The lines of bag-info.txt; the names of the fields are those of RFC 8493, 2.2.2."""
        names = ", ".join(f"{one.key} {one.title}".strip() for one in songs)
        kind = "Song" if page is None else "Album"
        of = f" by {artists}" if (artists := _artists(songs)) else ""
        return {
            "Source-Organization": self.book.shelf.studio.name,
            "External-Identifier": songs[0].key if page is None else page.name,
            "External-Description": f"{kind}{of}, to begin at index.html: {names}",
            "Bagging-Date": f"{self.book.now():%Y-%m-%d}",
            "Bag-Software-Agent": f"reelturn {program()}".rstrip(),
        }


def _artists(songs: Sequence[Song]) -> str:
    """Who made these songs, each once."""
    return listed(list(dict.fromkeys(one.artist for one in songs if one.artist.strip())))


def _sides(page: Album) -> Iterator[str]:
    """Each side as it is to be cut: songs in order with their lengths and where those come from."""
    from core.clock import minutes_text

    for number, side in enumerate(page.sides()):
        songs = (
            f"{one.song.key} {one.name} {minutes_text(one.seconds)} ({one.length_from})"
            if one.seconds is not None else f"{one.song.key} {one.name} (length not known)" for one in side
        )  # fmt: skip
        name = f"side {'AB'[number]}" if page.carrier.sides > 1 else "in this order"
        yield f"{name}, {float(page.gap):g} s between two: {'; '.join(songs)}"
