"""The two channels of a mix held against one another: the same, opposed, or one of them dead."""

from __future__ import annotations

from typing import Literal

import numpy as np

from core.capture.measures.history import Fresh

Sides = Literal["", "equal", "opposed", "left alone", "right alone"]
_SAME = 1e-6
"""What differs is 60 dB below what sounds: the two are one; a choice of ours, as silence is in a check."""
_OPPOSED = -0.5
"""Correlation of the whole from which one side is taken for turned round; a choice of ours."""


class TwoSides:
    """Sums over the whole of a mix of two channels; of any other nothing is told."""

    def __init__(self, channels: int) -> None:
        self._two = channels == 2
        self._left = self._right = self._both = 0.0

    def take(self, chunk: Fresh) -> None:
        """Adds one chunk; the frames after the end of the mix are left out."""
        if not self._two:
            return
        left, right = chunk.samples[0, : chunk.frames], chunk.samples[1, : chunk.frames]
        self._left += float(np.dot(left, left))
        self._right += float(np.dot(right, right))
        self._both += float(np.dot(left, right))

    def told(self) -> Sides:
        """What is odd about the two; nothing where they are two sides, and where nothing sounds."""
        left, right, both = self._left, self._right, self._both
        if not self._two or left + right <= 0:
            return ""
        if min(left, right) <= _SAME * max(left, right):
            return "left alone" if left > right else "right alone"
        if left + right - 2 * both <= _SAME * (left + right):
            return "equal"
        return "opposed" if both <= _OPPOSED * (left * right) ** 0.5 else ""
