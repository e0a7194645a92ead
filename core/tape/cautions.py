"""Cautions for each kind of step: what may hurt, and what is usually done about it."""

from typing import Literal

from core.tape.sources import Source, Standing
from core.tape.tables import Row, table
from core.values import dataclass

Weight = Literal["person", "tape", "machine"]

STEPS = (
    "identify",
    "condition",
    "repair",
    "audition",
    "align",
    "transfer",
    "verify",
    "lifting",
    "mould",
    "vinegar",
    "service",
)
#: Said wherever cautions are shown.
DEFERS = (
    "Local rules, the appliance's own instructions and people licensed for the work come first; "
    "these notes replace none of them."
)
_WEIGHTS: tuple[Weight, ...] = ("person", "tape", "machine")


@dataclass(frozen=True, slots=True)
class Caution:
    """One hazard of a kind of step, what is usually done, and where that is published."""

    key: str
    steps: tuple[str, ...]
    weight: Weight
    hazard: str
    usual: str
    source: tuple[Source, ...]
    standing: Standing
    note: str = ""


def _read(key: str, row: Row) -> Caution:
    told = row.values
    said = (told["weight"], told["hazard"], told["usual"])
    return Caution(key, tuple(told["steps"]), *said, row.source, row.standing, row.note)


def cautions(step: str) -> tuple[Caution, ...]:
    """The cautions of a kind of step, what hurts people first; ValueError for a step not in STEPS."""
    if step not in STEPS:
        raise ValueError(f"a step is one of {', '.join(STEPS)}, not {step!r}")
    found = [_read(key, row) for key, row in table("cautions").items() if step in row.values["steps"]]
    return tuple(sorted(found, key=lambda one: _WEIGHTS.index(one.weight)))
