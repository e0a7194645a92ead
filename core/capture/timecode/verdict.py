"""What all frames of a track add up to: which count as read, the rate, the runs, speed and remarks."""

from __future__ import annotations

import numpy as np

from core.capture.timecode.agreement import agreed, trusted, undoubled
from core.capture.timecode.frames import DROP_FLAG, ODD_ZEROS, Frames
from core.capture.timecode.labels import Rate
from core.capture.timecode.rate import RateVerdict, judge_rate
from core.capture.timecode.runs import (
    NO_TIMECODE,
    Steps,
    TimecodeTrack,
    numbers_of,
    places_between,
    places_of_runs,
    runs_of,
    steps_between,
)

SQUARE = 0.93
"""Steepness from which the code is an ideal square wave, whose edge belongs to the first sample after it."""

SPEED_WINDOW_SECONDS = 10.0


def track_of(
    frames: Frames, sample_rate: int, nominal: str | None, samples: int, steepness: float
) -> TimecodeTrack:
    """The track from every word found in it, by place in samples; wrong and doubled words are dropped."""
    frames = undoubled(frames)
    sure = frames.where(trusted(frames))
    if len(sure) == 0:
        sure = frames.where(frames.exact & frames.clean)
    if len(sure) == 0:
        return NO_TIMECODE
    verdict = _rate_of(sure, sample_rate, nominal)
    rate = verdict.rate
    frames = agreed(frames, numbers_of(frames, rate), rate.frames_per_day)
    if len(frames) == 0:
        return NO_TIMECODE
    if steepness > SQUARE:
        frames = frames.later(0.5)
    number = numbers_of(frames, rate)
    steps = steps_between(frames, number, rate.frames_per_day)
    runs = runs_of(frames, number, steps, rate, samples)
    places, counted, run_of = places_of_runs(frames, number, steps)
    gaps, jumps = places_between(frames, number, steps, rate, sample_rate)
    ratio, over_time = _speed(frames, steps, rate, sample_rate)
    remarks = [verdict.evidence + ("; the shelf says otherwise" if verdict.contradicts else "")]
    user, said = _words_carry(frames)
    backwards = float(np.mean(frames.direction < 0))
    if 0 < backwards < 1:
        remarks.append(f"{100 * min(backwards, 1 - backwards):.1f} % of the frames run the other way")
    return TimecodeTrack(
        rate=rate.name, direction="reverse" if backwards > 0.5 else "forward", frames_read=len(frames),
        frames_inferred=sum(run.frames_inferred for run in runs), runs=runs, gaps=gaps, jumps=jumps,
        remarks=(*remarks, *said), speed_ratio=ratio, speed_over_time=over_time, user_bits=user,
        places=places, counted=counted, run_of=run_of,
    )  # fmt: skip


def _rate_of(sure: Frames, sample_rate: int, nominal: str | None) -> RateVerdict:
    """The rate by frames that are beyond doubt; a frame label counts if it comes in every tenth second."""
    seconds = len(np.unique(sure.second))
    seen = np.bincount(sure.frame, minlength=30)
    return judge_rate(
        nominal, int(np.flatnonzero(seen >= max(1, seconds / 10)).max()), seconds,
        float(np.mean(sure.flags & DROP_FLAG > 0)),
        sample_rate / float(np.median(sure.end - sure.start)),
    )  # fmt: skip


def _speed(
    frames: Frames, steps: Steps, rate: Rate, sample_rate: int
) -> tuple[float | None, tuple[tuple[float, float], ...]]:
    """Label time over time of the pass, wherever the clock went on: over all, and about every ten seconds."""
    nominal = sample_rate / float(rate.frames_per_second)
    labels = np.where(steps.on, steps.by_label, 0)
    lengths = np.where(steps.on, np.diff(frames.start), 0.0)
    if not steps.on.any():
        return (nominal / float((frames.end - frames.start).mean()) if len(frames) else None), ()
    window = np.maximum(frames.start[:-1] // (SPEED_WINDOW_SECONDS * sample_rate), 0).astype(np.int64)
    in_labels, in_samples = np.bincount(window, labels), np.bincount(window, lengths)
    places = np.bincount(window, lengths * (frames.start[1:] + frames.start[:-1]) / 2)
    over_time = tuple(
        (float(places[at] / in_samples[at]) / sample_rate, float(in_labels[at] * nominal / in_samples[at]))
        for at in np.flatnonzero(in_labels >= 5).tolist()
    )
    return float(labels.sum() * nominal / lengths.sum()), over_time


def _words_carry(frames: Frames) -> tuple[str | None, list[str]]:
    """User bits that most words carry, and sentences on them and on the polarity correction bit."""
    exact = frames.where(frames.exact)
    if len(exact) == 0:
        return None, []
    said = []
    values, times = np.unique(exact.user, return_counts=True)
    common = int(values[times.argmax()])
    user = f"{common:08x}" if times.max() > len(exact) / 2 else None
    if user is None:
        said.append("the user bits change from frame to frame")
    elif common:
        said.append(f"the user bits are {user}, group 1 first")
    odd = float(np.mean(exact.flags & ODD_ZEROS > 0))
    if odd > 0.01:
        said.append(
            f"the polarity correction bit is wrong in {100 * odd:.0f} % of the frames; nothing needs it"
        )
    return user, said
