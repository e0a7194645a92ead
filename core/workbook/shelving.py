"""The joint for the shelf's order: fields set, keys changed, things taken off, tapes merged and split."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from core.errors import Refused
from core.shelf import Event, Shelf
from core.store.book import Book, Saying
from core.store.disk.shelf_file import Kept

if TYPE_CHECKING:
    from core.shelving.named_in import Kind


class Shelving:
    """A shelf whose things can be changed, renamed, taken off, merged and split."""

    def __init__(self, book: Book) -> None:
        self.book = book

    def key_now(self, key: str, kind: Kind = "reel") -> str | None:
        """The key of a thing that had this one, as the history tells of renamings; None where it is gone."""
        from core.store.disk.changes.rows_changed import RENAMED

        for event in self.book.told_of(kind, (RENAMED,)):
            key = event.new if event.old == key else key
        shelf = self.book.shelf
        there: Collection[str] = shelf.reels if kind == "reel" else shelf.songs
        return key if key in there else None

    def set_fields(self, key: str, given: Mapping[str, str], kind: str = "") -> tuple[str, ...]:
        """Sets fields of a reel, song or sheet as a file's columns of those names are read; one undo.

        What is to be said of its warmth, its equalisation and its tracks comes back, a sentence each.

        ``SHEET:TRACK``, with ``@SONG`` where that track has several, is one row of a sheet; ``SHEET:?`` the
        one that tells no track.
        """
        from core.evening.answers import plan_rests_on_base
        from core.evening.playing.set_up_since import told_by_edit
        from core.evening.tonight.heard_otherwise import follow
        from core.evening.warming.as_logged import kept_by_log, told_of_warmth
        from core.quantities import read_quantity
        from core.shelving.rename import the_kind
        from core.standing.of_plan.made_from import taken_in
        from core.store.exchange.edits import RowOf, set_fields
        from core.store.rows.columns import Reading

        thing, row = key, None
        one = re.fullmatch(r"([^:@]+):([0-9]{1,3}|\?)(?:@(.*))?", key)
        if one and kind in ("", "sheet"):
            track = None if one[2] == "?" else int(one[2])
            thing, row, kind = one[1].strip(), RowOf(track, one[3]), "sheet"

        def act(shelf: Shelf) -> Shelf:
            if row is not None:
                _refuse_a_reel(shelf, thing, row.track)
            found = the_kind(shelf, thing, kind)
            reading = Reading(shelf.studio.zone, read_quantity, this_year=self.book.now().year)
            edited = set_fields(shelf, found, thing, given, reading, row)
            after = follow(shelf, edited, self.book.now())
            told[:] = (*kept_by_log(shelf, edited, after), *told_of_warmth(shelf, after, self.book.now()))
            told.extend(told_by_edit(shelf, after, self.book.now()))
            if found == "reel":
                told.extend(_told_of_reel(after, thing, given))
                after = plan_rests_on_base(shelf, after, thing, self.book.now())
            return taken_in(shelf, after, thing) if _ran_clean(shelf, edited, thing, found) else after

        told: list[str] = []
        self.book.change(act, what=f"set {key} {', '.join(given)}")
        return tuple(told)

    def rename(self, old: str, new: str, kind: str = "") -> Kind:
        """Puts a reel, song or sheet under another key everywhere it is named; one undo; says what it was."""
        from core.shelving.rename import renamed, the_kind
        from core.store.rows.columns import read_key

        try:
            key = read_key(new)
        except ValueError as error:
            raise Refused(f"rename {old}: {new!r} is not {error}") from None
        found: list[Kind] = []

        def work(kept: Kept) -> tuple[Shelf, Saying]:
            what = the_kind(kept.shelf, old, kind)
            found.append(what)
            after = renamed(kept.shelf, what, old, key)
            return after, self.book.under_another_key(kept, what, old, key, f"rename {what} {old} {key}")

        self.book.written(work)
        return found[0]

    def hanging_on(self, key: str, kind: str = "") -> str:
        """What hangs on that thing, by count, in words."""
        from core.shelving.remove import hanging_told
        from core.shelving.rename import the_kind

        return hanging_told(self.book.shelf, the_kind(self.book.shelf, key, kind), key)

    def goes_with(self, key: str, kind: str = "") -> str:
        """What goes with that thing where it is taken off the shelf; Refused where it cannot be."""
        from core.shelving.remove import removed
        from core.shelving.rename import the_kind

        removed(self.book.shelf, [(the_kind(self.book.shelf, key, kind), key)])
        return self.hanging_on(key, kind)

    def remove(self, keys: Sequence[str], kind: str = "") -> dict[str, str]:
        """Takes things off the shelf with all that hangs on them; one undo; by key what went with each."""
        from core.shelving.remove import hanging_told, removed
        from core.shelving.rename import the_kind

        told: dict[str, str] = {}

        def work(kept: Kept) -> tuple[Shelf, Saying]:
            things = [(the_kind(kept.shelf, key, kind), key) for key in dict.fromkeys(keys)]
            told.update({key: hanging_told(kept.shelf, what, key) for what, key in things})
            return removed(kept.shelf, things), Saying(f"remove {', '.join(told)}", whole=True)

        self.book.written(work)
        return told

    def merge(self, keep: str, other: str) -> Shelf:
        """Two keys that are one tape: the second's facts, names and papers go to the first; one undo."""
        from core.shelving.merge import merged, notes_brought
        from core.store.exchange.edits import allowed

        def work(kept: Kept) -> tuple[Shelf, Saying]:
            after = allowed(kept.shelf, merged(kept.shelf, keep, other), f"merge {keep}")
            at = self.book.now().replace(second=0, microsecond=0)
            note = Event(at, "reel", keep, "note", note=f"{other} is the same tape")
            events = (*notes_brought(kept.shelf, keep, other), note)
            return after, Saying(f"merge {keep} and {other}", events=events, whole=True)

        return self.book.written(work)

    def split(
        self,
        key: str,
        new: str,
        *,
        contents: str = "",
        sheets: Collection[str] = (),
        songs: Collection[str] = (),
    ) -> Shelf:
        """A box that held two tapes: the second comes to the shelf under a key of its own; one undo."""
        from core.shelving.merge import split
        from core.store.exchange.edits import allowed
        from core.store.rows.columns import read_key

        try:
            second = read_key(new)
        except ValueError as error:
            raise Refused(f"split {key}: {new!r} is not {error}") from None

        def act(shelf: Shelf) -> Shelf:
            at = self.book.now().replace(second=0, microsecond=0)
            made = split(shelf, key, second, at, contents=contents, sheets=sheets, songs=songs)
            return allowed(shelf, made, f"split {key}")

        return self.book.change(act, what=f"split {key}: {second}")


def _told_of_reel(shelf: Shelf, key: str, given: Mapping[str, str]) -> Iterator[str]:
    """What is to be said of an equalisation or of tracks that were typed."""
    from core.reels.unlikely import house_curves_told, odd_tracks_told

    reels = [shelf.reel(key)]
    if "eq" in given:
        yield from house_curves_told(reels)
    if given.keys() & {"tracks", "width"}:
        yield from odd_tracks_told(shelf.studio, reels)


def _refuse_a_reel(shelf: Shelf, key: str, track: int | None) -> None:
    """Where somebody names a track of a reel, the row of the sheet that tells of it is meant: it is named."""
    mine = dict.fromkeys(one.sheet for one in shelf.sheets if one.reel == key and one.track == track)
    if mine and track is not None and all(one.sheet != key for one in shelf.sheets):
        raise Refused(
            f"{key} is a reel: its track {track} stands on a sheet, set {' or '.join(mine)}:{track} instead"
        )


def _ran_clean(before: Shelf, after: Shelf, key: str, kind: Kind) -> bool:
    """True where all that was told is that a reel's outermost turns ran clean: no plan grows old by that."""
    if kind != "reel" or before.reel(key).tried:
        return False
    return after.reel(key) == replace(before.reel(key), tried="clean")
