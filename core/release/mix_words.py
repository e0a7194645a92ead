"""What is odd about a mix, a sentence each."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from core.release.mixes import Mix

SIDES: Mapping[str, str] = {
    "equal": "its two sides are the same: it is mono in two channels",
    "opposed": "its two sides are opposed: in mono much of it is lost, turn one of the two round",
    "left alone": "nothing sounds on its right side",
    "right alone": "nothing sounds on its left side",
}


def mix_remarks(mix: Mix, rate: int | None, target: Fraction | None, captured: Fraction | None) -> list[str]:
    """What is odd about a mix, a sentence each: mono, another rate, shorter than the song, silence."""
    said = []
    if mix.first_sound is None:
        return ["nothing sounds in it"]
    if mix.channels == 1:
        said.append("it is mono")
    if mix.sides in SIDES:
        said.append(SIDES[mix.sides])
    if mix.channels > 2:
        said.append(f"it has {mix.channels} channels: a record and a disc have two")
    if rate is not None and mix.sample_rate != rate:
        said.append(f"it is at {mix.sample_rate / 1000:g} kHz, the captures at {rate / 1000:g} kHz")
    wanted = captured or target
    if wanted and mix.seconds < wanted * Fraction(9, 10):
        said.append("it is more than a tenth shorter than the song")
    if mix.true_peak_dbtp is not None and mix.true_peak_dbtp > 0:
        said.append(f"its true peak is {mix.true_peak_dbtp:+.1f} dBTP: a converter may clip it")
    return said
