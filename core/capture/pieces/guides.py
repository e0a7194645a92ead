"""Several passes of one reel laid together by their guide tracks, which every pass repeats.

Moments of one pass's guide tracks are looked for in the other's; a straight line through where they lie
gives the offset and by how much one pass ran slower than the other. Only those moments are read.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np

from core.capture.files.excerpt import Excerpts, Sound
from core.capture.files.layout import lay_out
from core.capture.files.pass_files import headers_of
from core.capture.pieces.junction import likeness_along
from core.capture.weighing.facts import EarlierPass
from core.values import dataclass

MOMENTS = 12
NEEDLE_SECONDS = 1.0
REACH_SECONDS = 30.0
"""How far two passes may start apart."""
DRIFT = 0.003
"""By how much of the time two passes may run apart; decks hold their speed far better."""
LIKE = 0.6
SLOW_HZ = 4000
_QUIET = 1e-4


@dataclass(frozen=True, slots=True)
class Guide:
    """The guide tracks of one pass, at a few kilohertz."""

    excerpts: Excerpts
    rows: tuple[int, ...]

    @property
    def down(self) -> int:
        """Frames of the pass to one sample of these."""
        return max(1, self.excerpts.sample_rate // SLOW_HZ)

    @property
    def rate(self) -> float:
        """Samples a second."""
        return self.excerpts.sample_rate / self.down

    @property
    def length(self) -> int:
        """Samples of the whole pass."""
        return self.excerpts.piece.frames // self.down

    def read(self, start: int, stop: int) -> Sound:
        """Steps from sample to sample, so that hum and offsets do not count."""
        slow = self.excerpts.slow(start * self.down, stop * self.down, self.down, self.rows)
        return np.diff(slow, axis=1, prepend=slow[:, :1]).astype(np.float32)


@dataclass(frozen=True, slots=True)
class Laid:
    """How a second pass lies against a first."""

    offset_seconds: float
    """Place in the second pass of what stands at the start of the first."""
    drift_ppm: float
    """By how many millionths the second pass is longer: it ran slower if positive."""
    misfit_ms: float
    """How far the moments lie from one straight line, RMS."""
    moments: int
    """How many of them agree."""

    def place(self, seconds: float) -> float:
        """The place in the second pass of a place in the first."""
        return self.offset_seconds + seconds * (1 + self.drift_ppm / 1e6)


def guide_of(files: tuple[str, ...], tracks: tuple[int, ...], guides: tuple[int, ...]) -> Guide | None:
    """The guide tracks of a pass of one piece; none if its files are not there or do not hold them."""
    paths = [Path(file) for file in files]
    headers, trouble = headers_of(paths)
    layout = None if trouble else lay_out(headers, len(tracks) or None)
    if layout is None or len(layout.pieces) != 1 or not set(guides) <= set(tracks[: layout.channels]):
        return None
    return Guide(Excerpts(paths, headers, layout.pieces[0]), tuple(tracks.index(guide) for guide in guides))


def lay_together(first: Guide, second: Guide) -> Laid | None:
    """How two passes lie by their guide tracks; none if these are not alike, or hardly sound."""
    points = _points(first, second)
    if len(points) < 3:
        return None
    at, there = np.array(points).T
    slope, start = np.polyfit(at, there, 1)
    off = np.abs(there - (start + slope * at))
    near = off <= max(0.001, 3 * float(np.median(off)))
    if near.sum() < max(3, 0.6 * len(points)):
        return None
    slope, start = np.polyfit(at[near], there[near], 1)
    misfit = float(np.sqrt(np.mean((there - (start + slope * at))[near] ** 2)))
    return Laid(float(start), float(slope - 1) * 1e6, 1000 * misfit, int(near.sum()))


def _points(first: Guide, second: Guide) -> list[tuple[float, float]]:
    """Places of moments in both passes, in seconds."""
    needle = int(NEEDLE_SECONDS * first.rate)
    points: list[tuple[float, float]] = []
    for start in np.linspace(0, max(0, first.length - needle), MOMENTS + 2)[1:-1].astype(int).tolist():
        moment = first.read(start, start + needle)
        if float(np.abs(moment).max(initial=0.0)) < _QUIET:
            continue
        seconds = start / first.rate
        guess, slack = seconds, REACH_SECONDS
        if points:
            guess = seconds + points[-1][1] - points[-1][0]
            slack = 0.05 + DRIFT * (seconds - points[-1][0])
        low = max(0, int((guess - slack) * second.rate))
        found = _find(
            moment, second.read(low, min(second.length, low + needle + int(2 * slack * second.rate)))
        )
        if found is not None:
            points.append((seconds, (low + found) / second.rate))
    return points


def _find(needle: Sound, sound: Sound) -> float | None:
    """Where a moment lies in a longer stretch, between samples too; none if it is not there."""
    if sound.shape[1] < needle.shape[1] + 2:
        return None
    like = likeness_along(needle, sound)
    at = int(np.argmax(like))
    if like[at] < LIKE:
        return None
    if not 0 < at < len(like) - 1:
        return float(at)
    left, middle, right = (float(one) for one in like[at - 1 : at + 2])
    bend = left - 2 * middle + right
    return at + (0.5 * (left - right) / bend if bend < 0 else 0.0)


def guide_says(earlier: EarlierPass, laid: Laid | None) -> str:
    """One sentence about how a pass lies against an earlier one."""
    if laid is None:
        return f"The guide tracks of this pass do not sound like those of pass {earlier.number}."
    way = "later" if laid.offset_seconds >= 0 else "earlier"
    length = "longer" if laid.drift_ppm >= 0 else "shorter"
    return (f"By the guide tracks the tape stands {abs(laid.offset_seconds):.4f} s {way} in this pass than "
            f"in pass {earlier.number}, and runs {abs(laid.drift_ppm):.1f} ppm {length}; "
            f"misfit {laid.misfit_ms:.2f} ms.")  # fmt: skip
