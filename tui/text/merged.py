"""What came with a key that is the same tape: by name, by count, and what is next on it now."""

from __future__ import annotations

from datetime import datetime

from core.reels.reel import Reel
from core.shelf import Shelf
from core.shelving.merge import said_otherwise
from core.store.rows.tables import REELS
from tui.board.fields import Field
from tui.board.rows import Board

#: What is told by count, or as what the other said, beside the fields.
_BESIDE = ("key", "notes", "photographs")


def came_told(before: Shelf, after: Shelf, keep: str, other: str, hung: str, at: datetime) -> str:
    """What the second key brought to the first; ``hung`` is what hung on it, by count.

    One reads ``condition sticky, 1 track sheet row; next on it: warm 8 h, no more line up D1``.
    """
    came = _changed(before.reel(keep), after.reel(keep))
    came += [hung] if hung != "nothing" else []
    otherwise = said_otherwise(after.reel(keep), other)
    told = [", ".join(came)] if came else []
    was, now = (Board(shelf, at).row(keep) for shelf in (before, after))
    if was.step.words != now.step.words:
        told.append(f"next on it: {now.step.words or 'nothing'}, no more {was.step.words or 'nothing'}")
    if now.blocked and now.blocked not in (was.blocked, now.step.words):
        told.append(f"first: {now.blocked}")
    told += [f"in its notes: {otherwise}"] if otherwise else []
    return "; ".join(told) or "nothing"


def _changed(before: Reel, after: Reel) -> list[str]:
    """The fields that read otherwise now, as they read; what is not known any more says so."""
    out = []
    for name, column in REELS.columns.items():
        if name in _BESIDE or getattr(before, column.attribute) == getattr(after, column.attribute):
            continue
        field = Field(name, column)
        text = field.text(after)
        out.append(f"{field.label} {text}" if text else f"{field.label} not known any more")
    return out
