"""How much of a search's time is left, counted by the clock on the wall or by the work that is done."""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import dataclass, field


@dataclass(slots=True)
class Clock:
    """How much may still be spent: wall seconds, or effort, which counts work and so repeats."""

    limit: float
    by_effort: bool
    stop: Callable[[], bool] | None
    began: float = field(default_factory=time.monotonic)
    spent: float = 0.0

    @property
    def used(self) -> float:
        """Seconds gone, or effort spent."""
        return self.spent if self.by_effort else time.monotonic() - self.began

    @property
    def left(self) -> float:
        """What remains, never below nothing."""
        return max(0.0, self.limit - self.used)

    def over(self) -> bool:
        """True when nothing remains, or someone said stop."""
        return self.left <= 0 or self.stopped()

    def stopped(self) -> bool:
        """True when someone said stop."""
        return self.stop is not None and self.stop()

    def portion(self, amount: float, each: float) -> Callable[[], float]:
        """Asked before each round of ``each`` effort: the share of the amount that is left, 1 to 0."""
        began = self.used

        def left() -> float:
            share = 1.0 - (self.used - began) / amount if amount > 0 else 0.0
            if share <= 0 or self.over():
                return 0.0
            if self.by_effort:
                self.spent += each
            return share

        return left
