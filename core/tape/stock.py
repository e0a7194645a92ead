"""A tape stock: base, back coat, stickiness, who says so."""

from __future__ import annotations

from typing import Literal

from core.tape.sources import Source, Standing, source
from core.tape.stock_names import normal_name, written_names
from core.values import dataclass

Stickiness = Literal["yes", "test first", "no"]
Base = Literal["polyester", "acetate", "pvc", "paper", "unknown"]
BackCoat = Literal["yes", "no", "unknown"]
STICKINESS: tuple[Stickiness, ...] = ("yes", "test first", "no")
BASES: tuple[Base, ...] = ("polyester", "acetate", "pvc", "paper", "unknown")
BACK_COATS: tuple[BackCoat, ...] = ("yes", "no", "unknown")
ROUTES = ("", "heat", "none", "cold", "fast play", "slow unwind", "wipe")


@dataclass(frozen=True, slots=True)
class Stock:
    """One tape stock, from the table or entered by the owner.

    `makers` may each stand before `model` in a name, or none of them; `alone` are further whole names.
    `sticky` "yes" is treated before it is played, "test first" has mixed reports.
    `base_mil` and `total_mil` are thicknesses, the base alone and with its coatings. `route` is what
    reports say helps when it misbehaves: "heat", "cold", "slow unwind", "fast play", "wipe", "none" or "".
    `because` is why an owner's row tells a stock otherwise than the table does.
    """

    model: str
    makers: tuple[str, ...] = ()
    sticky: Stickiness = "test first"
    base: Base = "unknown"
    back_coat: BackCoat = "unknown"
    base_mil: float | None = None
    total_mil: float | None = None
    years: str = ""
    troubles: tuple[str, ...] = ()
    route: str = ""
    cites: tuple[str, ...] = ()
    standing: Standing = "the owner's own"
    note: str = ""
    alone: tuple[str, ...] = ()
    because: str = ""

    def __post_init__(self) -> None:
        if not normal_name(self.model):
            raise ValueError("a stock needs a model: the number or name on its box")
        if self.sticky not in STICKINESS:
            raise ValueError(f"stock {self.model}: sticky is {', '.join(STICKINESS)}, not {self.sticky!r}")
        if self.base not in BASES:
            raise ValueError(f"stock {self.model}: base is one of {', '.join(BASES)}, not {self.base!r}")
        if self.back_coat not in BACK_COATS:
            raise ValueError(f"stock {self.model}: back_coat is yes, no or unknown, not {self.back_coat!r}")
        if self.route not in ROUTES:
            told = ", ".join(filter(None, ROUTES))
            raise ValueError(f"stock {self.model}: route is one of {told}, not {self.route!r}")

    @property
    def source(self) -> tuple[Source, ...]:
        """Where its row is published; none for the owner's own."""
        return tuple(source(key) for key in self.cites)

    @property
    def name(self) -> str:
        """Makers and model as one reads them on a box: `Scotch or 3M 226`; no maker twice."""
        if any(self.model.casefold().startswith(f"{one.casefold()} ") for one in self.makers):
            return self.model
        return f"{' or '.join(self.makers)} {self.model}".strip()

    @property
    def names(self) -> frozenset[str]:
        """Every way to write this stock, in the form in which names are compared."""
        return written_names(self.makers, self.model, self.alone)
