"""The stage chart as plain text."""

from __future__ import annotations

from collections.abc import Iterator

from tui.board.glyphs import WORDS, glyphs
from tui.board.rows import LETTERS, Board, ChartRow
from tui.board.totals import stage_line, time_line
from tui.board.words import format_words
from tui.text.plain import fit


def chart_lines(board: Board, width: int = 100, *, letters_only: bool = False) -> Iterator[str]:
    """The chart, a line a reel, with its key and the two lines of totals."""
    says = max(10, width - 1 - 8 - 15 - 18 - 30 - 4)
    heads = "".join(f"{letter}  " for letter in LETTERS)
    yield f" {fit('reel', 8)}{fit('format', 15)}{fit('box says', says)}{heads}{fit('next', 30)} min"
    for row in board.rows():
        yield _line(row, says, letters_only=letters_only)
    signs = glyphs(plain=letters_only)
    yield ""
    yield " " + ", ".join(f"{signs.state(state)} {words}" for state, words in WORDS.items())
    yield f" {stage_line(board)}"
    yield f" {time_line(board)}"


def _line(row: ChartRow, says: int, *, letters_only: bool) -> str:
    signs = glyphs(plain=letters_only)
    states = "".join(f"{signs.state(state)}  " for state in row.states)
    minutes = "" if row.minutes is None else str(row.minutes)
    return (
        f" {fit(row.key, 8)}{fit(format_words(row.reel), 15)}{fit(row.says, says - 1)} {states}"
        f"{fit(row.step.words, 29)} {minutes:>4}"
    )
