"""What came with a key that is the same tape: by name, by count, and what is next on it now."""

from __future__ import annotations

from datetime import datetime

from core.reels.reel import Reel
from core.shelf import Shelf
from core.shelving.merge import said_otherwise
from core.store.rows.tables import REELS
from tui.board.fields import Field
from tui.board.rows import Board

#: What bears on heat and deck: named first.
_BEARS = ("stock", "base", "condition", "signs", "back_coat")
#: What is told by count, or as what the other said, beside the fields.
_BESIDE = ("key", "notes", "photographs")


def came_in_short(before: Shelf, after: Shelf, keep: str, hung: str, at: datetime) -> str:
    """The same where there is little room: what bears on heat and deck first, and nothing of its notes."""
    came = _changed(before.reel(keep), after.reel(keep))
    more = [f"{len(came) - 2} more"] if len(came) > 2 else []
    told = [", ".join([*came[:2], *more, *([hung] if hung != "nothing" else [])])]
    return "; ".join(one for one in (*told, *_next_told(before, after, keep, at)) if one) or "nothing"


def came_told(before: Shelf, after: Shelf, keep: str, other: str, hung: str, at: datetime) -> str:
    """What the second key brought to the first; ``hung`` is what hung on it, by count.

    One reads ``condition sticky, 1 track sheet row; next on it: warm 8 h, no more line up D1``.
    """
    came = _changed(before.reel(keep), after.reel(keep))
    came += [hung] if hung != "nothing" else []
    otherwise = said_otherwise(after.reel(keep), other)
    told = [", ".join(came)] if came else []
    told += _next_told(before, after, keep, at)
    told += [f"in its notes: {otherwise}"] if otherwise else []
    return "; ".join(told) or "nothing"


def _next_told(before: Shelf, after: Shelf, keep: str, at: datetime) -> list[str]:
    """What is next on it where that is another step than before, and what is to be done first."""
    was, now = (Board(shelf, at).row(keep) for shelf in (before, after))
    told = []
    if was.step.words != now.step.words:
        told.append(f"next on it: {now.step.words or 'nothing'}, no more {was.step.words or 'nothing'}")
    if now.blocked and now.blocked not in (was.blocked, now.step.words):
        told.append(f"first: {now.blocked}")
    return told


def _changed(before: Reel, after: Reel) -> list[str]:
    """The fields that read otherwise now, as they read; what is not known any more says so."""
    out = []
    ordered = sorted(REELS.columns.items(), key=lambda one: one[0] not in _BEARS)
    for name, column in ordered:
        if name in _BESIDE or getattr(before, column.attribute) == getattr(after, column.attribute):
            continue
        field = Field(name, column)
        text = field.text(after)
        out.append(f"{field.label} {text}" if text else f"{field.label} not known any more")
    return out
