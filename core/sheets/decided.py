"""What the owner decides of a sheet: it belongs to a tape, it is loose again, it is of no tape there is."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from difflib import get_close_matches
from fractions import Fraction

from core.errors import Refused
from core.sheets.papers import by_sheet
from core.sheets.places import PLACES
from core.sheets.span_given import Span, of_no_other, within_the_tape
from core.shelf import Shelf
from core.songs.song import Need, SheetRow, Song
from core.songs.written.rings import ring_words, rings, row_words
from core.words import counted


def rows_of(shelf: Shelf, sheet: str) -> tuple[SheetRow, ...]:
    """The rows of a sheet; Refused where there is no such sheet, with the nearest."""
    rows = tuple(row for row in shelf.sheets if row.sheet == sheet)
    if not rows:
        near = get_close_matches(sheet, by_sheet(shelf.sheets), 1)
        hint = f": did you mean {near[0]}?" if near else ": reelturn papers lists the loose ones"
        raise Refused(f"no sheet {sheet!r} on this shelf{hint}")
    return rows


def belongs(shelf: Shelf, sheet: str, reel: str, span: Span | None, because: str, at: str) -> Shelf:
    """The shelf on which a sheet is of that tape and span; its songs need the tape from now on.

    A sheet that lies there already is placed anew; its reason stays where no other is given.
    """
    rows, tape = rows_of(shelf, sheet), shelf.reel(reel)
    before = shelf.of_kind(PLACES).get(sheet) or {}
    if before.get("reel") == reel and all(row.reel == reel for row in rows):
        shelf, because = loose(shelf, sheet), because or str(before.get("because") or "")
    if tape.calibration:
        raise Refused(f"{reel} is a calibration reel: it carries no song, name another reel for {sheet}")
    for row in rows:
        if row.reel and row.reel != reel:
            raise Refused(
                f"{row_words(row)} is on {row.reel} already: reelturn papers {sheet!r} loose parts them first"
            )
        if tape.tracks and row.track is not None and row.track > tape.tracks:
            has = f"{reel} has {counted(tape.tracks, 'track')}"
            raise Refused(f"{row_words(row)}: {has}: the sheet is of another tape")
    within_the_tape(shelf, reel, span)
    of_no_other(shelf, reel, span, {row.song for row in rows})
    moved = tuple(replace(row, reel=reel) if row.sheet == sheet else row for row in shelf.sheets)
    closed = next((ring for ring in rings(moved, most=50) if any(row.sheet == sheet for row in ring)), None)
    if closed is not None:
        raise Refused(f"{sheet} on {reel} would be wrong: {ring_words(closed)}")
    songs = [shelf.songs[key] for key in dict.fromkeys(row.song for row in rows) if key in shelf.songs]
    changed = [(song, _needing(song, reel, span)) for song in songs if len(songs) == 1 or not span]
    value = {
        "reel": reel, "from": _number(span, 0), "to": _number(span, 1), "because": because, "at": at,
        "needs": {old.key: _text(old.needs) for old, new in changed if new is not old},
    }  # fmt: skip
    after = replace(shelf, sheets=moved).with_song(*(new for old, new in changed if new is not old))
    return after.with_record(PLACES, sheet, value)


def _number(span: Span | None, end: int) -> float | None:
    return float(span[end]) if span is not None else None


def _needing(song: Song, reel: str, span: Span | None) -> Song:
    """The song with that tape among its needs, and with the span where none was told."""
    need = Need(reel, *span) if span is not None else Need(reel)
    mine = [one for one in song.needs if one.reel == reel]
    if not mine:
        return replace(song, needs=(*song.needs, need))
    if span is not None and all(one.start is None for one in mine):
        return replace(song, needs=tuple(need if one is mine[0] else one for one in song.needs))
    return song


def _text(needs: Sequence[Need]) -> list[list[str | None]]:
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
            and song.needs == _needing(replace(song, needs=tuple(was)), reel, span).needs
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
