"""The least that a reel takes, and the soonest it can move on, whatever else is planned."""

from __future__ import annotations

from core.plan import Kind
from core.planning.facts.problem import Job


def transfer_least(job: Job) -> int:
    """Minutes of all its transfers, each on its quickest deck."""
    return sum(min(m for m in part.minutes if m is not None) for part in job.parts)


def least_minutes(job: Job) -> int:
    """The operator's minutes that a reel still takes, line-ups and touches apart."""
    return job.identify + job.repair + job.audition + transfer_least(job) + job.verify


def earliest_steps(job: Job) -> dict[Kind, int]:
    """Minutes before which each kind of step cannot start."""
    known = job.look_from + job.identify
    ready = max(known, job.ready)
    if job.warmth == "must":
        ready += job.heat + job.cool
    heard = ready + job.repair
    played = heard + job.audition
    return {
        "identify": job.look_from,
        "repair": ready,
        "audition": heard,
        "transfer": played,
        "verify": (played + transfer_least(job)) if job.parts else max(known, job.ready),
    }
