"""What was said of a tape elsewhere than on its box and in its notes: on passes, at a stop, beside a mark.

Whoever writes why a tape was stopped, left out or taken out of the heat tells what was seen, as a note does.
Of such a reason only signs count: that a deck will not play is no order about its tape.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from datetime import datetime
from typing import Any

from core.conditioning.loads.kept_loads import loads_of
from core.logbook.noted import told_beside
from core.logbook.passes import PlayedPass, TapeNote, for_a_squeal
from core.reels.box.warnings import CURED, warnings_on
from core.remembered import once_a_shelf
from core.shelf import Shelf
from core.words import speaks_of

Said = tuple[str, datetime, str]
#: Reasons that the program itself writes most of all, and that say nothing of a tape.
_USUAL = ("", "end", "stopped", "clean heads", "splice", "power")
_OF_A_TAPE = ("identify", "repair", "audition", "transfer", "verify")


@once_a_shelf
def said_of(shelf: Shelf) -> Mapping[str, tuple[tuple[datetime, str], ...]]:
    """By reel, what was said and when, the oldest first. Records are looked at raw: a shelf has thousands."""
    found: dict[str, list[tuple[datetime, str]]] = {}
    for reel, at, words in _every(shelf):
        found.setdefault(reel, []).append((at, words))
    return {reel: tuple(sorted(told)) for reel, told in found.items()}


def _every(shelf: Shelf) -> Iterator[Said]:
    yield from _on_passes(shelf.of_kind(TapeNote.kept_as).values())
    for record in shelf.of_kind(PlayedPass.kept_as).values():
        for piece in record.get("pieces", ()):
            if piece.get("stopped"):
                yield from _reason(str(record["reel"]), piece["stopped"], piece.get("why"))
    for record in shelf.of_kind("actual").values():
        if record.get("state") == "skipped" and record.get("finished"):
            yield from _of_a_step(record)
    yield from _of_loads(shelf)
    for event, words in told_beside(shelf):
        warmed = (event.field, event.new) == ("stage", "conditioned")  # of which a list may give no take-out
        past = all(one.sign in CURED for one in warnings_on(words)) if warmed else False
        yield from () if past else ((event.key, event.at, words),)


def _of_a_step(record: Mapping[str, Any]) -> Iterator[Said]:
    """Why a step was left out or stopped: of a line-up, of the tape with which it was made.

    Behind a squeal at a pass one is asked what lies on the heads; at a hearing or a line-up nobody is.
    """
    kind, at, why = record.get("kind"), record["finished"], record.get("because")
    reel = str(record.get("calibration") or "") if kind == "align" else str(record["subject"])
    if reel and (kind == "align" or kind in _OF_A_TAPE):
        yield from _reason(reel, at, why, squeals=kind in ("align", "audition"))


def _on_passes(notes: Iterable[Mapping[str, Any]]) -> Iterator[Said]:
    """What was written on passes; a squeal is told by its kind alone, songs' names are none of it."""
    for record in notes:
        kind, words = record.get("kind"), str(record.get("words") or "")
        words = f"squeal {words}".strip() if kind == "squeal" else words
        if words and kind not in ("song start", "song end"):
            yield str(record["reel"]), datetime.fromisoformat(str(record["at"])), words


def _of_loads(shelf: Shelf) -> Iterator[Said]:
    """Why a load was broken off: of the tapes that it names, else of all that lay in it."""
    for log in loads_of(shelf).values():
        stops = [(log.broken_off, log.why), *((gap.off, gap.why) for gap in log.gaps)]
        for off, why in stops:
            if off is None or why in _USUAL:
                continue
            inside = [one.reel for one in log.members if one.out is None or one.out >= off]
            for reel in [one for one in inside if speaks_of(why, one)] or inside:
                yield from _reason(reel, off, why)


def _reason(reel: str, at: datetime | str, why: object, *, squeals: bool = False) -> Iterator[Said]:
    words = str(why or "")
    if words in _USUAL or (
        for_a_squeal(words) and not squeals
    ):  # a squeal asks what lies on the heads, and that is its answer
        return
    signs = "; ".join(one.words for one in warnings_on(words) if one.sign)
    if signs:
        yield reel, at if isinstance(at, datetime) else datetime.fromisoformat(str(at)), signs
