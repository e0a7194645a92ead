"""The right third of a wide terminal: what to fetch, which tracks carry what, or the notes of this pass."""

from __future__ import annotations

from collections.abc import Iterator
from textwrap import wrap

from textual.app import RenderResult
from textual.reactive import reactive
from textual.widget import Widget

from core.clock import clock_text
from core.evening.fetch import by_place, to_fetch
from core.evening.passes import TapePass, notes_of
from core.evening.sheet import Step
from core.shelf import Shelf
from tui.board.closing import closing_lines, closing_of
from tui.frame.said_line import STYLES
from tui.places.tonight.face import Face
from tui.safe_text import assemble, clean, fit

FROM_COLUMNS = 110
"""The narrowest terminal that has a third to spare beside the steps."""
WIDE = 40


class Side(Widget):
    """Lines beside the evening; not there in a narrow terminal."""

    told: reactive[tuple[tuple[str, str], ...]] = reactive(())

    def show(self, view: Face, width: int) -> None:
        """Shows what goes with the current step, where the terminal is wide enough."""
        self.display = width >= FROM_COLUMNS
        if self.display:
            self.told = tuple(side_lines(view, WIDE - 3))

    def render(self) -> RenderResult:
        """A line a row, each in its role's style; a rule at the left sets them apart."""
        rule = "| " if getattr(self.app, "plain_signs", False) else "│ "
        height = max(1, self.size.height)
        more = len(self.told) > height
        kept = self.told[: height - 1] if more else self.told
        rows = [*kept, *([("dim", f"and {len(self.told) - len(kept)} more lines")] if more else [])]
        rows += [("word", "")] * (height - len(rows))
        pieces = ((f"{rule}{fit(text, WIDE - 3)}\n", STYLES[role]) for role, text in rows)
        return assemble(*pieces)


def side_lines(view: Face, width: int) -> Iterator[tuple[str, str]]:
    """Notes and tracks while a tape is on the deck, its tracks before it runs, else what to fetch.

    Where nothing is left of an evening that was worked: what to look at before one leaves.
    """
    step = view.sheet.current
    if step is None and view.sheet.steps:
        for role, text in closing_lines(closing_of(view.shelf, view.plan, view.now)):
            yield from ((role, one) for _, one in _wrapped(text, width))
        return
    if step is not None and step.kind == "transfer":
        if view.tape is not None:
            yield from _notes(view.shelf, view.tape, width)
        yield from _tracks(view.shelf, step, width)
    yield from _fetch(view, width)


def _notes(shelf: Shelf, tape: TapePass, width: int) -> Iterator[tuple[str, str]]:
    """The notes of the pass, the newest first."""
    mine = [note for _, note in notes_of(shelf, tape.reel) if note.number == tape.number]
    yield "head", f"Notes of pass {tape.number}: {len(mine) or 'none yet'}"
    for note in reversed(mine):
        yield from _wrapped(f"{clock_text(int(note.seconds))} {note.told}", width)
    yield "word", ""


def _tracks(shelf: Shelf, step: Step, width: int) -> Iterator[tuple[str, str]]:
    """What each track carries by the reel's sheets: what the inputs are patched and named by."""
    named: dict[int, list[str]] = {}
    for row in shelf.sheets_of(step.subject):
        if row.track is not None and row.part:
            named.setdefault(row.track, []).append(row.part)
    if not named:
        yield "head", f"Tracks of {step.subject}: no sheet names them"
    else:
        yield "head", f"Tracks of {step.subject}"
    for track, parts in sorted(named.items()):
        yield from _wrapped(f"{track:>2} {', '.join(dict.fromkeys(parts))}", width)
    yield "word", ""


def _fetch(view: Face, width: int) -> Iterator[tuple[str, str]]:
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
            yield from _wrapped(f"  {one.words}", width)


def _wrapped(text: str, width: int) -> Iterator[tuple[str, str]]:
    lead = " " * (len(text) - len(text.lstrip()))
    lines = wrap(clean(text.strip()), width - len(lead), subsequent_indent="  ", break_on_hyphens=False)
    yield from (("word", lead + one) for one in lines or [""])
