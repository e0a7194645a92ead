"""Splices as findings: what breaks at once on tracks that have nothing in common, and what was noted."""

from __future__ import annotations

from collections.abc import Collection, Sequence

import numpy as np

from core.capture.faults.splices import Splice, find_splices
from core.capture.scan import Scan
from core.capture.weighing.places import PassMaker, clock
from core.findings import Finding
from core.words import counted

REACH_SECONDS = 2.0
"""A note is dropped a moment after what it is about was heard: a splice is looked for so far around it."""
_MOST, _DOZEN, _A_MINUTE = 40, 12, 6.0
"""More of them on a pass are told together; so are more than a dozen, where so many come in a minute."""
_MILLISECOND = 0.001


def splice_findings(
    scan: Scan, make: PassMaker, joins: Sequence[float], code: Collection[int]
) -> list[Finding]:
    """Splices that are heard, and those that were noted and are not; `joins` of pieces are none."""
    seconds, breaks, sounds = scan.breaks.moments()
    music = [channel for channel in range(breaks.shape[1]) if channel not in code]
    heard = find_splices(seconds, breaks[:, music], sounds[:, music])
    heard = [one for one in heard if not any(abs(one.seconds - at) < 0.05 for at in joins)]
    written = [note.seconds for note in make.reel.notes if note.text.split(" ")[0] == "splice"]
    found = [_missed(at, make) for at in written if not _near(at, heard)]
    if _too_many(heard, make.seconds):
        return [*found, _many(heard, make)]
    return found + [_heard(one, written, make) for one in heard]


def _too_many(heard: Sequence[Splice], seconds: float) -> bool:
    """Whether nobody joins tape so often."""
    return len(heard) > _MOST or (len(heard) > _DOZEN and len(heard) * 60 > _A_MINUTE * seconds)


def _near(at: float, heard: Sequence[Splice]) -> bool:
    return any(at - REACH_SECONDS <= one.seconds <= at + REACH_SECONDS / 4 for one in heard)


def _heard(one: Splice, written: Sequence[float], make: PassMaker) -> Finding:
    noted = next((at for at in written if _near(at, [one])), None)
    by = f"; it is the one noted at {clock(noted)}" if noted is not None else ""
    says = f"A splice at {clock(one.seconds)}: {one.breaking} of {one.sounding} tracks break within 4 ms{by}."
    start = (one.seconds - 2 * _MILLISECOND) * make.sample_rate
    return make.at("splice", None, start, start + 4 * _MILLISECOND * make.sample_rate, says,
                   size=one.breaking)  # fmt: skip


def _missed(at: float, make: PassMaker) -> Finding:
    says = (f"The splice noted at {clock(at)} is not heard within {REACH_SECONDS:g} s before it: it is a "
            "good one, or lies elsewhere.")  # fmt: skip
    start = max(0.0, at - REACH_SECONDS) * make.sample_rate
    return make.at("splice", None, start, at * make.sample_rate, says, size=0.0)


def _many(heard: Sequence[Splice], make: PassMaker) -> Finding:
    step = float(np.median(np.diff([one.seconds for one in heard])))
    says = (f"All tracks break together {counted(len(heard), 'time')}, from {clock(heard[0].seconds)} on, "
            f"about every {step:.0f} s: splices, sound that was cut and laid together, or "
            "applause.")  # fmt: skip
    return make.at("splice", None, heard[0].seconds * make.sample_rate,
                   heard[-1].seconds * make.sample_rate, says, size=len(heard))  # fmt: skip
