"""Low passes are those of SciPy, which are not loaded for them."""

import numpy as np
import pytest
from scipy.signal import firwin, upfirdn

from core.capture.measures.low_pass import low_pass, slower


def test_taps_are_those_of_the_reference_library():
    assert low_pass(81, 0.25, 5.0) == pytest.approx(firwin(81, 0.25, window=("kaiser", 5.0)), abs=1e-12)
    assert low_pass(33, 0.4) == pytest.approx(firwin(33, 0.4), abs=1e-12)


@pytest.mark.parametrize("down", [2, 4])
def test_every_second_and_fourth_value_is_that_of_the_reference_library(down, rng):
    sound, taps = rng.standard_normal(5001), low_pass(16 * down + 1, 0.8 / down)
    half = len(taps) // 2
    whole = upfirdn(taps, np.concatenate((sound, np.zeros(half))), 1, down)
    wanted = whole[half // down : half // down + -(-len(sound) // down)]
    assert slower(sound, taps, down) == pytest.approx(wanted, abs=1e-12)
