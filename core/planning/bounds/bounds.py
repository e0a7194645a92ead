"""How good a plan can be at best: a proven lower bound on the score, quick at any size.

For each moment t no plan has more weight ready by t than fits, as fractions, into the bench minutes up to t.
What is not ready waits on: the score is at least the weight not ready, summed over time, and half a horizon
more for what is never ready. What no evening can hold is never ready (see ``soonest``). Relaxed: order within
an evening, room in the chamber, which set-up a deck stands on.

Filling a knapsack by weight per minute, with fractions: G. B. Dantzig, Operations Research 5 (1957) 266-288.
"""

from __future__ import annotations

from bisect import bisect_right
from dataclasses import replace
from fractions import Fraction
from itertools import accumulate

from core.planning.bounds.soonest import Soonest, soonest
from core.planning.facts.least import least_minutes
from core.planning.facts.problem import Problem, SongFacts
from core.values import dataclass

STEPS, MOMENTS = 24, 4000  # moments looked at in an evening, and in all


@dataclass(frozen=True, slots=True)
class Piece:
    """What can be ready: its weight in hundredths, the bench minutes it takes, and its earliest end.

    ``late``: it is bound by its earliest end, and half of its minutes is not counted besides.
    """

    weight: int
    minutes: float
    earliest: int
    late: bool = False

    @property
    def half(self) -> float:
        """Twice what may be added to the mean moment of its work."""
        return 0.0 if self.late else self.minutes


def quick_bound(problem: Problem) -> Fraction:
    """A proven lower bound on the score, in a few milliseconds for hundreds of reels."""
    found = soonest(problem)
    songs = _certainly(waiting(problem, song_pieces(problem, found)))
    return (lost_songs(problem, found) + songs) / 6000 + reels_part(problem, found)


def reels_part(problem: Problem, found: Soonest) -> Fraction:
    """The reels' part of a score is at least that: fitted into the evenings, and each at its soonest."""
    counted = problem.comfort.counted
    alone = sum(counted(end) + problem.scale.lead for end in found.ends.values())
    together = _certainly(waiting(problem, reel_pieces(problem, found)))
    return (lost_reels(problem, found) + max(Fraction(alone), together)) / 6000


def _certainly(total: float) -> Fraction:
    """What is left of a sum in floating point."""
    return max(Fraction(0), Fraction(total) - abs(Fraction(total)) / 1_000_000_000)


def lost_songs(problem: Problem, found: Soonest) -> Fraction:
    """What is lost of songs whatever is planned, in hundredths of priority-minutes."""
    return sum(100 * song.priority for song in problem.songs if not can_end(song, found)) * problem.penalty


def lost_reels(problem: Problem, found: Soonest) -> Fraction:
    """What is lost of reels whatever is planned, in the same measure."""
    return (problem.never + len(problem.work) - len(found.ends)) * problem.penalty


def can_end(song: SongFacts, found: Soonest) -> bool:
    """True if each of the song's reels can be verified in this plan."""
    return not song.hopeless and all(job in found.ends for job in song.jobs)


def reel_minutes(problem: Problem) -> dict[int, float]:
    """Bench minutes of each reel at least, with its share of an evening's line-up."""
    shares = line_up_share(problem)
    return {job.index: least_minutes(job) + shares * len(job.parts) for job in problem.work}


def line_up_share(problem: Problem) -> float:
    """Line-up minutes that each transfer carries: the least line-up over the most transfers of an evening."""
    runs = [m for job in problem.work for part in job.parts for m in part.minutes if m is not None]
    if not runs or not problem.windows:
        return 0.0
    least = min(min(facts.full, facts.touch_up) for facts in problem.decks)
    longest = max(window.minutes for window in problem.windows)
    most = max(1, (longest - least) // max(1, min(runs)))
    return least / most


def song_pieces(problem: Problem, found: Soonest) -> list[Piece]:
    """Songs; the minutes of a reel that several need are shared out among them, so that none counts twice."""
    minutes = reel_minutes(problem)
    songs = [song for song in problem.songs if can_end(song, found)]
    asked: dict[int, int] = {}
    for song in songs:
        for job in song.jobs:
            asked[job] = asked.get(job, 0) + song.priority
    out = []
    for song in songs:
        own = sum(minutes[job] * song.priority / asked[job] for job in song.jobs)
        earliest = max(found.ends[job] for job in song.jobs)
        out.append(Piece(100 * song.priority, own, earliest))
    return out


def reel_pieces(problem: Problem, found: Soonest) -> list[Piece]:
    """Reels, each for its hundredth."""
    minutes = reel_minutes(problem)
    return [Piece(1, minutes[index], end) for index, end in sorted(found.ends.items())]


def waiting(problem: Problem, pieces: list[Piece]) -> float:
    """Weight not ready, summed over the plan's minutes, at least, with the penalty for what never is.

    A piece may be counted in either of two ways, each right by itself; the better of two choices is taken:
    all by their work alone, or those that cannot end soon by their earliest end.
    """
    if problem.comfort.marks:
        return _by_nights(problem, [replace(one, late=True) for one in pieces])
    first = problem.windows[0].start if problem.windows else 0
    late = [replace(one, late=one.earliest > first + 2 * one.minutes) for one in pieces]
    return max(_waiting(problem, pieces), _waiting(problem, late))


def _by_nights(problem: Problem, pieces: list[Piece]) -> float:
    """The same where an end counts up to the night behind it: what can be ready by each night."""
    sack = _Knapsack(pieces)
    everything = float(sum(p.weight for p in pieces))
    lead, penalty = float(problem.scale.lead), float(problem.penalty)
    windows = iter(problem.windows)
    window = next(windows, None)
    total = done = gone = spent = 0.0
    for night in problem.comfort.marks:
        counted = min(night + lead, penalty)
        total += (everything - done) * (counted - gone)
        gone = counted
        if night > problem.comfort.counted(problem.end):
            break
        while window is not None and window.end <= night:
            spent += window.minutes
            window = next(windows, None)
        part = max(0, night - window.start) if window is not None else 0
        done = max(done, sack.most(spent + part, night))
    return total + (everything - done) * (penalty - gone)


def _waiting(problem: Problem, pieces: list[Piece]) -> float:
    """The same for one choice.

    By its work: a piece of p minutes ends at least p / 2 after the mean moment of the work on it, whenever
    that is done, and the part of it that is not worked on counts as done in the last p minutes before the
    penalty falls due; so half of p is added, and taken from the penalty. By its earliest end (``late``): no
    part of it counts as done before, and nothing is added, as the work may all lie before.
    """
    sack = _Knapsack(pieces)
    everything = float(sum(p.weight for p in pieces))
    lead, horizon = float(problem.scale.lead), float(problem.scale.horizon)
    gone, spent, total = -lead, 0.0, 0.0
    done = 0.0
    steps = min(STEPS, max(1, MOMENTS // max(1, len(problem.windows))))
    for window in problem.windows:
        total += (everything - done) * (window.start - gone)
        gone = window.start
        step = max(problem.scale.grid, problem.scale.up(window.minutes // steps))
        while gone < window.end:
            until = min(window.end, gone + step)
            spent += until - gone
            done = max(done, sack.most(spent, until))
            total += (everything - done) * (until - gone)
            gone = until
    total += (everything - done) * max(0.0, horizon - lead - gone)
    return (
        total
        + sum(p.weight * min(p.half, horizon) / 2 for p in pieces)
        + _penalties(pieces, spent, horizon, problem.end)
    )


def _penalties(pieces: list[Piece], room: float, horizon: float, until: int) -> float:
    """What is lost after the horizon, at least: half of horizon less minutes for each piece left over."""
    total = 0.0
    items = [(p.weight * max(0.0, horizon - p.half) / 2, p.minutes, p.earliest <= until) for p in pieces]
    items.sort(key=lambda item: -item[0] / max(item[1], 1e-9))
    for lost, minutes, can in items:
        fits = min(1.0, room / max(minutes, 1e-9)) if can else 0.0
        room -= fits * minutes
        total += lost * (1 - fits)
    return total


class _Knapsack:
    """The most weight, in fractions, that fits into so many minutes of what can end by then (Dantzig).

    Asked for later and later moments.
    """

    def __init__(self, pieces: list[Piece]) -> None:
        self._waiting = sorted((p for p in pieces if p.late), key=lambda p: -p.earliest)
        self._minutes: list[float] = [0.0]
        self._weights: list[float] = [0.0]
        self._fill([p for p in pieces if not p.late])

    def _fill(self, pieces: list[Piece]) -> None:
        self._in = sorted(pieces, key=lambda p: -p.weight / max(p.minutes, 1e-9))
        self._minutes = list(accumulate((p.minutes for p in self._in), initial=0.0))
        self._weights = list(accumulate((float(p.weight) for p in self._in), initial=0.0))

    def most(self, room: float, until: int) -> float:
        """The weight of those whole that fit, and of the next in part."""
        new = []
        while self._waiting and self._waiting[-1].earliest <= until:
            new.append(self._waiting.pop())
        if new:
            self._fill(self._in + new)
        place = bisect_right(self._minutes, room) - 1
        if place >= len(self._in):
            return self._weights[-1]
        piece = self._in[place]
        return self._weights[place] + piece.weight * (room - self._minutes[place]) / max(piece.minutes, 1e-9)
