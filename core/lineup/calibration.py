"""A calibration tape, and what each of its tones must read on a deck set for a reel."""

from __future__ import annotations

from typing import TYPE_CHECKING

from core.tape.exact import positive
from core.tape.physics.corrections import mismatch_db
from core.tape.physics.equalisation import Equalisation, find_equalisation
from core.tape.physics.levels import by_aes7, decibels
from core.tape.where import figure
from core.values import dataclass

if TYPE_CHECKING:
    from core.reels.reel import Reel


@dataclass(frozen=True, slots=True)
class CalibrationTape:
    """A tape of tones: its fluxivity in nWb/m at 1 kHz and its equalisation.

    `tones_db` is how far its tones lie from that level, None for the usual of its speed. `compensated`: its
    bass is made for tracks as narrow as the deck's. `older_german`: its fluxivity is stated by the older
    German method, which calls 320 what AES7 measures as 288.
    """

    name: str
    nwb_m: float
    eq: Equalisation
    tones_db: float | None = None
    compensated: bool = False
    older_german: bool = False

    def __post_init__(self) -> None:
        positive(self.nwb_m, "the fluxivity of the calibration tape")

    @property
    def true_nwb_m(self) -> float:
        """Its fluxivity as AES7 measures it."""
        return by_aes7(self.nwb_m) if self.older_german else self.nwb_m

    @property
    def recorded_db(self) -> float:
        """How far its tones lie from its level: none at 7.5 ips and faster, −10 dB at slower speeds."""
        if self.tones_db is not None:
            return self.tones_db
        return 0.0 if self.eq.speed_ips >= 7 else float(figure("lineup.slow_tape_db"))


def expected_db(tape: CalibrationTape, eq: Equalisation, operating_nwb_m: float, hz: float) -> float:
    """What a tone must read, 0 dB being the reel's operating level, on a deck that is right for the reel.

    `eq` and `operating_nwb_m` are the reel's. Where the tape has another equalisation, the difference
    of the two curves from 1 kHz is in the figure. ValueError where tape and reel run at different speeds.
    """
    if tape.eq.speed_ips != eq.speed_ips:
        raise ValueError(f"{tape.name} is for {tape.eq.speed_ips:g} ips, the reel runs at {eq.speed_ips:g}")
    curves = mismatch_db(tape.eq, eq, hz, re_hz=1000)
    return decibels(tape.true_nwb_m, operating_nwb_m) + tape.recorded_db + curves


def bass_misleads(tape: CalibrationTape, tracks: int, hz: float) -> bool:
    """True for a tone so low that a full-width tape reads too loud on narrow tracks.

    Below about 1000 Hz at 15 ips, in proportion at other speeds; no table of how much could be cited.
    """
    if tracks <= 1 or tape.compensated:
        return False
    return hz < min(float(figure("lineup.fringing_hz")) * tape.eq.speed_ips / 15, 1000)


def calibration_tape(reel: Reel) -> CalibrationTape:
    """A calibration reel of the shelf as a tape of tones; ValueError where speed, eq or level is not told.

    Columns of the owner's own called `compensated` and `older_german` are read where they say yes.
    """
    if reel.speed is None or reel.level is None:
        raise ValueError(f"{reel.key}: a calibration tape needs its speed and level")
    eq = find_equalisation(reel.eq, reel.speed.number)
    if eq is None:
        raise ValueError(f"{reel.key}: no standard {reel.eq!r} at {reel.speed} in the table")
    told = {name.casefold().strip(): value.casefold().strip() == "yes" for name, value in reel.extra}
    return CalibrationTape(
        reel.key,
        float(reel.level.number),
        eq,
        compensated=told.get("compensated", False),
        older_german=told.get("older_german", False),
    )
