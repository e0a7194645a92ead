"""Which words count as read: code has no check sum, so neighbours must bear each other out."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from core.capture.timecode.frames import Frames
from core.capture.timecode.votes import OFF_PLACE, votes_of


def trusted(frames: Frames) -> NDArray[np.bool_]:
    """Frames whose neighbour, right before or after, shows the label that one expects, whatever the rate."""
    agreed = np.zeros(len(frames), np.bool_)
    if len(frames) < 2:
        return agreed
    length = frames.end - frames.start
    touching = np.abs(frames.start[1:] - frames.end[:-1]) < 0.1 * length[:-1]
    touching &= frames.direction[1:] == frames.direction[:-1]
    way = frames.direction[:-1]
    seconds = (frames.second[1:] - frames.second[:-1]) * way
    steps = (frames.frame[1:] - frames.frame[:-1]) * way
    inside = (seconds == 0) & (steps == 1)
    last = np.where(way > 0, frames.frame[:-1], frames.frame[1:])
    over = ((seconds == 1) | (seconds == -86399)) & ((last == 23) | (last == 24) | (last == 29))
    follows = touching & (inside | over & ((steps == -last) | (steps == 2 - last)))
    agreed[:-1] |= follows
    agreed[1:] |= follows
    return agreed


def undoubled(frames: Frames) -> Frames:
    """Without words that were read twice at one place with one label; the exact one stays."""
    if len(frames) < 2:
        return frames
    length = frames.end - frames.start
    near = np.diff(frames.start) < 0.5 * length[:-1]
    same = near & (frames.second[1:] == frames.second[:-1]) & (frames.frame[1:] == frames.frame[:-1])
    later_goes = same & (frames.exact[:-1] | ~frames.exact[1:])
    keep = np.ones(len(frames), np.bool_)
    keep[1:] &= ~later_goes
    keep[:-1] &= ~(same & ~later_goes)
    return frames.where(keep)


def agreed(frames: Frames, number: NDArray[np.int64], day: int) -> Frames:
    """Frames that neighbours bear out: one for an exact frame, two for one read under noise.

    No more may speak against it than for it, unless an exact frame touches one that follows from it: what
    tilts the sound can turn the same bit in many frames, but never so that two in a row still count on. An
    exact frame of even rhythm that no neighbour was read beside counts if the nearest good frame puts it on
    the same clock, or if it is all that there is.
    """
    votes = votes_of(frames, number, day)
    kept = (frames.exact & votes.follows) | (
        (votes.yes >= np.where(frames.exact, 1, 2)) & (votes.yes >= votes.no)
    )
    lone = np.flatnonzero(~kept & frames.exact & frames.clean & ~votes.breaks)
    sure = np.flatnonzero(kept)
    if len(sure):
        lone = lone[_on_clock(frames, number, day, lone, sure)]
    if len(sure) or len(lone) == 1:
        kept[lone] = True
    return _not_over_each_other(frames.where(kept), votes.yes[kept])


def _on_clock(
    frames: Frames, number: NDArray[np.int64], day: int, lone: NDArray[np.int64], sure: NDArray[np.int64]
) -> NDArray[np.bool_]:
    """Which lone frames lie where the good frame before or after them has them."""
    right = np.searchsorted(sure, lone)
    on = np.zeros(len(lone), np.bool_)
    for near in (sure[np.maximum(right - 1, 0)], sure[np.minimum(right, len(sure) - 1)]):
        length = (frames.end - frames.start)[near]
        apart = (frames.start[lone] - frames.start[near]) / length
        said = (number[lone] - number[near]) * frames.direction[near].astype(np.int64)
        said = (said + day // 2) % day - day // 2
        on |= (frames.direction[lone] == frames.direction[near]) & (
            np.abs(apart - said) < OFF_PLACE + 0.001 * np.abs(apart)
        )
    return on


def _not_over_each_other(frames: Frames, votes: NDArray[np.int64]) -> Frames:
    """Where two frames lie over each other, the one with more votes."""
    while len(frames) > 1:
        over = np.flatnonzero(frames.start[1:] < (frames.start + frames.end)[:-1] / 2)
        if len(over) == 0:
            break
        keep = np.ones(len(frames), np.bool_)
        keep[np.where(votes[over] < votes[over + 1], over, over + 1)] = False
        frames, votes = frames.where(keep), votes[keep]
    return frames
