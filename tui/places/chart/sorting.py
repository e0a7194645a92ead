"""Orders of the chart: each is a name and the value that rows are sorted by; blanks come last."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

from core.reels.reel import STAGES
from tui.board.rows import ChartRow

#: The orders a person may choose, in the order in which they are offered.
ORDERS: dict[str, Callable[[ChartRow], Any]] = {
    "as on the shelf": lambda row: 0,
    "reel": lambda row: _natural(row.key),
    "stage": lambda row: STAGES.index(row.stage),
    "next step": lambda row: row.step.words.casefold() or None,
    "due": lambda row: row.step.due or row.playable_until,
    "planned": lambda row: row.planned.start if row.planned else None,
    "machine time": lambda row: -row.minutes if row.minutes is not None else None,
    "format": lambda row: (
        -row.reel.width.number if row.reel.width else 0,
        row.reel.tracks or 0,
        row.reel.speed.number if row.reel.speed else 0,
    ),
    "box label": lambda row: row.reel.box_label.casefold() or None,
    "place": lambda row: row.reel.location.casefold() or None,
}


def in_order(rows: Sequence[ChartRow], order: str, *, backwards: bool = False) -> list[ChartRow]:
    """The rows in that order; those without a value stay last also when it runs backwards."""
    by = ORDERS[order]
    told = [row for row in rows if by(row) is not None]
    untold = [row for row in rows if by(row) is None]
    if order == "as on the shelf":
        return list(reversed(rows)) if backwards else list(rows)
    return [*sorted(told, key=by, reverse=backwards), *untold]


def _natural(text: str) -> tuple[tuple[int, int, str], ...]:
    """Sorts R-2 before R-10."""
    import re

    parts = re.findall(r"\d+|\D+", text)
    return tuple((0, int(part), "") if part.isdigit() else (1, 0, part.casefold()) for part in parts)
