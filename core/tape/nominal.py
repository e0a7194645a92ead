"""Names of one thing: nominal speeds, widths and equalisations compared as what they stand for.

A speed of 38 cm/s is 15 ips, 6.3 mm tape is quarter-inch tape, and CCIR at 15 ips is IEC1. What was typed
stays as it was typed; these say what is compared.
"""

from fractions import Fraction
from functools import cache

from core.tape.exact import Number, positive
from core.tape.physics.speed import NOMINAL_IPS
from core.tape.tables import table

NEAR_SPEED = Fraction(1, 100)  # common practice: speeds are rounded to whole cm/s, and name the same thing
NEAR_WIDTH = Fraction(2, 100)  # slit widths lie up to 2 % under the nominal inches


@cache
def nominal_ips(ips: Number) -> Fraction:
    """The nominal speed within 1 % of this one, in ips; the speed itself where none is near."""
    return _near(positive(ips, "the speed"), NOMINAL_IPS, NEAR_SPEED)


@cache
def nominal_width_in(inches: Number) -> Fraction:
    """The nominal tape width within 2 % of this one, in inches; the width itself where none is near."""
    return _near(positive(inches, "the width"), _widths(), NEAR_WIDTH)


@cache
def one_equalisation(name: str, ips: Number | None) -> str:
    """One word for all names that the table lists together at that nominal speed; caseless, trimmed.

    A name that the table has not at that speed is itself, and so is any name where the speed is not known.
    """
    from core.tape.physics.equalisation import find_equalisation

    typed = " ".join(name.split()).casefold()
    found = find_equalisation(typed, nominal_ips(ips)) if typed and ips else None
    return found.names[0].casefold() if found is not None else typed


@cache
def known_curve(name: str, ips: Number | None) -> bool:
    """True if the table of equalisations has that name at that nominal speed."""
    from core.tape.physics.equalisation import find_equalisation

    return bool(name.strip() and ips) and find_equalisation(name, nominal_ips(ips or 0)) is not None


@cache
def _widths() -> tuple[Fraction, ...]:
    return tuple(Fraction(str(row.values["width_in"])) for row in table("widths").values())


def _near(value: Fraction, nominal: tuple[Fraction, ...], share: Fraction) -> Fraction:
    best = min(nominal, key=lambda one: abs(one - value))
    return best if abs(best - value) <= share * best else value


def speed_there_was(ips: Number) -> bool:
    """True if some deck ran at that speed: one of the table's lies within 1 %."""
    speed = positive(ips, "the speed")
    return speed in NOMINAL_IPS or _near(speed, _speeds(), NEAR_SPEED) in _speeds()


def width_there_was(inches: Number) -> bool:
    """True if some tape was so wide: one of the table's widths lies within 2 %."""
    return nominal_width_in(inches) in _widths()


@cache
def tracks_there_were(inches: Number) -> tuple[int, ...]:
    """Numbers of tracks that the table has for that width, the least first; none where it has none."""
    width = nominal_width_in(inches)
    rows = (row.values for row in table("tracks").values())
    return tuple(sorted({row["tracks"] for row in rows if Fraction(str(row["width_in"])) == width}))


def speeds_told() -> str:
    """The common speeds in words, as cards and boxes have them."""
    rows = [row.values for row in table("speeds").values()]
    slow = [row for row in rows if row["ips"] <= 30]
    return (
        ", ".join(f"{row['ips']:g}" for row in slow)
        + " ips; "
        + (", ".join(f"{row['called_cm']:g}" for row in slow) + " cm/s")
    )


def widths_told() -> str:
    """The common widths in words."""
    return "1/4, 1/2, 1, 2 in; 6.3, 12.7, 25.4, 50.8 mm"


@cache
def _speeds() -> tuple[Fraction, ...]:
    return tuple(Fraction(str(row.values["ips"])) for row in table("speeds").values())
