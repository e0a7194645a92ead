"""What a check found that the tape itself is to blame for, in words for the reel's history."""

from __future__ import annotations

from core.findings import Check
from core.words import counted

SHEDDING = ("dull", "one side", "askew", "sag", "wow", "stop")
"""Kinds that a tape leaves which sheds, sticks or is bent."""
MANY_DROPOUTS = 5
_MOST = 3


def told_of_the_tape(check: Check) -> str:
    """A line or two for the history of the reel; empty where the check tells nothing of the tape itself."""
    told = [one.says for one in check.findings if one.kind in SHEDDING and one.weight != "note"]
    drops = [one for one in check.findings if one.kind == "dropout" and one.weight != "note"]
    if len(drops) >= MANY_DROPOUTS:
        tracks = sorted({one.track for one in drops if one.track is not None})
        on = f"track{'s' * (len(tracks) > 1)} {', '.join(map(str, tracks))}"
        told.append(f"{counted(len(drops), 'dropout')} on {on}.")
    if not told:
        return ""
    more = f" And {len(told) - _MOST} more." if len(told) > _MOST else ""
    return f"The check of pass {check.pass_number}: {' '.join(told[:_MOST])}{more}"
