"""Where one piece of a pass goes on from the one before: overlap found by sound, or a hole by the clock.

The tape was stopped, backed up and run on, so the new piece begins with sound that the old one ends
with. A moment of the new piece is looked for in the last minutes of the old one; then other moments of
the supposed overlap must lie at the same distance, or it was only like sound.
"""

from __future__ import annotations

import numpy as np

from core.capture.files.excerpt import Excerpts, Sound
from core.values import dataclass

REACH_SECONDS = 120.0
"""How far back from the end of a piece an overlap is looked for."""
NEEDLES_SECONDS = (1.5, 0.3)
"""What is looked for in the old piece; the short one finds an overlap that cannot hold the long one."""
_JOINED = 0.75
"""Two runs of one tape agree so well where they are joined; what is less alike only sounds like it."""
_SURELY = 0.98
"""A steady note is like itself at many places, but so well only where it is the same."""
SLOW_HZ = 4000
_LIKE = 0.55
_QUIET = 10 ** (-66 / 20)


@dataclass(frozen=True, slots=True)
class Overlap:
    """An overlap of two pieces."""

    frames: int
    """Frames at the start of the second piece that the first one holds too."""
    likeness: float
    """Correlation where they were joined, 1 being equal."""
    drift_ms: float
    """By how much the second copy runs apart from the first over the overlap."""
    misfit_db: float | None
    """Level of the difference against the sound where they were joined; none if there is none."""


def find_overlap(before: Excerpts, after: Excerpts) -> Overlap | None:
    """The overlap of two pieces in order, or none if the second does not begin within the first."""
    rate = before.sample_rate
    down = max(1, rate // SLOW_HZ)
    reach = int(REACH_SECONDS * rate) // down * down
    start = max(0, before.piece.frames - reach)
    old = steep(before.slow(start, before.piece.frames, down))
    new = steep(after.slow(0, min(after.piece.frames, reach), down))
    best: Overlap | None = None
    for seconds in NEEDLES_SECONDS:
        found = _by_needle(before, after, old, new, int(seconds * rate / down), down)
        least = _JOINED if seconds == NEEDLES_SECONDS[0] else _SURELY
        if found is not None and found.likeness >= max(least, best.likeness if best else 0.0):
            best = found
        if best is not None and best.likeness >= _SURELY:
            break
    return best


def _by_needle(before: Excerpts, after: Excerpts, old: Sound, new: Sound, needle: int,
               down: int) -> Overlap | None:  # fmt: skip
    """The overlap by a moment of the new piece that is so long, in slow samples."""
    rate = before.sample_rate
    at = loud_moment(new, min(needle, new.shape[1], old.shape[1]))
    if at is None:
        return None
    found = _only_place(new[:, at : at + needle], old)
    if found is None:
        return None
    start = max(0, before.piece.frames - int(REACH_SECONDS * rate) // down * down)
    frames = before.piece.frames - start - (found - at) * down
    if not 0 < frames < min(after.piece.frames, before.piece.frames) + down:
        return None
    ends = _offsets(old, new, found - at, needle)
    if ends is None:
        return None
    return _refined(before, after, frames - ends[1] * down, (ends[1] - ends[0]) * down * 1000 / rate, down)


def steep(sound: Sound) -> Sound:
    """Differences from sample to sample, so that slow hum and offsets do not count."""
    return np.diff(sound, axis=1, prepend=0).astype(np.float32)


def loud_moment(sound: Sound, length: int) -> int | None:
    """Where the first stretch begins that is loud enough to be known again; none if all is quiet."""
    if length < 32:
        return None
    hop = max(1, length // 3)
    starts = list(range(0, sound.shape[1] - length + 1, hop))
    levels = [float(np.sqrt(np.mean(sound[:, at : at + length] ** 2, axis=1)).max()) for at in starts]
    loudest = max(levels, default=0.0)
    if loudest < _QUIET / 10:
        return None
    return next(at for at, level in zip(starts, levels, strict=True) if level >= 0.25 * loudest)


def likeness_along(needle: Sound, sound: Sound) -> np.ndarray:
    """Correlation of a needle with every place of a longer stretch, over all sounding tracks."""
    from scipy.signal import correlate

    total = np.zeros(sound.shape[1] - needle.shape[1] + 1)
    weight = 0.0
    for short, long in zip(needle.astype(np.float64), sound.astype(np.float64), strict=True):
        energy = float(short @ short)
        if energy < needle.shape[1] * (_QUIET / 20) ** 2:
            continue
        squares = np.concatenate(([0.0], np.cumsum(long**2)))
        near = squares[needle.shape[1] :] - squares[: -needle.shape[1]]
        share = np.sqrt(np.sqrt(energy))
        # What is 30 dB weaker than the needle is not like it, whatever its shape.
        product = correlate(long, short, "valid", "fft")
        total += share * product / np.sqrt(energy * np.maximum(near, 1e-3 * energy))
        weight += share
    return total / max(weight, 1e-30)


def _only_place(needle: Sound, sound: Sound) -> int | None:
    """The one place where the needle lies in a stretch; none if it is not there or could be in several."""
    if needle.shape[1] > sound.shape[1]:
        return None
    likeness = likeness_along(needle, sound)
    at = int(np.argmax(likeness))
    peak = float(likeness[at])
    if peak < _LIKE:
        return None
    apart = likeness.copy()
    apart[max(0, at - 24) : at + 25] = 0
    rival = float(apart.max(initial=0.0))
    clear = rival < peak - 0.03 if peak < 0.98 else rival < peak - 0.004
    return at if clear else None


def _offsets(old: Sound, new: Sound, shift: int, needle: int) -> tuple[float, float] | None:
    """By how much the overlap is off `shift` at its start and at its end, in slow samples.

    None if most of it does not agree at all.
    """
    length = min(old.shape[1] - shift, new.shape[1]) if shift >= 0 else min(old.shape[1], new.shape[1])
    first = max(0, -shift)
    size = max(64, min(needle, (length - first) // 3))
    offsets: list[float] = []
    agree = tried = 0
    for at in np.linspace(first, max(first, length - size), 9).astype(int):
        short = new[:, at : at + size]
        slack = 40
        low = max(0, at + shift - slack)
        long = old[:, low : at + shift + size + slack]
        if np.sqrt(np.mean(short**2, axis=1)).max(initial=0.0) < _QUIET / 4 or long.shape[1] <= size:
            continue
        tried += 1
        likeness = likeness_along(short, long)
        best = int(np.argmax(likeness))
        if likeness[best] > _LIKE:
            agree += 1
            offsets.append(low + best - at - shift)
    if not tried or agree < 0.6 * tried:
        return None
    return offsets[0], offsets[-1]


def _refined(before: Excerpts, after: Excerpts, frames: float, drift_ms: float, down: int) -> Overlap | None:
    """The overlap to the sample, where the second piece takes over from the first."""
    rate = before.sample_rate
    overlap = round(frames)
    size = min(int(0.5 * rate), max(256, overlap // 2))
    slack = 4 * down
    end_old = before.piece.frames
    best: tuple[float, int, Sound, Sound] | None = None
    for back in range(size, min(overlap, 8 * size) + 1, size):
        old = before.read(end_old - back, end_old - back + size)
        new = after.read(overlap - back - slack, overlap - back + size + slack)
        likeness = likeness_along(old, new)
        at = int(np.argmax(likeness))
        if best is None or likeness[at] > best[0] + 0.05:
            best = float(likeness[at]), at - slack, old, new[:, at : at + size]
        if best[0] > 0.9:
            break
    if best is None:
        return None
    likeness_there, shift, old, new = best
    energy = float(np.vdot(old, old))
    differ = old - new
    misfit = float(np.vdot(differ, differ))
    misfit_db = float(10 * np.log10(misfit / energy)) if misfit > 0 and energy > 0 else None
    return Overlap(overlap + shift, likeness_there, drift_ms, misfit_db)
