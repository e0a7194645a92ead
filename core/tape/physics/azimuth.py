"""Azimuth: an angle between gap and track, the phase between two tracks, and the treble that is lost."""

import math

from core.tape.exact import Number, positive
from core.tape.physics.losses import UM_PER_INCH, sinc_db, wavelength_um

URAD_PER_MINUTE = math.pi / (180 * 60) * 1e6


def minutes_of_arc(urad: Number) -> float:
    """An angle in microradians as minutes of arc."""
    return float(urad) / URAD_PER_MINUTE


def microradians(minutes: Number) -> float:
    """An angle in minutes of arc as microradians."""
    return float(minutes) * URAD_PER_MINUTE


def azimuth_loss_db(track_mil: Number, minutes: Number, hz: Number, speed_ips: Number) -> float:
    """Treble (negative dB) that a track loses: sin x / x, x = π · width · tan α · f / v.

    `track_mil` is the track's width in mil, `minutes` the error in minutes of arc.
    """
    width_um = float(positive(track_mil, "the track's width")) * UM_PER_INCH / 1000
    return sinc_db(math.pi * width_um * _tangent(minutes) / wavelength_um(hz, speed_ips))


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


def minutes_from_delay(apart_mm: Number, microseconds: Number, speed_ips: Number) -> float:
    """The azimuth error in minutes of arc that shows as so much time between two tracks."""
    apart_um = float(positive(apart_mm, "the distance between tracks")) * 1000
    travelled_um = float(microseconds) * 1e-6 * float(positive(speed_ips, "the speed")) * UM_PER_INCH
    return minutes_of_arc(math.atan(travelled_um / apart_um) * 1e6)


def first_null_hz(track_mil: Number, minutes: Number, speed_ips: Number) -> float:
    """The frequency at which a track so far out of azimuth first goes silent; infinite without an error."""
    width_in = float(positive(track_mil, "the track's width")) / 1000
    slope = abs(_tangent(minutes))
    return math.inf if slope == 0 else float(positive(speed_ips, "the speed")) / (width_in * slope)


def unambiguous_hz(apart_mm: Number, minutes: Number, speed_ips: Number) -> float:
    """The frequency up to which an error of that size shows as less than half a turn of phase."""
    slope = abs(_tangent(minutes))
    if slope == 0:
        return math.inf
    speed_um = float(positive(speed_ips, "the speed")) * UM_PER_INCH
    return speed_um / (2 * float(positive(apart_mm, "the distance between tracks")) * 1000 * slope)


def _tangent(minutes: Number) -> float:
    if not abs(float(minutes)) < 60 * 45:
        raise ValueError(f"an azimuth error is a few minutes of arc, not {minutes}")
    return math.tan(math.radians(float(minutes) / 60))
