"""Tapes that lay on a deck when something began there that is told afterwards: were they off by then?"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime

from core.evening.playing.left_lying import cleared
from core.evening.playing.lying import LeftLying
from core.evening.tonight.sheet import Step
from core.evening.tonight.steps import in_the_way
from core.shelf import Shelf
from core.values import dataclass


@dataclass(frozen=True, slots=True)
class LayBefore:
    """A step that is told as done, when it began, and the tape that still lay on its deck by the log."""

    step: Step
    began: datetime
    lies: LeftLying


def lay_before(shelf: Shelf, told: Iterable[tuple[Step, datetime]]) -> tuple[LayBefore, ...]:
    """Each tape that lay in the way of one of those steps, once: at the first of them that began there.

    Of a step that was begun at its time it was asked then.
    """
    found: dict[str, LayBefore] = {}
    for step, began in sorted(told, key=lambda one: one[1]):
        lies = in_the_way(shelf, step, began) if step.started is None else None
        if lies is not None and lies.since < began:
            found.setdefault(lies.reel, LayBefore(step, began, lies))
    return tuple(found.values())


def off_by_then(shelf: Shelf, off: Iterable[LayBefore]) -> Shelf:
    """The shelf with these tapes wound back, or lifted off, before what is told began."""
    for one in off:
        shelf = cleared(shelf, one.lies)
    return shelf
