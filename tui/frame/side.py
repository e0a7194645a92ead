"""The right third of a wide terminal: lines beside what a place is about; not there in a narrow one."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from textwrap import wrap

from textual.app import RenderResult
from textual.reactive import reactive
from textual.widget import Widget

from core.clock import clock_text
from core.logbook.passes import TapeNote
from core.shelf import Shelf
from tui.frame.drawn.beside import FROM_COLUMNS, ROOM, Line
from tui.frame.drawn.said_line import STYLES
from tui.safe_text import assemble, clean, fit


class Side(Widget):
    """Lines in the right third, a rule at their left."""

    told: reactive[tuple[Line, ...]] = reactive(())

    def show_lines(self, lines: Iterable[Line], width: int) -> None:
        """Shows these, where the terminal is wide enough; they are asked for only then."""
        self.display = width >= FROM_COLUMNS
        if self.display:
            self.told = tuple(lines)

    def render(self) -> RenderResult:
        """A line a row, each in its role's style; a rule at the left sets them apart."""
        rule = "| " if getattr(self.app, "plain_signs", False) else "│ "
        height = max(1, self.size.height)
        more = len(self.told) > height
        kept = self.told[: height - 1] if more else self.told
        rows = [*kept, *([("dim", f"and {len(self.told) - len(kept)} more lines")] if more else [])]
        rows += [("word", "")] * (height - len(rows))
        pieces = ((f"{rule}{fit(text, ROOM)}\n", STYLES[role]) for role, text in rows)
        return assemble(*pieces)


def track_lines(shelf: Shelf, reel: str, width: int = ROOM, *, song: str = "") -> Iterator[Line]:
    """What each track carries by the reel's sheets, or a song's: what inputs are patched and named by."""
    named: dict[int, list[str]] = {}
    for row in shelf.sheets_of(reel):
        if row.track is not None and row.part and song in ("", row.song):
            named.setdefault(row.track, []).append(row.part)
    yield "head", f"Tracks of {reel}" + ("" if named else ": no sheet names them")
    for track, parts in sorted(named.items()):
        yield from wrapped(f"{track:>2} {', '.join(dict.fromkeys(parts))}", width)
    yield "word", ""


def note_lines(notes: Iterable[TapeNote], width: int = ROOM) -> Iterator[Line]:
    """Notes of a pass, a line each."""
    for note in notes:
        yield from wrapped(f"{clock_text(int(note.seconds))} {note.told}", width)
    yield "word", ""


def wrapped(text: str, width: int = ROOM) -> Iterator[Line]:
    """A text broken to the third, what goes on set in."""
    lead = " " * (len(text) - len(text.lstrip()))
    lines = wrap(clean(text.strip()), width - len(lead), subsequent_indent="  ", break_on_hyphens=False)
    yield from (("word", lead + one) for one in lines or [""])
