"""Stretches of a pass that are read once more, by its own frames, whatever piece they lie in."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import numpy as np

from core.capture.files.excerpt import Excerpts
from core.capture.files.layout import Layout
from core.capture.files.wave.header import Header
from core.capture.pieces.joins import Junction


class Again:
    """Reads from the files of a pass."""

    def __init__(
        self,
        paths: Sequence[Path],
        headers: Sequence[Header | None],
        layout: Layout,
        junctions: Sequence[Junction],
    ) -> None:
        self._pieces = [Excerpts(paths, headers, piece) for piece in layout.pieces]
        self._starts = [0, *(one.at for one in junctions)]
        self._skips = [0, *(one.skip for one in junctions)]

    def slow(self, first: int, last: int, down: int, rows: Sequence[int]) -> np.ndarray | None:
        """Of two frames of the pass: means of so many frames between them, on those channels.

        None across a join.
        """
        at = int(np.searchsorted(self._starts, first, side="right")) - 1
        if at + 1 < len(self._starts) and last > self._starts[at + 1]:
            return None
        shift = self._skips[at] - self._starts[at]
        return self._pieces[at].slow(first + shift, last + shift, down, rows)
