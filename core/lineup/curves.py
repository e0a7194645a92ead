"""Curves of many tapes at once, for a picture or a whole shelf."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from core.tape.physics.equalisation import Equalisation

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import ArrayLike, NDArray


def third_octaves() -> NDArray[np.float64]:
    """Frequencies in Hz a third of an octave apart, 20 Hz to 20 kHz."""
    import numpy as np

    return np.asarray(1000 * 10 ** (np.arange(-17, 14) / 10))


def flux_curves_db(eqs: Sequence[Equalisation], hz: ArrayLike) -> NDArray[np.float64]:
    """Standard flux of each equalisation at each frequency, dB; shape (equalisations, frequencies)."""
    import numpy as np

    turn = 2e-6 * np.pi * np.asarray(hz, dtype=np.float64)[np.newaxis, :]
    low = np.array([eq.t_low_us or np.inf for eq in eqs], dtype=np.float64)[:, np.newaxis]
    high = np.array([eq.t_high_us for eq in eqs], dtype=np.float64)[:, np.newaxis]
    bass = 10 * np.log10(1 + (turn * low) ** -2.0)
    return np.asarray(bass - 10 * np.log10(1 + (turn * high) ** 2))


def correction_curves_db(
    tapes: Sequence[Equalisation],
    tapes_nwb_m: ArrayLike,
    deck: Equalisation,
    deck_nwb_m: float,
    hz: ArrayLike,
    re_hz: float = 1000.0,
) -> NDArray[np.float64]:
    """What to add to each tape at each frequency on a deck set up otherwise, dB; shape (tapes, frequencies).

    The same as `core.tape.physics.corrections.tape_correction_db` for every pair.
    """
    import numpy as np

    grid = np.append(np.asarray(hz, dtype=np.float64), re_hz)
    off = flux_curves_db(tapes, grid) - flux_curves_db([deck], grid)
    level = 20 * np.log10(np.asarray(tapes_nwb_m, dtype=np.float64) / deck_nwb_m)[:, np.newaxis]
    return np.asarray(-(off[:, :-1] - off[:, -1:]) - level)
