"""Whose speed is right for a song, where the owner says more than the check measured."""

from __future__ import annotations

import re

from core.values import dataclass

_WIDEST = 0.5
"""An octave down; what plays further off was laid on at another speed of the deck."""
_NUMBER = r"([0-9]+(?:[.,][0-9]+)?)"


@dataclass(frozen=True, slots=True)
class ClockSpeed:
    """What the owner names: nothing, the code, the capture as it is, or how fast the capture plays."""

    by: str = ""
    """Empty (code where there is any, else what the check measured), ``code``, ``as played`` or ``said``."""
    ratio: float = 1.0
    """Seconds of the song to a second of the capture, for what is said: above 1 it plays fast."""


def clock_speed(text: str) -> ClockSpeed:
    """Reads ``as played``, ``code``, ``437.2 Hz is 440 Hz`` (as heard, as it should be), ``+0.5 %`` (fast).

    It is of the tape whose speed is right, whatever was measured. ValueError for anything else.
    """
    plain = " ".join(text.split()).casefold()
    if plain in ("", "code", "as played"):
        return ClockSpeed(plain)
    pitch = re.fullmatch(rf"{_NUMBER} ?hz (?:is|=|for) {_NUMBER} ?hz", plain)
    share = re.fullmatch(rf"([+\-\u2212]?){_NUMBER} ?%", plain)
    ratio = 0.0
    if pitch is not None and _plain(pitch[2]) > 0:
        ratio = _plain(pitch[1]) / _plain(pitch[2])
    elif share is not None:
        ratio = 1 + (_plain(share[2]) / 100) * (1 if share[1] in ("", "+") else -1)
    if not _WIDEST <= ratio <= 1 / _WIDEST:
        raise ValueError(
            "as played, code, a pitch as heard and as it should be (437.2 Hz is 440 Hz), or how fast the "
            "capture plays (+0.5 %)"
        )
    return ClockSpeed("said", ratio)


def read_clock_speed(text: str) -> str:
    """The words as they are kept; ValueError where they name no speed."""
    clock_speed(text)
    return " ".join(text.split())


def _plain(number: str) -> float:
    return float(number.replace(",", "."))
