"""Hiss between songs as findings: a track that hisses otherwise than those beside it, always as a note."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from core.capture.steady.hiss import Hiss
from core.capture.weighing.places import PassMaker
from core.findings import Finding

_FEWEST_TRACKS = 4
"""So many must tell their hiss before one can be held against the others."""
_LOUDER_DB = 1.5
"""Hiss that lost its treble is not louder: what is, was played."""
_MOST_PART = 0.25
"""More of the tracks than that apart from the others: it was recorded so."""


def hiss_findings(told: Mapping[int, Hiss], make: PassMaker) -> list[Finding]:
    """Tracks that hiss more than the others, or with less treble; `told` is the hiss by channel."""
    if len(told) < _FEWEST_TRACKS:
        return []
    usual = float(np.median([one.dbfs for one in told.values()]))
    bright = float(np.median([one.tilt_db for one in told.values()]))
    least = make.thresholds["hiss"]
    found = []
    for channel, one in told.items():
        if one.dbfs - usual >= least:
            says = (f"{make.begin(channel)} hisses {one.dbfs - usual:.0f} dB more than the others where "
                    "nothing is played: look at its gain and its line, or it was recorded so.")  # fmt: skip
            found.append(make.whole("hiss", channel, says, size=one.dbfs - usual))
        elif bright - one.tilt_db >= least and one.dbfs < usual + _LOUDER_DB:
            says = (f"{make.begin(channel)} has hiss with {bright - one.tilt_db:.0f} dB less treble than the "
                    "others: look at its head and its equalisation, or it was recorded so.")  # fmt: skip
            found.append(make.whole("hiss", channel, says, size=bright - one.tilt_db))
    return found if len(found) <= _MOST_PART * len(told) else []
