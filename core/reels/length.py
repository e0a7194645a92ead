"""How long a tape is, how that was got, and how long it plays."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from core.quantities import plain
from core.reels.reel import Reel
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
        guess = studio.assume_length
        return Length(guess.number, f"assumed: {guess}", "assumed", _share("assumed"))
    return None


def _share(how: str) -> float:
    """What a length that was got so may be off by, as the table of figures has it."""
    return float(figure(f"length.{how}_share"))


def play_seconds(reel: Reel, studio: Studio) -> Fraction | None:
    """Exact play time of the whole tape at its own speed, in seconds; None where it is not known."""
    length = length_of(reel, studio)
    if length is None or reel.speed is None or reel.speed.number <= 0:
        return None
    return length.inches / reel.speed.number


def feet(inches: Fraction) -> str:
    """A length in words, in whole feet where it is long."""
    return f"{plain(Fraction(round(inches / 12)))} ft" if inches >= 120 else f"{plain(inches)} in"
