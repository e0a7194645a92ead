"""What is lost at high frequencies between tape and head: gap, spacing, and track width against noise."""

import math

from core.tape.exact import Number, not_negative, positive
from core.tape.where import figure

UM_PER_INCH = 25_400.0


def wavelength_um(hz: Number, speed_ips: Number) -> float:
    """Length on tape of one cycle, µm: speed over frequency."""
    speed = float(positive(speed_ips, "the speed"))
    return speed * UM_PER_INCH / float(positive(hz, "the frequency"))


def gap_loss_db(gap_um: Number, hz: Number, speed_ips: Number) -> float:
    """Loss (negative dB) of a head's gap: 20·log₁₀ of sin x / x with x = 1.11·π·gap / wavelength."""
    gap = float(not_negative(gap_um, "the gap"))
    return sinc_db(float(figure("loss.gap_factor")) * math.pi * gap / wavelength_um(hz, speed_ips))


def spacing_loss_db(distance_um: Number, hz: Number, speed_ips: Number) -> float:
    """Loss (negative dB) of dirt or a lifted tape: 54.6 dB for each wavelength of distance."""
    lost = float(figure("loss.spacing_db")) * float(not_negative(distance_um, "the distance"))
    return -lost / wavelength_um(hz, speed_ips)


def track_noise_db(track: Number, other_track: Number) -> float:
    """Signal to noise of one track's width over another's, dB: twice the width gives 3 dB."""
    return 10 * math.log10(positive(track, "the track's width") / positive(other_track, "the track's width"))


def sinc_db(x: float) -> float:
    """20·log₁₀|sin x / x|; minus infinity in a null."""
    if abs(x) < 1e-9:
        return 0.0
    value = abs(math.sin(x) / x)
    return 20 * math.log10(value) if value > 1e-15 else -math.inf
