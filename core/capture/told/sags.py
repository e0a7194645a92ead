"""Speed that sags or jerks, and wow that grows, as findings; many sags are one line."""

from __future__ import annotations

from core.capture.course import code_courses
from core.capture.speed.sags import Sag, find_sags
from core.capture.speed.wow import Wow, growing_wow
from core.capture.timecode.code_tracks import CodeTracks
from core.capture.weighing.places import PassMaker, clock
from core.findings import Finding

MOST = 12
"""More of them on a pass are told together."""


def sag_findings(code: CodeTracks, make: PassMaker) -> list[Finding]:
    """Where the tape sticks, slips or drags, by the track of timecode of which most was read."""
    courses = code_courses(code, make.tracks)
    if not courses:
        return []
    best = max(courses, key=lambda one: len(one.places))
    at, clocks = best.places / make.sample_rate, best.clock()
    wow = growing_wow(at, clocks, best.run, make.thresholds["wow"])
    sags = find_sags(at, clocks, best.run, make.thresholds["sag"])
    more = [] if wow is None else [_wow(wow, make)]
    sags = [one for one in sags if wow is None or not _of_wow(one, wow)]
    if len(sags) <= MOST:
        return [*(_one(sag, make) for sag in sags), *more]
    worst = max(sags, key=lambda sag: abs(sag.percent))
    says = (f"The speed sags or jerks {len(sags)} times, first at {clock(sags[0].start)}, most at "
            f"{clock(worst.start)} ({worst.percent:+.2f} %): the tape sticks, or the deck slips. Warm or "
            "clean, and play again.")  # fmt: skip
    many = make.at("sag", None, sags[0].start * make.sample_rate, sags[-1].end * make.sample_rate, says,
                   size=100 * abs(worst.percent))  # fmt: skip
    return [many, *more]


def _of_wow(sag: Sag, wow: Wow) -> bool:
    """Whether it is no more than the sway that is told already."""
    return sag.end >= wow.began and abs(sag.percent) <= 2 * wow.last_percent


def _wow(wow: Wow, make: PassMaker) -> Finding:
    says = (f"From {clock(wow.began)} on the speed sways more and more, from {wow.first_percent:.2f} to "
            f"{wow.last_percent:.2f} % (wow, by timecode): the pack drags or sticks. Look at spools, guides "
            "and tension; warm or clean, and play again.")  # fmt: skip
    return make.at("wow", None, wow.began * make.sample_rate, wow.end * make.sample_rate, says,
                   size=100 * wow.last_percent)  # fmt: skip


def _one(sag: Sag, make: PassMaker) -> Finding:
    how = "sags" if sag.percent < 0 else "runs ahead"
    says = (f"The speed {how} by {abs(sag.percent):.2f} % at {clock(sag.start)} for "
            f"{sag.end - sag.start:.1f} s, by timecode: listen; does the tape stick?")  # fmt: skip
    return make.at("sag", None, sag.start * make.sample_rate, sag.end * make.sample_rate, says,
                   size=100 * abs(sag.percent))  # fmt: skip
