"""The trial by hand that a tape wants before it runs, to tick how it went."""

from __future__ import annotations

from datetime import datetime

from reportlab.platypus.flowables import Flowable

from core.conditioning.tell import HOW_IT_RAN
from core.paper.look.line_order import said
from core.paper.look.look import Ticks
from core.paper.look.text import DECK
from core.reels.reel import Reel
from core.shelf import Shelf
from core.standing.gates import untried


def hand_test(shelf: Shelf, reel: Reel | None, at: datetime) -> list[Flowable]:
    """Its three answers with a box each; nothing for a tape that needs no trial any more."""
    if reel is None or reel.past("transferred") or untried(shelf, reel, at) is None:
        return []
    first, *rest = (words for _, words in HOW_IT_RAN)
    return [Ticks([f"{said(reel.key)} by hand: {first}", *rest], DECK)]
