"""Steps of the plan that must not be done any more: crossed in the picture, with the reason in words."""

from __future__ import annotations

from collections.abc import Iterable

from core.plan import Item, Touch
from core.standing.of_plan.still import struck_words
from core.standing.of_plan.struck import Struck

#: Stands in every column of a step that is struck out, and before a reel that is.
CROSS = "x"


class Crossed:
    """What is struck out of one plan, asked by step, by reel and by touch."""

    def __init__(self, out: Iterable[Struck] = ()) -> None:
        self._out: dict[int, list[Struck]] = {}
        for one in out:
            self._out.setdefault(id(one.item), []).append(one)
        gone = [told[0].item for told in self._out.values() if self.whole(told[0].item)]
        self._touches = {id(touch) for item in gone for touch in item.touches}

    def reels(self, item: Item) -> frozenset[str]:
        """The reels that are struck out of that step."""
        return frozenset(one.reel for one in self._out.get(id(item), ()))

    def whole(self, item: Item) -> bool:
        """True where nothing is left of that step."""
        gone = self.reels(item)
        return bool(gone) and gone >= set(item.reels)

    def touch(self, touch: Touch) -> bool:
        """True for a visit to a chamber of which no load is left."""
        return id(touch) in self._touches

    def words(self, item: Item) -> str:
        """What is struck out of that step and why; empty where nothing is."""
        told = self._out.get(id(item), ())
        return struck_words(told, some_left=not self.whole(item)) if told else ""


NOTHING_CROSSED = Crossed()


def crossed_bar(item: Item, width: int) -> str:
    """The step's columns crossed through, its reel in them where there is room."""
    name = f"{CROSS}{' '.join(item.reels)}"
    return name + CROSS * (width - len(name)) if len(name) <= width else CROSS * width
