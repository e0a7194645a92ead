"""What a check found that the tape itself is to blame for, in words for the reel's history."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime
from typing import TYPE_CHECKING

from core.clock import clock_text
from core.findings import Check
from core.logbook.on_decks import runs
from core.reels.reel import Reel
from core.shelf import Shelf
from core.standing.kept_checks import check_key, checks_of, wanted_passes
from core.standing.left_to_play import to_play
from core.words import counted

if TYPE_CHECKING:
    from core.raw import RawCheck

SHEDDING = ("dull", "one side", "askew", "sag", "wow", "squeal", "stop")
"""Kinds that a tape leaves which sheds, sticks or is bent."""
MANY_DROPOUTS = 5
_MOST = 3
_FROM_A_MOMENT = ("dull", "one side", "askew", "sag", "wow", "squeal")
"""Those that begin at a moment of the pass: before it the capture may stand."""
_NEVER = datetime.fromisoformat("0001-01-02T00:00+00:00")
_BACK_SECONDS = 10.0
"""Common practice: so much before it, that the two can be joined by their sound."""
CLEAN_EVERY = 5
"""Minutes that a tape runs that sheds before its path is cleaned; common practice, the tape itself tells."""


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
    due = [one.again for part in to_play(shelf, reel) for one in part.begun if one.again is not None]
    if due:
        return clock_text(int(min(due)))
    every = shelf.of_kind("check")
    kept = [every[key] for one in wanted_passes(shelf, reel) if (key := check_key(reel.key, one)) in every]
    if not kept:
        return ""
    ran = max((one.at for one in runs(shelf) if one.reel == reel.key and not one.tones), default=_NEVER)
    since = [one for one in kept if one.get("at") and datetime.fromisoformat(str(one["at"])) >= ran]
    return _from(found for one in since for found in _told(one))


def due_by_pass(shelf: Shelf, reel: Reel) -> dict[int, float]:
    """By pass, the second from which it is due once more by its newest check; good passes left out."""
    checks = checks_of(shelf, reel.key)
    told = {
        number: _second(_told(checks[number])) for number in wanted_passes(shelf, reel) if number in checks
    }
    return {number: second for number, second in told.items() if second is not None}


def _told(check: RawCheck) -> Iterable[tuple[str, str, float]]:
    """Of every finding of a check: its kind, its weight, where it begins."""
    return ((str(found.get("kind")), str(found.get("weight")), float(found.get("start", 0.0)))
            for found in check.get("findings", ()))  # fmt: skip


def _second(told: Iterable[tuple[str, str, float]]) -> float | None:
    begun = [start for kind, weight, start in told if kind in _FROM_A_MOMENT and weight != "note"]
    return float(int(max(0.0, min(begun) - _BACK_SECONDS))) if begun else None


def _from(told: Iterable[tuple[str, str, float]]) -> str:
    second = _second(told)
    return "" if second is None else clock_text(int(second))


def becomes(check: Check | None) -> list[tuple[str, str]]:
    """What may become of a tape of which a check told something, with the words to choose by."""
    since = again_from(check) if check is not None else ""
    again = f"played again from {since} to the end" if since else "played again"
    return [
        ("", "stays as it is"),
        ("play", f"clean heads, and plan it to be {again}"),
        ("clean", f"the same, stopped to be cleaned every {CLEAN_EVERY} min"),
        ("warm", f"it sheds: plan it to be warmed, then {again}"),
        *((("whole", "plan all of it to be played again"),) if since else ()),
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
