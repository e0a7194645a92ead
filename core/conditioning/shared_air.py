"""A tape that was in the heat together with one that has mould: spores travel in moving air."""

from __future__ import annotations

from core.conditioning.loads.kept_loads import loads_of
from core.reels.reel import Reel
from core.shelf import Shelf
from core.words import listed


def shared_air(shelf: Shelf, reel: Reel) -> str:
    """That it is to be looked at before it is played, and beside which tapes it lay; empty for most."""
    if reel.past("transferred") or "mould" in reel.troubles:
        return ""
    mouldy = {key for key, other in shelf.reels.items() if "mould" in other.troubles}
    if not mouldy:
        return ""
    beside = [
        member.reel
        for log in loads_of(shelf).values()
        if not log.trial and log.member(reel.key) is not None
        for member in log.members
        if member.reel in mouldy
    ]
    if not beside:
        return ""
    named, have = listed(list(dict.fromkeys(beside))), "have" if len(set(beside)) > 1 else "has"
    return f"was beside {named}, which {have} mould: look at it, with gloves and a mask, before it is played"
