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

    def words(self) -> dict[str, str]:
        """Its four parts as words, by name; an empty word where nothing tells."""
        return {
            "speed": str(self.speed or ""),
            "eq": self.eq.strip(),
            "level": str(self.level or ""),
            "noise_reduction": self.noise_reduction.strip(),
        }

    def __str__(self) -> str:
        return (
            " ".join(word for word in self.words().values() if word and word.casefold() != "none")
            or "not known"
        )
