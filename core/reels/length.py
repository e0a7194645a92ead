"""How long a tape is, how that was got, and how long it plays."""

from __future__ import annotations

from fractions import Fraction
from math import hypot

from core.quantities import Quantity, plain
from core.reels.reel import Reel
from core.studio.setup import speed_key
from core.studio.studio import Studio
from core.tape.where import figure
from core.values import dataclass


@dataclass(frozen=True, slots=True)
class Length:
    """A length in inches, how it was got in words, and its uncertainty as a share (0.05 is 5 %)."""

    inches: Fraction
    how: str
    source: str  # "length" | "pack" | "reel size" | "assumed"
    share: float


def length_of(reel: Reel, studio: Studio) -> Length | None:
    """The tape's length: as given, else from the pack, else from the reel's size, else the studio's guess."""
    from core.tape.physics.length import length_from_reel

    if reel.length is not None:
        return Length(reel.length.number, f"given as {reel.length}", "length", _share("given"))
    pack, hub = reel.pack_diameter, reel.hub_diameter
    if pack and hub and reel.thickness and pack.number > hub.number:
        return _from_pack(reel, pack, hub, reel.thickness)
    if reel.reel_size and reel.thickness:
        found = length_from_reel(reel.reel_size.number, reel.thickness.number * 1000)
        if found is not None:
            how = f"a full {reel.reel_size} reel of {reel.thickness} tape"
            more, off = _not_full(reel.pack_diameter, reel.thickness, found)
            return Length(Fraction(found), how + more, "reel size", max(off, _share("reel")))
    return None if studio.assume_length is None else _assumed(reel, studio.assume_length)


def stock_holds(reel: Reel) -> str:
    """How much a full reel of its size holds of its stock, by the stock's row; empty where none tells.

    It is told beside a length that is only assumed, and no more: the reel's own column of thickness counts.
    """
    found = _full_of_stock(reel)
    return f"a full {reel.reel_size} reel of {reel.stock} holds {feet(found)}" if found is not None else ""


def _full_of_stock(reel: Reel) -> Fraction | None:
    from core.tape.physics.length import length_from_reel
    from core.tape.stocks import find_stock

    stock = find_stock(reel.stock)
    thick = stock.total_mil or stock.base_mil if stock is not None else None
    if thick is None or reel.reel_size is None:
        return None
    found = length_from_reel(reel.reel_size.number, Fraction(str(thick)))
    return None if found is None else Fraction(found)


def _from_pack(reel: Reel, pack: Quantity, hub: Quantity, thick: Quantity) -> Length:
    """The pack's area over the thickness of the whole tape, and never more than a reel of that size holds.

    A box tells the base alone more often than the whole; what is not known about either, or about a hub that
    is as wide as the hole in it, counts in what the length may be off by.
    """
    from core.tape.physics.length import hole_for_hub, length_from_pack, longest_on_reel, total_thickness_mil

    typed = thick.number * 1000
    known = total_thickness_mil(typed)
    total = typed if known is None else Fraction(str(known)) if known != float(typed) else typed
    inches = Fraction(length_from_pack(pack.number, hub.number, total))
    how = f"from a pack of {pack} on a hub of {hub}, {thick} thick"
    if total != typed:
        how = f"from a pack of {pack} on a hub of {hub}, {plain(total)} mil with its coatings ({thick} base)"
    off = [_share("pack")]
    if known is None:
        off.append(_share("coating"))
        how += ", if that is the whole tape"
    wider = hole_for_hub(hub.number)
    if wider is not None and wider < pack.number:
        off.append(float(1 - length_from_pack(pack.number, wider, total) / inches))
        how += f"; {hub} is the hole of a hub that tape winds on at {plain(wider)} in"
    most = longest_on_reel(reel.reel_size.number) if reel.reel_size else None
    if most is not None and inches > most:
        inches, how = most, f"{how}: more than the {feet(most)} that a {reel.reel_size} reel holds"
    return Length(inches, how, "pack", hypot(*off))


def _not_full(pack: Quantity | None, thick: Quantity, full: Fraction) -> tuple[str, float]:
    """That a pack whose hub nobody measured is none of a full reel, and by how much; nothing for most.

    It is reckoned on the smallest hub there is, so that it tells the most that the pack can hold.
    """
    from core.tape.physics.length import length_from_pack, smallest_hub, total_thickness_mil

    if pack is None or pack.number <= smallest_hub():
        return "", 0.0
    whole = total_thickness_mil(thick.number * 1000)
    most = length_from_pack(
        pack.number, smallest_hub(), Fraction(str(whole)) if whole else thick.number * 1000
    )
    if most >= full:
        return "", 0.0
    return f"; its pack of {pack} holds {feet(most)} at most: measure the hub", float(1 - most / full)


def _assumed(reel: Reel, guess: Quantity) -> Length:
    """The studio's guess, and never more than a reel of that size holds."""
    from core.tape.physics.length import longest_on_reel

    most = longest_on_reel(reel.reel_size.number) if reel.reel_size else None
    inches, how = guess.number, f"assumed: {guess}"
    if most is not None and most < inches:
        inches, how = most, f"assumed: {feet(most)}, the most that a {reel.reel_size} reel holds"
    full = _full_of_stock(reel)
    if full is not None and full < inches:
        how += f", and {stock_holds(reel)} only: `set {reel.key} length={feet(full)}` counts that"
    elif full is not None and feet(full) != feet(inches):
        how += f"; {stock_holds(reel)}: set {reel.key} length=..."
    return Length(inches, how, "assumed", _share("assumed"))


def _share(how: str) -> float:
    """What a length that was got so may be off by, as the table of figures has it."""
    return float(figure(f"length.{how}_share"))


def play_seconds(reel: Reel, studio: Studio) -> Fraction | None:
    """Exact play time of the whole tape at its own speed, in seconds; None where it is not known."""
    length = length_of(reel, studio)
    speed = speed_key(reel.speed)
    return None if length is None or speed is None else length.inches / speed


def longest_play(reel: Reel, studio: Studio) -> tuple[Fraction, str] | None:
    """Seconds that the tape plays at the most, and how its length was got; None where it is only a guess."""
    length, speed = length_of(reel, studio), speed_key(reel.speed)
    if length is None or speed is None or length.source == "assumed":
        return None
    return length.inches * (1 + Fraction(str(length.share))) / speed, length.how


def feet(inches: Fraction) -> str:
    """A length in words, in whole feet where it is long."""
    return f"{plain(Fraction(round(inches / 12)))} ft" if inches >= 120 else f"{plain(inches)} in"
