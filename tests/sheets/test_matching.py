"""The whole answer against every permutation, and margins against answers with the pair forbidden."""

from __future__ import annotations

from itertools import permutations

import numpy as np
import pytest
from scipy.optimize import linear_sum_assignment

from core.sheets.matching import matched, sureness


def _worth(scores, none, places):
    return sum(none if place is None else scores[sheet, place] for sheet, place in enumerate(places))


@pytest.mark.parametrize("seed", range(2))
def test_six_sheets_are_decided_as_by_every_permutation(seed):
    scores = np.random.default_rng(seed).normal(0, 3, (6, 5))
    # Each sheet takes one of five places or none of them: eleven columns, of which six are "none".
    every = ([c if c < 5 else None for c in some] for some in permutations(range(11), 6))
    best = max(_worth(scores, 0.7, some) for some in every)
    found = matched(scores, 0.7)
    taken = [place for place in found.places if place is not None]
    assert len(taken) == len(set(taken))
    assert _worth(scores, 0.7, found.places) == pytest.approx(best)


@pytest.mark.parametrize(("sheets", "places"), [(6, 4), (5, 9), (20, 25), (1, 1), (30, 5), (3, 0)])
def test_a_margin_is_what_the_whole_loses_without_the_pair(sheets, places):
    scores = np.random.default_rng(sheets).normal(0, 3, (sheets, places))
    found = matched(scores, 0.5)
    cost = np.hstack((-scores, np.where(np.eye(sheets) > 0, -0.5, 1e9)))
    rows, columns = linear_sum_assignment(cost)
    whole = cost[rows, columns].sum()
    for sheet, margin in enumerate(found.margins):
        without = cost.copy()
        without[sheet, columns[sheet]] = 1e9
        a, b = linear_sum_assignment(without)
        lost = without[a, b].sum() - whole
        assert margin == pytest.approx(lost, abs=1e-6) or (margin > 1e8 and lost > 1e8)


def test_words_of_the_margin():
    assert [sureness(margin) for margin in (4.0, 3.9, 2.0, 1.9)] == ["sure", "likely", "likely", "open"]
