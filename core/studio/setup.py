"""The set-up of a deck or of a reel: what a line-up is made to."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from functools import cache

from core.quantities import Quantity
from core.tape.nominal import nominal_ips, nominal_width_in, one_equalisation
from core.values import dataclass
from core.words import listed

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
        """What is compared: nominal speed, names of one equalisation as one, level as a number.

        Words are caseless and trimmed; ``none`` is no noise reduction. A blank is a value of its own.
        """
        speed = speed_key(self.speed)
        return (speed, one_equalisation(self.eq, speed), level_key(self.level), reduction_key(self))

    def filled(self, eq: str, level: Quantity | None) -> Setup:
        """The same with its blanks filled by what a studio assumes of a box that says nothing."""
        return Setup(self.speed, self.eq.strip() or eq, self.level or level, self.noise_reduction)

    def made_to(self, other: Setup) -> dict[str, str] | None:
        """What is to be written into its blanks so that it is that one; None where that would not do."""
        if self.key[0] != other.key[0] or self.key[3] != other.key[3]:
            return None
        blank = {"eq": not self.eq.strip(), "level": self.level is None}
        mine = {"eq": self.key[1], "level": self.key[2]}
        its = {"eq": other.key[1], "level": other.key[2]}
        if any(mine[name] != its[name] and not blank[name] for name in blank):
            return None
        told = {name: word for name, word in other.words().items() if blank.get(name)}
        return told if told and all(told.values()) else None

    def words(self) -> dict[str, str]:
        """Its four parts as words, by name; an empty word where nothing tells."""
        return {
            "speed": str(self.speed or ""),
            "eq": self.eq.strip(),
            "level": str(self.level or ""),
            "noise_reduction": self.noise_reduction.strip(),
        }

    @property
    def told(self) -> str:
        """In words, and what of it is not known."""
        return setup_told(self.words())

    def __str__(self) -> str:
        return _said(self.words()) or "not known"


#: What the parts of a set-up are called in words.
SETUP_NAMES = {"speed": "speed", "eq": "equalisation", "level": "level"}


def setup_told(words: Mapping[str, str]) -> str:
    """A set-up's words with what is not known: ``15 ips NAB, level not known``."""
    blank = blanks(words)
    unknown = f"{listed(blank)} not known" if blank else ""
    return ", ".join(part for part in (_said(words), unknown) if part)


def lined_up_told(words: Mapping[str, str]) -> str:
    """What a deck is lined up to: ``15 ips NAB, level as the deck stands`` where nothing tells the level."""
    blank = blanks(words)
    left = f"{listed(blank)} as the deck stands" if blank else ""
    return ", ".join(part for part in (_said(words), left) if part)


def blanks(words: Mapping[str, str]) -> list[str]:
    """What of a set-up is not known: ``equalisation``, ``level``."""
    return [called for name, called in SETUP_NAMES.items() if not words.get(name)]


def _said(words: Mapping[str, str]) -> str:
    return " ".join(word for word in words.values() if word and word.casefold() != "none")


def speed_key(speed: Quantity | None) -> Fraction | None:
    """A speed as it is compared: the nominal one in ips."""
    return None if speed is None else _speed_key(*speed.number.as_integer_ratio())


def width_key(width: Quantity | None) -> Fraction | None:
    """A width as it is compared: the nominal one in inches."""
    return None if width is None else _width_key(*width.number.as_integer_ratio())


# A plan asks these tens of thousands of times: two whole numbers are found again faster than a fraction.
@cache
def _speed_key(over: int, under: int) -> Fraction | None:
    return nominal_ips(Fraction(over, under)) if over > 0 else None


@cache
def _width_key(over: int, under: int) -> Fraction | None:
    return nominal_width_in(Fraction(over, under)) if over > 0 else None


def level_key(level: Quantity | None) -> Fraction | None:
    """A reference level as it is compared: its number in nWb/m."""
    return level.number if level is not None else None


def reduction_key(setup: Setup) -> str:
    """Noise reduction as it is compared: caseless, trimmed, ``none`` as nothing."""
    typed = " ".join(setup.noise_reduction.split()).casefold()
    return "" if typed == "none" else typed
