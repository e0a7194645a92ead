"""What is added where tape, deck and reel are of different curves."""

from __future__ import annotations

from collections.abc import Sequence

from core.tape.exact import Number
from core.tape.physics.equalisation import Equalisation, flux_response_db
from core.tape.physics.levels import decibels


def mismatch_db(tape: Equalisation, deck: Equalisation, hz: Number, re_hz: Number | None = None) -> float:
    """What comes out too loud (+) or soft (−) when a tape of one standard plays on a deck set to another.

    With `re_hz`, counted from that frequency, at which the deck was set to level.
    """
    off = flux_response_db(tape, hz) - flux_response_db(deck, hz)
    return off if re_hz is None else off - mismatch_db(tape, deck, re_hz)


def correction_db(tape: Equalisation, deck: Equalisation, hz: Number, re_hz: Number | None = None) -> float:
    """What to add afterwards to undo `mismatch_db`."""
    return -mismatch_db(tape, deck, hz, re_hz)


def tape_correction_db(
    tape: Equalisation,
    tape_nwb_m: Number,
    deck: Equalisation,
    deck_nwb_m: Number,
    hz: Number,
    re_hz: Number = 1000,
) -> float:
    """What to add at a frequency so that a tape's own reference level reads 0 dB on a deck set up otherwise.

    Standard and reference fluxivity (nWb/m) may both differ; both fluxivities hold at `re_hz`.
    """
    return correction_db(tape, deck, hz, re_hz) - decibels(tape_nwb_m, deck_nwb_m)


def curve_db(eq: Equalisation, frequencies_hz: Sequence[float]) -> tuple[float, ...]:
    """`flux_response_db` at each frequency."""
    return tuple(flux_response_db(eq, hz) for hz in frequencies_hz)
