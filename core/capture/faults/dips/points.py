"""The points that what is known of a dip gives: logarithms of odds, which add up.

They were set by `tests/benchmarks/real_dropouts.py --set` on recordings of music and speech with
faults put in, and are reported on others.
"""

from __future__ import annotations

from functools import lru_cache
from importlib.resources import files

import numpy as np
import tomli

from core.capture.faults.dips.sound import SOUND
from core.capture.faults.dips.spectra import SPECTRAL
from core.values import dataclass

LEVELS = ("fall_db", "return_db", "apart_db", "overshoot_db", "rise_before_db", "restless_before_db",
          "restless_after_db", "clear_db", "swing_db", "slope_db", "log_windows")  # fmt: skip
"""What the levels of windows tell of a dip."""
COMPANY = ("falls_near", "falls_as_low")
"""What the other falls of its channel tell of it: logarithms of counts."""
FEATURES = LEVELS + SPECTRAL + SOUND + COMPANY


@dataclass(frozen=True, slots=True)
class Scorecard:
    """Points by feature: below the first edge, between two, above the last."""

    base: float
    edges: tuple[np.ndarray, ...]
    points: tuple[np.ndarray, ...]

    def add_up(self, rows: np.ndarray) -> np.ndarray:
        """The grade of every row of features, in the order of `FEATURES`, or by the first of them."""
        total = np.full(len(rows), self.base)
        for column, edges, points in zip(rows.T, self.edges, self.points, strict=False):
            total += points[np.searchsorted(edges, column, side="right")]
        return total


@lru_cache(maxsize=1)
def scorecard() -> Scorecard:
    """The table that comes with the program."""
    table = tomli.loads(files(__package__).joinpath("grade.toml").read_text("utf-8"))
    rows = [table["points"][name] for name in FEATURES]
    return Scorecard(float(table["base"]), tuple(np.array(row["edges"], float) for row in rows),
                     tuple(np.array(row["points"], float) for row in rows))  # fmt: skip
