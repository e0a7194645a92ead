"""The points that what is known of a dip gives: logarithms of odds, which add up.

They were set by `tests/benchmarks/real_dropouts.py --set` on recordings of music and speech with
faults put in, and are reported on others.
"""

from __future__ import annotations

from functools import lru_cache
from importlib.resources import files

import numpy as np
import tomli

from core.capture.faults.dips.sound import SOUND, UNTOLD
from core.capture.faults.dips.spectra import SPECTRAL
from core.values import dataclass

LEVELS = ("fall_db", "return_db", "apart_db", "overshoot_db", "rise_before_db", "restless_before_db",
          "restless_after_db", "clear_db", "swing_db", "slope_db", "log_windows")  # fmt: skip
"""What the levels of windows tell of a dip."""
COMPANY = ("falls_near", "falls_as_low")
"""What the other falls of its channel tell of it: logarithms of counts."""
IN_NOISE = ("falls_as_low", "slope_db", "swing_db", "restless_before_db", "restless_after_db", "uneven_db")
OUT_OF_PHASE = ("slope_db", "swing_db", "left_beneath_db", "left_beside_db")
"""What tells more where a sound is noise, or where its partials are not where they were: there it has points
of its own. Noise that falls again and again rests; another sound beneath a note is the next note."""
FEATURES = (LEVELS + SPECTRAL + SOUND + COMPANY + tuple(f"{name}_in_noise" for name in IN_NOISE)
            + tuple(f"{name}_out_of_phase" for name in OUT_OF_PHASE))  # fmt: skip
ELSEWHERE = -99.0
"""Stands for what is told of dips of another kind."""
_KEPT_PHASE = 0.7


def with_kinds(rows: np.ndarray) -> np.ndarray:
    """Rows of all `FEATURES` by those up to `COMPANY`: those of noise and of broken phase added."""
    phase, wander = (rows[:, FEATURES.index(name)] for name in ("phase", "wander"))
    noise = wander == UNTOLD[SOUND.index("wander")]
    added = [np.where(kind, rows[:, FEATURES.index(name)], ELSEWHERE)
             for kind, names in ((noise, IN_NOISE), (~noise & (phase < _KEPT_PHASE), OUT_OF_PHASE))
             for name in names]  # fmt: skip
    return np.column_stack((rows, *added))


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
