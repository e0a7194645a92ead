"""The transfer log of one reel: pass times, pieces, and timed notes, filled as far as anything is known."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import datetime
from fractions import Fraction
from math import ceil

from reportlab.platypus.flowables import Flowable

from core.evening.around.where_it_lies import NOWHERE, where_it_lies
from core.evening.playing.passes import NOTE_KINDS, notes_of, where_tape_is
from core.logbook.passes import Piece, pass_key, played
from core.paper.look.foot import figures_foot
from core.paper.look.hand_test import hand_test
from core.paper.look.line_order import said
from core.paper.look.look import Blank, Cell, Tick, section, table
from core.paper.look.page import Sheet, bind, column, high, origin, room_down
from core.paper.look.run import runs_left, span_of
from core.paper.look.tell import facts, warnings
from core.paper.look.text import DECK, DECK_STRONG, UNTIL, Text, Type
from core.paper.look.words import clock, day_and_year, size_of, whole_seconds
from core.plan import Item, Plan
from core.reels.estimate import capture_bytes
from core.reels.length import play_seconds
from core.reels.pass_tracks import ranges, tracks_by_pass
from core.reels.reel import Reel
from core.shelf import Shelf
from core.songs.song import SheetRow
from core.standing.left_to_play import transfer_named
from core.words import counted

_SPARE_NOTES, _LEAST_NOTES, _NOTE_POINTS = 14, 6, 17


def transfer_pdf(shelf: Shelf, plan: Plan, transfer: Item, *, size: str = "A4", made: datetime) -> bytes:
    """The PDF of one transfer's log alone."""
    return bind([transfer_page(shelf, plan, transfer, size)], origin(shelf, plan, made), size)


def transfer_page(shelf: Shelf, plan: Plan, transfer: Item, size: str = "A4") -> Sheet:
    """The log of a planned transfer: before the pass, the passes, notes by tape time, after the pass."""
    wide = column(size)
    reel = shelf.reels.get(transfer.reel, Reel(transfer.reel))
    story: list[Flowable] = [
        Text(said(reel.contents or reel.box_label or "contents not known"), Type(10, bold=True, before=3), 3),
        Text(facts(shelf, reel), DECK, 3),
        *_lies(shelf, plan, transfer),
        *(Text(f"! {line}", DECK_STRONG) for line in warnings(shelf, plan, reel, plan.start)),
        *hand_test(shelf, reel, plan.start),
        Text(_capture(shelf, transfer, reel), DECK, 2),
    ]
    story += section("Before the pass", table([], list(_before(shelf, reel)), [4, 46, 4, 46], column=wide))
    story += section("What should be heard", *_expected(shelf, reel))
    head = ["pass", "tracks", "by the plan", "began", "from", "to", "ended", "why it stopped; file"]
    passes = table(
        head,
        list(_passes(shelf, transfer, reel)),
        [6, 11, 20, 10, 10, 10, 10, 23],
        column=wide,
        box=True,
        tall=19,
        type_=DECK,
    )
    story += section("Passes", passes)
    end = [*_after(shelf, transfer, reel), figures_foot("transfer log")]
    # Where the tape stands is told below the notes, on the same page where that can be.
    rest = [*_notes(shelf, reel, _SPARE_NOTES, wide), *end]
    over = high([*story, *rest], wide) - room_down(size)
    spare = _SPARE_NOTES - ceil(over / _NOTE_POINTS)
    if _LEAST_NOTES <= spare < _SPARE_NOTES:
        rest = [*_notes(shelf, reel, spare, wide), *end]
    story += rest
    part = f", part {said(transfer.segment)}" if transfer.segment else ""
    when = f"{day_and_year(transfer.start.date())}, {clock(transfer.start)} to {clock(transfer.end)}"
    aside = f"{when} on {said(transfer.deck)}, {counted(transfer.passes, 'pass', 'passes')}"
    return Sheet(f"Transfer log, {said(transfer.reel)}{part}", tuple(story), aside)


def _after(shelf: Shelf, transfer: Item, reel: Reel) -> Iterator[Flowable]:
    """Where the tape stands, whether it ran backwards where the deck lets it, and how it is put away."""
    where = where_tape_is(shelf, reel.key)
    if where:
        yield Text(f"Told so far: the tape {'' if 'stands' in where else 'is '}{where}", DECK)
    deck = shelf.studio.deck(transfer.deck)
    if deck is not None and deck.reverse_play and reel.wind == "tails" and not reel.decoded:
        yield Blank("Ran backwards, places from its tail: passes", height=22, type_=DECK)
    yield Blank("Tape is on (take-up reel, its own, both), stands at", height=22, type_=DECK)
    yield Blank("Tails out, box checked, heads cleaned", height=20, type_=DECK)


def _lies(shelf: Shelf, plan: Plan, transfer: Item) -> Iterator[Flowable]:
    """Where the reel lies when its transfer begins: a warmed one beside its chamber."""
    lies = where_it_lies(shelf, plan, transfer.reel, transfer.start)
    if lies.place != NOWHERE:
        yield Text(f"Lies {said(lies.place)}{f', {said(lies.aside)}' if lies.aside else ''}", DECK, 2)


def _expected(shelf: Shelf, reel: Reel) -> list[Flowable]:
    """Each song's place on the tape, as far as it is known, and the names of the tracks by its sheet."""
    found: list[Flowable] = []
    rows = shelf.sheets_of(reel.key)
    told: set[str] = set()
    for song in shelf.songs.values():
        for need in song.needs:
            if need.reel != reel.key:
                continue
            told.add(song.key)
            place = "place not known"
            if need.start is not None and need.end is not None:
                place = f"{whole_seconds(need.start)} to {whole_seconds(need.end)}"
            found.append(Text(f"{said(song.title or song.key)}: {place}", DECK_STRONG, 2))
            names = _names(row for row in rows if row.song == song.key)
            found += [Text(names, DECK, 5)] if names else []
    rest = _names(row for row in rows if row.song not in told)
    return [*found, *([Text(rest, DECK, 5)] if rest else [])]


def _names(rows: Iterable[SheetRow]) -> str:
    """``1 kick, 2 snare``: the parts by track."""
    named = sorted((row.track, row.part) for row in rows if row.part and row.track is not None)
    return ", ".join(f"{track} {said(part)}" for track, part in named)


def _capture(shelf: Shelf, transfer: Item, reel: Reel) -> str:
    capture = shelf.studio.capture
    play = span_of(transfer, shelf) or play_seconds(reel, shelf.studio)
    if capture is None:
        return "No capture in the studio's file."
    parts = [f"capture {capture.sample_rate}, {capture.bit_depth} bit, {capture.inputs} inputs"]
    size = capture_bytes(reel, shelf.studio, play)
    if play is not None:
        parts.append(f"a pass runs {whole_seconds(play)}")
    if size is not None:
        parts.append(f"all passes {size_of(size)}")
    return "; ".join(parts)


def _before(shelf: Shelf, reel: Reel) -> Iterator[list[Cell]]:
    guides = shelf.studio.capture.guide_tracks if shelf.studio.capture else 0
    says = [
        "key on flange or leader is " + said(reel.key),
        "heads, guides, capstan clean",
        "record off on every track",
        "azimuth by this tape",
        f"noise reduction {said(reel.noise_reduction)}: not decoded"
        if reel.noise_reduction
        else "no noise reduction",
        "room on disk",
        "inputs in track order" + (f", {counted(guides, 'guide track')} in every pass" if guides else ""),
        "varispeed " + (said(reel.varispeed) if reel.varispeed else "off"),
    ]
    for left, right in zip(says[::2], says[1::2], strict=True):
        yield [Tick(), Text(left, DECK), Tick(), Text(right, DECK)]


def _passes(shelf: Shelf, transfer: Item, reel: Reel) -> Iterator[list[Cell]]:
    planned = {
        run.number: f"{clock(run.start)} to {clock(run.end)}"
        for run in runs_left(shelf, transfer, reel)
        if run.kind == "pass"
    }
    carried = tracks_by_pass(reel.tracks, shelf.studio) if reel.tracks else ((),)
    begun = played(shelf)
    numbers = transfer_named(shelf, reel, transfer.segment).numbers
    for place, number in enumerate(numbers, 1):
        tracks = ranges(carried[place - 1]) if place <= len(carried) else ""
        found = begun.get(pass_key(reel.key, number))
        pieces = found.pieces if found is not None else ()
        for first, piece in enumerate(pieces):
            when = "" if found is not None and found.again is not None else planned.get(place, "")
            told = ("", "", "") if first else (str(number), tracks, when)
            yield _piece(
                *told, piece, tail="from the tail, " if found is not None and found.backwards else ""
            )
        if found is not None and found.again is not None:
            again = Text(_tape(found.again), UNTIL), "", "", Text("once more, to its end", DECK, 2)
            yield ["", "", Text(planned.get(place, ""), UNTIL), "", *again]
        if not pieces:
            yield [str(number), tracks, Text(planned.get(place, ""), UNTIL), "", "", "", "", ""]
        yield [""] * 8
    if len(numbers) == 1:
        for _ in range(2):  # a tape may stop more than once
            yield [""] * 8


def _piece(number: str, tracks: str, planned: str, piece: Piece, *, tail: str = "") -> list[Cell]:
    return [
        Text(number, DECK_STRONG),
        tracks,
        Text(planned, UNTIL),
        Text(f"{piece.started:%H:%M}", UNTIL),
        Text(_tape(piece.start), UNTIL),
        Text(_tape(piece.to), UNTIL),
        Text(f"{piece.stopped:%H:%M}" if piece.stopped is not None else "", UNTIL),
        Text(f"{tail}{piece.why}", DECK, 2),
    ]


def _tape(seconds: float | None) -> str:
    return whole_seconds(Fraction(seconds)) if seconds is not None else ""


def _notes(shelf: Shelf, reel: Reel, spare: int, wide: float) -> list[Flowable]:
    """The timed notes as kept, and so many rows to write in."""
    rows = list(_noted(shelf, reel))
    rows += [["", "", "", ""] for _ in range(spare)]
    kinds = ", ".join(f"{digit} {kind}" for digit, kind in enumerate(NOTE_KINDS, 1))  # as keys are
    notes = table(
        ["pass", "tape time", "kind", "words"], rows, [7, 13, 20, 60],
        column=wide, box=True, tall=_NOTE_POINTS, type_=DECK,
    )  # fmt: skip
    return section("Notes by tape time", Text(f"Kinds: {kinds}", DECK), notes)


def _noted(shelf: Shelf, reel: Reel) -> Iterator[list[Cell]]:
    for _, note in notes_of(shelf, reel.key):
        yield [str(note.number), Text(_tape(note.seconds), UNTIL), note.kind, Text(note.words, DECK, 4)]
