"""What to add to a length and take from it: reels longer than their label, leaders, splices, slow winding."""

from fractions import Fraction

from core.tape.exact import Number, not_negative, positive
from core.tape.physics.position import play_seconds
from core.tape.uncertain import Uncertain, through
from core.tape.where import figure


def reserved_length(length_in: Number) -> Fraction:
    """Inches to reserve time for: a full reel may be some percent longer than its label."""
    return positive(length_in, "the length") * (1 + Fraction(str(figure("length.over_percent"))) / 100)


def programme_length(length_in: Number, leaders: int = 2, splices: int = 0) -> Fraction:
    """Inches that carry sound: less leaders and what remade splices take, never below nothing."""
    if leaders < 0 or splices < 0:
        raise ValueError("leaders and splices are counted from nothing up")
    lost = leaders * Fraction(figure("length.leader_in")) + splices * Fraction(figure("length.splice_in"))
    return max(Fraction(0), not_negative(length_in, "the length") - lost)


def wind_seconds(length_in: Number, wind_ips: Number, *, gentle_ips: Number | None = None) -> Fraction:
    """Seconds to wind a tape at a mean winding speed, or at the gentle one where that is given."""
    return play_seconds(length_in, wind_ips if gentle_ips is None else gentle_ips)


def play_time(length: Uncertain, speed: Uncertain) -> Uncertain:
    """Play time in seconds with what it may be off by, from inches and ips that may be off."""
    return through(lambda inches, ips: inches / ips, length, speed)
