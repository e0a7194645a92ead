"""What is lost at high frequencies where dirt, or a lifted tape, keeps it from the head."""

from core.tape.exact import Number, not_negative, positive
from core.tape.where import figure

UM_PER_INCH = 25_400.0


def wavelength_um(hz: Number, speed_ips: Number) -> float:
    """Length on tape of one cycle, µm: speed over frequency."""
    speed = float(positive(speed_ips, "the speed"))
    return speed * UM_PER_INCH / float(positive(hz, "the frequency"))


def spacing_loss_db(distance_um: Number, hz: Number, speed_ips: Number) -> float:
    """Loss (negative dB) of dirt or a lifted tape: 54.6 dB for each wavelength of distance."""
    lost = float(figure("loss.spacing_db")) * float(not_negative(distance_um, "the distance"))
    return -lost / wavelength_um(hz, speed_ips)
