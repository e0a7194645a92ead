"""Speed that sags or jerks, as findings; many of them are one line."""

from __future__ import annotations

from core.capture.course import code_courses
from core.capture.speed.sags import Sag, find_sags
from core.capture.timecode.code_tracks import CodeTracks
from core.capture.weighing.places import PassMaker, clock
from core.findings import Finding

MOST = 12
"""More of them on a pass are told together."""


def sag_findings(code: CodeTracks, make: PassMaker) -> list[Finding]:
    """Where the tape sticks or slips, by the track of timecode of which most was read."""
    courses = code_courses(code, make.tracks)
    if not courses:
        return []
    best = max(courses, key=lambda one: len(one.places))
    sags = find_sags(best.places / make.sample_rate, best.clock(), best.run, make.thresholds["sag"])
    if len(sags) <= MOST:
        return [_one(sag, make) for sag in sags]
    worst = max(sags, key=lambda sag: abs(sag.percent))
    says = (f"The speed sags or jerks {len(sags)} times, first at {clock(sags[0].start)}, most at "
            f"{clock(worst.start)} ({worst.percent:+.2f} %): the tape sticks, or the deck slips. Warm or "
            "clean, and play again.")  # fmt: skip
    return [make.at("sag", None, sags[0].start * make.sample_rate, sags[-1].end * make.sample_rate, says,
                    size=100 * abs(worst.percent))]  # fmt: skip


def _one(sag: Sag, make: PassMaker) -> Finding:
    how = "sags" if sag.percent < 0 else "runs ahead"
    says = (f"The speed {how} by {abs(sag.percent):.2f} % at {clock(sag.start)} for "
            f"{sag.end - sag.start:.1f} s, by timecode: listen; does the tape stick?")  # fmt: skip
    return make.at("sag", None, sag.start * make.sample_rate, sag.end * make.sample_rate, says,
                   size=100 * abs(sag.percent))  # fmt: skip
