"""Reproduce equalisations: the flux that a standard puts on tape, and playing one standard on another."""

import math
from functools import cache

from core.tape.exact import Number, positive
from core.tape.sources import Source, Standing, source
from core.tape.tables import table
from core.values import dataclass

_SKIPPED = str.maketrans("", "", " -._")


@dataclass(frozen=True, slots=True)
class Equalisation:
    """One standard at one speed (ips): time constants in µs, `t_low_us` None for no bass correction."""

    key: str
    names: tuple[str, ...]
    speed_ips: float
    t_low_us: float | None
    t_high_us: float
    years: str
    current: bool
    cites: tuple[str, ...]
    standing: Standing
    note: str = ""

    @property
    def source(self) -> tuple[Source, ...]:
        """Where it is written down; KeyError where one is not in the list."""
        return tuple(source(key) for key in self.cites)

    @property
    def name(self) -> str:
        """How it is called first, with its speed: `NAB at 15 ips`."""
        return f"{self.names[0]} at {self.speed_ips:g} ips"


@cache
def equalisations() -> tuple[Equalisation, ...]:
    """Every standard in the table, in its order."""
    return tuple(
        Equalisation(
            key,
            tuple(row.values["names"]),
            float(row.values["speed_ips"]),
            row.values["t_low_us"] or None,
            float(row.values["t_high_us"]),
            row.values["years"],
            row.values["current"],
            row.cites,
            row.standing,
            row.note,
        )
        for key, row in table("equalisations").items()
    )


def find_equalisation(name: str, speed_ips: Number) -> Equalisation | None:
    """The standard of that name at that speed, names compared caseless; None where none fits."""
    wanted, speed = _plain(name), float(positive(speed_ips, "the speed"))
    if not wanted:
        return None
    for one in equalisations():
        if math.isclose(one.speed_ips, speed, rel_tol=0.01) and wanted in map(_plain, one.names):
            return one
    return None


def a_standard_called(name: str) -> bool:
    """True if the table has a standard of that name at some speed."""
    return any(_plain(name) in map(_plain, one.names) for one in equalisations())


def possible_equalisations(speed_ips: Number) -> tuple[Equalisation, ...]:
    """Every standard that a tape of that speed may follow, current ones first."""
    speed = float(positive(speed_ips, "the speed"))
    fitting = [one for one in equalisations() if math.isclose(one.speed_ips, speed, rel_tol=0.01)]
    return tuple(sorted(fitting, key=lambda one: not one.current))


def flux_response_db(eq: Equalisation, hz: Number) -> float:
    """Standard recorded flux at a frequency, dB over the flux at middle frequencies.

    10·log₁₀(1 + 1/(2πf·t_low)²) − 10·log₁₀(1 + (2πf·t_high)²), the form of IEC 60094-1.
    """
    turn = 2 * math.pi * float(positive(hz, "the frequency")) * 1e-6
    bass = 0.0 if eq.t_low_us is None else 10 * math.log10(1 + (turn * eq.t_low_us) ** -2)
    return bass - 10 * math.log10(1 + (turn * eq.t_high_us) ** 2)


def _plain(name: str) -> str:
    return name.casefold().translate(_SKIPPED)
