"""Frames that were heard become runs: stretches over which the clock went on, each with its straight line."""

from __future__ import annotations

from dataclasses import field
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from core.capture.timecode.frames import Frames
from core.capture.timecode.labels import Rate, label_of
from core.values import dataclass

Place = tuple[float, float, str]
"""Start and end in seconds of the pass, and a sentence."""

OFF_CLOCK = 0.4
"""Frames by which a label may be off its place before the clock counts as having jumped."""

DRIFT = 0.0003
"""Share of a gap's length that is added to this: how much speed may drift while nothing is heard."""

GAP_FRAMES = 1.75
"""Holes from this length on are gaps: two frames, less what wow makes of them."""


@dataclass(frozen=True, slots=True)
class TimecodeRun:
    """A stretch of timecode on one straight line: time = seconds_at_zero + seconds_per_sample x sample."""

    start_sample: int
    end_sample: int
    """First sample after the run."""
    first: str
    """Label at `start_sample`."""
    last: str
    seconds_at_zero: float
    """Clock time at sample 0 of the pass, modulo the labels' day."""
    seconds_per_sample: float
    """Negative where the tape ran backwards."""
    residual_samples: float
    """RMS distance of the frames that were read from the line, in samples."""
    frames_read: int
    frames_inferred: int
    """Frames in holes that the clock went through; nobody read them."""


@dataclass(frozen=True, slots=True)
class TimecodeTrack:
    """All that was read from one track of timecode."""

    rate: str
    """24, 25, 29.97, 29.97 DF or 30."""
    direction: str
    """forward or reverse; of most frames, if both occur."""
    frames_read: int
    frames_inferred: int
    runs: tuple[TimecodeRun, ...]
    gaps: tuple[Place, ...]
    """Holes of two frames or more between two readings."""
    jumps: tuple[Place, ...]
    """Where the clock does not go on."""
    remarks: tuple[str, ...] = ()
    """Sentences: evidence for the rate, user bits, parity, and whatever is odd."""
    speed_ratio: float | None = None
    """Measured over nominal frame rate, mean over the pass; 1.01 plays 1 % fast."""
    speed_over_time: tuple[tuple[float, float], ...] = ()
    """Second of the pass and speed ratio there, about every ten seconds."""
    user_bits: str | None = None
    """Eight hexadecimal digits, group 1 first, where most frames carry the same."""
    places: NDArray[np.float64] | None = field(default=None, compare=False)
    """Samples of the pass at which frames begin that were read, rising."""
    counted: NDArray[np.int64] | None = field(default=None, compare=False)
    """The clock's frame number at each; goes on over midnight within a run."""
    run_of: NDArray[np.int32] | None = field(default=None, compare=False)
    """Which run each is of."""


NO_TIMECODE = TimecodeTrack("25", "forward", 0, 0, (), (), ())
"""What a track without timecode gives; its rate means nothing."""


def numbers_of(frames: Frames, rate: Rate) -> NDArray[np.int64]:
    """Frame numbers of all labels at a rate."""
    second = frames.second.astype(np.int64)
    number = second * rate.count + frames.frame
    if rate.drop:
        minute = second // 60
        number -= 2 * (minute - minute // 10)
    return np.asarray(number)


@dataclass(frozen=True, slots=True)
class Steps:
    """From each frame to the next: how far by place, how far by label, and whether the clock went on."""

    by_place: NDArray[np.float64]
    by_label: NDArray[np.int64]
    on: NDArray[np.bool_]


def steps_between(frames: Frames, number: NDArray[np.int64], day: int) -> Steps:
    """Steps between neighbours, in frames of the length that they have there."""
    length = frames.end - frames.start
    by_place = np.diff(frames.start) * 2 / (length[1:] + length[:-1])
    way = frames.direction[:-1].astype(np.int64)
    by_label = np.diff(number) * way
    by_label = (by_label + day // 2) % day - day // 2
    same = frames.direction[1:] == frames.direction[:-1]
    on = same & (by_label > 0) & (np.abs(by_place - by_label) < OFF_CLOCK + DRIFT * by_place)
    return Steps(by_place, by_label, on)


def runs_of(
    frames: Frames, number: NDArray[np.int64], steps: Steps, rate: Rate, samples: int
) -> tuple[TimecodeRun, ...]:
    """Runs in the order of the pass; they end where the clock did not go on."""
    cuts = np.flatnonzero(~steps.on) + 1
    bounds = [0, *cuts.tolist(), len(frames)]
    return tuple(
        _run(frames.where(slice(low, high)), number[low:high], steps.by_label[low : high - 1], rate, samples)
        for low, high in pairwise(bounds)
    )


def _run(
    frames: Frames, number: NDArray[np.int64], by_label: NDArray[np.int64], rate: Rate, samples: int
) -> TimecodeRun:
    """One run, on its straight line."""
    way = int(frames.direction[0])
    along = np.concatenate([[0], np.cumsum(by_label)])
    counted = _counted(number[0], way, along).astype(np.float64)
    offset, slope, residual = _line(frames.start, counted, way / (frames.end[0] - frames.start[0]))
    seconds_at_zero = offset / float(rate.frames_per_second) % float(rate.seconds_per_day)
    total = int(along[-1]) + 1
    return TimecodeRun(
        start_sample=max(0, int(np.floor(frames.start[0] + 0.5))),
        end_sample=min(samples, int(np.floor(frames.end[-1] + 0.5))),
        first=label_of(int(number[0]), rate), last=label_of(int(number[-1]), rate),
        seconds_at_zero=seconds_at_zero, seconds_per_sample=slope / float(rate.frames_per_second),
        residual_samples=residual, frames_read=len(frames), frames_inferred=total - len(frames),
    )  # fmt: skip


def _counted(first: int, way: int, along: NDArray[np.int64]) -> NDArray[np.int64]:
    """Frame numbers at the places; a frame that is passed backwards begins, in playing order, at its end."""
    return np.asarray(first + (way < 0) + way * along, np.int64)


def places_of_runs(
    frames: Frames, number: NDArray[np.int64], steps: Steps
) -> tuple[NDArray[np.float64], NDArray[np.int64], NDArray[np.int32]]:
    """Where every frame begins, the clock's frame number there, and which run it is of."""
    bounds = [0, *(np.flatnonzero(~steps.on) + 1).tolist(), len(frames)]
    counted = np.empty(len(frames), np.int64)
    for low, high in pairwise(bounds):
        along = np.concatenate([[0], np.cumsum(steps.by_label[low : high - 1])])
        counted[low:high] = _counted(int(number[low]), int(frames.direction[low]), along)
    run = np.repeat(np.arange(len(bounds) - 1, dtype=np.int32), np.diff(bounds))
    return frames.start, counted, run


def _line(
    start: NDArray[np.float64], counted: NDArray[np.float64], alone: float
) -> tuple[float, float, float]:
    """Least squares frame number = offset + slope x sample, and the RMS distance in samples."""
    middle, mean = start.mean(), counted.mean()
    if len(start) < 2:
        return float(mean - alone * middle), alone, 0.0
    by_start = start - middle
    slope = float(by_start @ (counted - mean) / (by_start @ by_start))
    off = (counted - mean - slope * by_start) / slope
    return float(mean - slope * middle), slope, float(np.sqrt(np.mean(off * off)))


def places_between(
    frames: Frames, number: NDArray[np.int64], steps: Steps, rate: Rate, sample_rate: int
) -> tuple[tuple[Place, ...], tuple[Place, ...]]:
    """Gaps and jumps between neighbouring frames."""
    gaps, jumps = [], []
    missing = (frames.start[1:] - frames.end[:-1]) * 2
    missing /= (frames.end - frames.start)[1:] + (frames.end - frames.start)[:-1]
    for at in np.flatnonzero((missing >= GAP_FRAMES) | ~steps.on).tolist():
        start, end = float(frames.end[at]) / sample_rate, float(frames.start[at + 1]) / sample_rate
        before, after = label_of(int(number[at]), rate), label_of(int(number[at + 1]), rate)
        if missing[at] >= GAP_FRAMES:
            how = "the clock went on" if steps.on[at] else "the clock did not go on"
            gaps.append(
                (start, end, f"{missing[at]:.0f} frames of timecode are missing after {before}; {how}")
            )
        if not steps.on[at]:
            end = max(end, start + 1 / sample_rate)
            jumps.append((start, end, f"timecode goes from {before} to {after}"))
    return tuple(gaps), tuple(jumps)
