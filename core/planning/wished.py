"""A problem with the owner's wishes in it: windows that a reel may use, homes without the chamber, slack."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from core.planning.problem import DeckFacts, Home, Job, Problem, Stretch, Window
from core.planning.wishes import Wishes


def wished(problem: Problem, wishes: Wishes) -> Problem:
    """The problem in which what is wished for holds; the same one where nothing is."""
    if not wishes.bind:
        return problem
    problem = _slack(problem, wishes.slack) if wishes.slack else problem
    homes = tuple(home for home in problem.homes if not _on(problem, home, wishes.no_chamber))
    jobs = tuple(_pinned(problem, job, wishes) for job in problem.jobs)
    return replace(problem, homes=homes, jobs=jobs)


def day_of(problem: Problem, minute: int) -> date:
    """The date on the studio's clock."""
    return problem.scale.moment(minute).date()


def _on(problem: Problem, home: Home, days: tuple[date, ...]) -> bool:
    first, last = day_of(problem, home.first), day_of(problem, home.end)
    return any(first <= day <= last for day in days)


def _pinned(problem: Problem, job: Job, wishes: Wishes) -> Job:
    """The job with the windows that wishes leave it; untouched where they would leave none."""
    allowed = {w.index for w in problem.windows}
    for pin in wishes.pins:
        if pin.reel == job.key:
            there = {w.index for w in problem.windows if day_of(problem, w.start) == pin.day}
            allowed = allowed - there if pin.never else allowed & there
    for song, day in wishes.song_by:
        facts = next((one for one in problem.songs if one.key == song), None)
        if facts is not None and job.index in facts.jobs:
            allowed &= {w.index for w in problem.windows if day_of(problem, w.start) <= day}
    if not allowed or len(allowed) == len(problem.windows):
        return job
    return replace(job, windows=frozenset(allowed))


def unmet(
    problem: Problem, wishes: Wishes, transfers: dict[str, list[int]], ends: dict[int, int]
) -> list[str]:
    """A sentence for each pin or date that the plan does not keep. ``transfers``: starts by reel."""
    out = []
    for pin in wishes.pins:
        days = {day_of(problem, start) for start in transfers.get(pin.reel, ())}
        if pin.never == (pin.day in days):
            how = "stays on" if pin.never else "does not fit on"
            out.append(f"wish not met: {pin.reel} {how} {pin.day:%a %d %b}")
    for song, day in wishes.song_by:
        facts = next((one for one in problem.songs if one.key == song), None)
        if facts is None:
            continue
        done = [ends.get(job) for job in facts.jobs]
        if facts.hopeless or any(end is None or day_of(problem, end) > day for end in done):
            out.append(f"wish not met: {song} is not ready by {day:%a %d %b}")
    return out


def _slack(problem: Problem, share: float) -> Problem:
    """Every evening ends earlier by its share, on the grid."""
    windows = tuple(
        Window(w.index, w.start, max(w.start, problem.scale.down(w.end - int(w.minutes * share))), w.label)
        for w in problem.windows
    )
    ends = [w.end for w in windows]

    def cut(runs: tuple[tuple[Stretch, ...], ...]) -> tuple[tuple[Stretch, ...], ...]:
        return tuple(
            tuple((a, min(b, end)) for a, b in run if a < min(b, end))
            for run, end in zip(runs, ends, strict=True)
        )

    def deck(facts: DeckFacts) -> DeckFacts:
        return replace(facts, runs=cut(facts.runs), full_runs=cut(facts.full_runs))

    return replace(
        problem,
        windows=windows,
        decks=tuple(deck(facts) for facts in problem.decks),
        hearing_runs=cut(problem.hearing_runs),
    )
