"""What a box warns of, asked at heat and deck until a sign of it is written down or its owner answered."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from datetime import datetime

from core.conditioning.hours_had import FOUL
from core.conditioning.told.said_of import said_of
from core.logbook.noted import notes_of_all
from core.logbook.places import LookedAfter
from core.logbook.running import mended, running
from core.logbook.typed import entries, with_entry
from core.reels.box.warnings import CURED, MOULDY, PLAY, BoxWarning, told, unanswered
from core.reels.reel import Reel
from core.remembered import once_a_shelf
from core.shelf import Shelf

#: Where mould may be, nobody smells: spores are a danger to people.
LOOK_AT_MOULD = "look, with gloves and a mask, and do not smell at it"

#: What a tape spreads to others and to people, so that it is asked about also of one that is captured.
SPREADS = (*MOULDY, "vinegar")


def box_warns(shelf: Shelf, reel: Reel) -> tuple[BoxWarning, ...]:
    """What that reel's box or notes warn of, or was said of it at a pass or a stop, and nobody answered.

    Of a tape that is captured only what was said as it ran, and spreads, until it is verified.
    """
    looked = entries(shelf, LookedAfter).get(reel.key) or LookedAfter(reel.key)
    said = said_of(shelf).get(reel.key, ())
    if reel.past("transferred"):
        since = () if reel.past("verified") else said[looked.said :]
        heard = unanswered(_joined(since), reel.troubles, ())
        return tuple(replace(one, in_notes=True) for one in heard if one.sign in SPREADS)
    on_box = unanswered(reel.on_box, reel.troubles, looked.box)
    notes = [(one.at, one.note) for one in notes_of_all(shelf).get(reel.key, ())]
    old = "; ".join([reel.notes, _joined(notes[: looked.notes]), _joined(said[: looked.said])])
    new = [*notes[looked.notes :], *said[looked.said :]]  # sights since the answer
    known = {(one.sign, one.order) for one in on_box}
    found = (*unanswered(old, reel.troubles, looked.box), *_seen_anew(reel, new))
    noted = [one for one in dict.fromkeys(found) if (one.sign, one.order) not in known]
    return (*on_box, *(replace(one, in_notes=True) for one in noted))


def _joined(notes: Iterable[tuple[datetime, str]]) -> str:
    return "; ".join(words for _, words in notes)


def _seen_anew(reel: Reel, notes: Sequence[tuple[datetime, str]]) -> Iterator[BoxWarning]:
    """What such notes warn of. Its warmth answers that it was sticky before, and nothing that came behind.

    What came behind is answered by gum or residue that its owner told.
    """
    out = reel.conditioned_at
    before, since = (
        [one for one in notes if out is None or one[0] <= out],
        [one for one in notes if out is not None and one[0] > out],
    )
    cured = {*reel.troubles, "sticky"} if out is not None else reel.troubles
    yield from unanswered(_joined(before), cured, ())
    yield from unanswered(
        _joined(since), reel.troubles if reel.tried in FOUL else {*reel.troubles} - CURED, ()
    )


def box_asked(shelf: Shelf, reel: Reel, *, warmed: bool = False) -> str:
    """``says "mold" on its box: ...``, to follow its key: what is to be found out first; empty for most.

    ``warmed``: of one that is only warmed, an order not to play it is left for later.
    """
    warnings = [one for one in box_warns(shelf, reel) if not (warmed and one.order == PLAY)]
    if not warnings:
        return ""
    return (
        f"says {told(warnings)}: {_to_do(warnings)} before it is warmed or runs "
        f"(`reelturn tonight looked {reel.key}` when it may)"
    )


def _to_do(warnings: Sequence[BoxWarning]) -> str:
    signs = [one for one in warnings if one.sign]
    mould = any(one.sign in MOULDY for one in signs)
    do = [] if not signs else [f"{LOOK_AT_MOULD if mould else 'look and smell'}, and write down what is so"]
    do += ["find out why"] if len(signs) < len(warnings) else []
    return "; ".join(do)


@once_a_shelf
def boxes_meanwhile(shelf: Shelf) -> dict[str, str]:
    """By reel, what it warns of that nobody answered while its tape is in the heat, runs, or just ran."""
    told_by_reel = {key: _meanwhile(shelf, reel) for key, reel in _under_way(shelf).items()}
    return {key: says for key, says in told_by_reel.items() if says}


def _under_way(shelf: Shelf) -> dict[str, Reel]:
    keys = [key for key, reel in shelf.reels.items() if reel.chamber]
    keys += [*running(shelf), *mended(shelf), *said_of(shelf)]
    return {key: shelf.reels[key] for key in keys if key in shelf.reels}


def _meanwhile(shelf: Shelf, reel: Reel) -> str:
    warnings = [one for one in box_warns(shelf, reel) if not (reel.chamber and one.order == PLAY)]
    where, until = _where(shelf, reel) if warnings else ("", "")
    if not where:
        return ""
    ran = reel.past("transferred")
    if reel.key in running(shelf) and all(one.sign in ("squeal", "sticky") for one in warnings):
        swab = "stop it, and wipe the heads with a dry swab"
        tells = (
            f"`reelturn tonight stop --heads WHAT` tells what came off, `looked {reel.key}` that it may run"
        )
        return f"{reel.key} runs and says {told(warnings)}: {swab} ({tells})"
    may = f"`reelturn tonight looked {reel.key}` when {'it is clean' if ran else 'it may go on'}"
    return f"{reel.key} {where} and says {told(warnings)}: {_to_do(warnings)} {until} ({may})"


def _where(shelf: Shelf, reel: Reel) -> tuple[str, str]:
    """Where it is under way, and by when what it warns of is found out; empty for one that is not."""
    if reel.chamber:
        return f"is in the heat of chamber {reel.chamber}", "now, and take it out if it is so"
    if reel.key in running(shelf):
        return "runs", "now, and stop it if it is so"
    if reel.key in mended(shelf):
        return "is being mended", "now, and lay it aside if it is so"
    if reel.past("transferred"):
        return "has run", "before it goes beside others"
    stands = any(
        one.get("reel") == reel.key and one.get("state") == "stopped" and not one.get("void")
        for one in shelf.of_kind("pass").values()
    )
    return ("stands stopped", "before it goes on") if stands else ("", "")


def box_answered(shelf: Shelf, key: str, *, warmed: bool = False) -> Shelf:
    """The shelf with what that reel's box warns of answered; ``warmed``: all but an order not to play it."""
    words = [one.words for one in box_warns(shelf, shelf.reel(key)) if not (warmed and one.order == PLAY)]
    if not words:
        return shelf
    before = entries(shelf, LookedAfter).get(key) or LookedAfter(key)
    seen, heard = len(notes_of_all(shelf).get(key, ())), len(said_of(shelf).get(key, ()))
    return with_entry(shelf, key, replace(before, box=(*before.box, *words), notes=seen, said=heard))
