"""Judging a curve by the seconds of two captures: which of them hold it, and over which stretch."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from core.album.sound.lags import Lags
from core.album.sound.match import AGREE_MS, STANDS, Column, Match
from core.album.sound.spectra import WORK_HZ

_DOUBT, _DOUBT_OF_FEW, _FEW = 0.9, 0.7, 3
"""A row of nodes with rivals so high may lie a pitch period off as a whole; one of few is doubted sooner."""


def judged(here: Column, there: Column, sounding: NDArray[np.bool_], lags: Lags, smooth: Column) -> Match:
    """The match along a curve, as far as it goes; all of it where that does not prove anything."""
    part = _judged(here, there, sounding, lags, smooth, whole=False)
    return part if part.proved else _judged(here, there, sounding, lags, smooth, whole=True)


def _judged(
    here: Column, there: Column, sounding: NDArray[np.bool_], lags: Lags, smooth: Column, *, whole: bool
) -> Match:
    off = np.abs(lags.samples - smooth) * 1000 / WORK_HZ
    near, sure = _near(lags, smooth), nodes_of(sounding, lags, smooth)
    part = slice(0, len(here)) if whole else _best_part(sounding, sure | (near & sounding))
    heard = sounding[part]
    if not heard.any():
        return Match(here, there, sure & False, lags.polarity, 0.0, 0.0, 0.0)
    nodes = sure[part]
    misfit = float(np.sqrt(np.mean(off[part][nodes] ** 2))) if nodes.any() else 0.0
    return Match(
        here[part], there[part], nodes, lags.polarity, float(np.median(lags.stands[part][heard])),
        float(near[part][heard].mean()), misfit, float(np.median(lags.height[part][heard])),
        float(nodes[heard].mean()), int(heard.sum()),
    )  # fmt: skip


def nodes_of(sounding: NDArray[np.bool_], lags: Lags, smooth: Column) -> NDArray[np.bool_]:
    """Seconds that hold the curve: by themselves, and in unbroken rows that are in no doubt.

    Between two rests a phrase may lie a period of its pitch off as a whole. Its seconds know better:
    where less than half of them would choose that lag by themselves, or where another stands as high.
    """
    off = np.abs(lags.samples - smooth) * 1000 / WORK_HZ
    sure = sounding & (lags.stands > STANDS) & (off < AGREE_MS)
    near = _near(lags, smooth)
    edges = np.flatnonzero(np.diff(np.concatenate(([False], sure, [False])).astype(np.int8)))
    good = np.zeros(len(sure), bool)
    for low, high in edges.reshape(-1, 2).tolist():
        doubt = _DOUBT if high - low >= _FEW else _DOUBT_OF_FEW
        good[low:high] = near[low:high].mean() >= 0.5 and lags.rival[low:high].mean() < doubt
    return good


def _near(lags: Lags, smooth: Column) -> NDArray[np.bool_]:
    """Seconds that would choose the lag of the curve by themselves."""
    return np.asarray(np.abs(lags.alone - smooth) * 1000 / WORK_HZ < AGREE_MS)


def _best_part(sounding: NDArray[np.bool_], good: NDArray[np.bool_]) -> slice:
    """The stretch over which most seconds are good: what lies before and after it shares nothing."""
    worth = np.where(good, 1.0, np.where(sounding, -0.35, 0.0))
    total = np.concatenate(([0.0], np.cumsum(worth)))
    lowest = np.minimum.accumulate(total)
    last = int(np.argmax(total - lowest))
    first = int(np.argmin(total[: last + 1])) if last else 0
    while first < last and not good[first]:
        first += 1
    return slice(first, max(last, first))
