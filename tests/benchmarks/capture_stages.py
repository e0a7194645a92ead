"""Where the time of a check goes: CPU seconds of each of its parts, each without the parts inside it."""

from __future__ import annotations

import time
from collections import defaultdict
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Any

from core.capture import check
from core.capture.faults import (
    dropouts,
    full_scale,
    hum,
    pairs,
    repeats,
    zero_places,
)
from core.capture.faults.dips.dips import Dips
from core.capture.files import feed, hashed
from core.capture.measures import (
    band_levels,
    breaks,
    extremes,
    grain,
    history,
    impulses,
    neighbours,
    spectra,
    windows,
)
from core.capture.measures.loud import levels, loudness, true_peak
from core.capture.speed import tone_tracks
from core.capture.steady import lines
from core.capture.timecode import code_tracks

PARTS: tuple[tuple[Any, str, str], ...] = (
    (hashed.HashedFile, "readinto", "read, SHA-256"), (feed.Feed, "next_block", "read, SHA-256"),
    (check, "fill_raised", "24 bits to rows"), (history.History, "advance", "to floating point"),
    (extremes.Extremes, "take", "extremes"), (history.History, "keep", "into the ring"),
    (windows.Measurer, "take", "energies, sums, zeros"),
    (windows.Measurer, "group", "windows gathered"),
    (windows._Bends, "take", "bends"),
    (levels.Levels, "add", "levels"), (full_scale.FullScale, "add", "clipping"),
    (true_peak.TruePeak, "add", "true peak"), (zero_places.ZeroPlaces, "add", "zero runs"),
    (repeats.Repeats, "add", "repeats"), (dropouts.Dropouts, "add", "dropouts"),
    (Dips, "take", "dips described"), (dropouts.Dropouts, "graded", "dips graded"),
    (check, "dull_findings", "treble along the pass"), (spectra.Spectra, "add", "spectra"),
    (band_levels.BandLevels, "add", "bands along the pass"),
    (dropouts.Dropouts, "places", "dropouts"), (loudness.Loudness, "add", "loudness, strip"),
    (hum.HumWatch, "add", "hum"), (hum.HumWatch, "found", "hum"), (pairs.Pairs, "add", "like tracks"),
    (pairs.Pairs, "found", "like tracks"), (grain.Grain, "add", "depth, flat tops"),
    (code_tracks.CodeTracks, "__call__", "timecode"),
    (code_tracks.CodeTracks, "finish", "timecode"),
    (code_tracks.CodeTracks, "_listen", "listening for timecode"),
    (tone_tracks.ToneTracks, "__call__", "tones"), (breaks.Breaks, "add", "breaks"),
    (impulses.Impulses, "add", "clicks"),
    (neighbours.Neighbours, "add", "neighbours"), (lines.SteadyLines, "add", "tones that stay"),
    (check, "print_findings", "print-through"),
    (check, "heard_findings", "what was heard"), (check, "splice_findings", "splices told"),
    (check, "askew_findings", "askew told"), (check, "strip_of", "lanes"),
    (check, "course_of", "speed and spacing"), (check, "sheet_findings", "held against the sheet"),
)  # fmt: skip


@contextmanager
def watched() -> Iterator[dict[str, float]]:
    """Fills a table of CPU seconds by part while the block runs; one worker."""
    spent: dict[str, float] = defaultdict(float)
    inner: list[float] = []
    before = [(owner, name, getattr(owner, name)) for owner, name, _ in PARTS]

    def timed(work: Callable[..., Any], part: str) -> Callable[..., Any]:
        def run(*given: Any, **named: Any) -> Any:
            started = time.thread_time()
            inner.append(0.0)
            try:
                return work(*given, **named)
            finally:
                taken = time.thread_time() - started
                spent[part] += taken - inner.pop()
                if inner:
                    inner[-1] += taken

        return run

    for owner, name, part in PARTS:
        setattr(owner, name, timed(getattr(owner, name), part))
    try:
        yield spent
    finally:
        for owner, name, work in before:
            setattr(owner, name, work)
