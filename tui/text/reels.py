"""The list of reels as plain text."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from core.clock import clock_text
from core.conditioning.alarms import alarms
from core.reels.length import play_seconds
from tui.board.rows import Board
from tui.board.words import format_words
from tui.text.plain import fit

NEXT = 21
"""Columns for what is next."""


def reel_lines(board: Board) -> Iterator[str]:
    """What must be done now, then a line a reel: format, stage, play time, what is next, what blocks it."""
    yield from (f"! {one.says}" for one in alarms(board.shelf))
    heads = f"{fit('reel', 9)}{fit('format', 15)}{fit('box says', 26)}{fit('stage', 13)}"
    yield f"{heads}{'plays':>8}  {fit('next', 22)}blocked"
    for row in board.rows():
        seconds = play_seconds(row.reel, board.shelf.studio)
        plays = clock_text(Fraction(round(seconds))) if seconds is not None else "?"
        same = row.blocked == row.step.words and len(row.step.words) <= NEXT  # else it would be cut there
        blocked = "" if same else row.blocked or ""
        known = f"{fit(row.key, 8)} {fit(format_words(row.reel), 15)}{fit(row.says, 25)} "
        yield f"{known}{fit(row.stage, 13)}{plays:>8}  {fit(row.step.words, NEXT)} {blocked}"
