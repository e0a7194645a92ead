"""Two plans side by side, evening by evening: what is the same stands level, what differs is marked."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from core.plan import Item, Plan
from tui.board.evenings import same_item
from tui.board.words import clock, day_words
from tui.safe_text import fit
from tui.widgets.line_list import LineList, Part


@dataclass(frozen=True, slots=True)
class Pair:
    """One line: a day's heading, or a step of the kept plan beside one of the new plan."""

    day: str = ""
    kept: Item | None = None
    new: Item | None = None


def pairs(kept: Plan, new: Plan) -> list[Pair]:
    """The lines of the two plans, day by day."""
    days = sorted({item.start.date() for plan in (kept, new) for item in plan.items})
    out: list[Pair] = []
    for day in days:
        left = [item for item in kept.items if item.start.date() == day]
        right = [item for item in new.items if item.start.date() == day]
        out.append(Pair(day_words(day)))
        out += _level(left, right)
    return out


def _level(left: list[Item], right: list[Item]) -> list[Pair]:
    same = [(one, other) for one in left for other in right if same_item(one, other)]
    kept = {id(one): other for one, other in same}
    taken = {id(other) for _, other in same}
    rows = [Pair(kept=one, new=kept.get(id(one))) for one in left]
    rows += [Pair(new=other) for other in right if id(other) not in taken]

    def when(pair: Pair) -> tuple[object, int]:
        item = pair.kept or pair.new
        assert item is not None
        return (item.start, 0 if pair.kept else 1)

    return sorted(rows, key=when)


class CompareList(LineList):
    """Kept at the left, new at the right."""

    def __init__(self) -> None:
        super().__init__()
        self.lines: tuple[Pair, ...] = ()

    def show(self, kept: Plan, new: Plan) -> None:
        """Shows the two plans."""
        self.lines = tuple(pairs(kept, new))
        self.lay(len(self.lines))

    def skips(self, index: int) -> bool:
        """Days are passed over."""
        return bool(self.lines[index].day)

    def parts(self, index: int, width: int) -> Sequence[Part]:
        """Both halves; a step that only one plan has is marked with a sign."""
        line = self.lines[index]
        if line.day:
            return [(fit(f" {line.day}", width), "head")]
        half = (width - 3) // 2
        differs = line.kept is None or line.new is None
        left = fit(_words(line.kept), half)
        right = fit(_words(line.new), width - 3 - half)
        return [
            (left, "dim" if differs else "word"),
            (" > " if differs else "   ", "next"),
            (right, "next" if differs else "word"),
        ]


def _words(item: Item | None) -> str:
    if item is None:
        return "  -"
    about = item.reel or (", ".join(item.reels) if item.members else item.deck)
    name = {"align": "line up", "condition": "warm"}.get(item.kind, item.kind)
    return f"  {clock(item.start)} {name} {about}"
