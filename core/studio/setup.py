"""The set-up of a deck or of a reel: what a line-up is made to."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from core.quantities import Quantity

SetupKey = tuple[Fraction | None, str, Fraction | None, str]


@dataclass(frozen=True, slots=True)
class Setup:
    """Speed (ips), equalisation, reference level (nWb/m), noise reduction."""

    speed: Quantity | None
    eq: str = ""
    level: Quantity | None = None
    noise_reduction: str = ""

    @property
    def key(self) -> SetupKey:
        """What is compared: quantities as numbers, words caseless and trimmed, no noise reduction as none."""
        reduction = self.noise_reduction.strip().casefold()
        return (
            self.speed.number if self.speed else None,
            self.eq.strip().casefold(),
            self.level.number if self.level else None,
            "" if reduction == "none" else reduction,
        )

    def __str__(self) -> str:
        words = (str(self.speed or ""), self.eq.strip(), str(self.level or ""), self.noise_reduction.strip())
        return " ".join(word for word in words if word and word.casefold() != "none") or "not known"
