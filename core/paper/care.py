"""The cautions that an evening's own work calls for, and no others."""

from __future__ import annotations

from collections.abc import Iterator

from reportlab.platypus.flowables import Flowable

from core.paper.evenings import Evening
from core.paper.look import section, ticked
from core.paper.text import Type
from core.reels.needs import sticky
from core.shelf import Shelf
from core.tape.cautions import Caution, cautions

_STEPS = {"load": "condition", "turn": "condition", "take out": "condition"}
_WITH_HEAT = ("condition-base", "condition-thermometer", "condition-cooling")
_WITH_STICKY = ("transfer-shed",)
_SET = Type(8)


def care(shelf: Shelf, evening: Evening, wide: float) -> list[Flowable]:
    """The section of cautions on a work order."""
    found = cautions_for(shelf, evening)
    if not found:
        return []
    lines = ticked((f"{one.hazard} {one.usual}" for one in found), wide, _SET)
    return section("Take care", lines)


def cautions_for(shelf: Shelf, evening: Evening) -> tuple[Caution, ...]:
    """What may hurt people in that evening's steps, and tape that is warmed or sticky; each once."""
    found = {one.key: one for one in _found(shelf, evening)}
    return tuple(sorted(found.values(), key=lambda one: one.weight != "person"))


def _found(shelf: Shelf, evening: Evening) -> Iterator[Caution]:
    for step in evening.steps:
        kind = _STEPS.get(step.kind, step.kind)
        reels = [shelf.reels[key] for key in step.reels if key in shelf.reels]
        fragile = any(sticky(reel, shelf.own_stocks()) for reel in reels)
        wanted = (*(_WITH_HEAT if kind == "condition" else ()), *(_WITH_STICKY if fragile else ()))
        yield from (one for one in cautions(kind) if one.weight == "person" or one.key in wanted)
        for trouble in ("mould", "vinegar"):
            if any(trouble in reel.condition for reel in reels):
                yield from cautions(trouble)
