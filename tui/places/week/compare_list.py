"""Two plans side by side, evening by evening: what is the same stands level, what differs is marked."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime

from core.plan import Item, Plan
from core.values import dataclass
from core.words import day_text
from tui.board.evenings import same_item
from tui.board.words import clock
from tui.frame.drawn.line_list import LineList, Part
from tui.safe_text import fit
from tui.text.supposed import song_moved


@dataclass(frozen=True, slots=True)
class Pair:
    """One line: a heading, a song of both plans, or a step of the kept plan beside one of the new plan."""

    day: str = ""
    kept: Item | None = None
    new: Item | None = None
    song: tuple[str, str, bool] | None = None  # kept, new, whether they differ


def songs(kept: Plan, new: Plan, titles: Mapping[str, str]) -> list[Pair]:
    """The songs of the two plans, those first whose date differs."""
    then = {one.song: one.ready for one in kept.songs}
    rows = []
    for one in new.songs:
        name, was, now = titles.get(one.song) or one.song, then.get(one.song), one.ready
        how = song_moved(new, was, now)
        done = now is not None and now <= new.start
        then_words = "  ready" if done else f"{_ready(now)} {how}"
        rows.append(Pair(song=(f"{_ready(was)} {name}", then_words, bool(how))))
    rows.sort(key=lambda row: not (row.song and row.song[2]))
    return [Pair("songs: ready"), *rows] if rows else []


def _ready(moment: datetime | None) -> str:
    return f"  {day_text(moment.date()):<10} {clock(moment)}" if moment is not None else "  not in this plan"


def pairs(kept: Plan, new: Plan) -> list[Pair]:
    """The lines of the two plans, day by day."""
    days = sorted({item.start.date() for plan in (kept, new) for item in plan.items})
    out: list[Pair] = []
    for day in days:
        left = [item for item in kept.items if item.start.date() == day]
        right = [item for item in new.items if item.start.date() == day]
        out.append(Pair(day_text(day)))
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

    def show(self, kept: Plan, new: Plan, titles: Mapping[str, str]) -> None:
        """Shows the songs of the two plans, by their titles, then their steps."""
        self.lines = (*songs(kept, new, titles), *pairs(kept, new))
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
        told = _words(line.kept), _words(line.new)
        if line.song is not None:
            *told, differs = line.song  # type: ignore[assignment]
        left, right = fit(told[0], half), fit(told[1], width - 3 - half)
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
