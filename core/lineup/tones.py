"""Which tones a line-up is made with, and in which order."""

from collections.abc import Iterator
from typing import Literal

from core.tape.exact import Number, positive
from core.tape.tables import table
from core.tape.where import figure
from core.values import dataclass

Use = Literal["azimuth", "level", "treble", "bass", "response"]
Which = Literal["three frequencies", "usual", "many frequencies"]

WHICH: tuple[Which, ...] = ("three frequencies", "usual", "many frequencies")


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

    They stand in the table of tones. Azimuth is set from low to high, so that a whole turn of phase is not
    taken for none. ValueError for a set that the table does not have.
    """
    fast = float(positive(speed_ips, "the speed")) >= 14.9
    if which == "three frequencies":
        return tuple(_set("three-frequencies"))
    if which == "usual":
        return tuple(_set("usual-fast" if fast else "usual-slow"))
    if which == "many frequencies":
        usual = tones(speed_ips, "usual")
        more = table("tones")["response-fast" if fast else "response-slow"].values["response"]
        return (*usual, *(Tone(float(hz), "response") for hz in more))
    raise ValueError(f"tones are {', '.join(WHICH)}, not {which!r}")


def _set(key: str) -> Iterator[Tone]:
    told = table("tones")[key].values
    yield from (Tone(float(hz), "azimuth") for hz in told["azimuth"])
    yield Tone(float(figure("lineup.level_hz")), "level")
    yield from (Tone(float(hz), "treble") for hz in told["treble"])
    yield from (Tone(float(hz), "bass") for hz in told["bass"])
