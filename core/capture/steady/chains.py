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
    whole = (one for one in _laid_together(lines) if one.seconds(block_seconds) >= FEWEST_SECONDS)
    found = (_chain(np.concatenate(one.parts), block_seconds) for one in whole)
    return [chain for chain in found if chain is not None]


class _Going:
    """What may be one tone: its lines, a part a block, with the block and the pitch of the last of them."""

    def __init__(self, number: float, some: np.ndarray) -> None:
        self.parts: list[np.ndarray] = []
        self.first = number
        self.goes_on(number, some, float(np.median(some[:, _HERTZ])))

    def goes_on(self, number: float, some: np.ndarray, hertz: float) -> None:
        """Take in the lines of one block more."""
        self.parts.append(some)
        self.block, self.hertz = number, hertz

    def seconds(self, block_seconds: float) -> float:
        """How long it lasts."""
        return (self.block - self.first + 1) * block_seconds


def _laid_together(lines: np.ndarray) -> list[_Going]:
    going: list[_Going] = []
    done: list[_Going] = []
    blocks = lines[:, _BLOCK]
    for number in np.unique(blocks).tolist():
        here = lines[blocks == number]
        done += [one for one in going if number - one.block > _BLOCKS_MISSED + 1]
        going = [one for one in going if number - one.block <= _BLOCKS_MISSED + 1]
        for some in _alike(here[np.argsort(here[:, _HERTZ])]):
            hertz = float(np.median(some[:, _HERTZ]))
            near = max(SAME_HZ, _SAME_PART * hertz)
            fits = [one for one in going if one.block < number and abs(hertz - one.hertz) < near]
            if fits:
                max(fits, key=lambda one: len(one.parts)).goes_on(number, some, hertz)
            else:
                going.append(_Going(number, some))
    return [*done, *going]


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
