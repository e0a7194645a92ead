"""Reference levels: fluxivity in nWb/m, decibels between two of them, and what a meter shows."""

import math
import re

from core.tape.exact import Number, positive
from core.tape.tables import Row, table
from core.tape.where import figure


def decibels(nwb_m: Number, re_nwb_m: Number) -> float:
    """One fluxivity over another: 20·log₁₀(a/b)."""
    return 20 * math.log10(positive(nwb_m, "the fluxivity") / positive(re_nwb_m, "the reference fluxivity"))


def fluxivity(db: Number, re_nwb_m: Number) -> float:
    """The fluxivity in nWb/m that lies so many dB over another."""
    return float(float(positive(re_nwb_m, "the reference fluxivity")) * 10 ** (float(db) / 20))


def by_aes7(nwb_m: Number) -> float:
    """What a fluxivity stated by the older German method measures by AES7.

    Ask which laboratory made the tape before converting.
    """
    return float(positive(nwb_m, "the fluxivity")) * float(figure("level.older_german_ratio"))


def called(nwb_m: Number) -> tuple[str, ...]:
    """Nicknames of a fluxivity, from the table."""
    row = fluxivity_row(nwb_m)
    return tuple(row.values["called"]) if row else ()


def fluxivity_row(nwb_m: Number) -> Row | None:
    """The table's row of that fluxivity, within half a per cent."""
    for row in table("fluxivities").values():
        if math.isclose(row.values["nwb_m"], float(nwb_m), rel_tol=0.005):
            return row
    return None


def nickname_fluxivities(db: Number) -> dict[str, float]:
    """What a nickname such as +6 may mean, nWb/m: counted over 185, over 200, and as catalogues use it."""
    name = f"{float(db):+g}"
    found = {"over 185 nWb/m": fluxivity(db, 185), "over 200 nWb/m": fluxivity(db, 200)}
    for row in table("fluxivities").values():
        if name in row.values["called"]:
            found["in catalogues"] = float(row.values["nwb_m"])
    return found


def said_of_a_level(words: str) -> tuple[int, ...]:
    """What a level that is called by a name may be in nWb/m, the likeliest first; empty for no such name.

    ``+6`` as catalogues use it, then counted over 185 and over 200; ``G320`` as it stands, then what
    AES7 measures where it was stated by the older German method (the letter is common practice, from memory).
    """
    plain = "".join(words.casefold().split())
    if told := re.fullmatch(r"\+(\d{1,2})(?:db)?", plain):
        found = nickname_fluxivities(int(told[1]))
        likely = ["in catalogues", "over 185 nWb/m", "over 200 nWb/m"]
        return tuple(round(found[one]) for one in likely if one in found)
    if told := re.fullmatch(r"g(\d{3})", plain):
        return int(told[1]), round(by_aes7(int(told[1])))
    return ()
