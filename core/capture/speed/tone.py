"""A recorded tone: is it steady, and at what frequency does it play; so speed, drift, and flutter."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from core.capture.speed.stretch import (
    FREQUENCY_SWAY,
    HOPS_A_SECOND,
    LONGEST_WINDOW,
    PURE,
    QUIET,
    Beat,
    Stretch,
    Tone,
    window_hops,
)

SEARCH_SECONDS = 1.0
"""So much sound is looked through for the tone at once."""

SEARCH_SHARE = 0.15
"""How far from its nominal frequency a tone is looked for."""

"""Share of the power that must lie in the tone, from which a stretch is a tone; 2 dB over all else."""

"""Standard deviation of the tone's amplitude over its mean, above which a stretch is not steady."""

"""How far a stretch's frequency may lie from where the tone was found."""

SHORTEST_SECONDS = 3.0
"""A tone that lasts less is a note."""

"""RMS (-80 dB full scale) below which nothing is looked for."""

"""Flutter is taken over no more than so long, so that memory stays bounded."""

"""Hops under the window for the lowest tone, 25 Hz, with room to spare."""
"""Hops that are averaged for frequency and drift."""


def speed_error(measured_hz: float, nominal_hz: float) -> tuple[float, float]:
    """Speed error in percent and in cents; positive plays fast."""
    ratio = measured_hz / nominal_hz
    return 100 * (ratio - 1), 1200 * math.log2(ratio)


class ToneMeter:
    """Takes the sound of one track block by block and says what steady tone is on it.

    The result does not depend on the blocks. Memory: a second of sound, 1.6 kB for each second of tone,
    and two minutes of sway for the flutter.
    """

    def __init__(self, sample_rate: int, nominal_hz: float | None = None) -> None:
        """`nominal_hz` is what the sheet says; without it the strongest tone is taken."""
        self.sample_rate, self.nominal_hz = sample_rate, nominal_hz
        self._hop = max(1, round(sample_rate / HOPS_A_SECOND))
        self._piece = self._hop * HOPS_A_SECOND // 4
        self._look = int(SEARCH_SECONDS * sample_rate)
        self._sound = np.zeros(0, np.float64)
        self._base = 0
        self._beat: Beat | None = None
        self._lost = 0
        self._stretches: list[Stretch] = []

    def feed(self, block: NDArray[np.float32]) -> None:
        """Take the next samples, in full scale +-1."""
        self._sound = np.concatenate([self._sound, np.nan_to_num(block.astype(np.float64))])
        while len(self._sound) >= self._look + self._piece + LONGEST_WINDOW * self._hop:
            self._search()
            self._take()

    def _search(self) -> None:
        """Look for the tone, unless it is known where it lies."""
        if self._beat is not None or len(self._sound) < self._look:
            return
        hz = find_tone(self._sound[: self._look], self.sample_rate, self.nominal_hz)
        if hz is not None:
            longest = self._piece + window_hops(hz) * self._hop
            self._beat = Beat(hz, self.sample_rate, self._hop, longest)

    def _take(self) -> None:
        """Judge one piece; four pieces in a row without the tone, and it is looked for anew."""
        beat = self._beat
        if beat is not None:
            heard = beat.heard(self._sound[: self._piece + (beat.hops - 1) * self._hop], self._base)
            if heard is None:
                self._lost += 1
                self._beat = None if self._lost >= 4 else beat
            else:
                last = self._stretches[-1] if self._stretches else None
                if last is None or last.end != self._base or last.hz != beat.hz:
                    last = Stretch(beat.hz, self._base, self.sample_rate / self._hop)
                    self._stretches.append(last)
                last.add(heard, self._base + self._piece)
                self._lost = 0
        self._sound = self._sound[self._piece :]
        self._base += self._piece

    def finish(self) -> Tone | None:
        """The tone, or None: no steady tone."""
        self._search()
        hops = self._beat.hops - 1 if self._beat is not None else 0
        while self._beat is not None and len(self._sound) >= self._piece + hops * self._hop:
            self._take()
        longest = max(self._stretches, key=lambda one: one.end - one.start, default=None)
        if longest is None or longest.end - longest.start < SHORTEST_SECONDS * self.sample_rate:
            return None
        same = [one for one in self._stretches if abs(one.hz / longest.hz - 1) < FREQUENCY_SWAY]
        seconds = sum(one.end - one.start for one in same) / self.sample_rate
        return longest.tone(self.sample_rate, seconds)


def find_tone(sound: NDArray[np.float64], sample_rate: int, nominal_hz: float | None = None) -> float | None:
    """Frequency of the one tone that a stretch of sound consists of, to about 0.1 Hz; None if it does not."""
    power = np.abs(np.fft.rfft(sound * np.hanning(len(sound)))) ** 2
    step = sample_rate / len(sound)
    low, high = 25.0, 0.45 * sample_rate
    if nominal_hz is not None:
        low, high = nominal_hz * (1 - SEARCH_SHARE), nominal_hz * (1 + SEARCH_SHARE)
    first, last = max(2, math.floor(low / step)), min(len(power) - 2, math.ceil(high / step))
    if first >= last or float(np.mean(sound * sound)) < QUIET * QUIET:
        return None
    peak = first + int(power[first : last + 1].argmax())
    width = max(4, math.ceil(0.01 * peak))
    near = slice(max(peak - width, 0), peak + width + 1)
    if float(power[near].sum()) < PURE * float(power[2:].sum()):
        return None
    bins = np.arange(len(power))[near]
    return float((bins * power[near]).sum() / power[near].sum()) * step


def measure_tone(
    sound: NDArray[np.float32], sample_rate: int, nominal_hz: float | None = None
) -> Tone | None:
    """The steady tone in a row of samples, or None: no steady tone."""
    meter = ToneMeter(sample_rate, nominal_hz)
    for at in range(0, len(sound), sample_rate):
        meter.feed(sound[at : at + sample_rate])
    return meter.finish()
