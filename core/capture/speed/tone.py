"""A recorded tone: is it steady, and at what frequency does it play; so speed, drift, and flutter."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from core.capture.speed.flutter import Flutter, flutter_of
from core.values import dataclass

NO_STEADY_TONE = "no steady tone"

SEARCH_SECONDS = 1.0
"""So much sound is looked through for the tone at once."""

SEARCH_SHARE = 0.15
"""How far from its nominal frequency a tone is looked for."""

PURE = 0.6
"""Share of the power that must lie in the tone, from which a stretch is a tone; 2 dB over all else."""

LEVEL_SWAY = 0.35
"""Standard deviation of the tone's amplitude over its mean, above which a stretch is not steady."""

FREQUENCY_SWAY = 0.03
"""How far a stretch's frequency may lie from where the tone was found."""

SHORTEST_SECONDS = 3.0
"""A tone that lasts less is a note."""

QUIET = 1e-4
"""RMS (-80 dB full scale) below which nothing is looked for."""

FLUTTER_SECONDS = 120.0
"""Flutter is taken over no more than so long, so that memory stays bounded."""

HOPS_A_SECOND = 1000
LONGEST_WINDOW = 100
"""Hops under the window for the lowest tone, 25 Hz, with room to spare."""
COARSE = 10
"""Hops that are averaged for frequency and drift."""


@dataclass(frozen=True, slots=True)
class Tone:
    """A steady tone as it was heard."""

    hz: float
    """Mean frequency over its longest unbroken stretch."""
    start: float
    """Seconds from the start of the pass, of that stretch."""
    end: float
    level_dbfs: float
    """RMS; a full-scale sine is -3.01 dB."""
    seconds: float
    """How long the tone was heard in all."""
    drift_percent: float | None
    """Frequency in the last tenth less that in the first; None under ten seconds."""
    over_time: tuple[tuple[float, float], ...]
    """Second of the pass and frequency there, about ten places."""
    flutter: Flutter | None

    def ratio(self, nominal_hz: float) -> float:
        """Measured over nominal frequency; 1.005 plays half a percent fast."""
        return self.hz / nominal_hz


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
        self._beat: _Beat | None = None
        self._lost = 0
        self._stretches: list[_Stretch] = []

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
            self._beat = _Beat(hz, self.sample_rate, self._hop, longest)

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
                    last = _Stretch(beat.hz, self._base, self.sample_rate / self._hop)
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


class _Stretch:
    """An unbroken stretch of one tone: its phase against a pure one, piece by piece."""

    def __init__(self, hz: float, start: int, hops_a_second: float) -> None:
        self.hz, self.start, self.end = hz, start, start
        self._rate = hops_a_second
        self._last = 0.0
        self._phase: list[NDArray[np.float64]] = []
        self._fine: list[NDArray[np.float64]] = []
        self._power = 0.0
        self._pieces = 0

    def add(self, heard: NDArray[np.complex128], end: int) -> None:
        """The next piece, one complex amplitude a hop."""
        phase = np.unwrap(np.concatenate([[self._last], np.angle(heard)]))[1:]
        phase += 0.0 if self._phase else self._last
        self._last = float(phase[-1])
        self._phase.append(phase.reshape(-1, COARSE).mean(axis=1))
        if self._pieces < FLUTTER_SECONDS * 4:
            self._fine.append(phase)
        self._power += 2 * float(np.mean(np.abs(heard) ** 2))
        self._pieces += 1
        self.end = end

    def tone(self, sample_rate: int, seconds: float) -> Tone:
        """What the whole stretch says."""
        phase = np.concatenate(self._phase)
        at = np.arange(len(phase)) * COARSE / self._rate

        def hz(part: slice) -> float:
            return self.hz + _slope(at[part], phase[part]) / (2 * math.pi)

        tenth = len(phase) // 10
        start = self.start / sample_rate
        places = [slice(k * tenth, (k + 1) * tenth) for k in range(10)] if tenth >= 10 else []
        over_time = tuple((start + float(at[part].mean()), hz(part)) for part in places)
        mean = hz(slice(None))
        long_enough = (self.end - self.start) >= 10 * sample_rate
        sway = np.diff(np.concatenate(self._fine)) * self._rate / (2 * math.pi) / mean
        return Tone(
            mean, start, self.end / sample_rate, 10 * math.log10(max(self._power / self._pieces, 1e-30)),
            seconds, 100 * (over_time[-1][1] - over_time[0][1]) / mean if long_enough else None,
            over_time, flutter_of(sway, self._rate),
        )  # fmt: skip


def _slope(at: NDArray[np.float64], values: NDArray[np.float64]) -> float:
    """Least squares slope."""
    centred = at - at.mean()
    return float(centred @ (values - values.mean()) / (centred @ centred))


class _Beat:
    """Holds sound against a pure tone of one frequency."""

    def __init__(self, hz: float, sample_rate: int, hop: int, longest: int) -> None:
        self.hz, self.sample_rate, self.hop = hz, sample_rate, hop
        self.hops = window_hops(hz)
        turns = 2 * np.pi * hz / sample_rate * np.arange(longest)
        self._cos, self._sin = np.cos(turns), np.sin(turns)
        window = np.hanning(self.hops * hop + 1)[:-1]
        self._window = np.ascontiguousarray(window.reshape(self.hops, hop).T) / window.sum()

    def heard(self, sound: NDArray[np.float64], base: int) -> NDArray[np.complex128] | None:
        """The tone's complex amplitude at every hop of a piece; None if it is not steady there."""
        power = float(np.mean(sound * sound))
        if power < QUIET * QUIET:
            return None
        real = self._filtered(sound * self._cos[: len(sound)])
        amplitude = real - 1j * self._filtered(sound * self._sin[: len(sound)])
        size = np.abs(amplitude)
        if 2 * float(np.mean(size * size)) < PURE * power or size.std() > LEVEL_SWAY * size.mean():
            return None
        turned = float(np.angle(np.vdot(amplitude[:-1], amplitude[1:]))) * self.sample_rate / self.hop
        if abs(turned) > 2 * np.pi * FREQUENCY_SWAY * self.hz:
            return None
        return np.asarray(amplitude * np.exp(-2j * np.pi * ((self.hz * base / self.sample_rate) % 1.0)))

    def _filtered(self, beaten: NDArray[np.float64]) -> NDArray[np.float64]:
        parts = beaten.reshape(-1, self.hop) @ self._window
        count = len(parts) - self.hops + 1
        return np.asarray(sum(parts[k : k + count, k] for k in range(self.hops)))


def window_hops(hz: float) -> int:
    """Hops under the window that hears a tone: four, and for low tones two of the tone's periods."""
    return max(4, math.ceil(2 * HOPS_A_SECOND / hz))


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
