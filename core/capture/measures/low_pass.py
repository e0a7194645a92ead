"""A low pass as a row of taps, by the window method (Oppenheim and Schafer, Digital Signal Processing).

Loading SciPy's own costs most of a second of work before the first block of a capture is read.
"""

from __future__ import annotations

import numpy as np


def low_pass(count: int, cutoff: float, beta: float | None = None) -> np.ndarray:
    """So many taps that pass what is below `cutoff` of half the sample rate, and steady sound as it is.

    Under Kaiser's window with `beta`, else under Hamming's.
    """
    at = np.arange(count) - (count - 1) / 2
    taps = cutoff * np.sinc(cutoff * at) * (np.hamming(count) if beta is None else np.kaiser(count, beta))
    even: np.ndarray = taps / taps.sum()
    return even


def slower(sound: np.ndarray, taps: np.ndarray, down: int) -> np.ndarray:
    """Every `down`-th value of a sound after such taps, of which there is an odd number; the ends fade."""
    half = len(taps) // 2
    slow: np.ndarray = np.convolve(sound, taps)[half : half + len(sound) : down]
    return slow
