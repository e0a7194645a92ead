"""A sheet that is loose again or of no tape there is; songs' needs go back to what they were."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from difflib import get_close_matches
from fractions import Fraction

from core.errors import Refused
from core.sheets.papers import by_sheet
from core.sheets.places import PLACES
from core.sheets.span_given import Span
from core.shelf import Shelf
from core.songs.song import Need, SheetRow, Song
from core.songs.written.rings import row_words


def rows_of(shelf: Shelf, sheet: str) -> tuple[SheetRow, ...]:
    """The rows of a sheet; Refused where there is no such sheet, with the nearest."""
    rows = tuple(row for row in shelf.sheets if row.sheet == sheet)
    if not rows:
        near = get_close_matches(sheet, by_sheet(shelf.sheets), 1)
        hint = f": did you mean {near[0]}?" if near else ": reelturn papers lists the loose ones"
        raise Refused(f"no sheet {sheet!r} on this shelf{hint}")
    return rows


def needing(song: Song, reel: str, span: Span | None) -> Song:
    """The song with that tape among its needs, and with the span where none was told."""
    need = Need(reel, *span) if span is not None else Need(reel)
    mine = [one for one in song.needs if one.reel == reel]
    if not mine:
        return replace(song, needs=(*song.needs, need))
    if span is not None and all(one.start is None for one in mine):
        return replace(song, needs=tuple(need if one is mine[0] else one for one in song.needs))
    return song


def needs_kept(needs: Sequence[Need]) -> list[list[str | None]]:
    """A song's needs as the place of a sheet keeps them: reel, from, to as exact figures."""
    return [[one.reel, _exact(one.start), _exact(one.end)] for one in needs]


def _exact(value: Fraction | None) -> str | None:
    return None if value is None else str(value)


def loose(shelf: Shelf, sheet: str) -> Shelf:
    """The shelf on which the sheet is undecided again; what its place had added to songs' needs goes too."""
    rows = rows_of(shelf, sheet)
    kept = shelf.of_kind(PLACES).get(sheet) or {}
    after = replace(
        shelf, sheets=tuple(replace(row, reel="") if row.sheet == sheet else row for row in shelf.sheets)
    )
    for key, before in (kept.get("needs") or {}).items():
        song, reel = shelf.songs.get(key), kept.get("reel")
        span = (
            (Fraction(str(kept["from"])), Fraction(str(kept["to"]))) if kept.get("from") is not None else None
        )
        was = [Need(one[0], *(Fraction(v) if v is not None else None for v in one[1:])) for one in before]
        if (
            song is not None
            and reel
            and song.needs == needing(replace(song, needs=tuple(was)), reel, span).needs
        ):
            after = after.with_song(replace(song, needs=tuple(was)))
    if not any(row.reel for row in rows) and not kept:
        raise Refused(f"{sheet} is loose already")
    return after.with_record(PLACES, sheet, None)


def of_no_tape(shelf: Shelf, sheet: str, because: str, at: str) -> Shelf:
    """The shelf on which the sheet is of no tape there is."""
    for row in rows_of(shelf, sheet):
        if row.reel:
            raise Refused(
                f"{row_words(row)} is on {row.reel}: reelturn papers {sheet!r} loose parts them first"
            )
    return shelf.with_record(PLACES, sheet, {"none": True, "because": because, "at": at})
