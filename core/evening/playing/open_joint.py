"""A tape that was stopped for a joint, or for a squeal: it goes on when that is remade, or looked at.

For a reason it goes on all the same.
"""

from __future__ import annotations

from core.logbook.passes import PlayedPass, played_of
from core.logbook.steps import taken
from core.reels.needs import needs_repair
from core.reels.reel import Reel
from core.shelf import Shelf
from core.words import counted


def open_joint(shelf: Shelf, reel: str) -> str:
    """``its 1 splice is not remade`` of a tape that stands stopped for it; empty of any other."""
    tape, stands = shelf.reels.get(reel), _stands(shelf, reel)
    return unmended(shelf, tape) if tape and stands and stands.last.why == "splice" else ""


def open_squeal(shelf: Shelf, reel: str) -> str:
    """That nobody has looked what lies on the heads since that tape squealed and stopped; else empty.

    Whatever its treatment: one that was warmed may be gumming up again.
    """
    stands = _stands(shelf, reel)
    unseen = stands is not None and stands.last.unseen
    return "it squealed, and nobody has looked what lies on the heads" if unseen else ""


def _stands(shelf: Shelf, reel: str) -> PlayedPass | None:
    """The pass of that reel that stands stopped, the last of several."""
    return next((one for one in reversed(played_of(shelf, reel)) if one.state == "stopped"), None)


def unmended(shelf: Shelf, reel: Reel) -> str:
    """That its splices are not remade, with why the repair was left out last; empty where none wait."""
    if not needs_repair(reel):
        return ""
    joints = f"its {counted(reel.splices, 'splice')}" if reel.splices else "its splices"
    left = [one for one in taken(shelf).values() if (one.kind, one.subject) == ("repair", reel.key)]
    last = max(left, key=lambda one: one.planned, default=None)
    why = f" ({last.because})" if last is not None and last.because else ""
    return f"{joints} {'is' if reel.splices == 1 else 'are'} not remade{why}"
