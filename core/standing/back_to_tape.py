"""What a check found that the tape itself is to blame for, in words for the reel's history."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime

from core.clock import clock_text
from core.findings import Check
from core.logbook.on_decks import runs
from core.reels.reel import Reel
from core.shelf import Shelf
from core.standing.proof import check_key, wanted_passes
from core.words import counted

SHEDDING = ("dull", "one side", "askew", "sag", "wow", "squeal", "stop")
"""Kinds that a tape leaves which sheds, sticks or is bent."""
MANY_DROPOUTS = 5
_MOST = 3
_FROM_A_MOMENT = ("dull", "one side", "askew", "sag", "wow", "squeal")
"""Those that begin at a moment of the pass: before it the capture may stand."""
_NEVER = datetime.fromisoformat("0001-01-02T00:00+00:00")
_BACK_SECONDS = 10.0
"""Common practice: so much before it, that the two can be joined by their sound."""


def told_of_the_tape(check: Check) -> str:
    """A line or two for the history of the reel; empty where the check tells nothing of the tape itself."""
    told = of_the_tape(check)
    return f"The check of pass {check.pass_number}: {told}" if told else ""


def again_from(check: Check) -> str:
    """The minute from which the tape is to be played again at least; empty where the check tells none."""
    return _from((one.kind, one.weight, one.start) for one in check.findings)


def due_from(shelf: Shelf, reel: Reel) -> str:
    """The minute from which a tape that waits for a pass is due again at least, by its newest checks.

    Empty where they tell none, and once it ran again since.
    """
    if reel.past("transferred"):
        return ""
    every = shelf.of_kind("check")
    kept = [every[key] for one in wanted_passes(shelf, reel) if (key := check_key(reel.key, one)) in every]
    if not kept:
        return ""
    ran = max((one.at for one in runs(shelf) if one.reel == reel.key and not one.tones), default=_NEVER)
    since = [one for one in kept if one.get("at") and datetime.fromisoformat(str(one["at"])) >= ran]
    told = ((str(found.get("kind")), str(found.get("weight")), float(found.get("start", 0.0)))
            for one in since for found in one.get("findings", ()))  # fmt: skip
    return _from(told)


def _from(told: Iterable[tuple[str, str, float]]) -> str:
    begun = [start for kind, weight, start in told if kind in _FROM_A_MOMENT and weight != "note"]
    return clock_text(int(max(0.0, min(begun) - _BACK_SECONDS))) if begun else ""


def becomes(check: Check | None) -> list[tuple[str, str]]:
    """What may become of a tape of which a check told something, with the words to choose by."""
    since = again_from(check) if check is not None else ""
    least = f", from {since} on at least" if since else ""
    return [
        ("", "stays as it is"),
        ("play", f"clean heads, and plan it to be played again{least}"),
        ("warm", "it sheds: plan it to be warmed, then played again"),
    ]


def of_the_tape(check: Check) -> str:
    """What the check tells of the tape itself, in a sentence or a few; empty where it tells nothing."""
    told = [one.says for one in check.findings if one.kind in SHEDDING and one.weight != "note"]
    drops = [one for one in check.findings if one.kind == "dropout" and one.weight != "note"]
    if len(drops) >= MANY_DROPOUTS:
        tracks = sorted({one.track for one in drops if one.track is not None})
        on = f"track{'s' * (len(tracks) > 1)} {', '.join(map(str, tracks))}"
        told.append(f"{counted(len(drops), 'dropout')} on {on}.")
    if not told:
        return ""
    more = f" And {len(told) - _MOST} more." if len(told) > _MOST else ""
    return f"{' '.join(told[:_MOST])}{more}"
