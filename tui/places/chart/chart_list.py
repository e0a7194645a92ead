"""The stage chart itself: how one reel's line is drawn."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import datetime

from core.reels.reel import STAGES
from tui.board.glyphs import SIGNS, glyphs
from tui.board.rows import Board, ChartRow
from tui.board.words import day_short, format_words, moment_words
from tui.frame.drawn.line_list import LineList, Part
from tui.keys.words import keyed
from tui.places.chart.columns import WIDE, Columns, Needs, columns, longest
from tui.safe_text import cells, fit

_ROLES = {
    "done": "good",
    "next": "next",
    "under_way": "next",
    "not_needed": "dim",
    "barred": "bad",
    "not_yet": "dim",
}


FEW = 60
"""Of so many reels every row is worked out to share out the columns: nearly all of them are seen."""


class ChartList(LineList):
    """One line a reel; the board is asked for a row when the row comes into sight."""

    def __init__(self) -> None:
        super().__init__()
        self.keys: tuple[str, ...] = ()
        self._board: Board | None = None
        self._where: Mapping[str, str] = {}
        self._signs = SIGNS
        self._needs: Needs | None = None
        self.hides = ""  # why no reel is shown, where no filter hides them

    def show(
        self, keys: tuple[str, ...], board: Board, where: Mapping[str, str], *, plain_signs: bool
    ) -> None:
        """Shows these reels; the cursor stays on its reel where that is still shown."""
        here = self.key
        self.keys, self._board, self._where, self._signs = keys, board, where, glyphs(plain=plain_signs)
        self._needs = None
        try:
            cursor = keys.index(here) if here is not None else 0
        except ValueError:
            cursor = self.cursor
        self.lay(len(keys), cursor)

    def columns_of(self, width: int) -> Columns:
        """The columns of the reels that are shown; asked anew for every row, so what they need is kept."""
        if width < WIDE or self._board is None:
            return columns(width)
        if self._needs is None:
            self._needs = self._needed(self._board)
        return columns(width, self._needs)

    def _needed(self, board: Board) -> Needs:
        """What the reels that are shown need; of many no row is worked out for it."""
        reels = [board.shelf.reels[key] for key in self.keys if key in board.shelf.reels]
        songs = (", ".join(map(self._title, board.songs_of.get(one.key, ()))) for one in reels)
        needs = Needs(
            longest(one.box_label or one.contents for one in reels),
            longest(one.location for one in reels),
            longest(songs),
        )
        if len(reels) > FEW:
            return needs
        rows = [board.row(one.key) for one in reels]
        following = longest(_next_words(row, board.at) for row in rows)
        planned = longest(_planned_words(row, board.at) for row in rows)
        return replace(needs, next=following, planned=planned)

    def nothing(self) -> Sequence[str]:
        """How tapes come onto the shelf; or that a filter hides them."""
        own = getattr(self.app, "own_keys", {})
        if self._board is not None and self._board.shelf.reels:
            filtered = "No tape is as the filter wants it: {chart.filter} chooses another."
            return (keyed(self.hides or filtered, own),)
        return (
            "",
            "No tape is on this shelf yet.",
            "",
            keyed("{chart.boxes} puts boxes in, a line each", own),
            keyed("{chart.boxes} too takes CSV files and spreadsheets, after a look at them", own),
            keyed("{chart.add} adds a run of tapes that have the same format", own),
            "",
            keyed("{any.studio} shows decks, hours and what else the studio has", own),
        )

    @property
    def key(self) -> str | None:
        """The reel under the cursor."""
        return self.keys[self.cursor] if 0 <= self.cursor < len(self.keys) else None

    @property
    def row(self) -> ChartRow | None:
        """The row under the cursor."""
        key = self.key
        if self._board is None or key is None or key not in self._board.shelf.reels:
            return None
        return self._board.row(key)

    def go_to(self, key: str) -> None:
        """Puts the cursor on that reel, if it is shown."""
        if key in self.keys:
            self.cursor = self.keys.index(key)

    def parts(self, index: int, width: int) -> Sequence[Part]:
        """Reel, format, box, the six stages, what is next, deck minutes; more where it is wide."""
        if self._board is None:
            return ()
        c, row, at = self.columns_of(width), self._board.row(self.keys[index]), self._board.at
        sign = self._signs.cursor if index == self.cursor else " "
        where = self._where.get(row.key, "")
        role = "next" if where else "word" if row.reel.box_label else "dim"
        out = [
            (sign + fit(row.key, c.reel - 1) + " ", "word"),
            (fit(format_words(row.reel), c.format), "dim"),
        ]
        out.append((fit(where or row.says, c.says - 1) + " ", role))
        out += [self._cell(row, number, c.cell) for number in range(len(STAGES))]
        out.append((fit(_next_words(row, at), c.next - 1) + " ", _next_role(row)))
        out.append((fit("" if row.minutes is None else str(row.minutes), c.minutes, right=True), "word"))
        if c.planned:
            out += [
                (fit(_planned_words(row, at), c.planned), "bad" if row.struck is not None else "word"),
                (fit(_days_left(row, at), c.playable), _days_role(row, at)),
            ]
            songs = ", ".join(self._title(song) for song in row.songs)
            out += [(fit(row.reel.location, c.place), "dim"), (fit(songs, c.songs), "dim")]
        return out

    def cut_words(self, row: ChartRow | None) -> str:
        """What of a row had no room in its columns, told whole; empty where all of it stands there."""
        if row is None or self._board is None:
            return ""
        c, songs = self.columns_of(self.size.width), ", ".join(self._title(song) for song in row.songs)
        told = (
            (row.says, c.says - 1, ""),
            (_next_words(row, self._board.at), c.next - 1, "next: "),
            (row.reel.location, c.place - 1 if c.place else 99, "place: "),
            (songs, c.songs if c.songs else 99, "songs: "),
        )
        cut = [f"{lead}{text}" for text, room, lead in told if cells(text) > room]
        return f"{row.key}: {'; '.join(cut)}" if cut else ""

    def _cell(self, row: ChartRow, number: int, width: int) -> Part:
        state = row.states[number]
        text = self._signs.state(state)
        if width >= 8 and self._board is not None and state == "done":
            reached = self._board.reached(row.key, STAGES[number])
            text += f" {day_short(reached, self._board.at) or 'today'}" if reached else ""
        return fit(text, width), _ROLES[state]

    def _title(self, song: str) -> str:
        board = self._board
        return (board.shelf.songs[song].title if board and song in board.shelf.songs else "") or song


#: The kind of step by which the plan brings a reel to a stage.
_PLANNED_AS = {"identified": "identify", "conditioned": "condition", "verified": "verify"}


def _next_words(row: ChartRow, at: datetime) -> str:
    """The next step, and the day on which the plan has it where that is not today.

    What comes next in the plan may be another step behind it, whose day is not its own.
    """
    words = row.step.words
    if row.planned is None or row.step.waits or not words:
        return words
    if row.planned.kind != _PLANNED_AS.get(row.step.stage, row.planned.kind):
        return words
    day = day_short(row.planned.start, at)
    return f"{words} {day}" if day else words


def _planned_words(row: ChartRow, at: datetime) -> str:
    """When the plan has it; what is struck out of the plan with a cross."""
    if row.struck is not None:
        return f" x{moment_words(row.struck.start, at)}"
    return f" {moment_words(row.planned.start, at)}" if row.planned else ""


def _next_role(row: ChartRow) -> str:
    if "barred" in row.states:
        return "bad"
    return "next" if row.step.possible and row.step.words else "dim"


def _days_left(row: ChartRow, at: datetime) -> str:
    if row.playable_until is None or row.reel.past("transferred"):
        return ""
    days = (row.playable_until - at).days
    return f"{days} d" if row.playable_until > at else "lapsed"


def _days_role(row: ChartRow, at: datetime) -> str:
    left = row.playable_until
    return "bad" if left is not None and (left - at).days < 3 else "word"
