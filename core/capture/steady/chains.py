"""Lines of one block after another that are one tone: near in pitch, and hardly ever missed."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from core.capture.steady.lines import COLUMNS
from core.values import dataclass

FEWEST_SECONDS = 30.0
_SAME_PART, SAME_HZ = 0.008, 30.0
"""Lines of two blocks so near in pitch are one that wanders."""
_AT_ONCE_PART, _AT_ONCE_HZ = 0.0025, 12.0
"""Lines of one block so near are one tone."""
_BLOCKS_MISSED = 2
_HITS = 0.6
"""Part of its blocks in which a tone must be heard."""
_FEW = 0.4
"""Of the tracks that usually have it, fewer than this part do not tell that it is there."""
_BLOCK, _HERTZ = COLUMNS.index("block"), COLUMNS.index("hertz")


@dataclass(frozen=True, slots=True)
class Chain:
    """A tone that stays, by its lines."""

    lines: np.ndarray
    first: int
    """Block in which it begins."""
    last: int
    hertz: float
    """The middle of its pitch."""
    channels: tuple[int, ...]
    """Those that have it in half of its blocks."""

    def column(self, name: str) -> np.ndarray:
        """One of `COLUMNS` of all its lines."""
        column: np.ndarray = self.lines[:, COLUMNS.index(name)]
        return column

    def beneath(self, other: Chain) -> bool:
        """Whether it is lower than another, for half the other's time and more."""
        both = min(self.last, other.last) - max(self.first, other.first) + 1
        return self.hertz < other.hertz and both >= 0.5 * (other.last - other.first + 1)


def chains_of(lines: np.ndarray, block_seconds: float) -> list[Chain]:
    """The tones that stay half a minute and longer, of lines as `SteadyLines` keeps them."""
    whole = (np.concatenate(one) for one in _laid_together(lines))
    return [chain for one in whole if (chain := _chain(one, block_seconds)) is not None]


def _laid_together(lines: np.ndarray) -> list[list[np.ndarray]]:
    going: list[list[np.ndarray]] = []
    done: list[list[np.ndarray]] = []
    for number in np.unique(lines[:, _BLOCK]):
        here = lines[lines[:, _BLOCK] == number]
        done += [one for one in going if number - one[-1][0, _BLOCK] > _BLOCKS_MISSED + 1]
        going = [one for one in going if number - one[-1][0, _BLOCK] <= _BLOCKS_MISSED + 1]
        for some in _alike(here[np.argsort(here[:, _HERTZ])]):
            fits = [one for one in going if one[-1][0, _BLOCK] < number and _goes_on(one[-1], some)]
            if fits:
                max(fits, key=len).append(some)
            else:
                going.append([some])
    return [*done, *going]


def _goes_on(before: np.ndarray, after: np.ndarray) -> bool:
    one, two = (float(np.median(some[:, _HERTZ])) for some in (before, after))
    return abs(two - one) < max(SAME_HZ, _SAME_PART * two)


def _alike(lines: np.ndarray) -> Sequence[np.ndarray]:
    """Lines of one block, in order of pitch, parted where the next is another."""
    pitch = lines[:, _HERTZ]
    cuts = np.flatnonzero(np.diff(pitch) > np.maximum(_AT_ONCE_HZ, _AT_ONCE_PART * pitch[1:])) + 1
    return np.split(lines, cuts)


def _of_many(lines: np.ndarray) -> np.ndarray:
    """Without the blocks in which far fewer tracks have it than usual: there it is a note near in pitch."""
    _, which, counts = np.unique(lines[:, _BLOCK], return_inverse=True, return_counts=True)
    few = counts < _FEW * np.percentile(counts, 75)
    kept: np.ndarray = lines[~few[which.ravel()]]
    return kept


def _chain(lines: np.ndarray, block_seconds: float) -> Chain | None:
    lines = _of_many(lines)
    blocks = np.unique(lines[:, _BLOCK])
    first, last = int(blocks[0]), int(blocks[-1])
    span = last - first + 1
    if span * block_seconds < FEWEST_SECONDS or len(blocks) < _HITS * span:
        return None
    channels, counts = np.unique(lines[:, COLUMNS.index("channel")], return_counts=True)
    have = tuple(channels[counts >= 0.5 * len(blocks)].astype(int).tolist())
    return Chain(lines, first, last, float(np.median(lines[:, _HERTZ])), have)
