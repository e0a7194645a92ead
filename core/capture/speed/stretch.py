"""A stretch of a steady tone while it is heard, and what its frequency and flutter are."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from core.capture.speed.flutter import Flutter, flutter_of
from core.values import dataclass

PURE = 0.6


LEVEL_SWAY = 0.35


FREQUENCY_SWAY = 0.03


QUIET = 1e-4


FLUTTER_SECONDS = 120.0


HOPS_A_SECOND = 1000


LONGEST_WINDOW = 100


COARSE = 10


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


class Stretch:
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


class Beat:
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
