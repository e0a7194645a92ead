"""What whole evenings can hold, as a programme in whole numbers: the rows, and what they cost."""

from __future__ import annotations

from fractions import Fraction

from core.planning.bounds.bounds import can_end
from core.planning.bounds.evening_bound import stretches
from core.planning.bounds.evening_desk import Desk, add_desk, add_room
from core.planning.bounds.evening_helper import add_before, add_visits
from core.planning.bounds.evening_loads import Loads, add_loads
from core.planning.bounds.evening_rows import Programme, add_decks, song_rows, transfer_rows, verify_rows
from core.planning.bounds.evening_standing import add_standing
from core.planning.bounds.soonest import Soonest
from core.planning.bounds.warmed_reels import add_warmed
from core.planning.facts.problem import Job, Problem


def whole_loads(
    problem: Problem, found: Soonest, songs: Fraction, *, alone: bool = False, late: Fraction | None = None
) -> Loads:
    """Every reel that can end and every song that can be ready, evening by evening.

    ``songs``: what is known that songs cost at least, in hundredths of priority-minutes, lost ones apart.
    ``alone``: only those reels that songs need, and only what songs cost, as other reels stand in the way.
    ``late``: what counts, in minutes, for what is not ready in these evenings; else what is lost of it.
    """
    jobs = _reels(problem, found, alone=alone)
    evenings = stretches(problem, 1, len(problem.windows) + 1)
    programme = Programme(problem, found, evenings, jobs, late=problem.penalty if late is None else late)
    for job in jobs:
        transfer_rows(programme, job)
    verified = [verify_rows(programme, job) for job in jobs]
    _songs(programme, songs)
    for moments in verified if not alone else ():
        programme.waits(moments, 1.0)
    add_decks(programme)
    add_standing(programme, every=not alone)
    desk = Desk(programme)
    add_desk(desk)
    for visit in add_visits(programme):
        add_before(desk, visit)
    loads = add_loads(desk)
    add_warmed(loads)
    add_room(desk)
    return loads


def _reels(problem: Problem, found: Soonest, *, alone: bool) -> list[Job]:
    """The reels that can end, or those of them that songs need which can be ready."""
    needed = {job for song in problem.songs if can_end(song, found) for job in song.jobs}
    return [job for job in problem.work if job.index in found.ends and (job.index in needed or not alone)]


def _songs(programme: Programme, least: Fraction) -> None:
    """Songs, which all together cost no less than is known."""
    for song in programme.problem.songs:
        if can_end(song, programme.found):
            song_rows(programme, song.priority, song.jobs)
    if programme.cost and least:
        programme.at_most(
            [(column, -cost) for column, cost in programme.cost], programme.constant - float(least)
        )
