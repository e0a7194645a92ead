"""Which tones a line-up is made with, and in which order."""

from dataclasses import dataclass
from typing import Literal

from core.tape.exact import Number, positive

Use = Literal["azimuth", "level", "treble", "bass", "response"]
Which = Literal["three frequencies", "usual", "many frequencies"]

WHICH: tuple[Which, ...] = ("three frequencies", "usual", "many frequencies")
LEVEL_HZ = 1000.0
#: Preferred frequencies of a response section, Hz.
RESPONSE_HZ = (
    31.5, 40, 63, 80, 125, 250, 500, 2000, 4000, 6300, 8000, 10_000, 12_500, 14_000, 16_000, 18_000, 20_000,
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Tone:
    """One tone of a line-up, in Hz, and what it is for."""

    hz: float
    use: Use

    @property
    def key(self) -> str:
        """How a reading names it: `treble-10000`."""
        return f"{self.use}-{self.hz:g}"

    @property
    def name(self) -> str:
        """How a sheet names it: `10 kHz treble`."""
        hz = f"{self.hz / 1000:g} kHz" if self.hz >= 1000 else f"{self.hz:g} Hz"
        return f"{hz} {self.use}"


def tones(speed_ips: Number, which: Which = "usual") -> tuple[Tone, ...]:
    """The tones of a line-up in the order in which they are set: azimuth, level, treble, bass.

    Azimuth is set from low to high, so that a whole turn of phase is not taken for none. Common practice;
    a calibration tape with three frequencies has 1 kHz, 10 kHz and 50 Hz.
    """
    fast = float(positive(speed_ips, "the speed")) >= 14.9
    if which == "three frequencies":
        return _set(azimuth=(1000, 10_000), treble=(10_000,), bass=(50,))
    top = 16_000 if fast else 12_500
    if which == "usual":
        return _set(azimuth=(1000, 10_000, *((top,) if fast else ())), treble=(10_000, top), bass=(100, 50))
    if which == "many frequencies":
        highest = 20_000 if fast else 16_000
        usual = tones(speed_ips, "usual")
        heard = {tone.hz for tone in usual if tone.use != "azimuth"}
        more = (Tone(float(hz), "response") for hz in RESPONSE_HZ if hz <= highest and hz not in heard)
        return (*usual, *more)
    raise ValueError(f"tones are {', '.join(WHICH)}, not {which!r}")


def _set(azimuth: tuple[int, ...], treble: tuple[int, ...], bass: tuple[int, ...]) -> tuple[Tone, ...]:
    return (
        *(Tone(float(hz), "azimuth") for hz in azimuth),
        Tone(LEVEL_HZ, "level"),
        *(Tone(float(hz), "treble") for hz in treble),
        *(Tone(float(hz), "bass") for hz in bass),
    )
