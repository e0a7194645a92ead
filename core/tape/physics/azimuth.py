"""Azimuth: an angle between gap and track, the phase between two tracks, and the treble that is lost."""

import math

from core.tape.exact import Number, positive
from core.tape.physics.losses import wavelength_um

URAD_PER_MINUTE = math.pi / (180 * 60) * 1e6


def minutes_of_arc(urad: Number) -> float:
    """An angle in microradians as minutes of arc."""
    return float(urad) / URAD_PER_MINUTE


def microradians(minutes: Number) -> float:
    """An angle in minutes of arc as microradians."""
    return float(minutes) * URAD_PER_MINUTE


def phase_degrees(apart_mm: Number, minutes: Number, hz: Number, speed_ips: Number) -> float:
    """Phase between two tracks whose middles lie so far apart: 360 · distance · tan α · f / v."""
    apart_um = float(positive(apart_mm, "the distance between tracks")) * 1000
    return 360 * apart_um * _tangent(minutes) / wavelength_um(hz, speed_ips)


def minutes_from_phase(apart_mm: Number, degrees: Number, hz: Number, speed_ips: Number) -> float:
    """The azimuth error in minutes of arc that shows as so much phase.

    Phase comes round every 360°, so it is read at several frequencies, from low to high.
    """
    apart_um = float(positive(apart_mm, "the distance between tracks")) * 1000
    slope = float(degrees) / 360 * wavelength_um(hz, speed_ips) / apart_um
    return minutes_of_arc(math.atan(slope) * 1e6)


def _tangent(minutes: Number) -> float:
    if not abs(float(minutes)) < 60 * 45:
        raise ValueError(f"an azimuth error is a few minutes of arc, not {minutes}")
    return math.tan(math.radians(float(minutes) / 60))
