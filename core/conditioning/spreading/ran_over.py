"""Tapes that ran over a deck's path after one with mould had, before it was wiped: spores are on them too.

The mould counts as soon as it is known, however late: it was there when that tape ran.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import datetime

from core.logbook.on_decks import Ran, runs
from core.logbook.places import LookedAfter
from core.logbook.steps import DeckPath
from core.logbook.typed import entries
from core.reels.reel import Reel
from core.shelf import Shelf

_latest: tuple[Shelf, Mapping[str, str]] | None = None


def ran_over(shelf: Shelf, reel: Reel) -> str:
    """That a tape is to be looked at since it ran over such a path, until it was; empty for most."""
    global _latest
    kept = _latest
    if kept is None or kept[0] is not shelf:
        kept = (shelf, dict(_found(shelf)))
        _latest = kept
    return "" if "mould" in reel.troubles else kept[1].get(reel.key, "")


def _found(shelf: Shelf) -> Iterator[tuple[str, str]]:
    paths, looked = entries(shelf, DeckPath), entries(shelf, LookedAfter)
    mouldy = {key for key, reel in shelf.reels.items() if "mould" in reel.troubles}
    gone = [Ran(deck, one.reel, one.since) for deck, one in paths.items() if one.since and "mask" in one.wipe]
    if not mouldy and not gone:
        return
    ran = sorted(runs(shelf), key=lambda one: one.at)
    for bad in (*(one for one in ran if one.reel in mouldy), *gone):
        wipes = _wipes(paths[bad.deck]) if bad.deck in paths else ()
        for one in ran:
            after = one.deck == bad.deck and one.at > bad.at and one.reel not in (*mouldy, bad.reel)
            clean = any(bad.at <= at <= one.at for at in wipes)
            last = looked[one.reel].at if one.reel in looked else None
            seen = last is not None and last >= one.at
            if after and not (clean or seen):
                yield one.reel, _says(one, bad)


def _wipes(path: DeckPath) -> tuple[datetime, ...]:
    return path.wipes or ((path.at,) if path.at is not None else ())


def _says(one: Ran, bad: Ran) -> str:
    return (
        f"ran on {one.deck} after {bad.reel}, which has mould, before its path was wiped: look at it, with "
        f"gloves and a mask, before it is played or put beside others (`reelturn tonight looked {one.reel}` "
        "when it is clean)"
    )
