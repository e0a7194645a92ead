"""Limits for people and for tape: noise, vapour, weight, stray fields."""

from core.tape.exact import Number, not_negative, positive
from core.tape.where import figure

A_M_PER_OERSTED = 79.577
A_M_PER_MILLITESLA = 795.77
MG_M3_PER_PPM_ISOPROPANOL = 2.46


def noise_minutes(dba: Number) -> float:
    """Minutes a day that a level in dB(A) is borne: eight hours at 85, half for every 3 dB more (NIOSH)."""
    over = float(dba) - figure("noise.limit_dba")
    return float(figure("noise.hours") * 60 / 2 ** (over / figure("noise.exchange_db")))


def isopropanol_mg_m3(ppm: Number) -> float:
    """Isopropyl alcohol in air, from ppm to mg/m³."""
    return float(not_negative(ppm, "the concentration")) * MG_M3_PER_PPM_ISOPROPANOL


def lifting_caution(kilograms: Number) -> str | None:
    """What is said of a weight that one person does not lift alone; None for one that may be."""
    weight, most = float(positive(kilograms, "the weight")), figure("lifting.constant_kg")
    if weight <= most:
        return None
    return f"{weight:g} kg: two people or a trolley, {most} kg is the most for one under ideal conditions"


def oersted(a_m: Number) -> float:
    """A field in A/m as oersted."""
    return float(a_m) / A_M_PER_OERSTED


def field_a_m(millitesla: Number) -> float:
    """A field in mT in air as A/m."""
    return float(not_negative(millitesla, "the field")) * A_M_PER_MILLITESLA


def field_trouble(a_m: Number, *, alternating: bool) -> str | None:
    """What is wrong with a stray field near a tape; None while it is permitted."""
    strength = float(not_negative(a_m, "the field"))
    limit = figure("field.ac_a_m" if alternating else "field.dc_a_m")
    if strength <= limit:
        return None
    kind = "alternating" if alternating else "steady"
    away = figure("field.distance_cm")
    return f"{strength:.0f} A/m {kind} is more than the {limit} A/m that tape may meet: keep {away} cm away"
