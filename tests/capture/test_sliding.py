"""Stretches along a row, held against NumPy's own windows, percentiles and means."""

import numpy as np
import pytest

from core.capture.files.samples import means_of
from core.capture.measures.sliding import highest_along, quantile, sums_along

ROWS = np.random.default_rng(5).standard_normal((3, 48))


@pytest.mark.parametrize("size", [1, 2, 3, 4, 5, 8, 12, 13, 48])
def test_largest_and_sum_of_every_stretch(size: int) -> None:
    windows = np.lib.stride_tricks.sliding_window_view(ROWS, size, axis=1)
    assert np.array_equal(highest_along(ROWS, size), windows.max(axis=2))
    assert np.allclose(sums_along(ROWS, size), windows.sum(axis=2))


@pytest.mark.parametrize("size", [1, 2, 3, 4])
def test_means_of_neighbours(size: int) -> None:
    assert np.allclose(means_of(ROWS, size), ROWS.reshape(3, -1, size).mean(axis=2))


@pytest.mark.parametrize("count", [1, 2, 7, 48])
@pytest.mark.parametrize("part", [0.1, 0.35, 0.5, 0.9])
def test_quantiles_lie_where_numpy_says(count: int, part: float) -> None:
    values = ROWS[0, :count]
    assert quantile(values, part) == pytest.approx(np.percentile(values, 100 * part), abs=1e-12)
