"""How a tape with mould, or with what may be mould, is handled at the table: told in the step itself."""

from __future__ import annotations

from core.conditioning.box_asked import box_warns
from core.conditioning.spreading.shared_air import near_mould
from core.reels.box.warnings import MOULDY, told
from core.reels.reel import Reel
from core.shelf import Shelf

#: The caution of mould in a line: the class of mask, and the filter, as it has them.
WITH_CARE = (
    "only with gloves and an FFP2 or N95 mask, never under a fan, not smelled at, a vacuum only with a HEPA "
    "filter"
)
#: Work at the table for which a box is opened.
OPENED = ("identify", "repair")


def handled(shelf: Shelf, key: str) -> str:
    """``R-1 only with gloves and ...: it says "mouldy" on its box``; empty where there is no sign of it."""
    reel = shelf.reels.get(key)
    why = _may_be_mould(shelf, reel) if reel is not None else ""
    return f"{key} {WITH_CARE}: it {why}" if why else ""


def _may_be_mould(shelf: Shelf, reel: Reel) -> str:
    if "mould" in reel.troubles:
        return "has mould"
    if "white powder" in reel.troubles:
        return "shows white powder, which may be mould"
    warns = [one for one in box_warns(shelf, reel) if one.sign in MOULDY]
    return f"says {told(warns)}" if warns else near_mould(shelf, reel).partition(":")[0]
