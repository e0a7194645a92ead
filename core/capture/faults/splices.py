"""Splices: places at which tracks that have nothing to do with one another break at once."""

from __future__ import annotations

import numpy as np

from core.values import dataclass

FEWEST, ENOUGH = 4, 5
SHARE = 0.3
"""So many witnesses break: of four or five all, of more at least five, and this share of those that sound."""
OFTEN, LIKE = 12, 0.2
"""Tracks that break together so often, and in so large a part of all times that one of them does, are heard
together, as the microphones of a drum kit: they are one witness."""


@dataclass(frozen=True, slots=True)
class Splice:
    """A place at which many tracks break at once."""

    seconds: float
    breaking: int
    sounding: int


def find_splices(seconds: np.ndarray, breaks: np.ndarray, sounds: np.ndarray) -> list[Splice]:
    """The splices among moments (moments by tracks: which break, which sound)."""
    if not len(seconds) or breaks.shape[1] < FEWEST:
        return []
    witness = witnesses(breaks)
    number = int(witness.max()) + 1
    member = np.zeros((breaks.shape[1], number), np.int32)
    member[np.arange(len(witness)), witness] = 1
    breaking, sounding = ((rows.astype(np.int32) @ member > 0).sum(axis=1) for rows in (breaks, sounds))
    few = np.clip(sounding, FEWEST, ENOUGH)
    sure = (breaking >= few) & (breaking >= SHARE * sounding)
    return [Splice(float(seconds[at]), int(breaks[at].sum()), int(sounds[at].sum()))
            for at in np.flatnonzero(sure)]  # fmt: skip


def witnesses(breaks: np.ndarray) -> np.ndarray:
    """For every track the number of its witness: tracks that often break together have one."""
    rows = breaks.astype(np.float32)
    both = rows.T @ rows
    often = np.diag(both)
    fewer = np.minimum(often[:, None], often[None, :])
    like = (both >= OFTEN) & (both >= LIKE * np.maximum(fewer, 1))
    labels = np.arange(len(like))
    for one, other in np.argwhere(like).tolist():
        labels[labels == labels[other]] = labels[one]
    return np.unique(labels, return_inverse=True)[1]
