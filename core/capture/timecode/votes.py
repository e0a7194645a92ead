"""What neighbouring frames say of one another's places."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from core.capture.timecode.frames import Frames
from core.values import dataclass

OFF_PLACE = 0.25
"""Frames by which a neighbour's label may be off its place and still agree."""
NEIGHBOURS = 4
"""So many frames to either side are asked whether they agree."""


@dataclass(frozen=True, slots=True)
class Votes:
    """What the frames around each one say."""

    yes: NDArray[np.int64]
    """How many are on its clock."""
    no: NDArray[np.int64]
    """How many are not."""
    follows: NDArray[np.bool_]
    """Whether one that touches it counts on from it or up to it."""
    breaks: NDArray[np.bool_]
    """Whether one that touches it does not."""


def votes_of(frames: Frames, number: NDArray[np.int64], day: int) -> Votes:
    """Asks up to NEIGHBOURS frames to either side, no further away than that many frames could lie."""
    n = len(frames)
    votes = Votes(np.zeros(n, np.int64), np.zeros(n, np.int64), np.zeros(n, np.bool_), np.zeros(n, np.bool_))
    length = frames.end - frames.start
    for shift in range(1, min(NEIGHBOURS, n - 1) + 1):
        early, late = slice(None, -shift), slice(shift, None)
        apart = (frames.start[late] - frames.start[early]) * 2 / (length[early] + length[late])
        said = (number[late] - number[early]) * frames.direction[early].astype(np.int64)
        said = (said + day // 2) % day - day // 2
        yes = (frames.direction[early] == frames.direction[late]) & (said > 0) & (apart < 100)
        yes &= np.abs(apart - said) < OFF_PLACE + 0.01 * apart
        touches = (apart > 0.7) & (apart < 1.3)
        for end in (early, late):
            votes.yes[end] += yes
            votes.no[end] += ~yes
            votes.follows[end] |= yes & touches
            votes.breaks[end] |= ~yes & (apart < 1.3)
    return votes
