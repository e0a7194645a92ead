"""How long a tape is, how that was got, and how long it plays."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from core.quantities import Quantity, plain
from core.reels.reel import Reel
from core.studio.setup import speed_key
from core.studio.studio import Studio
from core.tape.where import figure


@dataclass(frozen=True, slots=True)
class Length:
    """A length in inches, how it was got in words, and its uncertainty as a share (0.05 is 5 %)."""

    inches: Fraction
    how: str
    source: str  # "length" | "pack" | "reel size" | "assumed"
    share: float


def length_of(reel: Reel, studio: Studio) -> Length | None:
    """The tape's length: as given, else from the pack, else from the reel's size, else the studio's guess."""
    from core.tape.length import length_from_pack, length_from_reel

    if reel.length is not None:
        return Length(reel.length.number, f"given as {reel.length}", "length", _share("given"))
    if reel.pack_diameter and reel.hub_diameter and reel.thickness:
        pack, hub, thick = reel.pack_diameter, reel.hub_diameter, reel.thickness
        if pack.number > hub.number:
            inches = length_from_pack(pack.number, hub.number, thick.number * 1000)
            how = f"from a pack of {pack} on a hub of {hub}, {thick} thick"
            return Length(Fraction(inches), how, "pack", _share("pack"))
    if reel.reel_size and reel.thickness:
        found = length_from_reel(reel.reel_size.number, reel.thickness.number * 1000)
        if found is not None:
            how = f"a full {reel.reel_size} reel of {reel.thickness} tape"
            return Length(Fraction(found), how, "reel size", _share("reel"))
    if studio.assume_length is not None:
        return _assumed(reel, studio.assume_length)
    return None


def _assumed(reel: Reel, guess: Quantity) -> Length:
    """The studio's guess, and never more than a reel of that size holds."""
    from core.tape.length import longest_on_reel

    most = longest_on_reel(reel.reel_size.number) if reel.reel_size else None
    if most is None or most >= guess.number:
        return Length(guess.number, f"assumed: {guess}", "assumed", _share("assumed"))
    how = f"assumed: {feet(most)}, the most that a {reel.reel_size} reel holds"
    return Length(most, how, "assumed", _share("assumed"))


def _share(how: str) -> float:
    """What a length that was got so may be off by, as the table of figures has it."""
    return float(figure(f"length.{how}_share"))


def play_seconds(reel: Reel, studio: Studio) -> Fraction | None:
    """Exact play time of the whole tape at its own speed, in seconds; None where it is not known."""
    length = length_of(reel, studio)
    speed = speed_key(reel.speed)
    return None if length is None or speed is None else length.inches / speed


def feet(inches: Fraction) -> str:
    """A length in words, in whole feet where it is long."""
    return f"{plain(Fraction(round(inches / 12)))} ft" if inches >= 120 else f"{plain(inches)} in"
