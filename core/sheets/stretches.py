"""Stretches of a tape that sound, told from the kept levels of its passes; no audio is read again.

A moment sounds where any track but timecode is above silence. Pauses shorter than a few seconds belong to the
song, and what is shorter than a song's least length is a count-in, a tone or a slate.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import TYPE_CHECKING

from core.values import dataclass

if TYPE_CHECKING:
    import numpy as np

    from core.findings import Strip

SILENT_HALF_DB = 120
"""Bytes of a strip are half decibels below full scale: from -60 dBFS down is silence, as in a check."""
PAUSE_SECONDS = 4.0
"""Common practice: songs on a reel are parted by leader or some seconds of quiet; a shorter rest is music."""
SHORTEST_SECONDS = 20.0
"""A choice of ours: shorter than this is no song."""
SOUNDING_SHARE = 0.04
"""A track sounds in a stretch where it does for that share of it; less is crosstalk or a click."""


@dataclass(frozen=True, slots=True)
class Levels:
    """One kept pass: its strip, where on the tape it begins, and tracks that carry a clock."""

    strip: Strip
    begins: float = 0.0
    clocks: frozenset[int] = frozenset()


@dataclass(frozen=True, slots=True)
class Sounding:
    """A stretch of one tape that sounds, in seconds of play time."""

    start: float
    end: float
    tracks: frozenset[int]
    """Those that sound."""
    heard: frozenset[int]
    """Those that were captured, so that silence on them is known."""

    @property
    def seconds(self) -> float:
        """How long it is."""
        return self.end - self.start


def soundings(passes: Iterable[Levels]) -> tuple[Sounding, ...]:
    """The stretches of one tape, over all its passes together, first to last."""
    import numpy as np

    music, step, end = _music(list(passes))
    if not music:
        return ()
    any_sound = np.logical_or.reduce(list(music.values()))
    return tuple(_sounding(first, last, step, music, end) for first, last in _runs(any_sound, step))


def sounding_in(passes: Iterable[Levels], start: float, last: float) -> Sounding | None:
    """What sounds between two places of the tape; None where hardly any of it is captured."""
    listed = list(passes)
    held = sum(max(0.0, min(last, one.begins + one.strip.seconds) - max(start, one.begins)) for one in listed)
    music, step, end = _music(listed)
    if not music or held < 0.5 * (last - start):
        return None
    return _sounding(int(start / step), int(min(last, end) / step), step, music, end)


def _music(listed: list[Levels]) -> tuple[dict[int, np.ndarray], float, float]:
    """By track whether each moment of the tape sounds, clocks apart; the step of these, and the end."""
    import numpy as np

    if not listed:
        return {}, 1.0, 0.0
    step = min(one.strip.seconds / max(1, one.strip.columns) for one in listed)
    end = max(one.begins + one.strip.seconds for one in listed)
    step = max(step, end / 20_000, 0.05)
    count = max(1, int(end / step))
    moments = (np.arange(count) + 0.5) * step
    tracks: dict[int, np.ndarray] = {}
    for one in listed:
        tracks |= _tracks(one, moments)
    clocks = frozenset[int]().union(*(one.clocks for one in listed))
    return {track: loud for track, loud in tracks.items() if track not in clocks}, step, end


def _tracks(one: Levels, moments: np.ndarray) -> Mapping[int, np.ndarray]:
    """Where each track of a pass is louder than silence, at those moments of the tape."""
    import numpy as np

    strip = one.strip
    column = ((moments - one.begins) / strip.seconds * strip.columns).astype(int)
    inside = (column >= 0) & (column < strip.columns)
    column = np.clip(column, 0, strip.columns - 1)
    return {
        track: inside & (np.frombuffer(row, np.uint8)[column] < SILENT_HALF_DB)
        for track, row in zip(strip.tracks, strip.rms, strict=True)
    }


def _runs(loud: np.ndarray, step: float) -> list[tuple[int, int]]:
    """Runs of sound with short pauses closed and short runs left out."""
    import numpy as np

    edges = np.flatnonzero(np.diff(np.concatenate(([0], loud.astype(np.int8), [0]))))
    runs: list[tuple[int, int]] = []
    for first, last in zip(edges[::2].tolist(), edges[1::2].tolist(), strict=True):
        if runs and (first - runs[-1][1]) * step < PAUSE_SECONDS:
            runs[-1] = (runs[-1][0], last)
        else:
            runs.append((first, last))
    return [(first, last) for first, last in runs if (last - first) * step >= SHORTEST_SECONDS]


def _sounding(first: int, last: int, step: float, music: Mapping[int, np.ndarray], end: float) -> Sounding:
    sounding = {track for track, loud in music.items() if float(loud[first:last].mean()) >= SOUNDING_SHARE}
    stop = min(end, last * step)
    return Sounding(round(first * step, 3), round(stop, 3), frozenset(sounding), frozenset(music))
