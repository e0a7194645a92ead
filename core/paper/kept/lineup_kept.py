"""A line-up as it was kept: ticks, readings as found and as left, the response, what has drifted."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from reportlab.platypus.flowables import Flowable

from core.lineup.line import Line
from core.lineup.on_shelf import drift_since_last, own_tolerances, sheet_of
from core.lineup.picture import response_picture, worst_track
from core.lineup.record import LineupRecord, When
from core.lineup.sheet import LineupSheet
from core.lineup.verdict import judge, track_verdicts, turn_first
from core.paper.evening.lineup_sheet import rows_of, tone_tables, within
from core.paper.look.foot import figures_foot
from core.paper.look.line_order import said
from core.paper.look.look import Blank, Cell, Tick, section, table
from core.paper.look.page import Sheet, bind, column, origin
from core.paper.look.pictures.response import Response
from core.paper.look.text import BODY, SMALL, Text, Type
from core.paper.look.words import day_and_clock
from core.reels.pass_tracks import ranges
from core.shelf import Shelf
from core.studio.setup import lined_up_told

_EACH = 2  # so many tracks and fewer are drawn one by one; of more only the one that is furthest off
_CALLED: dict[When, str] = {"before": "As found", "after": "As left"}


def kept_lineup_pdf(shelf: Shelf, record: LineupRecord, now: datetime, *, size: str = "A4") -> bytes:
    """The PDF of one kept line-up."""
    return bind([kept_lineup_page(shelf, record, size)], origin(shelf, None, now), size)


def kept_lineup_name(record: LineupRecord) -> str:
    """What the file of a kept line-up is called, before its ending."""
    return f"line-up-{record.deck}-{record.at:%Y-%m-%d-%H%M}"


def kept_lineup_page(shelf: Shelf, record: LineupRecord, size: str = "A4") -> Sheet:
    """The sheet of a kept line-up, filled in."""
    wide, sheet = column(size), sheet_of(shelf, record)
    story: list[Flowable] = [table([], _done(sheet, record), [4, 62, 34], column=wide)]
    for when in _CALLED:
        if _was_read(record, when):
            story += section(_CALLED[when], *_tones(sheet, record, when, wide))
    story += _response(sheet, record, wide)
    story += section("How it stands", *_verdict(shelf, sheet, record))
    story += section("Since the last line-up to this set-up", *_drift(shelf, record))
    story += [Text(f"Note: {said(record.note)}", SMALL, 4)] if record.note else []
    story += [Blank("Remarks", height=22), figures_foot("line-up sheet", rows_of(sheet))]
    how = said(record.calibration) if record.calibration else record.choice
    title = f"Line-up, {said(record.deck)} to {said(lined_up_told(sheet.setup.words()))}"
    reel = f"; for {said(record.reel)}" if record.reel else ""
    return Sheet(title, tuple(story), f"as kept: {day_and_clock(record.at)}; {how}{reel}")


def _was_read(record: LineupRecord, when: When) -> bool:
    return any(one.when == when for one in record.readings)


def _done(sheet: LineupSheet, record: LineupRecord) -> list[Sequence[Cell]]:
    """Every line without a reading per track, ticked as it was, with what the whole head read."""
    rows: list[Sequence[Cell]] = []
    for line in sheet.lines:
        if line.per_track:
            continue
        read = [
            f"{_CALLED[when].lower()} {value:+g}{line.unit}"
            for when in _CALLED
            if (value := record.reading(line.key, 0, when)) is not None
        ]
        ticked = line.key in record.ticked or bool(read)
        rows.append([Tick(ticked=ticked), Text(line.says, BODY), Text(within(line) + ", ".join(read), SMALL)])
    return rows


def _tones(sheet: LineupSheet, record: LineupRecord, when: When, wide: float) -> list[Flowable]:
    verdicts = {(one.line.key, one.track): one.verdict for one in judge(sheet, record, when)}
    lines = [line for line in sheet.lines if line.per_track]

    def read(line: Line, track: int) -> Cell:
        value = record.reading(line.key, track, when)
        if value is None:
            return ""
        wrong = verdicts.get((line.key, track)) == "fail"
        shown = f"{value:+.1f}" if abs(value) >= 0.05 else "0.0"
        return Text(f"{shown}{' !' if wrong else ''}", Type(8, bold=wrong))

    return tone_tables(lines, sheet.tracks, wide, read)


def _response(sheet: LineupSheet, record: LineupRecord, wide: float) -> list[Flowable]:
    picture = response_picture(sheet, record)
    shown = sorted({*picture.before, *picture.after})
    worst = worst_track(picture)
    if worst is None or len(picture.low) < 2:
        return []
    tracks = shown if len(shown) <= _EACH else [worst]
    note = "" if len(shown) <= _EACH else f" (track {worst} is furthest off)"
    return section(f"Response{note}", *(Response(picture, track, wide) for track in tracks), room=160)


def _verdict(shelf: Shelf, sheet: LineupSheet, record: LineupRecord) -> list[Flowable]:
    when: When = "after" if _was_read(record, "after") or not record.readings else "before"
    tracks = track_verdicts(judge(sheet, record, when), sheet.tracks)
    words = {
        "pass": "pass",
        "fail": "out of tolerance",
        "blank": "not all read",
        "not judged": "only written down",
    }
    lines = []
    for verdict, says in words.items():
        mine = tuple(track for track, one in tracks.items() if one == verdict)
        if mine:
            lines.append(f"{says}: track{'s' if len(mine) > 1 else ''} {ranges(mine)}")
    steps = turn_first(sheet, record, when, own_tolerances(shelf))
    told = [Text(f"{_CALLED[when]}: {'; '.join(lines)}.", BODY)]
    return [*told, *(Text(f"{number}. {step}", SMALL, 2) for number, step in enumerate(steps[:6], 1))]


def _drift(shelf: Shelf, record: LineupRecord) -> list[Flowable]:
    drifts = drift_since_last(shelf, record)
    if not drifts:
        return [Text("None is kept with the same tones.", SMALL)]
    much = [one for one in drifts if one.much]
    since = f"since {day_and_clock(drifts[0].since)}"
    if not much:
        return [Text(f"Nothing has moved much, {since}.", SMALL)]
    rows = [f"{one.line}{f' track {one.track}' if one.track else ''}: {one.moved:+.1f}" for one in much[:12]]
    return [Text(f"Moved, {since}: {'; '.join(rows)}.", SMALL, 6)]
