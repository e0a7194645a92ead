"""The soonest that each reel can be played and verified if it had the house to itself; bounds rest on it.

A reel that needs warmth waits for a stretch at home that is long enough; a deck for a calibration reel that
is fit, a new set-up for a full line-up, and that for the helper. What no evening can hold stays behind.
Relaxed: that one person does it all, what else lies in the chamber, the order of repair and warmth.
"""

from __future__ import annotations

from core.planning.facts.at_hand import FOREVER, at_hand, joined, known
from core.planning.facts.problem import Job, Problem, Stretch
from core.values import dataclass


@dataclass(frozen=True, slots=True)
class Soonest:
    """By deck and window where a full line-up and a touch-up may lie, by job when it is at hand, and by job
    the soonest end of all its work, none where it cannot be done.
    """

    problem: Problem
    fulls: tuple[tuple[tuple[Stretch, ...], ...], ...]
    touches: tuple[tuple[tuple[Stretch, ...], ...], ...]
    first_full: tuple[int, ...]
    hands: dict[int, list[Stretch]]
    ends: dict[int, int]

    def count(self, deck: int, window: int) -> int:
        """How many full line-ups fit into an evening at most."""
        full = self.problem.decks[deck].full
        return sum((b - a) // full if full else len(self.problem.setups) for a, b in self.fulls[deck][window])

    def lined(self, deck: int, window: int, setup: int) -> int | None:
        """The soonest end of a line-up there; a touch-up wants a full one before, or a deck that stands."""
        facts = self.problem.decks[deck]
        ends = [a + facts.full for a, _ in self.fulls[deck][window]]
        if setup == facts.stands_on or self.first_full[deck] < window:
            ends += [a + facts.touch_up for a, _ in self.touches[deck][window]]
        return min(ends, default=None)

    def play(self, job: Job, part: int, deck: int, window: int) -> int | None:
        """The soonest end of a transfer on a deck in an evening, None where it cannot be there."""
        minutes = job.parts[part].minutes[deck]
        lined = self.lined(deck, window, job.parts[part].setup)
        if minutes is None or lined is None:
            return None
        ends = []
        for a, b in self.problem.decks[deck].runs[window]:
            for c, d in self.hands[job.index]:
                start = self.problem.scale.up(max(a, c + job.repair + job.audition, lined))
                if start + minutes <= min(b, d):
                    ends.append(start + minutes)
        return min(ends, default=None)


def soonest(problem: Problem) -> Soonest:
    """Reads it off the problem's facts."""
    fulls, touches = [], []
    for deck, facts in enumerate(problem.decks):
        spans = _calibrated(problem, deck)
        fulls.append(tuple(_room(problem, runs, spans, facts.full) for runs in facts.full_runs))
        touches.append(tuple(_room(problem, runs, spans, facts.touch_up) for runs in facts.runs))
    first = tuple(next((w for w, room in enumerate(own) if room), len(own)) for own in fulls)
    hands = {job.index: at_hand(problem, job) for job in problem.work if job.parts}
    found = Soonest(problem, tuple(fulls), tuple(touches), first, hands, {})
    for job in problem.work:
        end = _end(found, job)
        if end is not None:
            found.ends[job.index] = end
    return found


def _calibrated(problem: Problem, deck: int) -> list[Stretch]:
    """When the deck can be lined up at all, to any of its set-ups."""
    facts = problem.decks[deck]
    if any(not facts.needed(setup) for setup in facts.asked):
        return [(0, FOREVER)]
    return joined([span for c in facts.every_needed for span in at_hand(problem, problem.jobs[c])])


def _room(
    problem: Problem, runs: tuple[Stretch, ...], spans: list[Stretch], minutes: int
) -> tuple[Stretch, ...]:
    """Where in the runs a line-up of so many minutes may lie."""
    both = [(problem.scale.up(max(a, c)), min(b, d)) for a, b in runs for c, d in spans]
    return tuple((a, b) for a, b in both if a + minutes <= b)


def _end(found: Soonest, job: Job) -> int | None:
    """The soonest end of its verify: after each of its transfers, inside a window."""
    problem = found.problem
    after = known(problem, job)
    for part, what in enumerate(job.parts):
        decks = [deck for deck, minutes in enumerate(what.minutes) if minutes is not None]
        for evening in range(len(problem.windows)):
            ends = [end for deck in decks if (end := found.play(job, part, deck, evening)) is not None]
            if ends:
                after = max(after, min(ends))
                break
        else:
            return None
    for window in problem.windows:
        start = problem.scale.up(max(window.start, after))
        if start + job.verify <= window.end:
            return start + job.verify
    return None
