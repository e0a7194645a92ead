"""A capture of a calibration tape's tones: each tone's place, every track's level, and azimuth by phase."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from core.tape.physics.azimuth import minutes_from_phase
from core.values import dataclass

PIECE_SECONDS = 0.25
"""Tones are looked at in pieces of this length."""

SHORTEST_PIECES = 6
"""A tone that fills fewer pieces is passed over; the first and last piece of each are left out."""

PURE = 0.8
"""Share of the power over all tracks that must lie around one frequency for a piece to be a tone."""

SAME_TONE = 0.02
"""How far the frequency may move from piece to piece within one tone; a deck's wow stays well below."""

QUIET = 3e-4
"""RMS (-70 dB full scale) over all tracks below which a piece is a pause."""

Planar = NDArray[np.float32]


@dataclass(frozen=True, slots=True)
class RecordedTone:
    """One tone as all tracks played it."""

    hz: float
    start: float
    """Seconds from the start of the pass."""
    end: float
    levels_dbfs: tuple[float | None, ...]
    """RMS of the tone itself for each track; a full-scale sine is -3.01 dB; None where nothing plays."""
    phase_degrees: float | None
    """The last track's phase less the first's, -180 to 180; positive if the last track is ahead."""
    phase_sway_degrees: float | None
    """Standard deviation of that phase from piece to piece: tape weave."""


@dataclass(frozen=True, slots=True)
class RecordedLineUp:
    """The tones of a calibration tape in the order of the pass."""

    tones: tuple[RecordedTone, ...]

    def relative_db(self, reference_hz: float) -> tuple[tuple[float, tuple[float | None, ...]], ...]:
        """Every tone's frequency, and each track's level over its level at the tone nearest to a reference.

        This is the response as captured; what the tape itself holds is for the caller to take out.
        """
        if not self.tones:
            return ()
        reference = min(self.tones, key=lambda tone: abs(math.log(tone.hz / reference_hz))).levels_dbfs
        return tuple(
            (tone.hz, tuple(
                None if level is None or base is None else level - base
                for level, base in zip(tone.levels_dbfs, reference, strict=True)
            ))
            for tone in self.tones
        )  # fmt: skip


@dataclass(frozen=True, slots=True)
class RecordedAzimuth:
    """The azimuth error that fits the phase of all tones."""

    minutes: float
    """Minutes of arc; positive if the last track plays ahead of the first."""
    phases: tuple[tuple[float, float], ...]
    """Frequency and phase in degrees with whole turns put back, from low to high."""
    misfit_degrees: float
    """RMS distance of these phases from one delay."""
    sure: bool
    """False where a turn more or less could fit as well: no tone low enough for so large an error."""


class LineUpMeter:
    """Takes a capture block by block; the result does not depend on the blocks."""

    def __init__(self, sample_rate: int, channels: int) -> None:
        self.sample_rate, self.channels = sample_rate, channels
        self._piece = int(PIECE_SECONDS * sample_rate)
        self._sound = np.zeros((channels, self._piece), np.float32)
        self._filled = 0
        self._done = 0
        self._window = np.hanning(self._piece + 1)[:-1].astype(np.float32)
        self._run: list[_Piece] = []
        self._tones: list[RecordedTone] = []

    def feed(self, block: Planar) -> None:
        """The next samples, channels by frames, in full scale +-1."""
        if block.ndim != 2 or len(block) != self.channels:
            raise ValueError(f"a block is {self.channels} channels by frames")
        taken = 0
        while taken < block.shape[1]:
            room = min(self._piece - self._filled, block.shape[1] - taken)
            self._sound[:, self._filled : self._filled + room] = block[:, taken : taken + room]
            self._filled += room
            taken += room
            if self._filled == self._piece:
                self._take(_piece(self._sound, self._window, self.sample_rate))
                self._filled = 0

    def _take(self, piece: _Piece | None) -> None:
        """A piece goes on with the tone before it, or ends it."""
        if self._run and (piece is None or abs(piece.hz / self._run[-1].hz - 1) > SAME_TONE):
            self._close()
        if piece is not None:
            self._run.append(piece)
        self._done += 1

    def _close(self) -> None:
        pieces, self._run = self._run, []
        if len(pieces) >= SHORTEST_PIECES:
            end = self._done * PIECE_SECONDS
            self._tones.append(_tone(pieces[1:-1], end - len(pieces) * PIECE_SECONDS, end))

    def finish(self) -> RecordedLineUp:
        """All tones that were heard."""
        self._close()
        return RecordedLineUp(tuple(self._tones))


def measure_line_up(sound: Planar, sample_rate: int) -> RecordedLineUp:
    """The tones in a capture, channels by frames, in full scale +-1."""
    meter = LineUpMeter(sample_rate, len(sound))
    meter.feed(sound)
    return meter.finish()


@dataclass(frozen=True, slots=True)
class _Piece:
    hz: float
    amplitude: NDArray[np.complex128]
    """One for each track; its size is the tone's peak."""


def _piece(sound: Planar, window: NDArray[np.float32], sample_rate: int) -> _Piece | None:
    """The tone that all tracks play in a piece, or None."""
    if float(np.square(sound, dtype=np.float64).mean()) < QUIET * QUIET:
        return None
    spectra = np.fft.rfft(sound * window, axis=1)
    power = (np.abs(spectra) ** 2).sum(axis=0)
    peak = int(power[2:-2].argmax()) + 2
    near = slice(max(2, peak - 4 - peak // 100), peak + 5 + peak // 100)
    if float(power[near].sum()) < PURE * float(power[2:].sum()):
        return None
    place = float((np.arange(len(power))[near] * power[near]).sum() / power[near].sum())
    hz = place * sample_rate / sound.shape[1]
    turning = window * np.exp(-2j * np.pi * hz / sample_rate * np.arange(sound.shape[1]))
    return _Piece(hz, np.array([2 * (track * turning).sum() / window.sum() for track in sound]))


def _tone(pieces: list[_Piece], start: float, end: float) -> RecordedTone:
    amplitude = np.array([piece.amplitude for piece in pieces])
    level = np.sqrt((np.abs(amplitude) ** 2).mean(axis=0) / 2)
    levels = tuple(20 * math.log10(one) if one > QUIET / 10 else None for one in level.tolist())
    phase = sway = None
    if len(levels) > 1 and levels[0] is not None and levels[-1] is not None:
        between = amplitude[:, -1] * np.conj(amplitude[:, 0])
        mean = between.sum()
        phase = math.degrees(float(np.angle(mean)))
        sway = math.degrees(float(np.angle(between * np.conj(mean)).std()))
    return RecordedTone(float(np.median([piece.hz for piece in pieces])), start, end, levels, phase, sway)


def azimuth_of(line_up: RecordedLineUp, apart_mm: float, speed_ips: float) -> RecordedAzimuth | None:
    """The azimuth error by the phase between the first and last track, None without a phase.

    `apart_mm` is the distance between the middles of the two tracks. From the lowest tone up, each tone's
    phase takes the whole turns that put it nearest to the delay that the tones below it tell.
    """
    heard = sorted((tone.hz, tone.phase_degrees) for tone in line_up.tones if tone.phase_degrees is not None)
    if not heard:
        return None
    phases: list[tuple[float, float]] = []
    sure, slope = True, 0.0
    for hz, phase in heard:
        if phases:
            turns = round((slope * hz - phase) / 360)
            phase += 360 * turns
            sure = sure and abs(slope * hz - phase) < 120
        phases.append((hz, phase))
        slope = sum(f * p for f, p in phases) / sum(f * f for f, _ in phases)
    sure = sure and abs(phases[0][1]) < 90
    off = [p - slope * f for f, p in phases]
    top = phases[-1][0]
    return RecordedAzimuth(
        minutes_from_phase(apart_mm, slope * top, top, speed_ips), tuple(phases),
        math.sqrt(sum(one * one for one in off) / len(off)), sure,
    )  # fmt: skip
