"""Reasons and remedies as values: the rule that binds, what would do, and what that changes."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import date
from typing import Literal, NamedTuple

from core.planning.facts.problem import Problem
from core.planning.wishes.wishes import Wishes
from core.values import dataclass

LessOf = Literal["helper", "loud hours", "trays", "home", "playable days", "calibration", "wish"]
"""A rule that a problem may have one less of."""
Rule = LessOf | Literal["", "facts", "barred", "chamber", "search", "slack", "alone", "bench time", "date"]
"""What stands in a reel's way; empty where nothing does."""
ChangeKind = Literal["helper", "loud", "home", "trays", "fit", "days", "wishes", "bench", "bench and helper"]


@dataclass(frozen=True, slots=True)
class Because:
    """What stands in the way: the rule, the reason in the trade's words, and what would change it.

    ``would_do`` was tried: a plan with it has the reel, or the song, by then. ``may_do`` leaves room for it
    beside the plan as it is, and nobody planned with it.
    """

    what: str
    rule: Rule
    why: str
    would_do: tuple[str, ...] = ()
    may_do: tuple[str, ...] = ()

    @property
    def says(self) -> str:
        """One sentence: the reason, and what would do, or may."""
        ways, may = (self.would_do, "would") if self.would_do else (self.may_do, "may")
        return f"{self.why}; {' or '.join(ways)} {may} do it" if ways else self.why

    def to_json(self) -> dict[str, object]:
        """As other programs read it."""
        told: dict[str, object] = {"reel": self.what, "rule": self.rule, "why": self.why}
        return told | {"would_do": list(self.would_do), "may_do": list(self.may_do)}


@dataclass(frozen=True, slots=True)
class Change:
    """What a remedy changes of what a plan is asked: hours of a date, trays, days, wishes, fit reels.

    ``begin`` and ``end`` are minutes past midnight; ``keys`` name a chamber or calibration reels.
    """

    kind: ChangeKind
    day: date | None = None
    begin: int = 0
    end: int = 0
    count: int = 0
    keys: tuple[str, ...] = ()
    wishes: Wishes | None = None


class Remedy(NamedTuple):
    """What would do, as a noun phrase; the problem in which it is there; what it changes of what is asked."""

    words: str
    problem: Problem
    change: Change


@dataclass(frozen=True, slots=True)
class Relaxed:
    """One rule: what to say where it binds, the problem without it, and small steps that loosen it."""

    rule: LessOf
    why: str
    whole: Problem
    steps: Callable[[], Iterator[Remedy]]
