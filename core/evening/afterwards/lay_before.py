"""A deck as it was when what is told afterwards began there: was it free by then, and its path wiped?"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime, timedelta

from core.conditioning.spreading.dirty_path import DirtyPath, path_before, wiped
from core.evening.playing.left_lying import cleared
from core.evening.playing.lying import LeftLying
from core.evening.tonight.sheet import Step
from core.evening.tonight.steps import deck_of_step, in_the_way
from core.shelf import Shelf
from core.values import dataclass


@dataclass(frozen=True, slots=True)
class LayBefore:
    """A step that is told as done, when it began, and the tape that still lay on its deck by the log."""

    step: Step
    began: datetime
    lies: LeftLying

    @property
    def done(self) -> str:
        """What is so of it where it was off by then."""
        return f"{self.lies.reel} {self.lies.done}"


@dataclass(frozen=True, slots=True)
class DirtyBefore:
    """A step that is told as done, when it began, and what lay on the path of its deck by the log."""

    step: Step
    began: datetime
    path: DirtyPath

    @property
    def done(self) -> str:
        """What is so of it where it was wiped by then."""
        return f"path of {self.path.deck} wiped"


Before = LayBefore | DirtyBefore


def decks_before(shelf: Shelf, told: Iterable[tuple[Step, datetime]]) -> tuple[Before, ...]:
    """What lay in the way of one of those steps, each once: at the first of them that began there.

    A tape on its deck comes first, then the path that is wiped behind it. Of a step that was begun at its
    time it was asked then.
    """
    found: dict[tuple[str, str], Before] = {}
    for step, began in sorted(told, key=lambda one: one[1]):
        if step.started is not None:
            continue
        lies = in_the_way(shelf, step, began)
        if lies is not None and lies.since < began:
            found.setdefault(("reel", lies.reel), LayBefore(step, began, lies))
        path = path_before(shelf, deck_of_step(step), step.subject, began)
        if path is not None and path.since < began:
            found.setdefault(("path", path.deck), DirtyBefore(step, began, path))
    return tuple(found.values())


def as_told(shelf: Shelf, before: Iterable[Before]) -> Shelf:
    """The shelf with these tapes off their decks, and these paths wiped, before what is told began."""
    for one in before:
        if isinstance(one, LayBefore):
            shelf = cleared(shelf, one.lies)
        else:
            at = max(one.path.since, one.began - timedelta(minutes=1))
            shelf = wiped(shelf, one.path.deck, at)
    return shelf
