"""How much tape there is: from the pack's diameter, from the reel's size, and the other way round."""

import math
from fractions import Fraction
from functools import cache

from core.tape.exact import PI, Number, not_negative, positive
from core.tape.tables import Row, table
from core.tape.where import figure

MIL = Fraction(1, 1000)


def length_from_pack(pack_in: Number, hub_in: Number, thickness_mil: Number) -> Fraction:
    """Inches of tape in a pack: the area of its side over the thickness of the whole tape.

    L = π (D² − d²) / 4t, with `pack_in` the outside diameter D, `hub_in` the diameter d on which the tape
    winds (not the hole), t the total thickness with coatings. ValueError unless pack > hub > 0 and t > 0.
    """
    pack, hub, thickness = _checked(pack_in, hub_in, thickness_mil)
    return PI * (pack * pack - hub * hub) / (4 * thickness)


def spiral_length(pack_in: Number, hub_in: Number, thickness_mil: Number) -> float:
    """Inches of tape in the same pack, as the exact length of a spiral with the thickness as its pitch.

    Differs from the area form by far less than any caliper shows; kept to prove that.
    """
    pack, hub, thickness = map(float, _checked(pack_in, hub_in, thickness_mil))
    pitch = thickness / (2 * math.pi)

    def run(radius: float) -> float:
        slant = radius * math.hypot(radius, pitch)
        return (slant + pitch * pitch * math.asinh(radius / pitch)) / (2 * pitch)

    return run(pack / 2) - run(hub / 2)


def pack_for_length(length_in: Number, hub_in: Number, thickness_mil: Number) -> float:
    """Outside diameter in inches of the pack that so much tape makes: D = √(d² + 4tL/π)."""
    hub = positive(hub_in, "the hub's diameter")
    thickness = positive(thickness_mil, "the thickness") * MIL
    length = not_negative(length_in, "the length")
    return math.sqrt(hub * hub + 4 * thickness * length / PI)


def layers(pack_in: Number, hub_in: Number, thickness_mil: Number) -> Fraction:
    """Turns of tape in a pack: n = (D − d) / 2t."""
    pack, hub, thickness = _checked(pack_in, hub_in, thickness_mil)
    return (pack - hub) / (2 * thickness)


def length_from_reel(reel_size_in: Number, thickness_mil: Number) -> Fraction | None:
    """Nominal inches of tape on a full reel of that flange diameter; None where no table row fits.

    `thickness_mil` may be the base alone or the whole tape: sheets quote either.
    """
    row = reel_row(reel_size_in, thickness_mil)
    return None if row is None else Fraction(row.values["feet"]) * 12


def reel_row(reel_size_in: Number, thickness_mil: Number) -> Row | None:
    """The row of reel lengths that `length_from_reel` reads, for showing its source."""
    size = positive(reel_size_in, "the reel's size")
    thickness = thickness_row(thickness_mil)
    if thickness is None:
        return None
    kind = thickness.values["class"]
    fitting = [row for row in table("reel_lengths").values() if row.values["class"] == kind]
    return _nearest(fitting, "size_in", size, "length.near_size_share")


def longest_on_reel(reel_size_in: Number) -> Fraction | None:
    """Inches of the longest tape that the tables have on a reel of that size; None where they have none."""
    size, share = positive(reel_size_in, "the reel's size"), Fraction(str(figure("length.near_size_share")))
    rows = [row.values for row in table("reel_lengths").values()]
    near = [row for row in rows if abs(Fraction(row["size_in"]) - size) <= share * size]
    return max((Fraction(row["feet"]) * 12 for row in near), default=None)


@cache
def longest_within(reel_size_in: Number) -> Fraction | None:
    """The same; for a size that the tables have not, what the next larger one that they have holds."""
    on_it = longest_on_reel(reel_size_in)
    if on_it is not None:
        return on_it
    rows = [row.values for row in table("reel_lengths").values()]
    larger = [Fraction(row["size_in"]) for row in rows if Fraction(row["size_in"]) > reel_size_in]
    return longest_on_reel(min(larger)) if larger else None


@cache
def longest_there_was() -> Fraction:
    """Inches of the longest tape that the tables have on any reel."""
    return max(Fraction(row.values["feet"]) * 12 for row in table("reel_lengths").values())


@cache
def hole_for_hub(hub_in: Number) -> Fraction | None:
    """Where that is the hole of a hub and not what the tape winds on: the diameter it then winds on."""
    hubs, hub = table("hubs"), positive(hub_in, "the hub's diameter")
    hole = Fraction(str(hubs["nab-hole"].values["diameter_in"]))
    near = Fraction(str(figure("length.near_size_share")))
    if abs(hub - hole) > near * hole:
        return None
    return Fraction(str(hubs["nab-hub"].values["diameter_in"]))


def smallest_hub() -> Fraction:
    """The smallest hub that the table of hubs has, in inches."""
    return min(Fraction(str(row.values["diameter_in"])) for row in table("hubs").values())


def thickness_row(thickness_mil: Number) -> Row | None:
    """The row of known thicknesses nearest to this one, within 1.5 %; None where none is."""
    wanted = positive(thickness_mil, "the thickness")
    return _nearest(list(table("thicknesses").values()), "mil", wanted, "length.near_thickness_share")


@cache
def total_thickness_mil(thickness_mil: Number) -> float | None:
    """Thickness of the whole tape with its coatings, where the figure is a known base; None if unknown."""
    row = thickness_row(thickness_mil)
    if row is None:
        return None
    return float(row.values["total_mil"]) if row.values["of"] == "base" else float(thickness_mil)


def _nearest(rows: list[Row], field: str, wanted: Fraction, share: str) -> Row | None:
    def off(row: Row) -> Fraction:
        return abs(Fraction(row.values[field]) - wanted)

    within = Fraction(str(figure(share)))
    best = min(rows, key=off, default=None)
    return best if best is not None and off(best) <= within * wanted else None


def _checked(pack_in: Number, hub_in: Number, thickness_mil: Number) -> tuple[Fraction, Fraction, Fraction]:
    hub = positive(hub_in, "the hub's diameter")
    pack = positive(pack_in, "the pack's diameter")
    thickness = positive(thickness_mil, "the thickness") * MIL
    if pack <= hub:
        raise ValueError(f"the pack is wider than its hub: {float(pack):g} in is not above {float(hub):g} in")
    return pack, hub, thickness
