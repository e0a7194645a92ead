"""Ties and places in time, in words."""

from __future__ import annotations

import re
from collections.abc import Iterator
from itertools import pairwise
from typing import TYPE_CHECKING

from core.album.ties import Tie, capture_name
from core.words import counted

if TYPE_CHECKING:
    from core.workbook.in_time.sharing import Shared


def tie_line(tie: Tie) -> str:
    """``R-002 lies in R-001 by sound: 0:00.0 is 0:12.3, 0.31 % faster; within 0.05 ms (...)``."""
    one, two = capture_name(tie.one), capture_name(tie.two)
    at = tie.span[0] if tie.span else tie.curve.nodes[0][0]
    there = tie.curve.song(at)
    rate = _usual_rate(tie, at)
    percent = 100 * (rate - 1)
    speed = "at like speed" if abs(percent) < 0.0005 else f"{two} runs {abs(percent):.3f} % " + (
        "slower" if percent > 0 else "faster"
    )  # fmt: skip
    near = f", within {tie.error_ms:g} ms" if tie.error_ms else ""
    words = f"{one} at {clock_words(at)} is {two} at {clock_words(there)}, {speed}; by {tie.by}{near}"
    said = f" ({tie.says})" if tie.says else ""
    gaps = "".join(f"; nothing to hold on to {clock_words(a)} to {clock_words(b)}" for a, b in tie.unsure[:3])
    return f"{words}{said}{gaps}"


def _usual_rate(tie: Tie, at: float) -> float:
    """Seconds of the second to one of the first over all that was found, leaps where one was cut left out."""
    end = tie.span[1] if tie.span else tie.curve.nodes[-1][0]
    spans = [(u - x, v - y) for (x, y), (u, v) in pairwise(tie.curve.nodes) if u > at and x < end]
    steady = [(long, other) for long, other in spans if 0.5 < other / long < 2]
    long, other = (sum(column) for column in zip(*steady, strict=True)) if steady else (0, 0)
    return other / long if long else tie.curve.rate(at)


def sharing_lines(shared: Shared) -> Iterator[str]:
    """Every two captures that share sound; last how many were held against one another."""
    for tie, untold in zip(shared.found, shared.untold, strict=True):
        yield tie_line(tie) + ("; no sheet tells of it" if untold else "")
    if shared.captures < 2 and not shared.left_out:
        which = "no capture is checked yet" if not shared.captures else "only one capture is checked yet"
        yield f"{which}: sharing wants two or more"
        return
    tried = f"{counted(shared.captures, 'capture')}, {counted(shared.pairs, 'pair')} not tied by sound yet"
    yield f"{tried}: {len(shared.found)} found to share sound"


def clock_words(seconds: float) -> str:
    """``1:02.345``."""
    sign = "-" if seconds < 0 else ""
    minutes, rest = divmod(abs(seconds), 60)
    return f"{sign}{int(minutes)}:{rest:06.3f}"


def seconds_of(text: str) -> float:
    """Seconds out of ``754.2``, ``12:34.2`` or ``1:02:03``; ValueError for anything else."""
    match = re.fullmatch(r"(?:(?:(\d+):)?(\d{1,3}):)?(\d+(?:\.\d+)?)", text)
    if match is None:
        raise ValueError(f"{text!r} is no place: give seconds (754.2) or m:ss (12:34.2)")
    return 3600 * int(match[1] or 0) + 60 * int(match[2] or 0) + float(match[3])
