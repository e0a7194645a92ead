"""A sheet belongs to a tape and a span, as the owner decides."""

from __future__ import annotations

from dataclasses import replace

from core.errors import Refused
from core.sheets.made_loose import loose, needing, needs_kept, rows_of
from core.sheets.places import PLACES
from core.sheets.span_given import Span, of_no_other, within_the_tape
from core.shelf import Shelf
from core.songs.written.rings import ring_words, rings, row_words
from core.words import counted


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
    changed = [(song, needing(song, reel, span)) for song in songs if len(songs) == 1 or not span]
    value = {
        "reel": reel, "from": _number(span, 0), "to": _number(span, 1), "because": because, "at": at,
        "needs": {old.key: needs_kept(old.needs) for old, new in changed if new is not old},
    }  # fmt: skip
    after = replace(shelf, sheets=moved).with_song(*(new for old, new in changed if new is not old))
    return after.with_record(PLACES, sheet, value)


def _number(span: Span | None, end: int) -> float | None:
    return float(span[end]) if span is not None else None
