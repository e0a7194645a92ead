"""The cautions that an evening's own work calls for, and no others."""

from __future__ import annotations

from collections.abc import Iterator

from reportlab.platypus.flowables import Flowable

from core.conditioning.box_asked import box_warns
from core.conditioning.reel_advice import known_of
from core.paper.look.evenings import Evening
from core.paper.look.look import section
from core.paper.look.text import Text, Type
from core.reels.minutes import wants_gentle_winding
from core.reels.needs import sticky
from core.shelf import Shelf
from core.tape.cautions import Caution, cautions

_STEPS = {"load": "condition", "turn": "condition", "take out": "condition"}
_WITH_HEAT = ("condition-base", "condition-thermometer", "condition-cooling", "condition-motor")
_WITH_STICKY = ("transfer-shed",)
_WITH_LINE_UP = ("align-isopropyl",)
_WITH_GENTLE = ("repair-wind",)
_NOT_OF_AN_EVENING = ("repair-old-solvents", "lifting-machine")
_MANY_REELS = 6
_SET, _CLOSE = Type(8, after=1.5), Type(8, after=0.3)


def care(shelf: Shelf, evening: Evening, *, close: int = 0) -> list[Flowable]:
    """The section of cautions on a work order; ``close``: 1 with less room between, 2 run on."""
    found = cautions_for(shelf, evening)
    if not found:
        return []
    lines = [f"– {one.hazard} {one.usual}" for one in found]
    told = [" ".join(lines)] if close > 1 else lines
    return section("Take care", *(Text(line, _CLOSE if close else _SET) for line in told))


def cautions_for(shelf: Shelf, evening: Evening) -> tuple[Caution, ...]:
    """What may hurt people in that evening's steps, and tape that is warmed or sticky; each once."""
    found = {one.key: one for one in _found(shelf, evening) if one.key not in _NOT_OF_AN_EVENING}
    if not _heavy(shelf, evening):
        found.pop("lifting-reels", None)
    return tuple(sorted(found.values(), key=lambda one: one.weight != "person"))


def _heavy(shelf: Shelf, evening: Evening) -> bool:
    """True where wide reels or many reels are carried."""
    keys = {key for step in evening.steps if step.kind != "verify" for key in step.reels}
    widths = [reel.width for key in keys if (reel := shelf.reels.get(key)) is not None]
    return len(keys) > _MANY_REELS or any(width is not None and width.number >= 1 for width in widths)


def _found(shelf: Shelf, evening: Evening) -> Iterator[Caution]:
    if evening.empty:  # a chamber that runs empty is as warm
        yield from (one for one in cautions("condition") if one.weight == "person")
    for step in evening.steps:
        kind = _STEPS.get(step.kind, step.kind)
        reels = [shelf.reels[key] for key in step.reels if key in shelf.reels]
        fragile = any(sticky(reel, shelf.own_stocks()) for reel in reels)
        gentle = any(wants_gentle_winding(reel, shelf.own_stocks()) for reel in reels)
        wanted = (
            *(_WITH_HEAT if kind == "condition" else ()),
            *(_WITH_STICKY if fragile else ()),
            *(_WITH_LINE_UP if kind == "align" else ()),
            *(_WITH_GENTLE if gentle else ()),
        )
        yield from (one for one in cautions(kind) if one.weight == "person" or one.key in wanted)
        signs = {sign for reel in reels for sign in known_of(reel, shelf.studio, evening.start).symptoms}
        signs |= {
            one.sign for reel in reels for one in box_warns(shelf, reel)
        }  # what its box alone tells, too
        for trouble, told in (("mould", {"mould", "white powder", "water"}), ("vinegar", {"vinegar"})):
            if signs & told:
                yield from cautions(trouble)
