"""A made-up song of two minutes at a low rate, and a second take of it to the same click."""

from __future__ import annotations

import madeupsongs as songs
import numpy as np
import pytest

RATE = 8_000
SECONDS = 100


@pytest.fixture(scope="session")
def band() -> dict[str, np.ndarray]:
    """Six tracks of one take."""
    return songs.band(SECONDS, RATE, 1)


@pytest.fixture(scope="session")
def other_take() -> dict[str, np.ndarray]:
    """Six tracks of another take to the same click."""
    return songs.band(SECONDS, RATE, 77)
