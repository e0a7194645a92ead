"""Do two pieces meet where neither overlap nor clock tells: does the sound run on from sample to sample?

Sound is foretold from the samples before it (linear prediction: J. Makhoul, Proc. IEEE 63, 1975; by memory).
Where the error at the join is no greater than elsewhere, the pieces meet; where it stands out, something is
missing. Whether it could stand out at all is tried with cuts made in the same sound.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from core.capture.files.excerpt import Excerpts

Row = NDArray[np.float64]
_ORDER, _SPAN, _TAIL = 32, 8, 4096
_STANDS_OUT = 4.0
"""Error power at the join against the greatest elsewhere in the same sound."""
_CUTS = 48
_WOULD_SHOW = 0.6
"""Share of cuts made on trial that must stand out, else this track tells nothing."""
_BREAKS = 0.25
"""Share of the tracks that tell anything from which on the sound breaks there."""


def meet(before: Excerpts, after: Excerpts) -> bool | None:
    """True where the sound runs on, False where it breaks, None where no track can tell."""
    size = min(_TAIL, before.piece.frames, after.piece.frames)
    if size < 8 * _ORDER:
        return None
    end = before.piece.frames
    both = np.concatenate([before.read(end - size, end), after.read(0, size)], axis=1).astype(np.float64)
    told = [one for row in both if (one := _runs_on(row, size)) is not None]
    return None if not told else told.count(False) < _BREAKS * len(told)


def _runs_on(row: Row, join: int) -> bool | None:
    """Whether one track runs on over `join`; None where a cut would not show."""
    coefficients = _fitted(row, join)
    if coefficients is None:
        return None
    errors = _errors(row, coefficients)
    power = np.convolve(errors**2, np.ones(_SPAN), "valid")  # of the samples from _ORDER + its place on
    inside = np.r_[power[: join - _ORDER - _SPAN], power[join:]]
    most = _STANDS_OUT * float(inside.max())
    shows = [_at_a_cut(row, coefficients, at, over) > most for at, over in _cuts(len(row), join)]
    if not shows or sum(shows) < _WOULD_SHOW * len(shows):
        return None
    return bool(power[join - _ORDER] <= most)


def _fitted(row: Row, join: int) -> Row | None:
    """The coefficients that foretell a sample from those before it, nearest first; None for silence."""
    history = np.lib.stride_tricks.sliding_window_view(row[:-1], _ORDER)[:, ::-1]
    use = np.r_[0 : join - _ORDER, join : len(history)]
    past, here = history[use], row[_ORDER:][use]
    energy = float(here @ here)
    if energy <= 0:
        return None
    square = past.T @ past + np.eye(_ORDER) * energy * 1e-9
    return np.linalg.solve(square, past.T @ here).astype(np.float64)


def _errors(row: Row, coefficients: Row) -> Row:
    return np.convolve(row, np.r_[1.0, -coefficients], "valid").astype(np.float64)


def _at_a_cut(row: Row, coefficients: Row, at: int, over: int) -> float:
    """Error power behind a cut made on trial: from `at` on, so many samples are left out."""
    cut = np.r_[row[at - _ORDER : at], row[at + over : at + over + _SPAN]]
    return float((_errors(cut, coefficients) ** 2).sum())


def _cuts(frames: int, join: int) -> list[tuple[int, int]]:
    """Places and lengths of cuts on either side of the join, the same in every run."""
    random = np.random.default_rng(1)
    room = join - 2 * _ORDER - _SPAN
    found = []
    for number in range(_CUTS):
        over = int(random.integers(_ORDER, max(_ORDER + 1, room // 2)))
        start = _ORDER + int(random.integers(0, max(1, room - over)))
        found.append(((join if number % 2 else 0) + start, over))
    return [(at, over) for at, over in found if at + over + _SPAN <= frames]
