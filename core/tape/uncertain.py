"""A figure with what it may be off by, and how that carries through a formula."""

import math
from collections.abc import Callable

from core.values import dataclass


@dataclass(frozen=True, slots=True)
class Uncertain:
    """`value` give or take `give`, both in the same unit."""

    value: float
    give: float = 0.0

    def __post_init__(self) -> None:
        if not math.isfinite(self.value) or not math.isfinite(self.give) or self.give < 0:
            raise ValueError(f"{self.value} give or take {self.give} is no figure")

    @property
    def low(self) -> float:
        """The least it may be."""
        return self.value - self.give

    @property
    def high(self) -> float:
        """The most it may be."""
        return self.value + self.give

    @property
    def percent(self) -> float:
        """What it may be off by, in percent of itself; infinite for nothing give or take something."""
        if self.give == 0:
            return 0.0
        return math.inf if self.value == 0 else abs(self.give / self.value) * 100

    def __str__(self) -> str:
        return f"{self.value:.4g} ± {self.give:.2g}" if self.give else f"{self.value:.4g}"


def through(formula: Callable[..., float], *inputs: Uncertain) -> Uncertain:
    """The formula's result for inputs that are off independently of one another.

    Each input is moved by its own give both ways; the halves of what that does add as squares (the usual
    law for small independent errors). Raises what the formula raises.
    """
    middle = [one.value for one in inputs]
    squares = 0.0
    for place, one in enumerate(inputs):
        if one.give:
            ends = [formula(*middle[:place], end, *middle[place + 1 :]) for end in (one.low, one.high)]
            squares += ((float(ends[1]) - float(ends[0])) / 2) ** 2
    return Uncertain(float(formula(*middle)), math.sqrt(squares))
