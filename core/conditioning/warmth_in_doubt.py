"""Warmth that is in doubt before a tape plays: told by nobody but you, too short, against its base."""

from __future__ import annotations

from core.conditioning.base_look import warmed_against_base
from core.conditioning.hours_had import short_hours
from core.reels.reel import Reel
from core.shelf import Shelf


def warmth_in_doubt(shelf: Shelf, reel: Reel) -> str:
    """What its time in the heat leaves in doubt, a clause or two; empty where nothing does."""
    against, short = warmed_against_base(shelf, reel), short_hours(shelf, reel)
    lacked = f"{short.says}: look at the outermost turns" if short else ""
    return f"it {'; it '.join(filter(None, (against, lacked)))}" if against or lacked else ""


def doubt_in_short(shelf: Shelf, key: str) -> str:
    """The same in a few words, to follow that key in a list; nothing of a tape that is captured."""
    reel = shelf.reels.get(key)
    if reel is None or reel.past("transferred"):
        return ""
    against, short = warmed_against_base(shelf, reel), short_hours(shelf, reel)
    told = (against.partition(":")[0], short.brief if short else "")
    return ", ".join(filter(None, told))
