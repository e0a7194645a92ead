"""What the shelf keeps about a reel's captures: checks, later looks, second copies, places listened to.

A copy and the places listened to belong to the very files that were checked, told by their SHA-256; a look is
let go when the files are checked anew.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import datetime
from pathlib import PurePath
from typing import TYPE_CHECKING

from core.as_json import read
from core.clock import clock_text
from core.logbook.files import SecondCopy, second_copies
from core.logbook.passes import played_of
from core.logbook.turned import ran_backwards, still_to_turn, turned
from core.reels.reel import Reel
from core.shelf import Shelf
from core.standing.kept_checks import (
    check_key,
    checks_of,
    files_sum,
    listened,
    looks_of,
    place_key,
    wanted_passes,
)
from core.standing.pass_length import length_off
from core.words import counted

if TYPE_CHECKING:
    from core.findings import Finding
    from core.raw import RawCheck, RawFinding

#: Remarks that no ear at one place settles: a track that tells another tale than its sheet, tape that is not
#: there, tracks against one another. They keep the gate shut until someone says what was listened to.
NEVER_BY_ITSELF = ("silence", "sound", "short", "long", "polarity")


def changed(shelf: Shelf, reel: Reel) -> str | None:
    """A sentence where files of the reel are not what they were when they were checked; None else."""
    names = [PurePath(file.path).name for look in looks_of(shelf, reel) for file in look.files
             if file.state == "changed"]  # fmt: skip
    if not names:
        return None
    more = f" and {len(names) - 1} more" if len(names) > 1 else ""
    return f"a checked file changed: put it back, or check anew ({names[0]}{more})"


def copies_of(shelf: Shelf, check: RawCheck) -> tuple[SecondCopy, ...]:
    """Every folder that was compared with a check's files, the newest last."""
    mine = (copy for copy in second_copies(shelf).values()
            if (copy.reel, copy.number) == (check.get("reel"), check.get("pass", 1)))  # fmt: skip
    fitting = [copy for copy in mine if copy.of == files_sum(check)]
    return tuple(sorted(fitting, key=lambda copy: copy.at))


def unchecked(shelf: Shelf, reel: Reel) -> tuple[int, ...]:
    """The passes that have no check, where the checks there are do not carry all tracks already."""
    checks = checks_of(shelf, reel.key)
    if _carries_all(shelf, reel, checks.values()):
        return ()
    return tuple(number for number in wanted_passes(shelf, reel) if number not in checks)


def _carries_all(shelf: Shelf, reel: Reel, checks: Iterable[RawCheck]) -> bool:
    carried = {track for check in checks for track in check.get("tracks", ())}
    return carried.issuperset(range(1, (reel.tracks or 1) + 1)) and not shelf.segments_of(reel.key)


def no_second_copy(shelf: Shelf, reel: str) -> str | None:
    """Which passes of a checked reel have no second copy that was compared; None if none lacks one."""
    checks = checks_of(shelf, reel)
    without = [str(number) for number, check in checks.items()
               if not any(copy.whole for copy in copies_of(shelf, check))]  # fmt: skip
    if not without:
        return None
    which = "its files" if len(without) == len(checks) else f"pass {', '.join(without)}"
    return f"no second copy of {which} in another place was compared"


def unproved(shelf: Shelf, reel: Reel) -> str | None:
    """Why the captures of a reel do not prove that all of it is there; None if they do.

    A check of every pass, or of all tracks, is a pass or has remarks that leave nothing open; what was played
    backwards is turned round; no file changed since; no place is marked to be captured again; and there is a
    second copy where the studio wants one.
    """
    checks = checks_of(shelf, reel.key)
    turn = files_to_turn(shelf, reel.key)
    if turn and not all(number in checks for number in turn):
        return _to_turn(reel.key, turn[0])
    if not checks:
        return "no check of its files is kept: check them, or say what was listened to"
    good = {number for number, check in checks.items() if check.get("verdict") in ("pass", "remarks")}
    whole = _carries_all(shelf, reel, (checks[number] for number in good))
    for number in wanted_passes(shelf, reel):
        if number not in good and (number in checks or not whole):
            return f"the check of pass {number} {'failed' if number in checks else 'is not there'}"
    return (
        _ran_since(shelf, reel, checks)
        or _runs_backwards(shelf, checks)
        or changed(shelf, reel)
        or _to_do_again(shelf, checks)
        or _left_open(shelf, checks)
        or _wanted_copy(shelf, reel)
    )


def _ran_since(shelf: Shelf, reel: Reel, checks: Mapping[int, RawCheck]) -> str | None:
    """That a pass ran once more since its check: what was captured then is still to be checked."""
    for one in played_of(shelf, reel.key):
        told = str(checks.get(one.number, {}).get("at") or "")
        if not told or one.alone or one.last.started <= datetime.fromisoformat(told):
            continue
        before = one.pieces[-2].to if len(one.pieces) > 1 else None
        again = before is not None and one.last.start < before - 60
        how = f"both in order, the new one from {clock_text(int(one.last.start))}" if again else "anew"
        return f"pass {one.number} ran again since its check: check its files, {how}"
    return None


def _runs_backwards(shelf: Shelf, checks: Mapping[int, RawCheck]) -> str | None:
    """That a pass was played from its tail, as told or by its timecode, and its files still run so."""
    for number, check in checks.items():
        digests = {str(file.get("sha256")) for file in check.get("files", ())}
        reel = str(check.get("reel"))
        told = still_to_turn(shelf, reel, number, digests)
        code = (one for one in check.get("findings", ()) if one["kind"] == "reversed" and one["track"])
        if told or any(code):
            played = "was played backwards" if told else "runs backwards by its timecode"
            return _to_turn(reel, number, played)
    return None


def files_to_turn(shelf: Shelf, reel: str) -> tuple[int, ...]:
    """The passes of that reel that ran backwards, and of which no files were turned round."""
    kept = turned(shelf)
    return tuple(number for number in ran_backwards(shelf, reel) if check_key(reel, number) not in kept)


def _to_turn(reel: str, number: int, played: str = "was played backwards") -> str:
    return (
        f"pass {number} {played} and its files are not turned round: turn them "
        f"(reelturn turn {reel} FILE...), then check those"
    )


def _to_do_again(shelf: Shelf, checks: Mapping[int, RawCheck]) -> str | None:
    for number, check in checks.items():
        again = [place for place, mark in listened(shelf, check).items() if mark == "again"]
        if again:
            many = counted(len(again), "place is", "places are")
            return f"{many} to be captured again in pass {number}"
    return None


def _left_open(shelf: Shelf, checks: Mapping[int, RawCheck]) -> str | None:
    """What the remarks of the checks leave open, pass by pass, in one sentence."""
    told = [f"pass {number}: {', '.join(left)}" for number, check in checks.items()
            if (left := left_open(shelf, check))]  # fmt: skip
    return f"still open in {'; '.join(told)}" if told else None


def left_open(shelf: Shelf, check: RawCheck) -> list[str]:
    """What the remarks of a check leave open: kinds that no ear settles, places nobody heard."""
    remarks = [one for one in check.get("findings", ()) if one["weight"] == "remark"]
    off = length_off(shelf, check)  # its reel's length may have been put right since
    if off is not None:
        remarks = [one for one in remarks if not _of_length(one)]
    told = [off] if off else []
    for kind in NEVER_BY_ITSELF:
        tracks = [str(one["track"]) for one in remarks if one["kind"] == kind and one["track"] is not None]
        if tracks:
            told.append(f"{kind} on track{'s' * (len(tracks) > 1)} {', '.join(tracks)}")
        elif any(one["kind"] == kind for one in remarks):
            told.append(kind)
    left = len(unlistened(shelf, check))
    return [*told, f"{counted(left, 'place')} not listened to"] if left else told


def _of_length(found: RawFinding) -> bool:
    """True for a remark on the length of the pass, not on one file of it."""
    return found["kind"] in ("short", "long") and found.get("file") is None


def unlistened(shelf: Shelf, check: RawCheck) -> tuple[Finding, ...]:
    """The places of a check that ask for an ear and that nobody has marked, nor one right beside them."""
    from core.findings import Finding, heard_in_one, places_worst_first

    seconds, marks = float(check.get("seconds", 0.0)), listened(shelf, check)
    every = [read(Finding, one) for one in check.get("findings", ())]
    told = [one for one in every if place_key(one) in marks]
    return tuple(
        one for one in places_worst_first(every, seconds)
        if one.weight == "remark" and not any(heard_in_one(one, other) for other in told)
    )  # fmt: skip


def _wanted_copy(shelf: Shelf, reel: Reel) -> str | None:
    capture = shelf.studio.capture
    return no_second_copy(shelf, reel.key) if capture is not None and capture.second_copy else None
