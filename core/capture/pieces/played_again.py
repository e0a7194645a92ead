"""A piece that plays again what the one before holds, from long before its end, and where it takes over.

A tape that shed is played again from some minute to its end. The new piece then begins somewhere within the
old one. A moment of it is looked for all along the old piece on the loudest tracks; where it is like it, the
two must agree for a while as any overlap must, and at the end of the old piece too.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from core.capture.files.excerpt import Excerpts, Sound
from core.capture.files.layout import Piece
from core.capture.pieces.junction import SLOW_HZ, find_overlap, likeness_along, loud_moment, steep

TAKES_OVER_SECONDS = 10.0
"""Behind its start a tape runs evenly; common practice, as the seconds that it is backed up."""
_NEEDLE_SECONDS, _WINDOW_SECONDS, _AGREE_SECONDS = 1.5, 60.0, 30.0
_TRACKS, _PLACES = 2, 3
_LIKE, _ENDS_LIKE = 0.55, 0.5
_SHORT_SECONDS, _MOMENTS = 0.4, 7
"""So short, two runs stay together to a part of a wave, though one is a little faster."""
_APART_SECONDS = 4.0
"""Two runs of a tape differ by less at the end of an hour, a thousandth of it."""


def cut_where_again(before: Excerpts, after: Excerpts) -> Piece | None:
    """The earlier piece up to where the later one takes over; None where that plays nothing of it again."""
    rate = before.sample_rate
    for place in _places(before, after):
        cut = _cut(before.piece, place + int(_AGREE_SECONDS * rate))
        found = find_overlap(before.of(cut), after)
        if found is None:
            continue
        start = cut.frames - found.frames
        if _ends_alike(before, after, start):
            return _cut(before.piece, start + int(TAKES_OVER_SECONDS * rate))
    return None


def _cut(piece: Piece, frames: int) -> Piece:
    return Piece(piece.columns, min(frames, piece.frames))


def _places(before: Excerpts, after: Excerpts) -> list[int]:
    """Frames of the earlier piece at which the later one may begin, the likeliest first."""
    rate = before.sample_rate
    down = max(1, rate // SLOW_HZ)
    size = int(_NEEDLE_SECONDS * rate / down)
    reach = min(after.piece.frames, int(_WINDOW_SECONDS * rate))
    rows = _loudest(after, reach)
    new = steep(after.slow(0, reach, down, rows))
    at = loud_moment(new, min(size, new.shape[1]))
    if at is None:
        return []
    needle, step = new[:, at : at + size], int(_WINDOW_SECONDS * rate) // down * down
    found: list[tuple[float, int]] = []
    for first in range(0, before.piece.frames, step):
        last = min(before.piece.frames, first + step + size * down)
        old = steep(before.slow(first, last, down, rows))
        if old.shape[1] <= size:
            break
        likeness = likeness_along(needle, old)
        best = int(np.argmax(likeness))
        if likeness[best] >= _LIKE and (start := first + (best - at) * down) > -down:
            found.append((float(likeness[best]), max(0, start)))
    return [start for _, start in sorted(found, reverse=True)[:_PLACES]]


def _loudest(piece: Excerpts, frames: int) -> Sequence[int]:
    """The rows of the loudest tracks of its begin."""
    size = min(frames, int(_NEEDLE_SECONDS * piece.sample_rate))
    starts = np.linspace(0, max(0, frames - size), 4).astype(int).tolist()
    power = np.sum([np.mean(piece.read(at, at + size) ** 2, axis=1) for at in starts], axis=0)
    return [int(row) for row in np.argsort(-power)[:_TRACKS]]


def _ends_alike(before: Excerpts, after: Excerpts, start: int) -> bool:
    """Whether the end of the earlier piece is in the later one too, that much later."""
    rate = before.sample_rate
    down = max(1, rate // SLOW_HZ)
    size, slack = int(_SHORT_SECONDS * rate) // down * down, int(_APART_SECONDS * rate) // down * down
    rest = before.piece.frames - start
    if after.piece.frames < rest - slack:
        return False  # it was stopped before that: what is behind it is in the earlier piece alone
    alike = []
    for back in range(1, 2 * _MOMENTS, 2):
        first = before.piece.frames - back * size
        old = steep(before.slow(first, first + size, down))
        new = _around(after, rest - back * size, size, slack, down)
        if new.shape[1] > old.shape[1] and loud_moment(old, old.shape[1]) is not None:
            alike.append(float(likeness_along(old, new).max()))
    return not alike or float(np.median(alike)) >= _ENDS_LIKE


def _around(piece: Excerpts, at: int, size: int, slack: int, down: int) -> Sound:
    return steep(piece.slow(max(0, at - slack), min(piece.piece.frames, at + size + slack), down))
