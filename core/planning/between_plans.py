"""Between the kept plan and one made afresh: the few moves that bring most of what is won."""

from __future__ import annotations

from dataclasses import replace

from core.planning.at_no_cost.draw_back import moved_jobs, with_reels_of
from core.planning.bench.draft import AT_THE_TABLE, Draft, ends_of, make_draft
from core.planning.facts.problem import SongFacts
from core.planning.incumbent import Incumbent
from core.planning.settling.early import early

SONGS = 6  # songs that are tried, those that gain most first, before it is told that none brings anything
FORTH, BACK = 0.1, 0.15  # of the time


def take_songs_over(so_far: Incumbent, afresh: Draft) -> None:
    """Puts song after song where the new plan has it, all else staying, where that gains with its moves."""
    left = so_far.clock.portion(FORTH * so_far.clock.limit, _each(so_far))
    gains = True
    while gains:
        songs = sorted(so_far.problem.songs, key=lambda song: -_gain(so_far, song, afresh))
        some = [song for song in songs[:SONGS] if _gain(so_far, song, afresh) > 0]
        gains = any(left() > 0 and _takes(so_far, afresh, set(song.jobs)) for song in some)


def put_reels_back(so_far: Incumbent, kept: Draft) -> None:
    """Puts reel after reel back where the kept plan had it, where score and moves together gain."""
    left = so_far.clock.portion(BACK * so_far.clock.limit, _each(so_far))
    before = so_far.best
    for job in moved_jobs(kept, so_far.best):
        if left() <= 0:
            break
        so_far.lean_on(with_reels_of(so_far.problem, kept, so_far.best, {job}))
    so_far.holds(before)


def put_steps_back(so_far: Incumbent) -> None:
    """Puts single steps at the table back to where they were told of, where they are free to be."""
    before = so_far.best
    for step in so_far.best.steps:
        was = so_far.told.at.get((step.job, step.kind, step.part))
        if step.kind not in AT_THE_TABLE or was is None or was < 0 or was == step.start:
            continue
        rest = [one for one in so_far.best.steps if one != step]
        minutes = step.end - step.start
        back = replace(step, start=was, end=was + minutes)
        there = make_draft([*rest, back], list(so_far.best.loads))
        if (found := early(so_far.problem, there, so_far.best, windows=frozenset())) is not None:
            so_far.lean_on(found)
    so_far.holds(before)


def _takes(so_far: Incumbent, other: Draft, jobs: set[int]) -> bool:
    return so_far.offer(with_reels_of(so_far.problem, other, so_far.best, jobs))


def _gain(so_far: Incumbent, song: SongFacts, afresh: Draft) -> float:
    """By how much the song is sooner in the new plan, by its priority."""
    if song.hopeless:
        return 0.0
    now, there = (_wait(so_far, song, draft) for draft in (so_far.best, afresh))
    return song.priority * (now - there)


def _wait(so_far: Incumbent, song: SongFacts, draft: Draft) -> float:
    ends, problem = ends_of(draft), so_far.problem
    if any(job not in ends for job in song.jobs):
        return float(problem.penalty)
    return float(max((problem.comfort.counted(ends[job]) for job in song.jobs), default=0))


def _each(so_far: Incumbent) -> float:
    """What one try costs, counted in seconds of a quiet machine."""
    return 0.0002 * len(so_far.problem.work)
