"""A bound that was proven for the same shelf and hours, carried to a plan that begins later.

Where nothing was done meanwhile, every plan from now on is also one of those of which the bound was proven;
it only scores otherwise, as it is counted from another moment and to another end.
"""

from __future__ import annotations

from fractions import Fraction

from core.plan import Plan
from core.planning.bounds.bounds import can_end
from core.planning.bounds.soonest import soonest
from core.planning.facts.problem import Problem
from core.reels.needs import playable_until
from core.shelf import Shelf


def carried(shelf: Shelf, proven: Plan, problem: Problem) -> Fraction | None:
    """What is proven of this problem by the bound of a plan that was made from the same shelf and slack.

    None where a later end leaves room for more work, or where a tape's playable time or its warming ends
    between the two beginnings, as it is read otherwise then. What can be ready is ready sooner by the time
    between the beginnings, or is left over at the price of the new horizon: the greater is taken off.
    """
    begin, last = problem.scale.exact(proven.start), problem.scale.exact(proven.until)
    later = -problem.scale.lead - begin
    if later < 0 or any(window.end > last for window in problem.windows):
        return None
    barred = {one.reel for one in proven.left_over if one.barred_by}
    if barred != _barred(problem) or _lapses(shelf, proven, problem) or _came_out(shelf, problem):
        return None
    dearer = problem.penalty - Fraction(3, 2) * (last - begin)
    able, unable = _weights(problem)
    tied = problem.comfort.tied * later if problem.running else 0
    less = able * max(later, -dearer) - unable * dearer + tied
    return Fraction(str(proven.bound)) - less / 6000


def _lapses(shelf: Shelf, proven: Plan, problem: Problem) -> bool:
    """Whether a tape was playable when that plan began and is not when this one does."""
    ends = (playable_until(reel, shelf.studio) for reel in shelf.reels.values())
    return any(end is not None and proven.start <= end < problem.scale.start for end in ends)


def _came_out(shelf: Shelf, problem: Problem) -> bool:
    """Whether a tape that the shelf has in a chamber would be out by now: it is read otherwise then."""
    inside = {reel for load in problem.running for reel, out, _, _ in load.members if out > 0}
    return any(reel.chamber and reel.key not in inside for reel in shelf.reels.values())


def _barred(problem: Problem) -> set[str]:
    """The reels that are left over as barred, or as first to be heard."""
    return set(problem.barred) | {job.key for job in problem.jobs if not job.calibration and not job.ends}


def _weights(problem: Problem) -> tuple[int, int]:
    """The weight, in hundredths, of what can be ready in this plan, and of what cannot be."""
    found = soonest(problem)
    songs = [(100 * song.priority, can_end(song, found)) for song in problem.songs]
    able = sum(weight for weight, can in songs if can) + len(found.ends)
    every = sum(weight for weight, _ in songs) + problem.never + len(problem.work)
    return able, every - able
