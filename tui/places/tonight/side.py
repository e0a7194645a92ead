"""Beside the evening on a wide terminal: what to fetch, which tracks carry what, the notes of this pass."""

from __future__ import annotations

from collections.abc import Iterator

from core.evening.around.fetch import by_place, to_fetch
from core.evening.playing.passes import TapePass, notes_of
from core.evening.tonight.sheet import OFFERED
from core.shelf import Shelf
from tui.board.closing import closing_lines, closing_of
from tui.frame.drawn.beside import Line
from tui.frame.side import note_lines, track_lines, wrapped
from tui.places.tonight.step_facts import Face


def side_lines(view: Face) -> Iterator[Line]:
    """Notes and tracks while a tape is on the deck, its tracks before it runs, else what to fetch.

    Where nothing is left of an evening that was worked: what to look at before one leaves.
    """
    step = view.sheet.current
    if (step is None or step.state == OFFERED) and view.sheet.steps:
        for role, text in closing_lines(closing_of(view.shelf, view.plan, view.now)):
            yield from ((role, one) for _, one in wrapped(text))
        return
    if step is not None and step.kind == "transfer":
        if view.tape is not None:
            yield from _notes(view.shelf, view.tape)
        yield from track_lines(view.shelf, step.subject)
    yield from _fetch(view)
    if step is None or step.kind != "transfer":
        yield from _next_tracks(view)


def _next_tracks(view: Face) -> Iterator[Line]:
    """What the next tape's tracks carry, to patch before it is threaded; nothing where no sheet tells it."""
    waits = (
        one for one in view.sheet.steps if one.kind == "transfer" and one.state == "waiting" and one.fits
    )
    following = next(waits, None)
    if following is not None and any(row.part for row in view.shelf.sheets_of(following.subject)):
        yield "word", ""
        yield from track_lines(view.shelf, following.subject)


def _notes(shelf: Shelf, tape: TapePass) -> Iterator[Line]:
    """The notes of the pass, the newest first."""
    mine = [note for _, note in notes_of(shelf, tape.reel) if note.number == tape.number]
    yield "head", f"Notes of pass {tape.number}: {len(mine) or 'none yet'}"
    yield from note_lines(reversed(mine))


def _fetch(view: Face) -> Iterator[Line]:
    """What the steps that are left still want, along the shelf."""
    left = [step for step in view.sheet.steps if step.state == "waiting"]
    places = by_place(to_fetch(view.shelf, None, left, view.now))
    if not places:
        yield "head", "Nothing more to fetch tonight"
        return
    yield "head", "To fetch, along the shelf"
    for place, rows in places.items():
        yield "next", place
        for one in rows:
            yield from wrapped(f"  {one.words}")
