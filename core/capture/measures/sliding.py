"""Largest value, sum and rank of values that follow one another, in as few passes over them as will do."""

from __future__ import annotations

import numpy as np


def highest_along(rows: np.ndarray, size: int) -> np.ndarray:
    """Rows of the largest of every `size` values in a row that follow one another; shorter by size - 1."""
    return _along(np.maximum, rows, size, apart=False)


def sums_along(rows: np.ndarray, size: int) -> np.ndarray:
    """Rows of the sum of every `size` values in a row that follow one another; shorter by size - 1."""
    return _along(np.add, rows, size, apart=True)


def quantile(values: np.ndarray, part: float) -> float:
    """The value below which such a part of some lies, between two of them as usual; at least one value."""
    at = (len(values) - 1) * part
    low = int(at)
    ordered = np.partition(values, (low, min(low + 1, len(values) - 1)))
    below = float(ordered[low])
    return below + (at - low) * (float(ordered[min(low + 1, len(values) - 1)]) - below)


def _along(both: np.ufunc, rows: np.ndarray, size: int, *, apart: bool) -> np.ndarray:
    """What a stretch holds, from those of half its length; with `apart` no value counts twice."""
    if size == 1:
        return rows
    half = (size if apart else size + 1) // 2
    first = _along(both, rows, half, apart=apart)
    reach = size if not apart else 2 * half
    found: np.ndarray = both(first[..., : first.shape[-1] - reach + half], first[..., reach - half :])
    return found if reach == size else np.asarray(both(found[..., :-1], rows[..., size - 1 :]))
