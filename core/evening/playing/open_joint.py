"""A tape that was stopped for a joint: it goes on when that is remade, or for a reason."""

from __future__ import annotations

from core.logbook.passes import played_of
from core.logbook.steps import taken
from core.reels.needs import needs_repair
from core.reels.reel import Reel
from core.shelf import Shelf
from core.words import counted


def open_joint(shelf: Shelf, reel: str) -> str:
    """``its 1 splice is not remade`` of a tape that stands stopped for it; empty of any other."""
    tape = shelf.reels.get(reel)
    stands = [one for one in played_of(shelf, reel) if one.state == "stopped"]
    return unmended(shelf, tape) if tape is not None and stands and stands[-1].last.why == "splice" else ""


def unmended(shelf: Shelf, reel: Reel) -> str:
    """That its splices are not remade, with why the repair was left out last; empty where none wait."""
    if not needs_repair(reel):
        return ""
    joints = f"its {counted(reel.splices, 'splice')}" if reel.splices else "its splices"
    left = [one for one in taken(shelf).values() if (one.kind, one.subject) == ("repair", reel.key)]
    last = max(left, key=lambda one: one.planned, default=None)
    why = f" ({last.because})" if last is not None and last.because else ""
    return f"{joints} {'is' if reel.splices == 1 else 'are'} not remade{why}"
