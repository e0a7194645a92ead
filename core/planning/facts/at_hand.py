"""When a tape may be used in a plan: looked at, cooled, playable; as it is, or out of a load that may be."""

from __future__ import annotations

from collections.abc import Iterable

from core.planning.facts.problem import Job, Problem, Stretch

FOREVER = 1 << 40  # minutes: behind every plan


def known(problem: Problem, job: Job) -> int:
    """The soonest minute at which a reel is looked at and at hand, so that its next step may come.

    Behind a look at a reel that is only assumed the evening is over first; to line up with it need not wait.
    """
    if not job.look:
        return max(0, job.ready)
    windows = [w for w in problem.windows if w.minutes >= job.identify]
    if not windows:
        return FOREVER
    waits = job.assumed and (not job.calibration or job.warmth == "must")
    return max(job.ready, windows[0].over if waits else windows[0].start + job.identify)


def at_hand(problem: Problem, job: Job) -> list[Stretch]:
    """Stretches in which a reel is playable and cooled: as it is, or out of some load."""
    first = known(problem, job)
    spans = [] if job.warmth == "must" else [(first, FOREVER if job.lapse is None else job.lapse)]
    runs = [minutes for part in job.parts for minutes in part.minutes if minutes is not None]
    lasts = job.cool + job.repair + job.audition + min(runs, default=0) <= job.playable
    if job.warmth != "no" and lasts:
        after, until = job.heat + job.cool, job.heat + job.playable
        for facts, fits in zip(problem.chambers, job.trays, strict=True):
            soonest, latest = max(first, facts.busy_until), problem.end - job.heat - facts.touch
            for home in problem.homes if fits else ():
                if home.last >= soonest:
                    start = max(home.first, soonest)
                    last = min(home.last, home.end - job.heat - facts.touch, latest)
                    if start <= last:
                        spans.append((start + after, last + until))
    return joined(spans)


def joined(spans: list[Stretch]) -> list[Stretch]:
    """Stretches that meet, made one; empty ones left out."""
    out: list[Stretch] = []
    for a, b in sorted(span for span in spans if span[0] <= span[1]):
        if out and a <= out[-1][1]:
            out[-1] = (out[-1][0], max(b, out[-1][1]))
        else:
            out.append((a, b))
    return out


def overlaid(spans: Iterable[Stretch]) -> list[Stretch]:
    """Stretches that overlap, made one; two that only meet stay two."""
    out: list[Stretch] = []
    for first, end in sorted(spans):
        if out and first < out[-1][1]:
            out[-1] = (out[-1][0], max(end, out[-1][1]))
        else:
            out.append((first, end))
    return out
