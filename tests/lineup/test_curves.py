"""Curves of a whole shelf at once agree with the plain formulas."""

import numpy as np

from core.lineup.curves import correction_curves_db, flux_curves_db, third_octaves
from core.tape.physics.corrections import curve_db, tape_correction_db
from core.tape.physics.equalisation import equalisations, find_equalisation


def test_third_octaves_are_the_preferred_frequencies() -> None:
    # ISO 266: exact mid-band frequencies 10^(n/10), 20 Hz and 20 kHz being 19.95 and 19953
    hz = third_octaves()
    assert len(hz) == 31
    assert np.allclose(hz[[0, 17, 30]], [19.95, 1000, 19_953], rtol=1e-3)


def test_curves_of_all_standards() -> None:
    hz = third_octaves()
    curves = flux_curves_db(equalisations(), hz)
    assert curves.shape == (len(equalisations()), len(hz))
    for row, eq in zip(curves, equalisations(), strict=True):
        assert np.allclose(row, curve_db(eq, list(hz)), atol=1e-9)


def test_corrections_of_many_tapes() -> None:
    hz = third_octaves()
    deck = find_equalisation("NAB", 15)
    assert deck is not None
    tapes = [eq for eq in equalisations() if eq.speed_ips == 15] * 3
    levels = np.linspace(185, 520, len(tapes))
    curves = correction_curves_db(tapes, levels, deck, 250, hz)
    for row, eq, level in zip(curves, tapes, levels, strict=True):
        expected = [tape_correction_db(eq, level, deck, 250, one) for one in hz]
        assert np.allclose(row, expected, atol=1e-9)
